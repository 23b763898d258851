package site

import (
	"encoding/json"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
)

// forecastView is what a version's page shows of what is computed for it.
type forecastView struct {
	Why    string // why nothing is computed; all else is empty then
	Off    []phrase
	Grid   *reachTable
	NoLoad string
	Basis  []phrase
	Checks *checkTable
	Values []specRow
	Runs   []lessonRow
	Method []link
	File   fileLink
}

// reachTable is computed run times: for each load a body, in it the levels that end a run down and the packs across.
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

// checkTable is how far off predictions were on runs that they had not seen.
type checkTable struct {
	caption
	Rows []checkRow
}

type checkRow struct {
	Run                        link
	By                         []phrase
	Measured, Predicted, Error numeral
	Voltage                    numeral
	Why                        string
}

type lessonRow struct {
	Run  link
	What string
	Why  string
}

// predictionsFile is the record of what is computed for a version, beside its page.
const predictionsFile = "predictions.json"

func predictionsPath(v *journal.Version) string {
	return path.Dir(versionPage(v)) + "/" + predictionsFile
}

func (b *builder) answers(v *journal.Version) *ride.Answers {
	if b.in.Results == nil {
		return nil
	}
	return b.in.Results.Predictions[v.Path()]
}

// formulaLink leads to the entry of a formula.
func (b *builder) formulaLink(s *sheet, name string) string {
	return b.methodLink(s, finding.FormulaDoc, name)
}

// forecast is what a version's page says of its run times; nil where nothing was asked.
func (b *builder) forecast(s *sheet, v *journal.Version) (*forecastView, error) {
	a := b.answers(v)
	if a == nil {
		return nil, nil
	}
	if a.Err != "" {
		return &forecastView{Why: onPage(a.Err)}, nil
	}
	f := &forecastView{NoLoad: a.Table.None, Off: b.offBy(s, a), Basis: b.basisWords(s, v, a)}
	if t, ok := b.reaches(s, v, ""); ok {
		f.Grid = &t
		s.showOf(notes.TableScheme, "run-time", v.Path(), t.caption)
	}
	f.Checks = b.checkRows(s, v, a)
	for _, value := range a.Basis.Values {
		f.Values = append(f.Values, specRow{Label: value.Label, Cells: []specCell{{Value: b.units(printed(value.Quantity, computed, b.formulaLink(s, "calibration")))}}})
	}
	for _, l := range a.Basis.Runs {
		row := lessonRow{Run: b.runLink(s, v, l.Run), What: "not used", Why: onPage(l.Why)}
		switch {
		case l.Taught:
			row.What = "taught"
		case l.Checked:
			row.What = "checked only"
		}
		f.Runs = append(f.Runs, row)
	}
	for _, m := range []link{{Words: "how a run time is computed", Href: "run-time"}, {Words: "where its uncertainty comes from", Href: "run-time-uncertainty"},
		{Words: "which runs teach", Href: "teaching-runs"}, {Words: "how it is checked", Href: "unseen-run"}} {
		if m.Href = b.formulaLink(s, m.Href); m.Href != "" {
			f.Method = append(f.Method, m)
		}
	}
	text, err := json.MarshalIndent(a.Record(), "", " ")
	if err != nil {
		return nil, err
	}
	f.File = fileLink{predictionsFile, s.to(predictionsPath(v)), "all that is computed here, with standard uncertainties"}
	return f, b.pages.put(predictionsPath(v), append(text, '\n'))
}

// runLink leads to a run by its path.
func (b *builder) runLink(s *sheet, v *journal.Version, id string) link {
	for _, r := range v.Runs {
		if string(r.ID()) == id {
			return link{Words: runWords(r), Href: s.to(runPage(r)), Note: r.Name.Text}
		}
	}
	return link{Words: path.Base(id)}
}

