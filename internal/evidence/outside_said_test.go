package evidence

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// What a sentence claims with the words around its brackets: of what was measured, and of what is stated.
func TestSaidAround(t *testing.T) {
	kept(t, "testdata/around.txt", func(line string) string {
		text, against, ok := strings.Cut(line, " | ")
		if !ok {
			t.Fatalf("%q has no subject", line)
		}
		var found finding.List
		d := notes.Parse(notes.ParseNote("a/b/x.md", []byte("---\nkind: note\n---\n\n"+text+"\n"), &found))
		e := d.Embeds[len(d.Embeds)-1]
		s := subjectNamed(t, against)
		var out []string
		for _, kind := range []value.Kind{value.Measured, value.Quoted} {
			v := figure(quantity.Quantity{Dimension: s.Dimension, Value: 1, U: math.NaN(), Decimals: -1}, "")
			v.Form, v.Kind = s.Form, kind
			c, err := claimOf(e, v, s)
			if err != nil {
				out = append(out, "refused: "+err.Error())
				continue
			}
			open, closed := "[", "]"
			if c.LowOpen {
				open = "("
			}
			if c.HighOpen {
				closed = ")"
			}
			said := fmt.Sprintf("%s%.6g, %.6g%s", open, c.Low, c.High, closed)
			if c.worded.before != "" || c.worded.after != "" {
				said += " with " + aroundWords(strings.TrimSpace(e.Words), c)
			}
			out = append(out, said)
		}
		return out[0] + "; stated: " + out[1]
	})
}

// Statements lists what is bound to a value, and ClaimOf says the same of each as the judging does: in the language of
// the journal, with the words around.
func TestStatementsOfAJournal(t *testing.T) {
	j, found := onDisk(t, map[string]string{
		"journal.yaml":    "title: A journal\nmaker: {name: A test}\nlanguage: de\nsources:\n  - {key: leaflet, title: A leaflet}\n",
		"cart/vehicle.md": "---\nkind: vehicle\nname: A cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: The first\ndate: 2026-01-02\nmasses: {vehicle: 41 kg}\n---\n\n" +
			"It weighs about [41,0 kg](value:masses.vehicle), or [nearly 45 kg](value:masses.vehicle), as [a leaflet](source:leaflet) says of [no such](value:masses.horse).\n",
	})
	var rules []string
	for _, f := range found {
		rules = append(rules, f.Rule)
	}
	if got := strings.Join(rules, " "); got != "unknown-target" {
		t.Errorf("found %q", got)
	}
	statements := Statements(value.New(j, nil))
	if len(statements) != 2 {
		t.Fatalf("%d statements", len(statements))
	}
	for i, want := range [][2]float64{{36.9, 45.1}, {40.5, 45}} {
		c, err := ClaimOf(statements[i])
		if err != nil || math.Abs(c.Low-want[0]) > 1e-9 || math.Abs(c.High-want[1]) > 1e-9 {
			t.Errorf("%q claims %g to %g, %v; want %v", statements[i].Embed.Words, c.Low, c.High, err, want)
		}
		if statements[i].At.Address() != "cart/1-first/" || statements[i].Value.Number() != 41 {
			t.Errorf("%+v", statements[i])
		}
	}
}

// Of a run that could not be measured nothing is judged, not even what compares it with another; what leads to a note
// with errors of its own is left for when that is mended.
func TestNothingIsJudgedOfWhatIsNotComputed(t *testing.T) {
	number := func(missing string) value.Value {
		return figure(quantity.Quantity{Dimension: quantity.Time, Value: 60, U: math.NaN(), Decimals: -1}, missing)
	}
	is, none := number(""), number(value.NotComputed)
	for _, tt := range []struct {
		first, second value.Value
		want          bool
	}{{is, is, false}, {none, is, true}, {is, none, true}, {none, none, true}, {number("no log"), is, false}} {
		pair := value.Value{Pair: &value.Pair{First: tt.first, Second: tt.second}}
		if got := unmeasured(pair); got != tt.want {
			t.Errorf("%q and %q: %v", tt.first.Why(), tt.second.Why(), got)
		}
	}
	if unmeasured(is) || !unmeasured(none) || unmeasured(number("no log")) {
		t.Error("a value by itself")
	}
}
