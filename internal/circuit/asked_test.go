package circuit_test

import (
	"math"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
)

// What a part is asked for is the number that the verdict on the same part gives, where there is one.
func TestAskedAgreesWithTheVerdicts(t *testing.T) {
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, x := range all {
		var solved []*circuit.Solution
		for _, op := range x.Points {
			s, err := x.Circuit.Solve(op)
			if err != nil {
				t.Fatalf("%s: %s: %v", x.Name, op.Name, err)
			}
			solved = append(solved, s)
		}
		asked := x.Circuit.Asked(solved)
		for _, v := range x.Circuit.Judge(solved) {
			if v.Subject.Part < 0 || v.CannotJudge != "" {
				continue
			}
			a := asked[v.Subject.Part]
			switch v.Rule {
			case circuit.LastingCurrent:
				compared++
				if got, want := float64(a.Lasting), v.Number.Value; math.Abs(got-want) > 1e-12*want || a.LastingAt != v.Point {
					t.Errorf("%s: %s: %v A at %q, the verdict says %v A at %q", x.Name, x.Circuit.Parts[v.Subject.Part].Name, got, a.LastingAt, want, v.Point)
				}
			case circuit.PeakCurrent:
				compared++
				if got, want := float64(a.Brief), v.Number.Value; math.Abs(got-want) > 1e-12*want || a.BriefAt != v.Point {
					t.Errorf("%s: %s: %v A at %q, the verdict says %v A at %q", x.Name, x.Circuit.Parts[v.Subject.Part].Name, got, a.BriefAt, want, v.Point)
				}
			}
		}
	}
	if compared < 20 {
		t.Errorf("only %d verdicts were compared", compared)
	}
}