// offBy says in a line how far off predictions were on runs that they had not seen.
func (b *builder) offBy(s *sheet, a *ride.Answers) []phrase {
	href := b.formulaLink(s, "unseen-run")
	var timed []ride.Check
	for _, c := range a.Checks {
		if c.Why == "" {
			timed = append(timed, c)
		}
	}
	volts := sayNumber(cellVolts(a.Residual.Voltage, href))
	switch {
	case len(a.Checks) == 0:
		return []phrase{say("Not checked: there is no run that the computing could be held against.")}
	case len(timed) == 0:
		return []phrase{say("Held against a run that it had not seen, the voltage was off by "), volts, say(". No run went far enough down to check the time.")}
	case len(timed) == 1 && len(a.Checks) == 1:
		return []phrase{say("Held against a run that it had not seen, the run time was off by "), sayNumber(signed(timed[0].TimeError(), href)), say(", the voltage by "), volts, say(".")}
	case len(timed) == 1:
		return []phrase{say(fmt.Sprintf("Held against %d runs that it had not seen, the run time was off by ", len(a.Checks))), sayNumber(signed(timed[0].TimeError(), href)),
			say(" on the one that went far enough down, the voltage on average by "), volts, say(".")}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range timed {
		low, high = min(low, c.TimeError()), max(high, c.TimeError())
	}
	return []phrase{say(fmt.Sprintf("Held against %d runs that it had not seen, the run time was off by ", len(a.Checks))), sayNumber(signed(low, href)), say(" to "), sayNumber(signed(high, href)),
		say(", the voltage on average by "), volts, say(".")}
}

// signed is a part as a percentage with its sign.
func signed(x float64, href string) numeral {
	if math.IsNaN(x) {
		return numeral{}
	}
	text := onPage(fmt.Sprintf("%+.1f", 100*x))
	return numeral{Kind: computed, Whole: text + " %", Int: text, Unit: "%", Href: href, Set: true}
}

// cellVolts is a difference of voltage of one cell, in millivolts.
func cellVolts(v quantity.Volts, href string) numeral {
	if math.IsNaN(float64(v)) {
		return numeral{}
	}
	text := fmt.Sprintf("%.0f", 1000*float64(v))
	return numeral{Kind: computed, Whole: text + " mV a cell", Int: text, Unit: "mV", Href: href, Set: true}
}

// basisWords are the words that say what was computed from, with links to the runs that taught.
func (b *builder) basisWords(s *sheet, v *journal.Version, a *ride.Answers) []phrase {
	rest, out := a.Basis.Words, []phrase{}
	for _, l := range a.Basis.Runs {
		before, after, found := strings.Cut(rest, path.Base(l.Run))
		if !l.Taught || !found {
			continue
		}
		to := b.runLink(s, v, l.Run)
		out = append(out, say(onPage(before)), phrase{Text: midSentence(to.Words), Href: to.Href})
		rest = after
	}
	return append(out, say(onPage(rest)))
}

// midSentence takes the capital from words that begin a sentence elsewhere.
func midSentence(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

func (b *builder) checkRows(s *sheet, v *journal.Version, a *ride.Answers) *checkTable {
	if len(a.Checks) == 0 {
		return nil
	}
	t := &checkTable{caption: s.table("checks", "Each run predicted by what the others teach, or by what is typical where there is no other.")}
	for _, c := range a.Checks {
		href := s.to(string(c.Run) + "/index.html#prediction")
		row := checkRow{Run: b.runLink(s, v, c.Run), By: b.taughtBy(s, v, c), Voltage: cellVolts(c.Voltage, href)}
		row.Run.Href = href
		if c.Why == "" {
			row.Measured, row.Predicted, row.Error = clockOf(c.Measured, measured, href), printed(c.Predicted.Quantity(), computed, href), signed(c.TimeError(), href)
		} else {
			row.Why = onPage(c.Why)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// taughtBy names what a check was predicted by.
func (b *builder) taughtBy(s *sheet, v *journal.Version, c ride.Check) []phrase {
	if len(c.By) == 0 {
		return []phrase{say("what is typical of " + chemistryOf(v))}
	}
	var out []phrase
	for i, id := range c.By {
		switch {
		case i == 0:
		case i == len(c.By)-1:
			out = append(out, say(" and "))
		default:
			out = append(out, say(", "))
		}
		to := b.runLink(s, v, id)
		out = append(out, phrase{Text: midSentence(to.Words), Href: to.Href})
	}
	return out
}

// chemistryOf names the chemistry of a version's packs within a sentence.
func chemistryOf(v *journal.Version) string {
	if bank := v.Bank(); bank.Check() == nil {
		return bank.Packs[0].Chemistry.Title
	}
	return "the chemistry"
}

// clockOf is a time without uncertainty, to the second under an hour and to the minute above.
func clockOf(t quantity.Seconds, k kind, href string) numeral {
	if math.IsNaN(float64(t)) {
		return numeral{}
	}
	step := quantity.Seconds(1)
	if t >= 3600 {
		step = 60
	}
	text := quantity.Clock(t, step)
	return numeral{Kind: k, Whole: text, Int: text, Href: href, Set: true}
}

// runTime is a computed time with its interval; one whose interval is not known is said to the minute.
func runTime(t quantity.Measured[quantity.Seconds], href string) numeral {
	if t.Known() && math.IsNaN(float64(t.U)) {
		text := "about " + quantity.Clock(t.Value, 60)
		return numeral{Kind: computed, Whole: text, Int: text, Href: href, Set: true}
	}
	return printed(t.Quantity(), computed, href)
}

// rough is a value without its uncertainty, to three figures.
func rough[K quantity.Kind](v K, k kind, href string) numeral {
	x := float64(v)
	if math.IsNaN(x) {
		return numeral{}
	}
	q := quantity.Exact(v).Quantity()
	if x != 0 {
		q.Decimals = max(0, 2-int(math.Floor(math.Log10(math.Abs(x)))))
	}
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
	t := reachTable{caption: s.table(wish, sentence(or(words, "Computed: how long the packs carry each load from full.")))}
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

func (b *builder) reachBody(s *sheet, v *journal.Version, a *ride.Answers, l ride.Load, cells []ride.Cell, own bool) reachBody {
	body := reachBody{Load: link{Words: sentenceless(onPage(l.Label))}}
	switch {
	case l.Run != "":
		body.Load.Href = s.to(l.Run + "/index.html")
		body.Draws = append(body.Draws, say("drew "), sayNumber(rough(l.Power.Value, measured, body.Load.Href)))
		if l.Current.Known() {
			body.Draws = append(body.Draws, say(" and "), sayNumber(rough(l.Current.Value, measured, body.Load.Href)))
		}
		body.Draws = append(body.Draws, say(" on average under load"))
	case l.Source == ride.Stated:
		body.Draws = append(body.Draws, say("draws "), sayNumber(numeral{Kind: quoted, Whole: onPage(l.Words), Set: true}))
	default:
		body.Draws = append(body.Draws, say("draws "), sayNumber(rough(l.Power.Value, computed, b.formulaLink(s, "other-payload"))))
		if l.From != "" {
			to := b.runLink(s, v, l.From)
			body.Draws = append(body.Draws, say(", scaled from the "), phrase{Text: midSentence(to.Words), Href: to.Href})
		}
	}
	if stops(l) {
		body.Draws = append(body.Draws, say(fmt.Sprintf(", for %.0f %% of the time", 100*float64(l.Duty))))
	}
	assumed := ""
	if l.Assumed {
		assumed = ", assumed"
	}
	body.Draws = append(body.Draws, say(fmt.Sprintf("; at %s%s", onPage(quantity.Exact(l.Ambient).Quantity().String()), assumed)))
	if same := sameWords(cells, func(c ride.Cell) string { return c.Err }); same != "" {
		body.Why = onPage(same)
		return body
	}
	method := b.formulaLink(s, "run-time")
	for _, level := range levelsOf(a.Table.EndsBy, cells) {
		row := reachRow{Main: level.main, Level: level.words}
		if same := sameWords(cells, func(c ride.Cell) string { return reasonOf(c, level.of) }); same != "" && len(cells) > 1 {
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
				cell.Time = runTime(r.Time, href)
				if level.main && stops(l) {
					cell.Also = append(cell.Also, reachAlso{"on the clock", runTime(r.Clock, "")})
					if at := c.Replayed.Clock; c.Replayed.Err == "" && at > 0 {
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
	of    func(ride.Cell) *ride.Reach
}

// levelsOf are the levels that a load's cells have: first what ends the run, then the floors.
func levelsOf(endsBy string, cells []ride.Cell) []level {
	var out []level
	first := slices.IndexFunc(cells, func(c ride.Cell) bool { return c.Err == "" })
	if first < 0 { // each pack has a reason of its own
		return []level{{"To " + endsBy, true, func(ride.Cell) *ride.Reach { return nil }}}
	}
	add := func(words string, main bool, of func(ride.Cell) *ride.Reach) {
		if r := of(cells[first]); r != nil {
			out = append(out, level{fmt.Sprintf("To %s, %s", words, strings.ReplaceAll(rough(r.Volts, "", "").Whole, " ", "\u00a0")), main, of})
		}
	}
	cutout := cells[first].Cutout != nil
	if cutout {
		add(endsBy, true, func(c ride.Cell) *ride.Reach { return c.Cutout })
	}
	add("the conservative floor", !cutout, func(c ride.Cell) *ride.Reach { return &c.Conservative })
	add("the data-sheet floor", false, func(c ride.Cell) *ride.Reach { return &c.Datasheet })
	return out
}

// reasonOf is why a cell has no time at a level, "" where it has.
func reasonOf(c ride.Cell, of func(ride.Cell) *ride.Reach) string {
	if c.Err != "" {
		return c.Err
	}
	if r := of(c); r != nil {
		return r.Err
	}
	return "Nothing opens the circuit."
}

// sameWords are the words that all cells have in common, "" where they differ or a cell has none.
func sameWords(cells []ride.Cell, of func(ride.Cell) string) string {
	for _, c := range cells[1:] {
		if of(c) != of(cells[0]) {
			return ""
		}
	}
	return of(cells[0])
}

// computedRun is the answer to "how long does it run, computed?": the version's own packs under one load.
type computedRun struct {
	load  ride.Load
	reach ride.Reach
	to    string // what ends it
	check *ride.Check
}

// computedAt is the computed run time at the load of a run; where that run shows no load, or there is no run, at the
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
	for i := range a.Checks {
		if a.Checks[i].Run == out.load.Run && out.load.Run != "" {
			out.check = &a.Checks[i]
		}
	}
	return out, true
}

// unbroken is the share of the time under load that counts as all of it.
const unbroken = 0.995

// stops tells whether a load has stops worth telling.
func stops(l ride.Load) bool { return l.Duty > 0 && l.Duty < unbroken }

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
	line = append(line, say(": "), sayNumber(runTime(c.reach.Time, href)))
	if clock, stops := c.clock(); stops {
		line = append(line, say(" under load, "), sayNumber(runTime(clock, href)), say(" on the clock with stops as there"))
	}
	return append(line, say("."))
}

// clock is the run time with the stops of the run whose load it is, and whether there are any.
func (c computedRun) clock() (quantity.Measured[quantity.Seconds], bool) {
	if stops(c.load) {
		return c.reach.Clock, true
	}
	return c.reach.Time, false
}
