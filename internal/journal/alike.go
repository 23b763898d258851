package journal

import (
	"fmt"
	"math"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// samePart is how far two stated conditions may lie apart, as a part of the greater, and still count as the same.
const samePart = 0.02

// sameTemperature is how far the air of two runs may differ, in kelvins, for them to count as made under the same
// conditions: common practice, no source.
const sameTemperature = 10

// Unlike says why two runs cannot be held against each other, like with like: what differs in their type, what they
// carried and ran on, and how they were set, a clause each; none if they are alike. What neither states does not part
// them.
func Unlike(a, b *Run) []string {
	if a.Type.Value != b.Type.Value {
		return []string{fmt.Sprintf("one is a %s run and the other a %s run", a.Type.Value, b.Type.Value)}
	}
	var out []string
	if why := unlikeValue("payload", a.Conditions.Payload, b.Conditions.Payload); why != "" {
		out = append(out, why)
	}
	switch x, y := a.Conditions.Surface, b.Conditions.Surface; {
	case x.Set != y.Set:
		out = append(out, "the surface of one is not stated")
	case x.Set && x.Value != y.Value:
		out = append(out, fmt.Sprintf("the surface is %s of one and %s of the other", x.Value, y.Value))
	}
	if why := unlikeValue("setting", a.Conditions.Setting, b.Conditions.Setting); why != "" {
		out = append(out, why)
	}
	if x, y := a.Conditions.Temperature, b.Conditions.Temperature; x.Known() && y.Known() && math.Abs(float64(x.Value-y.Value)) > sameTemperature {
		out = append(out, fmt.Sprintf("the air had %s and %s, more than %d K apart", x.Written, y.Written, sameTemperature))
	}
	return out
}

func unlikeValue[K quantity.Kind](name string, a, b notes.Value[K]) string {
	switch x, y := float64(a.Value), float64(b.Value); {
	case a.Known() != b.Known():
		return fmt.Sprintf("the %s of one is not stated", name)
	case a.Known() && math.Abs(x-y) > samePart*math.Max(math.Abs(x), math.Abs(y)):
		return fmt.Sprintf("the %s is %s and %s", name, a.Written, b.Written)
	}
	return ""
}
