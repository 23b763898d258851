package wiringsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// Face is a version's wiring in one line: how much there is of it, what was judged, and what stands nearest its limit.
func Face(w *wiring.Analysis) []numeral.Phrase {
	if len(w.Faults) > 0 {
		return []numeral.Phrase{numeral.Say("The wiring is written wrong; nothing is computed.")}
	}
	out := []numeral.Phrase{numeral.Say(fmt.Sprintf("%s, %s; %s", numeral.Count(len(w.Circuit.Parts), "part"), numeral.Count(len(w.Circuit.Leads), "lead"), JudgedWords(w)))}
	if near := nearest(w); near != nil {
		out = append(append(out, numeral.Say("; nearest ")), near...)
	}
	return append(out, numeral.Say("."))
}

// JudgedWords says how many rules judged and what came of it, and what could not be judged beside it.
func JudgedWords(w *wiring.Analysis) string {
	rules, exceeded, unjudged := w.Judged()
	out := numeral.Count(rules, "rule") + " judged, none exceeded"
	if exceeded > 0 {
		out = fmt.Sprintf("%s judged, %d exceeded", numeral.Count(rules, "rule"), exceeded)
	}
	if rules == 0 {
		out = "nothing could be judged"
	}
	if unjudged > 0 {
		out += fmt.Sprintf("; %s not judged", numeral.Count(unjudged, "thing"))
	}
	return out
}

// nearest is what stands nearest its limit: "motor bars, 90 % with the motors held". Nil where nothing has a margin.
func nearest(w *wiring.Analysis) []numeral.Phrase {
	for _, m := range w.Margins() {
		v := &w.Verdicts[m.Verdict]
		if v.OK {
			return []numeral.Phrase{numeral.Say(briefly(w, v.Subject) + ", "), numeral.SayNumber(used(m.Used)), numeral.Say(underWords(w, v))}
		}
	}
	return nil
}

// briefly names what a verdict is about without the ends of a lead.
func briefly(w *wiring.Analysis, s circuit.Subject) string {
	if s.Lead >= 0 && s.End < 0 {
		return "lead " + leadName(w, s.Lead)
	}
	return subjectWords(w, s)
}

// used is a part of a limit as a percentage, never rounded up to the whole of it.
func used(part float64) numeral.Numeral {
	percent := math.Round(100 * part)
	if part < 1 {
		percent = min(percent, 99)
	}
	return numeral.Numeral{Kind: numeral.Computed, Whole: fmt.Sprintf("%.0f %%", percent), Set: true}
}

// underWords says under what a value was judged: " with the motors held", " at cruise"; "" where it is always so.
func underWords(w *wiring.Analysis, v *circuit.Verdict) string {
	switch v.Rule {
	case circuit.PartVolts, circuit.FuseVolts, circuit.LoadVoltsHigh:
		return " with full packs"
	}
	if v.Point == "" {
		return ""
	}
	for _, s := range w.Solutions {
		if s.Point.Name == v.Point && s.Point.Kind == circuit.Stall {
			return " with the motors held"
		}
	}
	return " at the point " + v.Point
}

// CutListFace is the cut list in one line: how many leads, and how much cable to buy of how many sizes.
func CutListFace(rd *reading.Reader, v *journal.Version) []numeral.Phrase {
	w := rd.Wired(v)
	said := numeral.Count(len(w.Whips), "lead") + " to make up"
	if _, before, r := revised(rd, v); before != nil && len(r.Keep) > 0 {
		said = fmt.Sprintf("%s, of which %d stay from version %s", numeral.Count(len(w.Whips), "lead"), len(r.Keep), reading.VersionNumber(v.Before))
	}
	out := []numeral.Phrase{numeral.Say(said)}
	var buy quantity.Metres
	sizes := map[circuit.Size]bool{}
	for _, t := range w.Totals {
		if t.Length > 0 {
			buy += t.With
			sizes[t.Size] = true
		}
	}
	if buy > 0 {
		out = append(out, numeral.Say(", "), numeral.SayNumber(numeral.MetresUp(buy)), numeral.Say(" of cable to buy in "+numeral.Count(len(sizes), "size")))
	}
	return append(out, numeral.Say("."))
}

