package across

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/comparison"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// steps says what each version changed, the newest first, and of the newest the result that differs by more than its uncertainty
// in large letters.
func steps(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle) (*answer.Answer, []step) {
	var large *answer.Answer
	var out []step
	for _, version := range slices.Backward(v.Versions) {
		if version.Before == nil {
			continue
		}
		words := fmt.Sprintf("Version %d against version %d", version.Number, version.Before.Number)
		bodies, _ := comparison.ResultsOf(rd, version.Before, version)
		first, ok := comparison.First(bodies)
		if ok && len(out) == 0 {
			large = answer.Answering(first.Figure, numeral.Numeral{Kind: numeral.Computed, Int: first.Part, Set: true})
			large.Lines = append(large.Lines, []numeral.Phrase{numeral.Say(words + ": "), numeral.SayNumber(first.Before), numeral.Say(" before, "), numeral.SayNumber(first.Now), numeral.Say(" now. The change is " + numeral.MidSentence(first.Verdict))})
		}
		out = append(out, step{Link: frame.Link{Words: words, Href: s.To(address.Version(version)) + "#what-changed"}, Face: counted(bodies)})
	}
	return large, out
}

// counted says how many results of a step differ by more than their uncertainty.
func counted(bodies []comparison.HeldBody) []numeral.Phrase {
	larger, all := 0, 0
	for _, b := range bodies {
		for _, r := range b.Rows {
			all++
			if r.Larger {
				larger++
			}
		}
	}
	if all == 0 {
		return []numeral.Phrase{numeral.Say("no result of the two can be held against the other.")}
	}
	return []numeral.Phrase{numeral.Say(fmt.Sprintf("%d of %s differ by more than chance.", larger, numeral.Count(all, "result")))}
}

// sides collects the values of the versions, a row for each label and a cell for each version.
type sides struct {
	versions []*journal.Version
	rows     map[string]*spec.Row
	order    []string
	units    func(numeral.Numeral) numeral.Numeral
}

func (t *sides) cell(k int, label string) *spec.Cell {
	if t.rows[label] == nil {
		t.rows[label] = &spec.Row{Label: label, Cells: make([]spec.Cell, len(t.versions))}
		t.order = append(t.order, label)
	}
	return &t.rows[label].Cells[k]
}

func (t *sides) put(k int, label string, n numeral.Numeral) {
	if n.Set {
		n = t.units(n)
		n.Twin = ""
		t.cell(k, label).Value = n
	}
}

// sideBySide sets the main things and the results beside each other, the same rows for every version: those that differ, and those
// that do not.
func sideBySide(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle, view *acrossView) {
	t := &sides{versions: v.Versions, rows: map[string]*spec.Row{}, units: rd.Units}
	var links []frame.Link
	var numbers []string
	for k, version := range v.Versions {
		numbers = append(numbers, reading.VersionNumber(version))
		links = append(links, frame.Link{Words: "Version " + numbers[k], Href: s.To(address.Version(version))})
	}
	for k, version := range slices.Backward(v.Versions) { // the rows stand as in the last
		t.main(rd, k, version)
	}
	for k, version := range slices.Backward(v.Versions) {
		t.money(rd, k, version)
	}
	for k, version := range v.Versions {
		t.results(rd, k, version)
	}
	differ, same := spec.Group{}, spec.Group{}
	for _, label := range t.order {
		row := t.rows[label]
		changed := t.mark(row, numbers)
		if changed {
			differ.Rows = append(differ.Rows, *row)
		} else {
			same.Rows = append(same.Rows, *row)
		}
	}
	if len(differ.Rows) > 0 {
		view.Differs = &spec.Table{Caption: s.Table("built", "What differs, value by value. What differs from the version before is in bold with an arrow; under a result stands whether its change is more than chance."), Versions: links, Groups: []spec.Group{differ}}
	}
	if len(same.Rows) > 0 {
		view.Same = &spec.Table{Caption: s.Table("same", "What is the same on every version."), Versions: links, Groups: []spec.Group{same}}
		var said []string
		for _, r := range same.Rows {
			said = append(said, numeral.MidSentence(r.Label))
		}
		view.Leaves.Add("same", "", "The same on every version", numeral.Say(numeral.Sentence(strings.Join(said, ", "))))
	}
}

