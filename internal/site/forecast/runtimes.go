package forecast

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// reachTable is computed running times: for each load a body, in it the levels that end a run down and the packs across.
type reachTable struct {
	frame.Caption
	Packs   []string
	Across  int // columns
	Bodies  []reachBody
	LeftOut string
}

type reachBody struct {
	Load  frame.Link
	Draws []numeral.Phrase // what the load is and where it comes from
	Why   string           // why there is nothing for any pack
	Rows  []reachRow
}

type reachRow struct {
	Level string
	Main  bool
	All   string // one sentence in place of all cells
	Cells []reachCell

	Checked string // how it stands, at this voltage, against runs that had not been seen
}

type reachCell struct {
	Anchor, Label string // of its permalink; "" where the page has none
	Pack, Short   string // what the column says, and that in a word
	Main          bool
	Time          numeral.Numeral
	Why           string // why there is no time
	Also          []reachAlso
}

type reachAlso struct {
	Words string
	Value numeral.Numeral
}

// RunTime is a computed time with its interval; one whose interval is not known is said to the minute.
func RunTime(t quantity.Measured[quantity.Seconds], href string) numeral.Numeral {
	if t.Known() && math.IsNaN(float64(t.U)) {
		text := predict.TimeWords(t)
		return numeral.Numeral{Kind: numeral.Computed, Whole: text, Int: text, Href: href, Set: true}
	}
	return numeral.Printed(t.Quantity(), numeral.Computed, href)
}

// RunTimes is the computed run-time table of a version; false where there is none.
func RunTimes(rd *reading.Reader, s *frame.Sheet, v *journal.Version, words string) (reachTable, bool) {
	a := rd.Answers(v)
	if a == nil || a.Err != "" || len(a.Table.Loads) == 0 {
		return reachTable{}, false
	}
	own := s.Path == address.Version(v)
	wish := "run-time"
	if !own {
		wish = v.Slug + "-run-time"
	}
	said := "Running time, computed: how long the packs carry each load from full, counted as its run was."
	if slices.ContainsFunc(a.Table.Loads, func(l predict.Load) bool { return !l.OneMeasure() }) {
		said += " Under load: what remains of it while the motors draw. On the clock: with stops of the same share as on the run. Replayed: the run's own course, over and over, on the clock."
	}
	t := reachTable{Caption: s.Table(wish, numeral.Sentence(cmp.Or(words, said)))}
	for _, c := range a.Table.Columns {
		t.Packs = append(t.Packs, numeral.Sentenceless(numeral.OnPage(c.Label)))
	}
	t.Across = len(t.Packs) + 1
	for i, l := range a.Table.Loads {
		t.Bodies = append(t.Bodies, bodyOf(rd, s, v, a, l, a.Table.Cells[i], own))
	}
	if n := a.Table.LeftOut; n > 0 {
		t.LeftOut = fmt.Sprintf("The loads of %s are not in this table.", numeral.Count(n, "older run"))
	}
	s.Marks = true
	return t, true
}

