package site

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// reachTable is computed running times: for each load a body, in it the levels that end a run down and the packs across.
type reachTable struct {
	caption
	Packs   []string
	Across  int // columns
	Bodies  []reachBody
	LeftOut string
}

type reachBody struct {
	Load  link
	Draws []phrase // what the load is and where it comes from
	Why   string   // why there is nothing for any pack
	Rows  []reachRow
}

type reachRow struct {
	Level string
	Main  bool
	All   string // one sentence in place of all cells
	Cells []reachCell
}

type reachCell struct {
	Anchor, Label string // of its permalink; "" where the page has none
	Pack, Short   string // what the column says, and that in a word
	Main          bool
	Time          numeral
	Why           string // why there is no time
	Also          []reachAlso
}

type reachAlso struct {
	Words string
	Value numeral
}

// runTime is a computed time with its interval; one whose interval is not known is said to the minute.
func runTime(t quantity.Measured[quantity.Seconds], href string) numeral {
	if t.Known() && math.IsNaN(float64(t.U)) {
		text := predict.TimeWords(t)
		return numeral{Kind: computed, Whole: text, Int: text, Href: href, Set: true}
	}
	return printed(t.Quantity(), computed, href)
}

// rough is a value without its uncertainty, to three figures in the unit in which it is printed.
func rough[K quantity.Kind](v K, k kind, href string) numeral {
	x := float64(v)
	if math.IsNaN(x) {
		return numeral{}
	}
	q := quantity.Exact(v).Quantity()
	if x == 0 {
		return printed(q, k, href)
	}
	parts := q.Parts()
	if in, err := strconv.ParseFloat(parts.Value, 64); err == nil && in != 0 {
		x = in
	}
	q.Unit, q.Decimals = parts.Unit, max(0, 2-int(math.Floor(math.Log10(math.Abs(x)))))
	return printed(q, k, href)
}

// reaches is the computed run-time table of a version; false where there is none.
func (b *builder) reaches(s *sheet, v *journal.Version, words string) (reachTable, bool) {
	a := b.answers(v)
	if a == nil || a.Err != "" || len(a.Table.Loads) == 0 {
		return reachTable{}, false
	}
	own := s.path == versionPage(v)
	wish := "run-time"
	if !own {
		wish = v.Slug + "-run-time"
	}
	said := "Running time, computed: how long the packs carry each load from full, counted as its run was."
	if slices.ContainsFunc(a.Table.Loads, func(l predict.Load) bool { return !l.OneMeasure() }) {
		said += " Under load: what remains of it while the motors draw. On the clock: with stops of the same share as on the run. Replayed: the run's own course, over and over, on the clock."
	}
	t := reachTable{caption: s.table(wish, sentence(or(words, said)))}
	for _, c := range a.Table.Columns {
		t.Packs = append(t.Packs, sentenceless(onPage(c.Label)))
	}
	t.Across = len(t.Packs) + 1
	for i, l := range a.Table.Loads {
		t.Bodies = append(t.Bodies, b.reachBody(s, v, a, l, a.Table.Cells[i], own))
	}
	if n := a.Table.LeftOut; n > 0 {
		t.LeftOut = fmt.Sprintf("The loads of %s are not in this table.", count(n, "older run"))
	}
	s.Marks = true
	return t, true
}

// sentenceless begins with a capital and ends without a full stop, as a head of a table does.
func sentenceless(text string) string { return strings.TrimSuffix(sentence(text), ".") }

func (b *builder) reachBody(s *sheet, v *journal.Version, a *predict.Prediction, l predict.Load, cells []predict.RunTime, own bool) reachBody {
	body := reachBody{Load: link{Words: sentenceless(onPage(l.Label))}}
	switch {
	case l.Run != "":
		body.Load.Href = s.to(l.Run + "/index.html")
		body.Draws = append(body.Draws, say("drew "), sayNumber(rough(l.Power.Value, measured, body.Load.Href)))
		if l.Current.Known() {
			body.Draws = append(body.Draws, say(" and "), sayNumber(rough(l.Current.Value, measured, body.Load.Href)))
		}
		body.Draws = append(body.Draws, say(" on average under load"))
	case l.Source == predict.StatedLoad:
		body.Draws = append(body.Draws, say("draws "), sayNumber(numeral{Kind: quoted, Whole: onPage(l.Words), Set: true}))
	default:
		body.Draws = append(body.Draws, say("draws "), sayNumber(rough(l.Power.Value, computed, b.formulaLink(s, "other-payload"))))
		if l.From != "" {
			to := b.runLink(s, v, l.From)
			body.Draws = append(body.Draws, say(", scaled from the "), phrase{Text: midSentence(to.Words), Href: to.Href})
		}
	}
	if stops(l) {
		body.Draws = append(body.Draws, say(fmt.Sprintf(", for %.0f %% of the time on the clock%s", 100*float64(l.Duty), onPage(l.RestWords()))))
	}
	assumed := ""
	if l.Assumed {
		assumed = ", assumed"
	}
	body.Draws = append(body.Draws, say(fmt.Sprintf("; at %s%s", onPage(quantity.Exact(l.Ambient).Quantity().String()), assumed)), say("; "+onPage(b.countedWords(s, v, l))))
	if same := sameWords(cells, func(c predict.RunTime) string { return c.Err }); same != "" {
		body.Why = onPage(same)
		return body
	}
	method := b.formulaLink(s, "run-time")
	for _, level := range levelsOf(a.Table.EndsBy, cells) {
		row := reachRow{Main: level.main, Level: level.words}
		if same := sameWords(cells, func(c predict.RunTime) string { return reasonOf(c, level.of) }); same != "" && len(cells) > 1 {
			row.All = onPage(same)
		}
		for k, c := range cells {
			cell := reachCell{Pack: sentenceless(onPage(a.Table.Columns[k].Label)), Short: afterComma(a.Table.Columns[k].Label), Main: level.main, Why: onPage(reasonOf(c, level.of))}
			anchor := strings.ReplaceAll(c.Name, "/", "-")
			href := method
			if own && level.main {
				cell.Anchor, cell.Label = anchor, fmt.Sprintf("%s, %s", body.Load.Words, midSentence(cell.Pack))
			} else if !own {
				href = s.to(versionPage(v) + "#" + anchor)
			}
			if cell.Why == "" {
				r := level.of(c)
				cell.Time = runTime(r.Running, href)
				if level.main {
					for _, m := range l.Others(*r) {
						cell.Also = append(cell.Also, reachAlso{m.Short, runTime(m.Time, "")})
					}
					if at := c.Replayed.Clock; c.Replayed.Err == "" && at > 0 && stops(l) {
						cell.Also = append(cell.Also, reachAlso{"replayed, about", clockOf(at, computed, "")})
					}
				}
				cell.Also = append(cell.Also, reachAlso{"leaves", words(onPage(r.LeftWords()))})
			}
			row.Cells = append(row.Cells, cell)
		}
		body.Rows = append(body.Rows, row)
	}
	return body
}