// mark says in the cells of a row what differs from the version before; it tells whether anything does.
func (t *sides) mark(row *spec.Row, numbers []string) bool {
	differs := false
	for k := range row.Cells {
		if b := slices.Index(t.versions, t.versions[k].Before); b >= 0 && row.Cells[k].Against == "" {
			row.Cells[k].Changed = row.Cells[k].Value.Whole != row.Cells[b].Value.Whole
		}
		differs = differs || row.Cells[k].Value.Whole != row.Cells[0].Value.Whole
	}
	spec.Spans(row.Cells, numbers)
	return differs
}

// main are the main things that a version states.
func (t *sides) main(rd *reading.Reader, k int, version *journal.Version) {
	var packs []string
	for _, p := range version.Packs {
		packs = append(packs, strings.TrimSpace(fmt.Sprintf("%s %s, %d in series", numeral.Stated(p.Capacity).Whole, numeral.Meaning(p.Chemistry), p.Series.Value)))
	}
	t.put(k, "Packs", numeral.Words(strings.Join(packs, " and ")))
	if c := version.Cutout; c != nil {
		t.put(k, "Cutout opens", numeral.Stated(c.Opens))
		t.put(k, "Reset threshold", numeral.Stated(c.Threshold))
	} else {
		t.put(k, "Cutout opens", numeral.Words("no cutout"))
	}
	if version.Controller != nil {
		t.put(k, "Controller setting", numeral.Stated(version.Controller.Setting))
	}
	if version.Charger != nil {
		t.put(k, "Charging current", numeral.Stated(version.Charger.Current))
	}
	if version.Drive != nil {
		t.put(k, "Ratio, motor to wheel", numeral.Stated(version.Drive.Ratio))
	}
	if version.Masses != nil {
		t.put(k, "Mass of the vehicle", numeral.Stated(version.Masses.Vehicle))
	}
	if c, ok := version.Circuit(); ok {
		t.put(k, "Wiring", numeral.Words(fmt.Sprintf("%s, %s", numeral.Count(len(c.Parts), "part"), numeral.Count(len(c.Leads), "lead"))))
	}
}

// money is what a version cost, and what its parts weigh.
func (t *sides) money(rd *reading.Reader, k int, version *journal.Version) {
	if len(version.Parts) == 0 {
		return
	}
	a := rd.Journal.Account(version)
	if text := partslist.SumWords(a.Change, a.UnpricedChange); text != "" && (version.Before == nil || len(version.Before.Parts) > 0) {
		t.put(k, "What the change cost", numeral.Amount(text, numeral.Computed, ""))
	}
	if text := partslist.SumWords(a.Vehicle, a.UnpricedVehicle); text != "" {
		t.put(k, "What it cost as it stands", numeral.Amount(text, numeral.Computed, ""))
	}
	if a.Mass.Known() {
		m := rd.Units(numeral.Summed("", a.Mass))
		m.Twin = ""
		if a.Unweighed > 0 {
			m.Whole += fmt.Sprintf(", without %s of unknown mass", numeral.Count(a.Unweighed, "part"))
		}
		t.put(k, "Mass of the parts on it", m)
	}
}

// results are those that may be held against the version before, like with like, each with whether it differs by more than chance.
func (t *sides) results(rd *reading.Reader, k int, version *journal.Version) {
	before := slices.Index(t.versions, version.Before)
	if before < 0 {
		return
	}
	bodies, _ := comparison.ResultsOf(rd, version.Before, version)
	for _, b := range bodies {
		for _, r := range b.Rows {
			label := r.Figure
			if b.Like != comparison.Computed {
				label += ": " + numeral.MidSentence(b.Like)
			}
			if !t.cell(before, label).Value.Set {
				t.cell(before, label).Value = r.Before
			}
			c := t.cell(k, label)
			c.Value, c.Against, c.Larger = r.Now, "within chance", r.Larger
			if r.Larger {
				c.Against = "more than chance"
			}
			if r.Change.Set {
				c.Against = strings.TrimPrefix(r.Part+", ", ", ") + c.Against
			} else {
				c.Against = numeral.MidSentence(strings.TrimSuffix(r.Verdict, "."))
			}
		}
	}
}

// likesFace says of the runs that are alike how many figures differ by more than chance, and how many runs stand alone.
func likesFace(t *likeTable, alone int) []numeral.Phrase {
	said := "no two versions have runs that are alike"
	if t != nil {
		said = numeral.Count(len(t.Bodies), "figure") + " of runs under like conditions"
	}
	if alone > 0 {
		said += fmt.Sprintf("; %s of which nothing else is alike", numeral.Count(alone, "kind"))
	}
	return []numeral.Phrase{numeral.Say(numeral.Sentence(said))}
}
