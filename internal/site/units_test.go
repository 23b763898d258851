package site

import (
	"regexp"
	"strings"
	"testing"
)

// tags are what a reader of a page does not see.
var tags = regexp.MustCompile(`<[^>]*>|\s+`)

// A value stands in the system of units that the journal lists first, and in
// the second beside it; one system stands alone, and none listed leaves values
// as the maker wrote them. The oracle are the factors of NIST SP 811: 58 kg is
// 127.9 lb, 40 lb are 18.1 kg, 14 °C are 57.2 °F.
func TestUnitsStandInTheOrderOfTheJournal(t *testing.T) {
	for _, tt := range []struct {
		units string
		says  []string
		never []string
	}{
		{"", []string{"58 kg or 128 lb", "40 lb or 18.1 kg", "14 °C or 57 °F"}, nil},
		{"units: [metric, us]\n", []string{"58 kg or 128 lb", "18.1 kg or 40 lb", "14 °C or 57 °F"}, []string{"128 lb or"}},
		{"units: [us, metric]\n", []string{"128 lb or 58 kg", "40 lb or 18.1 kg", "57 °F or 14 °C", "Figure Value ± Unit Metric"}, []string{"58 kg or", "US customary"}},
		{"units: [metric]\n", []string{"58 kg", "18.1 kg", "14 °C"}, []string{" or 128 lb", "40 lb", "°F", "US customary"}},
		{"units: [us]\n", []string{"128 lb", "40 lb", "57 °F"}, []string{"58 kg", "18.1 kg", "14 °C", "Unit Metric"}},
	} {
		dir := written(t, map[string]string{
			"journal.yaml":            "title: A book\nmaker: {name: A maker}\n" + tt.units,
			"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
			"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\nmasses: {vehicle: 58 kg, payload: 40 lb}\n---\n",
			"cart/1-first/field-1.md": "---\nkind: run\ntype: field\nname: Round\ndate: 2026-02-01\nconditions: {temperature: 14 °C}\nstopwatch: {lap: 172 m, laps: [3 min, 3 min]}\n---\nIt weighed [](value:masses.vehicle).\n",
		})
		pages, _ := build(t, input(t, dir))
		text := ""
		for _, page := range []string{"cart/1-first/index.html", "cart/1-first/field-1/index.html"} {
			made, err := pages.Bytes(page)
			if err != nil {
				t.Fatal(err)
			}
			text += " " + strings.Join(strings.Fields(tags.ReplaceAllString(string(made), " ")), " ")
		}
		text = strings.ReplaceAll(text, "\u202f", " ")
		for _, want := range tt.says {
			if !strings.Contains(text, want) {
				t.Errorf("%q: no page says %q", tt.units, want)
			}
		}
		for _, not := range tt.never {
			if strings.Contains(text, not) {
				t.Errorf("%q: a page says %q", tt.units, not)
			}
		}
	}
}