func bodyOf(rd *reading.Reader, s *frame.Sheet, v *journal.Version, a *predict.Prediction, l predict.Load, cells []predict.RunTime, own bool) reachBody {
	body := reachBody{Load: frame.Link{Words: numeral.Sentenceless(numeral.OnPage(l.Label))}}
	switch {
	case l.Run != "":
		body.Load.Href = s.To(l.Run + "/index.html")
		body.Draws = append(body.Draws, numeral.Say("drew "), numeral.SayNumber(numeral.Rough(l.Power.Value, numeral.Measured, body.Load.Href)))
		if l.Current.Known() {
			body.Draws = append(body.Draws, numeral.Say(" and "), numeral.SayNumber(numeral.Rough(l.Current.Value, numeral.Measured, body.Load.Href)))
		}
		body.Draws = append(body.Draws, numeral.Say(" on average under load"))
	case l.Source == predict.StatedLoad:
		body.Draws = append(body.Draws, numeral.Say("draws "), numeral.SayNumber(numeral.Numeral{Kind: numeral.Quoted, Whole: numeral.OnPage(l.Words), Set: true}))
	default:
		body.Draws = append(body.Draws, numeral.Say("draws "), numeral.SayNumber(numeral.Rough(l.Power.Value, numeral.Computed, rd.FormulaLink(s, "other-payload"))))
		if l.From != "" {
			to := rd.RunLink(s, v, l.From)
			body.Draws = append(body.Draws, numeral.Say(", scaled from the "), numeral.Phrase{Text: numeral.MidSentence(to.Words), Href: to.Href})
		}
	}
	if stops(l) {
		body.Draws = append(body.Draws, numeral.Say(fmt.Sprintf(", for %.0f %% of the time on the clock%s", 100*float64(l.Duty), numeral.OnPage(l.RestWords()))))
	}
	assumed := ""
	if l.Assumed {
		assumed = ", assumed"
	}
	body.Draws = append(body.Draws, numeral.Say(fmt.Sprintf("; at %s%s", numeral.OnPage(quantity.Exact(l.Ambient).Quantity().String()), assumed)), numeral.Say("; "+numeral.OnPage(CountedWords(rd, s, v, l))))
	if same := sameWords(cells, func(c predict.RunTime) string { return c.Err }); same != "" {
		body.Why = numeral.OnPage(same)
		return body
	}
	method := rd.FormulaLink(s, "run-time")
	for _, level := range levelsOf(a.Table.EndsBy, cells) {
		row := reachRow{Main: level.main, Level: level.words}
		if r := level.of(cells[0]); r != nil && cells[0].Err == "" {
			row.Checked = numeral.OnPage(finding.Sentence(a.CheckedWords(l, r.Level)))
		}
		if same := sameWords(cells, func(c predict.RunTime) string { return ReasonOf(c, level.of) }); same != "" && len(cells) > 1 {
			row.All = numeral.OnPage(same)
		}
		for k, c := range cells {
			cell := reachCell{Pack: numeral.Sentenceless(numeral.OnPage(a.Table.Columns[k].Label)), Short: numeral.AfterComma(a.Table.Columns[k].Label), Main: level.main, Why: numeral.OnPage(ReasonOf(c, level.of))}
			anchor := strings.ReplaceAll(c.Name, "/", "-")
			href := method
			if own && level.main {
				cell.Anchor, cell.Label = anchor, fmt.Sprintf("%s, %s", body.Load.Words, numeral.MidSentence(cell.Pack))
			} else if !own {
				href = s.To(address.Version(v) + "#" + anchor)
			}
			if cell.Why == "" {
				r := level.of(c)
				cell.Time = RunTime(r.Running, href)
				if level.main {
					for _, m := range l.Others(*r) {
						cell.Also = append(cell.Also, reachAlso{m.Short, RunTime(m.Time, "")})
					}
					if at := c.Replayed.Clock; c.Replayed.Err == "" && at > 0 && stops(l) {
						cell.Also = append(cell.Also, reachAlso{"replayed, about", numeral.ClockOf(at, numeral.Computed, "")})
					}
				}
				cell.Also = append(cell.Also, reachAlso{"leaves", numeral.Words(numeral.OnPage(r.LeftWords()))})
			}
			row.Cells = append(row.Cells, cell)
		}
		body.Rows = append(body.Rows, row)
	}
	return body
}

// level is a row of the run-time table.
type level struct {
	words string
	main  bool
	of    func(predict.RunTime) *predict.EndPoint
}

// levelsOf are the levels that a load's cells have: first what ends the run, then the floors.
func levelsOf(endsBy string, cells []predict.RunTime) []level {
	var out []level
	first := slices.IndexFunc(cells, func(c predict.RunTime) bool { return c.Err == "" })
	if first < 0 { // each pack has a reason of its own
		return []level{{"To " + endsBy, true, func(predict.RunTime) *predict.EndPoint { return nil }}}
	}
	add := func(words string, main bool, of func(predict.RunTime) *predict.EndPoint) {
		if r := of(cells[first]); r != nil {
			out = append(out, level{fmt.Sprintf("To %s, %s", words, strings.ReplaceAll(numeral.Rough(r.Volts, "", "").Whole, " ", "\u00a0")), main, of})
		}
	}
	cutout := cells[first].Cutout != nil
	if cutout {
		add(endsBy, true, func(c predict.RunTime) *predict.EndPoint { return c.Cutout })
	}
	add("the conservative floor", !cutout, func(c predict.RunTime) *predict.EndPoint { return &c.Conservative })
	add("the data-sheet floor", false, func(c predict.RunTime) *predict.EndPoint { return &c.Datasheet })
	return out
}