// nearTable is what stands near its limit.
type nearTable struct {
	frame.Caption
	Rows []nearRow
}

type nearRow struct {
	Of, Under     string
	Number, Limit numeral.Numeral
	Used          numeral.Numeral
	Width         int // of its bar, of 64
}

// nearBar is the width of a bar that is full.
const nearBar = 64

// nearWords say in a word or two what is held against its limit.
var nearWords = map[circuit.Rule]string{
	circuit.LeadAmpacity: "lasting current", circuit.ConductorSize: "least conductor", circuit.FuseSavesLead: "rating, for its leads", circuit.FuseInterrupts: "fault current",
	circuit.FuseVolts: "full packs", circuit.FusePlacement: "way from the pack", circuit.FuseHolds: "stays whole", circuit.FuseOpensAtStall: "opens in time, motors held",
	circuit.LastingCurrent: "lasting", circuit.PeakCurrent: "for a while", circuit.ContactDirect: "current switched", circuit.PartVolts: "full packs",
	circuit.LoadVoltsHigh: "full packs", circuit.LoadVoltsLow: "low packs", circuit.ResistorHeat: "heat", circuit.FuseCarriesLoad: "least rating",
	circuit.ConverterInput: "its window", circuit.SuppressorClamps: "what it guards",
}

// NearLimits are what holds and stands at wiring.Near of its limit or more, the nearest first; nil where there is none. Parts
// that are asked the same and stand the same are one row.
func NearLimits(s *frame.Sheet, w *wiring.Analysis) *nearTable {
	t := &nearTable{}
	for _, m := range w.Margins() {
		v := &w.Verdicts[m.Verdict]
		if !v.OK || m.Used < wiring.Near {
			continue
		}
		row := nearRow{Of: numeral.Sentenceless(briefly(w, v.Subject)), Under: nearWords[v.Rule], Used: used(m.Used), Width: min(nearBar, int(math.Round(nearBar*m.Used)))}
		row.Number = numeral.Printed(numeral.Figures(v.Number, numeral.Fewest), numeral.Computed, "")
		kind := numeral.Quoted
		if v.Status == circuit.Computed {
			kind = numeral.Computed
		}
		row.Limit = numeral.Printed(numeral.Brief(v.Limit, 1), kind, "")
		if v.Rule == circuit.FuseOpensAtStall { // what is asked is how long the fuse takes, and the limit how long the motor stands
			row.Number, row.Limit = numeral.Printed(numeral.Figures(v.Limit, numeral.Fewest), kind, ""), numeral.Printed(numeral.Brief(v.Number, 1), numeral.Computed, "")
		}
		if words := underWords(w, v); words == " with the motors held" && v.Rule != circuit.FuseOpensAtStall {
			row.Under += ", motors held"
		}
		if k := len(t.Rows) - 1; k >= 0 && alike(t.Rows[k], row) {
			if t.Rows[k].Of != row.Of {
				t.Rows[k].Of += ", " + numeral.MidSentence(row.Of)
			}
			continue
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) == 0 {
		return nil
	}
	t.Caption = s.Table("near", fmt.Sprintf("What stands at %.0f %% of its limit or more. A limit that a part keeps itself is no margin.", 100*wiring.Near))
	return t
}

func alike(a, b nearRow) bool {
	return a.Under == b.Under && a.Number.Whole == b.Number.Whole && a.Limit.Whole == b.Limit.Whole
}

// Headline is the verdict on a version's wiring in one line.
func Headline(w *wiring.Analysis) string {
	rules, exceeded, _ := w.Judged()
	switch {
	case rules == 0:
		return "Nothing could be judged"
	case exceeded > 0:
		return fmt.Sprintf("%d of %s exceeded", exceeded, numeral.Count(rules, "rule"))
	}
	return numeral.Count(rules, "rule") + " judged, none exceeded"
}

// Lead is the sentence under the headline: what stands nearest its limit, and what could not be judged.
func Lead(w *wiring.Analysis) []numeral.Phrase {
	var out []numeral.Phrase
	if near := nearest(w); near != nil {
		out = append(append([]numeral.Phrase{numeral.Say("Nearest its limit: ")}, near...), numeral.Say("."))
	}
	if _, _, unjudged := w.Judged(); unjudged > 0 {
		out = append(out, numeral.Say(" "+numeral.Sentenceless(numeral.Count(unjudged, "thing"))+" could not be judged."))
	}
	return out
}

// Live is what stays live with a cutout or stop open, in a line, and where it is drawn.
type Live struct {
	Words string
	Of    frame.Link
}

// StaysLive says of each cutout or stop what stays live with it open. The whole of it is drawn and told on the version's page.
func StaysLive(rd *reading.Reader, s *frame.Sheet, v *journal.Version, w *wiring.Analysis) []Live {
	var out []Live
	for _, l := range w.Live {
		words := fmt.Sprintf("With %s open nothing else stays live.", w.Circuit.Parts[l.Opened].Name)
		if len(l.Terminals) > 0 {
			words = fmt.Sprintf("With %s open these are still live: %s; and the packs' negatives. A pack cannot be switched off: %s.", w.Circuit.Parts[l.Opened].Name, liveWords(w, l), deadInOrder(w.Circuit, l.Opened))
		}
		out = append(out, Live{words, frame.Link{Words: "Drawn, with the leads", Href: s.To(address.Version(v)) + "#wiring"}})
	}
	return out
}

// deadInOrder is how a circuit is made dead: under no load first, since a fuse that is drawn under load arcs.
func deadInOrder(c *circuit.Circuit, opened int) string {
	steps := []string{"stop", "open " + c.Parts[opened].Name}
	packs, fuses := 0, 0
	for i := range c.Parts {
		switch p := &c.Parts[i]; p.Kind {
		case circuit.ChargerSocket:
			steps = append(steps, "unplug the charger, which feeds "+p.Name)
		case circuit.Pack:
			packs++
		case circuit.Fuse, circuit.Breaker:
			fuses++
		}
	}
	last := "draw the fuse at the pack"
	switch {
	case fuses == 0:
		last = "take the leads off the pack one at a time and cover their ends"
	case packs > 1: // one that is left feeds the holder of the other, too
		last = "draw the fuse of every pack"
	}
	return strings.Join(append(steps, last), ", ") + ", then measure before you touch"
}

// liveWords names the parts with a live terminal, the live leads, and what a current can still go through.
func liveWords(w *wiring.Analysis, l circuit.Live) string {
	var parts, leads []string
	for _, t := range l.Terminals {
		if !slices.Contains(parts, t.Part) {
			parts = append(parts, t.Part)
		}
	}
	for _, i := range l.Leads {
		leads = append(leads, leadName(w, i))
	}
	words := strings.Join(parts, ", ")
	if len(leads) > 0 {
		words += "; leads " + strings.Join(leads, ", ")
	}
	if fed := namesOf(w.Circuit, l.Fed); fed != "" {
		words += "; still fed " + fed
	}
	return words
}

// PointsFace is what the wiring loses at the first and at the hottest of its operating points.
func PointsFace(w *wiring.Analysis) []numeral.Phrase {
	if len(w.Solutions) == 0 {
		return nil
	}
	at := shownPoint(w)
	worst := at
	for _, s := range w.Solutions {
		if lostInWiring(w.Circuit, s) > lostInWiring(w.Circuit, worst) {
			worst = s
		}
	}
	out := []numeral.Phrase{numeral.Say("; " + at.Point.Name + " loses "), numeral.SayNumber(numeral.ComputedValue(lostInWiring(w.Circuit, at)))}
	if worst != at {
		out = append(out, numeral.Say(", "+worst.Point.Name+" "), numeral.SayNumber(numeral.ComputedValue(lostInWiring(w.Circuit, worst))))
	}
	return append(out, numeral.Say(" in leads and contacts."))
}
