package circuit_test

import (
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
)

func TestDocs(t *testing.T) {
	seen := map[string]bool{}
	for _, d := range circuit.Docs() {
		if seen[d.Name] {
			t.Errorf("%s is documented twice", d.Name)
		}
		seen[d.Name] = true
		for _, p := range []struct{ what, text string }{{"title", d.Title}, {"what", d.What}, {"why", d.Why}, {"formula", d.Formula}, {"units", d.Units}, {"range", d.Range}, {"source", d.Source}} {
			if d.Kind == finding.RuleDoc && p.what != "title" && p.what != "what" && p.what != "why" {
				continue // a fault is no formula
			}
			if p.text == "" {
				t.Errorf("%s: no %s", d.Name, p.what)
			}
		}
		if d.Name == "wiring-not-judged" && !strings.Contains(d.What, "minimum bend of a lead and the strain on its ends are not judged") {
			t.Error("it is not said that bend and strain are not judged")
		}
	}
	// The figures in the texts.
	a, err := circuit.AmpacityOf(circuit.Gauge(12), circuit.Laid{Insulation: 105, Ambient: 50}, "")
	if err != nil || a.Amperes != 38 || a.Base != 45 {
		t.Errorf("12 AWG: %v A, %v A in an engine space, %v", a.Base, a.Amperes, err)
	}
	if g, err := circuit.GateAt("blade", 40, 80); err != nil || g.Shortest != 0.15 || g.Longest != 5 {
		t.Errorf("40 A at 80 A: %+v, %v", g, err)
	}
}
