package wiringsheet

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// RuleWords says of each rule about the wiring what it looks at, and which formula explains it.
var RuleWords = map[circuit.Rule]struct{ Words, Doc string }{
	circuit.LeadAmpacity:     {"Current that the lead may carry for good", "ampacity"},
	circuit.ConductorSize:    {"The least conductor; of those that hold, the thinnest", "conductor-size"},
	circuit.FuseMissing:      {"A fuse on every way out of the pack", "fuse-placement"},
	circuit.FusePlacement:    {"Distance from the pack to its fuse", "fuse-placement"},
	circuit.FuseCarriesLoad:  {"The fuse carries the lasting load", "fuse-rating"},
	circuit.FuseSavesLead:    {"The fuse saves the lead behind it", "fuse-rating"},
	circuit.FuseInterrupts:   {"The fuse interrupts the fault current", "fault-current"},
	circuit.FuseVolts:        {"The fuse stands the voltage of full packs", "fuse-rating"},
	circuit.FuseHolds:        {"The fuse stays whole at a current that ends", "fuse-gates"},
	circuit.FuseOpensAtStall: {"The fuse opens before a stalled motor burns", "fuse-gates"},
	circuit.LiveWhenOpen:     {"What stays live with it open", "live-parts"},
	circuit.BypassWhenOpen:   {"No way around it when it is open", "live-parts"},
	circuit.SocketLive:       {"No live pins at the charger socket with nothing plugged in", "charger-socket"},
	circuit.ShortCircuit:     {"No short in any position of the contacts", "short-paths"},
	circuit.EndFitsTerminal:  {"The end goes on the terminal", "terminal-fit"},
	circuit.WireFitsClamp:    {"The lead goes into the clamp", "terminal-fit"},
	circuit.WireFitsFerrule:  {"The lead goes into a ferrule", "terminal-fit"},
	circuit.LastingCurrent:   {"Lasting current against the rating", "parts-held"},
	circuit.PeakCurrent:      {"Current for a while against the rating", "parts-held"},
	circuit.ContactDirect:    {"Direct current that the contact switches", "contact-ratings"},
	circuit.PartVolts:        {"Voltage of full packs against the rating", "parts-held"},
	circuit.LoadVoltsHigh:    {"Voltage of full packs against what the load stands", "parts-held"},
	circuit.LoadVoltsLow:     {"Voltage of the packs against what the load needs", "parts-held"},
	circuit.ResistorHeat:     {"Heat in the resistor against what it stands", "parts-held"},
	circuit.ConverterInput:   {"Voltage at the converter's input against its window", "converter-network"},
	circuit.ThrottleReturn:   {"What is read of the throttle with its return off", "throttle-return"},
	circuit.SuppressorClamps: {"What the suppressor lets through against what it guards", "suppressor-clamps"},
	circuit.BalanceFuses:     {"A fuse in each wire of the balance lead", "fuse-placement"},
	circuit.PositiveColour:   {"One colour for positive", "positive-colour"},
}

// verdictsView is what was looked at in the wiring. On a version's page it is the count and what does not hold.
type verdictsView struct {
	Count                string // "250 things looked at: 6 do not hold, 244 hold."
	Fails, Cannot, Holds *VerdictTable
	Near                 *nearTable
	Doubts               []Doubt
	Table                string // the table of ampacities
	Conditions           string
	NotJudged            frame.Link
}

// VerdictTable is verdicts, rule by rule.
type VerdictTable struct {
	frame.Caption
	Groups []verdictGroup
	Count  int
}

// verdictGroup is the verdicts of one rule.
type verdictGroup struct {
	Rule   frame.Link
	Source string // where it is the same for all
	Rows   []verdictRow
}

type verdictRow struct {
	Of            string
	Number, Limit numeral.Numeral
	Mark          string // of the status of the limit
	At            string // the operating point
	Says          string
	Remedy        string
	Source        string

	rule frame.Link
}

