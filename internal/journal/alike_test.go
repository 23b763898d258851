package journal

import (
	"maps"
	"reflect"
	"slices"
	"testing"

	"voltwright/internal/drive"
	"voltwright/internal/notes"
)

// otherwise gives every field of a struct another value, one at a time; a field of numbers gets each of them changed
// alone. Fields that are left out are named with the reason why they do not matter.
func otherwise[T any](t *testing.T, like T, irrelevant map[string]string, unlike func(a, b T) bool) {
	t.Helper()
	left := maps.Clone(irrelevant)
	typ := reflect.TypeFor[T]()
	for i := range typ.NumField() {
		name := typ.Field(i).Name
		if _, is := irrelevant[name]; is {
			delete(left, name)
			continue
		}
		other := like
		if !alter(reflect.ValueOf(&other).Elem().Field(i)) {
			t.Errorf("%s.%s: no other value is known", typ, name)
		} else if !unlike(like, other) || !unlike(other, like) {
			t.Errorf("%s: two that differ in %s are taken for alike, and no reason is given why it does not matter", typ, name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(left)) {
		t.Errorf("%s has no field %s", typ, name)
	}
	if unlike(like, like) {
		t.Errorf("%s: one is unlike itself", typ)
	}
}

// alter gives a value another one.
func alter(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(v.Float()*1.5 + 1)
	case reflect.Int, reflect.Int64:
		v.SetInt(v.Int() + 1)
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.String:
		v.SetString(v.String() + "x")
	case reflect.Struct:
		for _, name := range []string{"Measured", "Value", "Text", "Year"} { // of a stated value, what it is of a quantity
			if f := v.FieldByName(name); f.IsValid() {
				if set := v.FieldByName("Set"); set.IsValid() {
					set.SetBool(true)
				}
				return alter(f)
			}
		}
		return false
	default:
		return false
	}
	return true
}

// Motors share a load evenly only where they are alike in all that a plate says.
func TestAlikePlates(t *testing.T) {
	full := drive.Plate{}
	otherwise(t, full, nil, func(a, b drive.Plate) bool { return !alike(a, b) })
}

// Of motors that share a load, all that a note states is either compared, or taken of the one that stands the least.
func TestUnlikeMotors(t *testing.T) {
	irrelevant := map[string]string{
		"Name": "what it is called changes nothing", "Count": "counted", "Span": "where it is written",
		"Copper": "the least is taken: TestWorstMotor", "Insulation": "the lowest is taken: TestWorstMotor",
	}
	otherwise(t, Motor{}, irrelevant, func(a, b Motor) bool { return !alike(a.plate(), b.plate()) })
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
		h := v.Haul(NewResults())
		if float64(h.Copper.Value) != c.copper || h.Insulation != c.class || h.NoMotor != "" || float64(h.Plate.NoLoadSpeed.U) != 45 {
			t.Errorf("%s: copper %v, class %q, speed %v, %q", c.name, h.Copper, h.Insulation, h.Plate.NoLoadSpeed, h.NoMotor)
		}
	}
}

// Two runs are held against each other only where their conditions are.
func TestUnlikeRuns(t *testing.T) {
	conditions := func(a, b Conditions) bool { return len(Unlike(&Run{Conditions: a}, &Run{Conditions: b})) > 0 }
	otherwise(t, Conditions{}, map[string]string{"Note": "free words, which nothing can compare", "Temperature": "within ten kelvins it does not matter: below"}, conditions)
	cold, warm := Conditions{}, Conditions{}
	for value, into := range map[float64]*Conditions{2: &cold, 20: &warm} {
		into.Temperature.Set = true
		reflect.ValueOf(&into.Temperature).Elem().FieldByName("Measured").FieldByName("Value").SetFloat(value)
	}
	if !conditions(cold, warm) || conditions(cold, cold) {
		t.Error("the temperature of the air is not compared")
	}
	irrelevant := map[string]string{"Conditions": "above", "Version": "its spec is told as what changed", "PauseAfter": "each run's figures are by its own rule, which the page names", "PublishPosition": "what is told of it, not how it was made"}
	for _, name := range []string{"Kind", "Name", "Date", "Summary", "Instruments", "Log", "Readings", "Stopwatch", "Idle", "Ended", "Answers", "Facts", "Slug", "Note", "Document"} {
		irrelevant[name] = "the evidence and what is said of it, not how the run was made"
	}
	otherwise(t, Run{}, irrelevant, func(a, b Run) bool { return len(Unlike(&a, &b)) > 0 })
}

// A resistance that logs taught of all packs is that of each only where they are alike.
func TestLearnedOnlyOfAlikePacks(t *testing.T) {
	irrelevant := map[string]string{
		"Name": "what it is called", "Span": "where it is written", "Mass": "electrically nothing", "Joined": "how, not what", "JoinedAt": "a day's voltage",
		"Protection": "a switch, whose resistance is in what was measured", "Discharge": "a limit", "Fuse": "a limit",
		"Full": "where charging ends", "Sheet": "limits", "Resistance": "the other way round: none may be stated",
	}
	otherwise(t, Pack{Parallel: notes.Integer{Value: 2, Set: true}}, irrelevant, func(a, b Pack) bool { return !a.like(&b) })
}
