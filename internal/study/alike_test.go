package study

import (
	"testing"

	"voltwright/internal/drive"
	"voltwright/internal/everyfield"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// Motors share a load evenly only where they are alike in all that a plate says.
func TestAlikePlates(t *testing.T) {
	full := drive.Plate{}
	everyfield.Matters(t, full, nil, func(a, b drive.Plate) bool { return !alike(a, b) })
}

// Of motors that share a load, all that a note states is either compared, or taken of the one that stands the least.
func TestUnlikeMotors(t *testing.T) {
	irrelevant := map[string]string{
		"Name": "what it is called changes nothing", "Count": "counted", "Span": "where it is written",
		"Copper": "the least is taken: TestWorstMotor", "AsFound": "has a callout of its own", "Insulation": "the lowest is taken: TestWorstMotor",
	}
	everyfield.Matters(t, journal.Motor{}, irrelevant, func(a, b journal.Motor) bool { return !alike(plate(&a), plate(&b)) })
}

func TestWorstMotor(t *testing.T) {
	for _, c := range []struct {
		name, front, rear, class string
		copper                   float64
	}{
		{"less copper in the second", "copper: 300 g, insulation: B", "copper: 120 g, insulation: B", "B", 0.12},
		{"less copper in the first", "copper: 120 g, insulation: B", "copper: 300 g, insulation: B", "B", 0.12},
		{"a lower class in the second", "copper: 300 g, insulation: F", "copper: 300 g, insulation: E", "E", 0.3},
		{"no class in the second", "copper: 300 g, insulation: F", "copper: 300 g", "", 0.3},
	} {
		v := versionOf(t, "---\nkind: version\nname: A truck\ndate: 2026-01-10\nmotors:\n"+
			"  - {name: front, rated: 24 V, no-load-speed: 2850 rpm, no-load-current: 1.4 A, resistance: 0.25 Ω, "+c.front+"}\n"+
			"  - {name: rear, rated: 24 V, no-load-speed: 2850 rpm ± 90 rpm, no-load-current: 1.4 A, resistance: 0.25 Ω, "+c.rear+"}\n---\n")
		h := DriveInput(v, NewResults())
		if float64(h.Copper.Value) != c.copper || h.Insulation != c.class || h.NoMotor != "" || float64(h.Plate.NoLoadSpeed.U) != 45 {
			t.Errorf("%s: copper %v, class %q, speed %v, %q", c.name, h.Copper, h.Insulation, h.Plate.NoLoadSpeed, h.NoMotor)
		}
	}
}

// A resistance that logs taught of all packs is that of each only where they are alike.
func TestLearnedOnlyOfAlikePacks(t *testing.T) {
	irrelevant := map[string]string{
		"Name": "what it is called", "Span": "where it is written", "Mass": "electrically nothing", "Joined": "how, not what", "JoinedAt": "a day's voltage",
		"Protection": "a switch, whose resistance is in what was measured", "Discharge": "a limit", "Fuse": "a limit",
		"AsFound": "TestUsedPacksAreLikeNoOther", "Used": "TestUsedPacksAreLikeNoOther",
		"Full": "where charging ends", "Sheet": "limits", "Resistance": "the other way round: none may be stated",
	}
	everyfield.Matters(t, journal.Pack{Parallel: notes.Integer{Value: 2, Set: true}}, irrelevant, func(a, b journal.Pack) bool { return !alikePacks(&a, &b) })
}

// A pack that was found to be anything is like no other, not even one that was found to be the same.
func TestUsedPacksAreLikeNoOther(t *testing.T) {
	sound := journal.Pack{}
	found := journal.Pack{AsFound: journal.Found{{Value: journal.SecondHand, Set: true}}}
	used := journal.Pack{Used: &journal.Used{}}
	if !alikePacks(&sound, &sound) {
		t.Error("two of which nothing is stated are not alike")
	}
	for _, p := range []*journal.Pack{&found, &used} {
		if alikePacks(&sound, p) || alikePacks(p, &sound) || alikePacks(p, p) {
			t.Errorf("%+v is taken for like another", p)
		}
	}
}
