package journal

import (
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Every row of the table is a key that has a quantity, and its bounds are of it.
func TestUsualValuesAreOfKeys(t *testing.T) {
	dimensions := map[string]quantity.Dimension{}
	for _, f := range Fronts() {
		pathsOf(f.Keys, func(k FrontKey) {
			if k.Shape.Of == OfDimension {
				dimensions[k.Path] = k.Shape.Dimension
			}
		})
	}
	for path, usual := range usualValues {
		d, ok := dimensions[path]
		if !ok {
			t.Errorf("%s is no key with a quantity", path)
			continue
		}
		if low, high := parsed(usual.least, d), parsed(usual.most, d); !(low.Value < high.Value) || d != quantity.Temperature && (low.Value <= 0 || high.Value/low.Value < 99) {
			t.Errorf("%s: %s to %s", path, usual.least, usual.most)
		}
	}
}

func TestUnlikelyValues(t *testing.T) {
	for _, tt := range []struct{ spec, want string }{
		{"packs: [{chemistry: lfp, series: 7, capacity: 9600 Ah}]", "`capacity`: 9600 Ah is far from"},
		{"packs: [{chemistry: lfp, series: 7, capacity: 9600 mAh}]", ""},
		{"packs: [{chemistry: lfp, series: 7, capacity: 9.6 mAh}]", "`capacity`: 9.6 mAh is far from"},
		{"packs: [{chemistry: lfp, series: 7, capacity: 9.6 Ah, resistance: 38 Ω}]", "`resistance`: 38 Ω is far from"},
		{"packs: [{chemistry: lfp, series: 7, capacity: 9.6 Ah, fuse: 40 kA}]", "`fuse`: 40 kA is far from"},
		{"packs: [{chemistry: lfp, series: 7, capacity: 9.6 Ah, protection: {current: 40 kA}}]", "`current`: 40 kA is far from"},
		{"cutout: {opens: 19.6 mV}", "`opens`: 19.6 mV is far from"},
		{"drive: {wheel: 130 m}", "`wheel`: 130 m is far from"},
		{"masses: {payload: 0 kg}", ""},   // nothing is carried
		{"masses: {vehicle: -58 kg}", ""}, // it is reported as impossible
		{"wiring: {parts: [], leads: [{from: \"a:in\", to: \"b:in\", length: 420 m}]}", "`length`: 420 m is far from"},
	} {
		dir, _ := unpack(t, &txtar.Archive{Files: []txtar.File{
			{Name: "journal.yaml", Data: []byte("title: T\nmaker: {name: M}\n")},
			{Name: "cart/vehicle.md", Data: []byte("---\nkind: vehicle\nname: C\n---\n")},
			{Name: "cart/1-one/version.md", Data: []byte("---\nkind: version\nname: V\ndate: 2026-01-01\n" + tt.spec + "\n---\n")},
		}})
		_, list := load(t, dir)
		var said []finding.Finding
		for _, f := range list.Sorted() {
			if f.Rule == RuleUnlikely {
				said = append(said, f)
			}
		}
		switch {
		case tt.want == "" && len(said) > 0:
			t.Errorf("%s: %s", tt.spec, said[0].Text)
		case tt.want != "" && (len(said) != 1 || said[0].Level != finding.Note || !strings.Contains(said[0].Text, tt.want) || !strings.HasPrefix(said[0].Remedy, "if it is right")):
			t.Errorf("%s: %v, want %q", tt.spec, said, tt.want)
		}
	}
}
