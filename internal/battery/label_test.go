package battery

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// someCell is a cell of a chemistry that holds q Ah and is otherwise as far from the typical one as cells are.
func someCell(t *testing.T, rng *rand.Rand, name string, q float64) *Cell {
	t.Helper()
	e, err := Typical(chemistry(t, name), quantity.Exact(quantity.AmpereHours(q)))
	if err != nil {
		t.Fatal(err)
	}
	xi := make([]float64, places.n)
	for i := range xi {
		if i != places.capacity && i < places.heatCapacity {
			xi[i] = rng.NormFloat64()
		}
	}
	c, err := e.typical.cell(xi)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// runDown is the log of a cell that is full at first and gives a current until the voltage is down to the cutoff.
func runDown(t *testing.T, rng *rand.Rand, c *Cell, rate float64, cutoff quantity.Volts) Log {
	t.Helper()
	amps := rate * float64(c.Capacity)
	l := NewLog(fmt.Sprintf("%.2fC", rate), 1, nil, nil, nil, nil)
	l.Ambient, l.Drawn = quantity.Exact(quantity.Celsius(22)), quantity.Exact(quantity.AmpereHours(0))
	p := NewPack(c, 1)
	p.Temperature = 22
	o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Demand{Parts: []Part{{Idle(), 30}, {Drawing(quantity.Amperes(amps)), 1e6}}}, Ambient: 22,
		Levels: []Level{{Name: "cutoff", Volts: cutoff}}, TracePoints: 300})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range o.Trace {
		l.Time, l.Amperes = append(l.Time, float64(row.At)), append(l.Amperes, float64(row.Amperes))
		l.Volts = append(l.Volts, float64(row.Volts)+0.002*rng.NormFloat64())
	}
	return l
}

// A counted discharge from full to the floor measures the capacity, whatever the label says: of cells that hold 7.44 Ah
// and are otherwise as far from typical as cells are, one to three run-downs at one rate and up to half as much again
// teach the capacity within the interval that is printed, for labels from 0.4 to 3 times the truth. The oracle is the
// capacity of the cells that the run-downs were simulated with.
func TestCountedDischargeOutweighsTheLabel(t *testing.T) {
	const q = 7.44
	rng := rand.New(rand.NewPCG(12, 744))
	inside, cases, widest, farthest := 0, 0, 0.0, 0.0
	for _, name := range []string{"nmc", "nca", "lfp", "nimh", "lead-acid-agm", "lead-acid-flooded"} {
		c := chemistry(t, name)
		for range 2 {
			cell := someCell(t, rng, name, q)
			rate := 0.15 * math.Exp(rng.Float64()*math.Log(8)) // an eighth of the capacity in an hour to all of it
			if strings.HasPrefix(name, "lead") {
				rate = 0.05 * math.Exp(rng.Float64()*math.Log(4)) // the twenty-hour rate to the five-hour rate
			}
			var logs []Log
			for i := range 1 + rng.IntN(3) {
				logs = append(logs, runDown(t, rng, cell, rate*(1+0.25*float64(i)), c.ConservativeFloor()*quantity.Volts(1+0.02*rng.Float64())))
			}
			for _, factor := range []float64{0.4 + 0.4*rng.Float64(), 0.9 + 0.5*rng.Float64(), 1.4 + rng.Float64(), 2.4 + 0.6*rng.Float64()} {
				e, err := Typical(c, quantity.Exact(quantity.AmpereHours(q*factor)))
				if err != nil {
					t.Fatal(err)
				}
				cal, err := e.Calibrate(logs...)
				if err != nil {
					t.Errorf("%s, labelled %.2f times: %v", name, factor, err)
					continue
				}
				got, err := cal.After.Capacity()
				if err != nil {
					t.Fatal(err)
				}
				off, wide := math.Abs(float64(got.Value)-q), float64(got.Expanded())
				cases, farthest, widest = cases+1, max(farthest, off/q), max(widest, wide/q)
				if off <= wide {
					inside++
				} else {
					t.Logf("%s, %.2f C, %d runs, labelled %.2f times: %v", name, rate, len(logs), factor, got)
				}
				if off > 1.5*wide || wide > 0.25*q {
					t.Errorf("%s, %.2f C, %d runs, labelled %.2f times: %v of a cell of %.2f Ah", name, rate, len(logs), factor, got, q)
				}
			}
		}
	}
	t.Logf("%d of %d capacities within the expanded uncertainty, k = 2; at most %.1f %% off, at most ± %.1f %%", inside, cases, 100*farthest, 100*widest)
	if inside < cases*95/100 {
		t.Errorf("only %d of %d within the interval", inside, cases)
	}
}

