package battery

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"

	"voltwright/internal/quantity"
)

// What is carried along a simulation against simulations of cells that are changed by little: each load, warm and cold, a
// pack of more cells with leads, every unknown and every answer at each level.
func TestFollowedAgainstDifferences(t *testing.T) {
	heavy := map[string]quantity.Watts{"nmc": 1500, "lfp": 930, "lead-acid-agm": 260} // at which one floor is passed at once, or never come to
	for _, name := range []string{"nmc", "lfp", "lead-acid-agm"} {
		e, err := Typical(chemistry(t, name), quantity.Exact(quantity.AmpereHours(8)))
		if err != nil {
			t.Fatal(err)
		}
		for i := range e.xi {
			e.xi[i] = 0.4 * math.Sin(float64(7*i))
		}
		low := chemistry(t, name).DatasheetFloor()
		for what, c := range map[string]struct {
			load    Demand
			pack    Pack
			ambient quantity.Celsius
			cutout  *Cutout
		}{
			"a current":    {Steady(Drawing(9)), Pack{Series: 1, Parallel: 1, Charge: 1, Temperature: 20}, 20, nil},
			"a power":      {Steady(Delivering(100)), Pack{Series: 7, Parallel: 2, Charge: 0.95, Temperature: 15, Leads: 0.01}, 5, &Cutout{Opens: low * 7.3, ResetThreshold: 1}},
			"a resistance": {Steady(Across(6)), Pack{Series: 7, Parallel: 1, Charge: 1, Temperature: 30}, 35, nil},
			"too much":     {Steady(Delivering(heavy[name])), Pack{Series: 7, Parallel: 1, Charge: 1, Temperature: 0}, 0, nil},
		} {
			s := Scenario{Packs: []Pack{c.pack}, Demand: c.load, Ambient: c.ambient, Tolerance: 1e-5}
			s.Packs[0].Cell = e.Cell()
			s.Levels = FloorLevels(s.Packs[0], c.cutout)
			o, slopes, known, err := e.slopesOfLevels(s, asItIs)
			if err != nil {
				t.Fatalf("%s, %s: %v", name, what, err)
			}
			for i, l := range o.Levels {
				if want := what != "too much" || i > 0; known[i] != want {
					t.Errorf("%s, %s: %s after %.0f s, %v: known %t", name, what, l.Name, float64(l.At), l.Err, known[i])
				}
			}
			answers := func(i int, by float64) (out []float64) {
				at := append([]float64(nil), e.xi...)
				at[i] += by
				var err error
				if s.Packs[0].Cell, err = e.typical.cell(at); err != nil {
					t.Fatal(err)
				}
				o, err := Simulate(s)
				if err != nil {
					t.Fatal(err)
				}
				for _, l := range o.Levels {
					out = append(out, float64(l.At), float64(l.Charge), float64(l.Energy), float64(l.Left))
				}
				return out
			}
			var wants [][]float64
			scale := make([]float64, answersOfLevel*len(o.Levels))
			for i := range places.n {
				const by = 1e-3
				up, down := answers(i, by), answers(i, -by)
				for k := range up {
					up[k] = (up[k] - down[k]) / (2 * by)
					scale[k] = max(scale[k], math.Abs(up[k]))
				}
				wants = append(wants, up)
			}
			worst := 0.0
			for i, want := range wants {
				for k := range want {
					if !known[k/answersOfLevel] {
						continue
					}
					off := math.Abs(slopes[i][k]-want[k]) / scale[k]
					if worst = max(worst, off); !(off < 0.02) {
						t.Errorf("%s, %s: answer %d of level %d goes with unknown %d by %g, want %g of at most %g", name, what, k%answersOfLevel, k/answersOfLevel, i, slopes[i][k], want[k], scale[k])
					}
				}
			}
			t.Logf("%s, %s: at most %.2g of the greatest off", name, what, worst)
		}
	}
}

// A run that is replayed: its predicted time with about the uncertainty that a sample of cells has,
// which has longer tails.
func TestReplayedAgainstASample(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	cal, err := e.Calibrate(warwickLog(t, "T25_cRate_1C_discharge_rest_charge_every3rd"))
	if err != nil {
		t.Fatal(err)
	}
	swinging := plainNMC
	swinging.steps, swinging.every = [][2]float64{{6, 40}, {0, 20}, {3, 60}}, 20
	partly := warwickLog(t, "T25_cRate_0p5C_discharge_rest_charge")
	partly.Drawn = quantity.Exact(quantity.AmpereHours(0.4))
	for _, l := range []Log{warwickLog(t, "T25_cRate_2C_discharge_rest_charge_every3rd"), partly, swinging.log(t, "swinging")} {
		r, u, err := cal.After.Compare(l)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := sampled([]*Estimate{cal.After}, func(c []*Cell) ([]float64, error) {
			r, err := Compare(c[0], l)
			return []float64{float64(r.Predicted)}, err
		})
		if err != nil {
			t.Fatal(err)
		}
		var times []float64
		for _, row := range rows {
			times = append(times, row[0])
		}
		want := stat.StdDev(times, nil)
		t.Logf("%s: %.1f ± %.2f s, of a sample %.2f s", l.Name, float64(r.Predicted), float64(u), want)
		if plain, _ := Compare(cal.After.Cell(), l); r.Predicted != plain.Predicted || math.Abs(float64(u)/want-1) > 0.35 {
			t.Errorf("%s: %.1f ± %.2f s, of a sample ± %.2f s", l.Name, float64(r.Predicted), float64(u), want)
		}
	}
}
