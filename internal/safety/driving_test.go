package safety

import (
	"strings"
	"testing"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// What the rules of speed and grip take from the tables of the drive, as those tables have it.
func TestRulesOfTheDriveRestOnItsTables(t *testing.T) {
	for _, tt := range []struct {
		who    string
		kmh    float64
		source string
	}{
		{"NEOLS", 8.0, "NEOLS (USA live-steam club): public passenger trains should not exceed (owner's rule)"},
		{"MLES", 16.1, "MLES Railroad Park (USA): train speed must not exceed (owner's rule)"},
		{"walking pace", 6, "walking pace: a vehicle that goes no faster is no motor vehicle of its categories (second-hand)"},
	} {
		if v, source := keptTo(tt.who); float64(v)*3.6 < tt.kmh-0.01 || float64(v)*3.6 > tt.kmh+0.01 || source != tt.source {
			t.Errorf("%s: %v m/s, %q", tt.who, float64(v), source)
		}
	}
	// adhesion-additions.csv of the reference: rinsed rails 0.10 to 0.15; damp ones less.
	if grip, source := gripOn("wet"); grip < 0.1249 || grip > 0.1251 || source == "" {
		t.Errorf("wet rails grip %v, %q", float64(grip), source)
	}
	if grip, source := gripOn("damp"); grip < 0.0749 || grip > 0.0751 || !strings.Contains(source, "own choice") {
		t.Errorf("damp rails grip %v, %q", float64(grip), source)
	}
}

func TestTimesOnAHillAreRough(t *testing.T) {
	for _, tt := range []struct {
		seconds float64
		want    string
	}{{41.3, "40 s"}, {44, "40 s"}, {46, "50 s"}, {89, "90 s"}, {90, "2 min"}, {400, "7 min"}} {
		if got := minutes(tt.seconds); got != tt.want {
			t.Errorf("%v s: %q, want %q", tt.seconds, got, tt.want)
		}
	}
}

// Packs side by side count by the fullest; one that does not say its own leaves it open.
func TestFullest(t *testing.T) {
	v := &journal.Version{Packs: make([]journal.Pack, 2)}
	v.Packs[0].Full.Measured = quantity.Exact(quantity.Volts(28.7))
	v.Packs[1].Full.Measured = quantity.Exact(quantity.Volts(29.2))
	v.Packs[0].Full.Set, v.Packs[1].Full.Set = true, true
	s := &subject{version: v}
	if got := s.fullest(); got.Value != 29.2 {
		t.Errorf("%v, want 29.2 V", got)
	}
	v.Packs[1].Full.Measured = quantity.Missing[quantity.Volts]()
	if got := s.fullest(); got.Known() {
		t.Errorf("%v of packs of which one says nothing", got)
	}
}
