package runlog

import (
	"strings"
	"testing"
)

// Every spelling is found for what it is, in any letter case where that says nothing, and none is found in two units.
func TestUnitsByTheirSpellings(t *testing.T) {
	owner := map[string]string{}
	for i := range units {
		for _, s := range units[i].spellings {
			if before, twice := owner[s]; twice {
				t.Errorf("%q stands for %s and %s", s, before, units[i].Symbol())
			}
			owner[s] = units[i].Symbol()
			if strings.ContainsAny(s, inNoUnit) {
				t.Errorf("%q has a sign that no unit is to have", s)
			}
			for _, as := range []string{s, "[" + s + "]", " " + s + " ", strings.ToUpper(s)} {
				u := findUnit(as)
				if as == strings.ToUpper(s) && len([]rune(s)) <= 2 {
					continue // letter case counts
				}
				if u != &units[i] {
					t.Errorf("%q is no %s", as, units[i].Symbol())
				}
			}
		}
	}
	for _, text := range []string{"", "[]", ",1.2", "V,A", "s;", "12:30", "volts per cell", "Mv"} {
		if u := findUnit(text); u != nil {
			t.Errorf("%q is taken for %s", text, u.Symbol())
		}
	}
}