// ReasonOf is why a cell has no time at a level, "" where it has.
func ReasonOf(c predict.RunTime, of func(predict.RunTime) *predict.EndPoint) string {
	if c.Err != "" {
		return c.Err
	}
	if r := of(c); r != nil {
		return r.Err
	}
	return "Nothing opens the circuit."
}

// sameWords are the words that all cells have in common, "" where they differ or a cell has none.
func sameWords(cells []predict.RunTime, of func(predict.RunTime) string) string {
	for _, c := range cells[1:] {
		if of(c) != of(cells[0]) {
			return ""
		}
	}
	return of(cells[0])
}

// ComputedRun is the answer to "how long does it run, computed?": the version's own packs under one load.
type ComputedRun struct {
	load  predict.Load
	Reach predict.EndPoint
	To    string // what ends it
	Name  string // of the answer
	check *predict.Validation
}

// ComputedAt is the computed running time at the load of a run; where that run shows no load, or there is no run, at the
// load that the version's latest field run shows, else at the first one. False where nothing could be computed.
func ComputedAt(rd *reading.Reader, v *journal.Version, run *journal.Run) (ComputedRun, bool) {
	a := rd.Answers(v)
	if a == nil || a.Err != "" || len(a.Table.Loads) == 0 {
		return ComputedRun{}, false
	}
	at := -1
	for i, l := range a.Table.Loads {
		if run != nil && l.Run == string(run.ID()) {
			at = i
			break
		}
		if at < 0 || l.Run != "" && strings.HasPrefix(l.Label, string(journal.Field)) {
			at = i
		}
	}
	c := a.Table.Cells[at][0]
	if c.Err != "" || c.End().Err != "" {
		return ComputedRun{}, false
	}
	out := ComputedRun{load: a.Table.Loads[at], Reach: c.End(), To: a.Table.EndsBy, Name: c.Name}
	for i := range a.Validations {
		if a.Validations[i].Run == out.load.Run && out.load.Run != "" {
			out.check = &a.Validations[i]
		}
	}
	return out, true
}

// unbroken is the share of the time under load that counts as all of it.
const unbroken = 0.995

// stops tells whether a load has stops worth telling.
func stops(l predict.Load) bool { return l.Duty > 0 && l.Duty < unbroken }

// Anchor is where the time stands on its version's page.
func (c ComputedRun) Anchor() string { return "#run-time-" + c.load.Name + "-own" }

// Where says on a page at what load the time was computed: "at the load of the field run, 27 April 2025".
func Where(rd *reading.Reader, s *frame.Sheet, v *journal.Version, c ComputedRun, that *journal.Run) []numeral.Phrase {
	switch {
	case c.load.Run == "":
		return []numeral.Phrase{numeral.Say("by " + numeral.MidSentence(numeral.OnPage(c.load.Label)))}
	case that != nil && c.load.Run == string(that.ID()):
		return []numeral.Phrase{numeral.Say("at the load of that run")}
	}
	to := rd.RunLink(s, v, c.load.Run)
	return []numeral.Phrase{numeral.Say("at the load of the "), {Text: numeral.MidSentence(to.Words), Href: to.Href}}
}

// Others are the other measures of the time, each by its name: "2 h under load, 9 h on the clock"; none where it has one.
func (c ComputedRun) Others(href string) []numeral.Phrase {
	var out []numeral.Phrase
	for _, m := range c.load.Others(c.Reach) {
		if len(out) > 0 {
			out = append(out, numeral.Say(", "))
		}
		out = append(out, numeral.SayNumber(RunTime(m.Time, href)), numeral.Say(" "+m.Short))
	}
	return out
}

// CountedWords says by what rule the running time of a load is counted, its run called as pages call it.
func CountedWords(rd *reading.Reader, s *frame.Sheet, v *journal.Version, l predict.Load) string {
	run := cmp.Or(l.Run, l.From)
	if run == "" {
		return l.Counted()
	}
	return strings.Replace(l.Counted(), path.Base(run), "the "+numeral.MidSentence(rd.RunLink(s, v, run).Words), 1)
}

// Counted says as a sentence how the time is counted, with the other measures of it.
func Counted(rd *reading.Reader, s *frame.Sheet, v *journal.Version, c ComputedRun) []numeral.Phrase {
	out := []numeral.Phrase{numeral.Say("Running time: " + numeral.OnPage(CountedWords(rd, s, v, c.load)))}
	if others := c.Others(""); len(others) > 0 {
		out = append(append(out, numeral.Say("; ")), others...)
	}
	return append(out, numeral.Say("."))
}
