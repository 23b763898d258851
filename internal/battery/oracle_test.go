package battery

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"voltwright/internal/quantity"
)

type odeFile struct {
	MadeWith string `json:"made_with"`
	Cell     struct {
		SOC          []float64 `json:"soc"`
		OCV          []float64 `json:"ocv"`
		Capacity     float64   `json:"capacity"`
		Ohmic        Profile   `json:"ohmic"`
		Fast         Profile   `json:"fast"`
		FastTime     float64   `json:"fast_time"`
		Slow         Profile   `json:"slow"`
		SlowTime     float64   `json:"slow_time"`
		Lag          float64   `json:"lag"`
		Reference    float64   `json:"reference"`
		EOhmic       float64   `json:"e_ohmic"`
		EBranch      float64   `json:"e_branch"`
		ELag         float64   `json:"e_lag"`
		Entropic     Profile   `json:"entropic"`
		HeatCapacity float64   `json:"heat_capacity"`
		Conductance  float64   `json:"conductance"`
	} `json:"cell"`
	Curve struct {
		SOC   []float64 `json:"soc"`
		Volts []float64 `json:"volts"`
	} `json:"curve"`
	Cases []struct {
		Name  string
		Parts []struct {
			Kind           string
			Value, Seconds float64
		}
		Ambient, Start, Cutoff float64
		Rows                   []struct{ T, Volts, Amps, Charge, Celsius float64 }
	} `json:"cases"`
}

// Oracle: scipy solve_ivp (DOP853, rtol 1e-12) on the same equations, written
// out again in testdata/scipy/ode.py; relative difference below 1e-6. The curve
// is compared with scipy's PchipInterpolator.
func TestAgainstSolveIVP(t *testing.T) {
	text, err := os.ReadFile("testdata/scipy/ode.json")
	if err != nil {
		t.Fatal(err)
	}
	var f odeFile
	if err := json.Unmarshal(text, &f); err != nil {
		t.Fatal(err)
	}
	c := f.Cell
	curve, err := NewCurve(c.SOC, c.OCV)
	if err != nil {
		t.Fatal(err)
	}
	for i, z := range f.Curve.SOC {
		if v := curve.at(z); math.Abs(v/f.Curve.Volts[i]-1) > 1e-12 {
			t.Errorf("curve at %g: %.15g V, scipy %.15g V", z, v, f.Curve.Volts[i])
		}
	}
	cell := &Cell{Curve: curve, Capacity: quantity.AmpereHours(c.Capacity), Ohmic: c.Ohmic, Lag: quantity.Seconds(c.Lag),
		Branches:  []Branch{{c.Fast, quantity.Seconds(c.FastTime)}, {c.Slow, quantity.Seconds(c.SlowTime)}},
		Reference: quantity.Celsius(c.Reference), ActivationOhmic: c.EOhmic, ActivationBranch: c.EBranch, ActivationLag: c.ELag,
		Entropic: c.Entropic, HeatCapacity: c.HeatCapacity, Conductance: c.Conductance}
	worst := 0.0
	for _, k := range f.Cases {
		pack := NewPack(cell, 1)
		pack.Charge, pack.Temperature = k.Start, quantity.Celsius(k.Ambient)
		var d Demand
		for n, p := range k.Parts {
			load := map[string]Load{"current": Drawing(quantity.Amperes(p.Value)), "power": Delivering(quantity.Watts(p.Value)), "resistance": Across(quantity.Ohms(p.Value))}[p.Kind]
			d.Parts = append(d.Parts, Part{load, quantity.Seconds(p.Seconds)})
			if n >= len(k.Rows) {
				break
			}
			want := k.Rows[n]
			o, err := Simulate(Scenario{Packs: []Pack{pack}, Demand: d, Ambient: quantity.Celsius(k.Ambient), Tolerance: 2e-8,
				Levels: []Level{{Name: "cutoff", Volts: quantity.Volts(k.Cutoff)}}})
			if err != nil {
				t.Fatal(err)
			}
			// The voltage at the end of a part, before the next load is on.
			got := [4]float64{float64(o.Elapsed), float64(o.Volts), o.Packs[0].Charge, float64(o.Packs[0].Temperature)}
			for i, w := range [4]float64{want.T, want.Volts, want.Charge, want.Celsius} {
				diff := math.Abs(got[i]/w - 1)
				worst = max(worst, diff)
				if diff > 1e-6 {
					t.Errorf("%s, part %d, %s: %.10g, scipy %.10g (%.1e)", k.Name, n+1, []string{"time", "voltage", "charge", "temperature"}[i], got[i], w, diff)
				}
			}
		}
	}
	t.Logf("%s: worst relative difference %.1e", f.MadeWith, worst)
}