// afterComma is what stands after the last comma: "20 Ah" of "half as large, 20 Ah".
func afterComma(text string) string { return text[strings.LastIndex(text, ", ")+1:] }

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
			out = append(out, level{fmt.Sprintf("To %s, %s", words, strings.ReplaceAll(rough(r.Volts, "", "").Whole, " ", "\u00a0")), main, of})
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

// reasonOf is why a cell has no time at a level, "" where it has.
func reasonOf(c predict.RunTime, of func(predict.RunTime) *predict.EndPoint) string {
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

// computedRun is the answer to "how long does it run, computed?": the version's own packs under one load.
type computedRun struct {
	load  predict.Load
	reach predict.EndPoint
	to    string // what ends it
	check *predict.Validation
}

// computedAt is the computed running time at the load of a run; where that run shows no load, or there is no run, at the
// load that the version's latest field run shows, else at the first one. False where nothing could be computed.
func (b *builder) computedAt(v *journal.Version, run *journal.Run) (computedRun, bool) {
	a := b.answers(v)
	if a == nil || a.Err != "" || len(a.Table.Loads) == 0 {
		return computedRun{}, false
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
		return computedRun{}, false
	}
	out := computedRun{load: a.Table.Loads[at], reach: c.End(), to: a.Table.EndsBy}
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

// anchor is where the time stands on its version's page.
func (c computedRun) anchor() string { return "#run-time-" + c.load.Name + "-own" }

// where says on a page at what load the time was computed: "at the load of the field run, 27 April 2025".
func (b *builder) where(s *sheet, v *journal.Version, c computedRun, that *journal.Run) []phrase {
	switch {
	case c.load.Run == "":
		return []phrase{say("by " + midSentence(onPage(c.load.Label)))}
	case that != nil && c.load.Run == string(that.ID()):
		return []phrase{say("at the load of that run")}
	}
	to := b.runLink(s, v, c.load.Run)
	return []phrase{say("at the load of the "), {Text: midSentence(to.Words), Href: to.Href}}
}

// computedLine says what is computed for a version beside what a run of it measured.
func (b *builder) computedLine(s *sheet, v *journal.Version, c computedRun, that *journal.Run) []phrase {
	href := s.to(versionPage(v)) + c.anchor()
	if s.path == versionPage(v) {
		href = c.anchor()
	}
	line := append([]phrase{say("Computed from full to " + c.to + ", ")}, b.where(s, v, c, that)...)
	line = append(line, say(": "), sayNumber(runTime(c.reach.Running, href)))
	if others := c.others(href); len(others) > 0 {
		line = append(append(line, say(" running, ")), others...)
	}
	return append(line, say("."))
}

// others are the other measures of the time, each by its name: "2 h under load, 9 h on the clock"; none where it has one.
func (c computedRun) others(href string) []phrase {
	var out []phrase
	for _, m := range c.load.Others(c.reach) {
		if len(out) > 0 {
			out = append(out, say(", "))
		}
		out = append(out, sayNumber(runTime(m.Time, href)), say(" "+m.Short))
	}
	return out
}

// countedWords says by what rule the running time of a load is counted, its run called as pages call it.
func (b *builder) countedWords(s *sheet, v *journal.Version, l predict.Load) string {
	run := or(l.Run, l.From)
	if run == "" {
		return l.Counted()
	}
	return strings.Replace(l.Counted(), path.Base(run), "the "+midSentence(b.runLink(s, v, run).Words), 1)
}

// counted says as a sentence how the time is counted, with the other measures of it.
func (b *builder) counted(s *sheet, v *journal.Version, c computedRun) []phrase {
	out := []phrase{say("Running time: " + onPage(b.countedWords(s, v, c.load)))}
	if others := c.others(""); len(others) > 0 {
		out = append(append(out, say("; ")), others...)
	}
	return append(out, say("."))
}
