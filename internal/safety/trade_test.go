package safety

import (
	"slices"
	"strings"
	"testing"

	"voltwright/internal/safety/safetytest"
)

// Facts of the trade about a pack of five cells in series; common practice, no
// source. Cut at 16.5 V it is well; at 13.5 V it is between the floors; with no
// cutout and a board that does nothing without its tool nothing ends the discharge.
func TestFactsOfTheTrade(t *testing.T) {
	five := []string{"packs.1.series = 5", "drop packs.1.protection", "charger.voltage = 21 V", "field: readings.1.voltage = 19 V"}
	for _, tt := range []struct {
		name    string
		changes []string
		spoke   []string
		says    []string
	}{
		{"cut at 16.5 V", []string{"cutout = {opens: 16.5 V, reset-threshold: 2.4 V}"}, nil, nil},
		{"cut at 13.5 V", []string{"cutout = {opens: 13.5 V, reset-threshold: 2.4 V}"}, []string{"discharge-below-conservative-floor CAUTION"},
			[]string{"13.5 V", "12.5 V", "15 V"}},
		{"no cutout and a board that does nothing without its tool", []string{"drop cutout", "packs.1.protection = in-appliance-only"}, []string{"discharge-unguarded WARNING"},
			[]string{"acts only inside the appliance that it came from", "opens nothing", "may burn when they are charged again"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := hazard{&safetytest.Case{Base: "toy", Changes: slices.Concat(five, tt.changes)}}
			var spoke []string
			text := ""
			for _, f := range h.findings(t) {
				if f.Signal != "" {
					spoke = append(spoke, f.Rule+" "+string(f.Signal))
					text += f.Text
				}
			}
			if !slices.Equal(spoke, tt.spoke) {
				t.Errorf("%q, want %q", spoke, tt.spoke)
			}
			for _, s := range tt.says {
				if !strings.Contains(text, s) {
					t.Errorf("%q does not say %q", text, s)
				}
			}
		})
	}
}
