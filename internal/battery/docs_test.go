package battery

import "testing"

func TestDocs(t *testing.T) {
	seen := map[string]bool{}
	for _, d := range Docs() {
		if seen[d.Name] {
			t.Errorf("%s is documented twice", d.Name)
		}
		seen[d.Name] = true
		for _, p := range []struct{ what, text string }{{"title", d.Title}, {"what", d.What}, {"why", d.Why}, {"formula", d.Formula}, {"units", d.Units}, {"range", d.Range}, {"source", d.Source}} {
			if p.text == "" {
				t.Errorf("%s: no %s", d.Name, p.what)
			}
		}
	}
	// The figure in the text of arrhenius.
	if a := Arrhenius(24000, 0, 25); a < 2.425 || a > 2.435 {
		t.Errorf("24 kJ/mol, 0 °C against 25 °C: %.3f", a)
	}
}
