package safety

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/reference"
)

// The hazard table is how hazards are found: every kind of part is held against every way to fail, and against every
// stage of its life. A cell has rules, or one line why none can be computed and the general caution that carries it.

//go:embed hazards.csv
var hazardFile embed.FS

// hazardKinds are the kinds of the table: those of the wiring, and what it does not draw.
func hazardKinds() []string {
	var all []string
	for _, k := range circuit.Kinds() {
		all = append(all, string(k))
	}
	return append(all, "lead", "running-gear", "frame")
}

// hazardAxes are what the kinds are held against. The stages are the phases of life of ISO 12100, as makers of small
// vehicles would name them (from memory).
var hazardAxes = []struct {
	table string
	of    []string
}{
	{"failure", []string{"missing", "open", "short", "stuck", "reversed", "swapped", "wrong-rating", "wrong-place", "aged", "wet", "hot", "loose"}},
	{"stage", []string{"buying-used", "building", "first-power", "charging", "riding", "crash", "storing", "carrying", "repairing", "disposing"}},
}

// hazardRow is a block of the table: some kinds, some failures or stages. A cell is told by the first row that has it.
type hazardRow struct {
	table   string
	kinds   []string // "*": all
	against []string
	rules   []string
	reason  string // why nothing is computed, where no rule is named
	caution string // the first words of the general caution that carries it
}

func (r *hazardRow) has(table, kind, of string) bool {
	in := func(list []string, word string) bool { return list[0] == "*" || slices.Contains(list, word) }
	return r.table == table && in(r.kinds, kind) && in(r.against, of)
}

var hazardRows = sync.OnceValues(func() ([]*hazardRow, error) {
	var rows []*hazardRow
	err := reference.Read(hazardFile, "hazards.csv", "table,kinds,of,rules,reason,caution", func(r *reference.Row) {
		row := &hazardRow{table: r.Text(), kinds: strings.Fields(r.Text()), against: strings.Fields(r.Text())}
		orNone := func() string { return strings.TrimPrefix(r.Text(), "-") } // a field is never left empty
		row.rules, row.reason, row.caution = strings.Fields(orNone()), orNone(), orNone()
		if len(row.kinds) == 0 || len(row.against) == 0 || (len(row.rules) > 0) == (row.reason != "") || (row.reason == "") != (row.caution == "") {
			r.Fail(fmt.Errorf("a row has kinds, what they are held against, and rules or a reason with its caution"))
		}
		rows = append(rows, row)
	})
	return rows, err
})

// HazardCount is what the hazard table comes to.
type HazardCount struct {
	Cells, WithRules int
	Reasons          []ReasonCount // by how many cells share them, the most first
}

// ReasonCount is a reason for which nothing is computed, and in how many cells.
type ReasonCount struct {
	Reason, Caution string
	Cells           int
}

// CountHazards counts the table's cells. The error names a cell that no row tells, or a row that tells none.
func CountHazards() (HazardCount, error) {
	rows, err := hazardRows()
	if err != nil {
		return HazardCount{}, err
	}
	var n HazardCount
	told := map[*hazardRow]int{}
	for _, axis := range hazardAxes {
		for _, kind := range hazardKinds() {
			for _, of := range axis.of {
				i := slices.IndexFunc(rows, func(r *hazardRow) bool { return r.has(axis.table, kind, of) })
				if i < 0 {
					return n, fmt.Errorf("no row tells %s %s of %s", axis.table, of, kind)
				}
				told[rows[i]]++
				n.Cells++
				if len(rows[i].rules) > 0 {
					n.WithRules++
				}
			}
		}
	}
	for _, r := range rows {
		if told[r] == 0 {
			return n, fmt.Errorf("the row %s of %v and %v tells no cell", r.table, r.kinds, r.against)
		}
		if r.reason == "" {
			continue
		}
		i := slices.IndexFunc(n.Reasons, func(c ReasonCount) bool { return c.Reason == r.reason && c.Caution == r.caution })
		if i < 0 {
			i, n.Reasons = len(n.Reasons), append(n.Reasons, ReasonCount{r.reason, r.caution, 0})
		}
		n.Reasons[i].Cells += told[r]
	}
	slices.SortStableFunc(n.Reasons, func(a, b ReasonCount) int { return b.Cells - a.Cells })
	return n, nil
}

// hazardDoc tells of the table on the sheet of the method and by `voltwright explain hazard-table`.
func hazardDoc() finding.Doc {
	n, err := CountHazards()
	if err != nil {
		panic(err) // the file is embedded and a test reads it
	}
	var why []string
	for _, r := range n.Reasons {
		why = append(why, fmt.Sprintf("%d: %s (the caution “%s …”)", r.Cells, r.Reason, r.Caution))
	}
	return finding.Doc{
		Kind: finding.FormulaDoc, Name: "hazard-table", Title: "What was looked at, and what nobody can compute",
		What: fmt.Sprintf("%d kinds of part are held against %d ways to fail and %d stages of life: %d cells, of which %d have a rule. What the others are left to, in so many cells: %s.",
			len(hazardKinds()), len(hazardAxes[0].of), len(hazardAxes[1].of), n.Cells, n.WithRules, strings.Join(why, "; ")),
		Why:    "Hazards that are thought of one by one are found by accident. A cell that is left empty has to say why.",
		Source: "The phases of life of ISO 12100, from memory; the ways to fail: common practice, no source",
	}
}