// verdictRows are the rows of what does not hold, what cannot be judged and what holds.
type verdictRows struct {
	Fails, Cannot, holds []verdictRow
}

// VerdictRows are the rows of a version's verdicts.
func VerdictRows(rd *reading.Reader, s *frame.Sheet, w *wiring.Analysis) verdictRows {
	var v verdictRows
	for i := range w.Verdicts {
		x := &w.Verdicts[i]
		row := rowOf(rd, s, w, x)
		switch {
		case x.CannotJudge != "":
			v.Cannot = append(v.Cannot, row)
		case x.OK:
			v.holds = append(v.holds, row)
		default:
			v.Fails = append(v.Fails, row)
		}
	}
	return v
}

// TableOf is a table of verdicts, rule by rule; nil where there are none.
func TableOf(s *frame.Sheet, rows []verdictRow, wish, words string) *VerdictTable {
	if len(rows) == 0 {
		return nil
	}
	t := &VerdictTable{Caption: s.Table(wish, words), Count: len(rows)}
	at := map[frame.Link]int{}
	for _, r := range rows {
		k, ok := at[r.rule]
		if !ok {
			k = len(t.Groups)
			at[r.rule] = k
			t.Groups = append(t.Groups, verdictGroup{Rule: r.rule, Source: r.Source})
		}
		g := &t.Groups[k]
		if g.Source != r.Source {
			g.Source = ""
		}
		g.Rows = append(g.Rows, r)
	}
	for k := range t.Groups {
		if g := &t.Groups[k]; g.Source != "" {
			for i := range g.Rows {
				g.Rows[i].Source = ""
			}
		}
	}
	return t
}

// Verdicts lists what does not hold and what cannot be judged, and where all is to be listed what holds.
func Verdicts(rd *reading.Reader, s *frame.Sheet, w *wiring.Analysis, all bool) *verdictsView {
	if len(w.Verdicts) == 0 {
		return nil
	}
	rows := VerdictRows(rd, s, w)
	v := &verdictsView{Count: verdictCount(len(rows.holds), len(rows.Fails), len(rows.Cannot)),
		NotJudged: frame.Link{Words: "bends, strain, chafing, water and the quality of crimps", Href: rd.FormulaLink(s, "wiring-not-judged")}}
	for _, t := range circuit.AmpacityTables() {
		if t.Name == w.Circuit.Table || w.Circuit.Table == "" && t.Name == circuit.FederalRegulations {
			v.Table, v.Conditions = t.Title, t.Conditions
		}
	}
	v.Fails = TableOf(s, rows.Fails, "wiring-fails", "What does not hold.")
	if all {
		v.Near = NearLimits(s, w)
	}
	v.Cannot = TableOf(s, rows.Cannot, "wiring-cannot", "What cannot be judged, and what is missing for it.")
	if !all {
		rows.holds = nil
	}
	v.Holds = TableOf(s, rows.holds, "wiring-holds", "What holds.")
	v.Doubts = DoubtsIn(rows.Fails, rows.holds)
	return v
}

// DoubtsIn explains the marks of rows.
func DoubtsIn(lists ...[]verdictRow) []Doubt {
	statuses := map[circuit.Status]bool{}
	for _, rows := range lists {
		for _, r := range rows {
			for _, d := range doubtMarks {
				statuses[d.status] = statuses[d.status] || r.Mark == d.mark
			}
		}
	}
	return doubtsOf(statuses)
}

func verdictCount(holds, fails, cannot int) string {
	var said []string
	verb := func(n int, one, many string) string {
		if n == 1 {
			return one
		}
		return many
	}
	if fails > 0 {
		said = append(said, fmt.Sprintf("%d %s not hold", fails, verb(fails, "does", "do")))
	}
	if cannot > 0 {
		said = append(said, fmt.Sprintf("%d cannot be judged", cannot))
	}
	said = append(said, fmt.Sprintf("%d %s", holds, verb(holds, "holds", "hold")))
	return fmt.Sprintf("%s looked at: %s.", numeral.Count(holds+fails+cannot, "thing"), strings.Join(said, ", "))
}

