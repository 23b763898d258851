package safety

import (
	"slices"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

// Every cell of the hazard table is told, every row tells one, every name in it is of a rule that exists.
func TestEveryCellOfTheHazardTableIsTold(t *testing.T) {
	n, err := CountHazards()
	if err != nil {
		t.Fatal(err)
	}
	rows, _ := hazardRows()
	exists := map[string]bool{}
	for _, r := range rules {
		exists[r.doc.Name] = true
	}
	for _, d := range circuit.Docs() {
		if d.Kind == finding.RuleDoc {
			exists[d.Name] = true
		}
	}
	words := slices.Clone(hazardKinds())
	for _, axis := range hazardAxes {
		words = append(words, axis.of...)
	}
	for _, r := range rows {
		for _, name := range r.rules {
			if !exists[name] {
				t.Errorf("%s of %v: no rule is called %s", r.table, r.kinds, name)
			}
		}
		for _, word := range slices.Concat(r.kinds, r.against) {
			if word != "*" && !slices.Contains(words, word) {
				t.Errorf("%s is neither a kind, a way to fail nor a stage", word)
			}
		}
	}
	left := 0
	for _, r := range n.Reasons {
		left += r.Cells
		t.Logf("%4d %s", r.Cells, r.Reason)
	}
	if left+n.WithRules != n.Cells || n.Cells != len(hazardKinds())*22 {
		t.Errorf("%d cells: %d with rules, %d with reasons", n.Cells, n.WithRules, left)
	}
	t.Logf("%d cells, %d with a rule, %d left to a caution for %d reasons", n.Cells, n.WithRules, left, len(n.Reasons))
}

// ofNoPart are the families of rules that are about no part: how runs were made, and who rides.
var ofNoPart = []string{"one-run-only", "instrument-range", "clock-jump", "log-gap-charge", "wheels-up-run-time", "unlike-conditions",
	"child-age", "child-mass-low", "child-remote-stop", "child-helmet", "child-supervision"}

// Every rule about a part stands in the table, or in the list of those that its rows stand for.
func TestRulesOfPartsStandInTheTable(t *testing.T) {
	rows, err := hazardRows()
	if err != nil {
		t.Fatal(err)
	}
	named := map[string]bool{}
	for _, r := range rows {
		for _, name := range r.rules {
			named[name] = true
		}
	}
	var missing []string
	for _, r := range rules {
		if !named[r.doc.Name] && !slices.Contains(ofNoPart, r.doc.Name) {
			missing = append(missing, r.doc.Name)
		}
	}
	if len(missing) > 0 {
		t.Errorf("in no cell of the table: %s", strings.Join(missing, " "))
	}
}
