package journal

import (
	"testing"

	"voltwright/internal/everyfield"
	"voltwright/internal/quantity"
)

// Two runs are held against each other only where their conditions are.
func TestUnlikeRuns(t *testing.T) {
	conditions := func(a, b Conditions) bool { return len(Unlike(&Run{Conditions: a}, &Run{Conditions: b})) > 0 }
	everyfield.Matters(t, Conditions{}, map[string]string{"Note": "free words, which nothing can compare", "Weather": "free words", "Track": "free words", "People": "free words", "Temperature": "within ten kelvins it does not matter: below"}, conditions)
	cold, warm := Conditions{}, Conditions{}
	for value, into := range map[float64]*Conditions{2: &cold, 20: &warm} {
		into.Temperature.Set = true
		into.Temperature.Measured = quantity.Exact(quantity.Celsius(value))
	}
	if !conditions(cold, warm) || conditions(cold, cold) {
		t.Error("the temperature of the air is not compared")
	}
	irrelevant := map[string]string{"Conditions": "above", "Version": "its spec is told as what changed", "PauseAfter": "each run's figures are by its own rule, which the page names", "PublishPosition": "what is told of it, not how it was made"}
	for _, name := range []string{"Kind", "Name", "Date", "Summary", "Instruments", "Log", "Readings", "Stopwatch", "Idle", "WallEnergy", "Ended", "Outcome", "Learned", "Held", "Subjects", "FirstPower", "Answers", "Facts", "Lead", "Gallery", "Marks", "Slug", "Note", "document"} {
		irrelevant[name] = "the evidence and what is said of it, not how the run was made"
	}
	everyfield.Matters(t, Run{}, irrelevant, func(a, b Run) bool { return len(Unlike(&a, &b)) > 0 })
}