func rowOf(rd *reading.Reader, s *frame.Sheet, w *wiring.Analysis, x *circuit.Verdict) verdictRow {
	about, known := RuleWords[x.Rule]
	if !known {
		about.Words = strings.ReplaceAll(string(x.Rule), "-", " ")
	}
	row := verdictRow{rule: frame.Link{Words: about.Words, Href: rd.FormulaLink(s, about.Doc)}, At: x.Point, Remedy: numeral.Sentence(numeral.OnPage(x.Remedy)), Source: x.Source}
	row.Of = subjectWords(w, x.Subject)
	if x.CannotJudge != "" {
		row.Says, row.Remedy = numeral.Sentence(numeral.OnPage(x.CannotJudge)), ""
		return row
	}
	if !math.IsNaN(x.Number.Value) {
		row.Number = numeral.Printed(numeral.Figures(x.Number, numeral.Fewest), numeral.Computed, "")
	}
	if !math.IsNaN(x.Limit.Value) {
		k := numeral.Quoted
		if x.Status == circuit.Computed {
			k = numeral.Computed
		}
		row.Limit = numeral.Printed(numeral.Brief(x.Limit, 1), k, "")
	}
	row.Mark = DoubtMark(x.Status)
	var says []string
	if x.Detail != "" {
		says = append(says, numeral.Sentence(numeral.OnPage(x.Detail)))
	}
	if len(x.Path) > 0 {
		says = append(says, "By way of "+pathWords(w, x.Path)+".")
	}
	if len(x.With) > 0 {
		var at []string
		for _, c := range x.With {
			at = append(at, w.Circuit.Parts[c.Part].Name+" "+positionWords(c.Position))
		}
		says = append(says, "With "+strings.Join(at, ", ")+".")
	}
	if names := namesOf(w.Circuit, x.Parts); names != "" {
		says = append(says, "Concerns "+names+".")
	}
	row.Says = strings.Join(says, " ")
	if x.OK {
		row.Remedy = ""
	}
	return row
}

func positionWords(p circuit.Position) string {
	switch p {
	case circuit.Opened:
		return "open"
	case circuit.OtherWay:
		return "the other way"
	}
	return "as usual"
}

// pathWords names the parts and leads of a path.
func pathWords(w *wiring.Analysis, path []circuit.Step) string {
	var out []string
	for _, s := range path {
		switch {
		case s.Lead >= 0:
			out = append(out, leadName(w, s.Lead))
		case s.Part >= 0:
			out = append(out, w.Circuit.Parts[s.Part].Name)
		}
	}
	return strings.Join(out, ", ")
}

// subjectWords names the part, the lead or its end that a verdict is about.
func subjectWords(w *wiring.Analysis, s circuit.Subject) string {
	c := w.Circuit
	switch {
	case s.Lead >= 0 && s.End >= 0:
		l := &c.Leads[s.Lead]
		return leadName(w, s.Lead) + " at " + OnTerminal([]circuit.Terminal{l.From, l.To}[s.End])
	case s.Lead >= 0:
		l := &c.Leads[s.Lead]
		return fmt.Sprintf("%s, %s to %s", leadName(w, s.Lead), OnTerminal(l.From), OnTerminal(l.To))
	case s.Part >= 0 && s.Terminal != "":
		return OnTerminal(circuit.Terminal{Part: c.Parts[s.Part].Name, Name: s.Terminal})
	case s.Part >= 0:
		return c.Parts[s.Part].Name
	}
	return "the wiring"
}

// OnTerminal names a terminal within a sentence: "main fuse, out".
func OnTerminal(t circuit.Terminal) string { return t.Part + " " + t.Name }
