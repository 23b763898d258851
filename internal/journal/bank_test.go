package journal

import (
	"os"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

func bankOf(t *testing.T) *Version {
	t.Helper()
	text, err := os.ReadFile("testdata/bank.md")
	if err != nil {
		t.Fatal(err)
	}
	var found finding.List
	n := notes.ParseNote("cart/1-x/version.md", text, &found)
	v := &Version{Vehicle: &Vehicle{Slug: "cart"}, Slug: "1-x", Note: n}
	notes.Decode(n.Front, v, &found)
	if found.Len() > 0 {
		t.Fatal(found.Sorted())
	}
	return v
}

// Every built-in chemistry of the front matter is one of the calculation.
func TestChemistriesAreKnown(t *testing.T) {
	for _, o := range Chemistry("").Options() {
		p := Pack{}
		p.Chemistry.Value = Chemistry(o.Name)
		if cells, ok := p.Cells(); !ok || cells == nil {
			t.Errorf("%s cannot be computed", o.Name)
		}
	}
}

func TestWith(t *testing.T) {
	for _, c := range []struct {
		path, value string
		want        string // of the findings; "" for none
		holds       func(*Version) bool
	}{
		{"packs.left pack.capacity", "9 Ah", "", func(v *Version) bool {
			return v.Packs[0].Capacity.Value == 9 && v.Packs[1].Capacity.Value == 14
		}},
		{"packs.left.capacity", "9 Ah ± 1 Ah", "", func(v *Version) bool { return v.Packs[0].Capacity.U == 0.5 }},
		{"packs.2.resistance", "20 mΩ", "", func(v *Version) bool { return PutIn(v.Packs[1].Resistance.Span) && !PutIn(v.Packs[0].Resistance.Span) }},
		{"packs.2.protection.opens", "19 V", "", func(v *Version) bool { return v.Packs[1].Protection.Opens.Value == 19 }},
		{"packs.1.protection", "none", "", func(v *Version) bool { return v.Packs[0].Protection.None }},
		{"cutout.opens", "22 V", "", func(v *Version) bool { return v.Cutout.Opens.Value == 22 && v.Cutout.Delay.Value == 4 }},
		{"drive.ratio", "9", "", func(v *Version) bool { return v.Drive.Ratio.Value == 9 }},
		{"packs.middle.capacity", "9 Ah", "there is no item `middle`", nil},
		{"packs.3.capacity", "9 Ah", "there is no item `3`", nil},
		{"packs.1.capacty", "9 Ah", "unknown key `capacty`; did you mean `capacity`?", nil},
		{"packs.1.capacity", "9 V", "9 V is a voltage", nil},
		{"packs.1.capacity", "nine", "`capacity`", nil},
		{"cutout.opens", "90 V", "is not below the pack's full charge", nil},
		{"cutoot.opens", "20 V", "unknown key `cutoot`; did you mean `cutout`?", nil},
		{"packs..capacity", "9 Ah", "is no path of keys", nil},
	} {
		v := bankOf(t)
		var found finding.List
		got := v.With([]Setting{{c.path, c.value}}, &found)
		text := ""
		for _, f := range found.Sorted() {
			if f.Level == finding.Error {
				text += f.Text
				if f.Span.Source == nil || f.Span.Source.Name != "--set "+c.path {
					t.Errorf("%s: the place is %v", c.path, f.Span.Source)
				}
			}
		}
		switch {
		case c.want == "" && text != "", !strings.Contains(text, c.want):
			t.Errorf("%s=%s: %q, want %q", c.path, c.value, text, c.want)
		case c.holds != nil && !c.holds(got):
			t.Errorf("%s=%s was not taken: %+v", c.path, c.value, got)
		}
		if v.Packs[0].Capacity.Value != 11.5 || v.Cutout.Opens.Value != 21.3 {
			t.Errorf("%s changed the version itself", c.path)
		}
	}
}
