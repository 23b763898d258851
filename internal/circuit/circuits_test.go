package circuit_test

import (
	"math"
	"testing"

	"voltwright/internal/circuit/circuittest"
)

func examples(t testing.TB) []circuittest.Example {
	t.Helper()
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 20 {
		t.Fatalf("%d examples, want at least twenty", len(all))
	}
	return all
}

// The worked circuits are spelt right and can be solved; power in is power out.
func TestExamplesAreSound(t *testing.T) {
	for _, x := range examples(t) {
		for _, f := range x.Circuit.Check() {
			t.Errorf("%s: %s: %s", x.Name, f.Rule, f.Text)
		}
		for _, op := range x.Points {
			s, err := x.Circuit.Solve(op)
			if err != nil {
				t.Errorf("%s, %s: %v", x.Name, op.Name, err)
				continue
			}
			if off := math.Abs(float64(s.Supplied - s.Taken)); off > 1e-9*math.Max(1, float64(s.Supplied)) {
				t.Errorf("%s, %s: %v W in, %v W out", x.Name, op.Name, s.Supplied, s.Taken)
			}
			for i, l := range s.Leads {
				if l.Current == 0 && math.Signbit(float64(l.Current)) {
					t.Errorf("%s, %s: nothing flows through lead %d, and it has a sign", x.Name, op.Name, i+1)
				}
			}
		}
	}
}