// The same with measured cells: what is held against the capacity taught is the charge of a slow discharge that the
// calibration did not see, by the data sets' own counts.
func TestMeasuredDischargeOutweighsTheLabel(t *testing.T) {
	const labels = "testdata/labels/"
	inside, cases := 0, 0
	for _, c := range []struct {
		name, chemistry string
		logs            []Log
		slow            float64 // Ah counted in the slow discharge
		labels          []float64
	}{
		{"21700, C/2 and 1C", "nmc", []Log{warwickLog(t, "T25_cRate_0p5C_discharge_rest_charge"), warwickLog(t, "T25_cRate_1C_discharge_rest_charge_every3rd")}, 4.945, []float64{2, 5, 8, 15}},
		{"18650, 1C and 2C", "nca", []Log{samsungLog(t, "1C"), samsungLog(t, "2C")}, 3.001, []float64{1.2, 3, 5, 9}},
		{"18650 of unknown make, C/2 and 1C", "nmc", []Log{columns(t, labels+"cylindrical/cc_c2.csv", 0, 1, 2, 3, 1), columns(t, labels+"cylindrical/cc_1c.csv", 0, 1, 2, 3, 1)}, 2.752, []float64{1.1, 2.6, 4.5, 7.8}},
	} {
		for _, label := range c.labels {
			e, err := Typical(chemistry(t, c.chemistry), quantity.Exact(quantity.AmpereHours(label)))
			if err != nil {
				t.Fatal(err)
			}
			cal, err := e.Calibrate(c.logs...)
			if err != nil {
				t.Errorf("%s, labelled %g Ah: %v", c.name, label, err)
				continue
			}
			got, err := cal.After.Capacity()
			if err != nil {
				t.Fatal(err)
			}
			cases++
			if math.Abs(float64(got.Value)-c.slow) <= float64(got.Expanded()) {
				inside++
			}
			t.Logf("%s, labelled %g Ah: %v, counted %.3f Ah", c.name, label, got, c.slow)
			if math.Abs(float64(got.Value)/c.slow-1) > 0.12 {
				t.Errorf("%s, labelled %g Ah: %v, counted %.3f Ah", c.name, label, got, c.slow)
			}
		}
	}
	t.Logf("%d of %d within the expanded uncertainty, k = 2", inside, cases)
	if inside < cases-1 {
		t.Errorf("only %d of %d within the interval", inside, cases)
	}
}

// A pack sold as 2 Ah whose log ends at 3.5 V, where 1.21 Ah were counted: how much lies below is not measured, and the
// interval says so. It is never told to hold less than was counted, nor what a label says that is far off.
func TestADischargeThatEndsEarlyMeasuresLess(t *testing.T) {
	log := columns(t, "testdata/labels/two-ampere-hours/run_0.25A_every5th.csv", 0, 2, 1, -1, 1)
	for _, label := range []float64{0.5, 1.2, 2, 3.6} {
		e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(label)))
		if err != nil {
			t.Fatal(err)
		}
		cal, err := e.Calibrate(log)
		if err != nil {
			t.Fatal(err)
		}
		got, err := cal.After.Capacity()
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("labelled %g Ah: %v", label, got)
		if got.Value < 1.2 || got.Value > 2 || got.Expanded() < 0.12*got.Value {
			t.Errorf("labelled %g Ah: %v of a pack that gave 1.21 Ah down to 3.5 V", label, got)
		}
	}
}
