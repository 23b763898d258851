package circuit_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"voltwright/internal/circuit"
)

// Oracle: ngspice 39 on the netlists in testdata/ngspice, which values.py makes
// from the same JSON by rules written down a second time. Tolerance: 1e-9 of the
// value; for what is below a hundredth of the greatest current of the point (at
// least 1 A) or of 1 V, 1e-11 of that, since an oracle's zero is 1e-12 or so.
func TestAgainstNgspice(t *testing.T) {
	const tolerance = 1e-9
	data, err := os.ReadFile("testdata/ngspice/values.json")
	if err != nil {
		t.Fatal(err)
	}
	var recorded struct {
		Points map[string]map[string]float64 `json:"points"`
	}
	if err := json.Unmarshal(data, &recorded); err != nil {
		t.Fatal(err)
	}
	plain := regexp.MustCompile("[^a-z0-9]")
	compared, worst, clear, at := 0, 0.0, 0.0, ""
	for _, x := range examples(t) {
		for _, op := range x.Points {
			point := x.Name + "/" + op.Name
			want := recorded.Points[point]
			if want == nil {
				t.Errorf("%s: not recorded", point)
				continue
			}
			s, err := x.Circuit.Solve(op)
			if err != nil {
				t.Errorf("%s: %v", point, err)
				continue
			}
			amps, volts := 1.0, 1.0
			for _, in := range s.Inside {
				amps = max(amps, math.Abs(float64(in.Current)))
			}
			check := func(label string, got, scale float64) {
				w, known := want[label]
				if !known {
					return
				}
				compared++
				off := math.Abs(got-w) / max(math.Abs(w), 1e-2*scale)
				if math.Abs(w) > 1e-2*scale {
					clear = max(clear, off)
				}
				if off > worst {
					worst, at = off, point+", "+label
				}
				if !(off <= tolerance) {
					t.Errorf("%s: %s is %.15g, want %.15g (off by %.1e)", point, label, got, w, off)
				}
			}
			for i, l := range s.Leads {
				check(fmt.Sprintf("lead %d", i), float64(l.Current), amps)
			}
			for _, in := range s.Inside {
				check(x.Circuit.Parts[in.Part].Name+" "+in.Way, float64(in.Current), amps)
			}
			for i := range x.Circuit.Parts {
				p := &x.Circuit.Parts[i]
				for _, spec := range p.Terminals() {
					terminal := circuit.Terminal{Part: p.Name, Name: spec.Name}
					name := strings.NewReplacer("+", "p", "-", "n").Replace(spec.Name)
					if p.Kind == circuit.TerminalBlock {
						name = "all"
					}
					if v, ok := s.Volts(terminal); ok {
						check("V "+plain.ReplaceAllString(p.Name, "_")+"_"+name, float64(v), volts)
					}
				}
			}
		}
	}
	if compared < 1500 {
		t.Errorf("only %d values compared", compared)
	}
	t.Logf("%d values, the worst off by %.1e (%s); of those that are not next to nothing, by %.1e", compared, worst, at, clear)
}
