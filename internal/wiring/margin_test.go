package wiring

import (
	"math"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// What uses up most of its limit comes first; a limit that a part keeps itself, a value without a limit and what could not be
// judged have no margin. The shares are divided by hand.
func TestMargins(t *testing.T) {
	amps := func(v float64) quantity.Quantity { return quantity.Exact(quantity.Amperes(v)).Quantity() }
	none := quantity.Quantity{Value: math.NaN()}
	part := func(i int) circuit.Subject { return circuit.Subject{Part: i, Lead: -1, End: -1} }
	a := &Analysis{
		Solutions: []*circuit.Solution{{Point: circuit.OperatingPoint{Name: "stall", Kind: circuit.Stall}, Limited: []int{2}}, {Point: circuit.OperatingPoint{Name: "cruise"}}},
		Verdicts: []circuit.Verdict{
			{Rule: circuit.PartVolts, Subject: part(0), OK: true, Number: amps(18), Limit: amps(36)},                       // 50 %
			{Rule: circuit.PeakCurrent, Subject: part(1), OK: true, Point: "stall", Number: amps(90), Limit: amps(100)},    // 90 %
			{Rule: circuit.PeakCurrent, Subject: part(2), OK: true, Point: "stall", Number: amps(90), Limit: amps(90)},     // kept by the part itself
			{Rule: circuit.LastingCurrent, Subject: part(2), OK: true, Point: "cruise", Number: amps(30), Limit: amps(40)}, // 75 %, and nothing keeps it there
			{Rule: circuit.ConductorSize, OK: true, Number: amps(2), Limit: amps(1.6)},                                     // the least: 80 %
			{Rule: circuit.FuseOpensAtStall, OK: true, Number: amps(10), Limit: amps(6)},                                   // 6 s of 10 s: 60 %
			{Rule: circuit.LeadAmpacity, Number: amps(60), Limit: amps(50)},                                                // 120 %
			{Rule: circuit.WireFitsFerrule, OK: true, Number: amps(4), Limit: amps(4)},                                     // fits, and comes near nothing
			{Rule: circuit.ShortCircuit, OK: true, Number: none, Limit: none},
			{Rule: circuit.FuseVolts, CannotJudge: "not stated", Number: amps(1), Limit: amps(1)},
		},
	}
	want := []Margin{{6, 1.2}, {1, .9}, {4, .8}, {3, .75}, {5, .6}, {0, .5}}
	got := a.Margins()
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i := range want {
		if got[i].Verdict != want[i].Verdict || math.Abs(got[i].Used-want[i].Used) > 1e-9 {
			t.Errorf("%d: %v, want %v", i, got[i], want[i])
		}
	}
	if rules, exceeded, unjudged := a.Judged(); rules != 8 || exceeded != 1 || unjudged != 1 {
		t.Errorf("%d rules, %d exceeded, %d not judged", rules, exceeded, unjudged)
	}
}
