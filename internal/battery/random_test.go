package battery

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"voltwright/internal/quantity"
)

// Whatever is asked, a simulation ends, in a bounded number of steps, with
// numbers, and no charge is lost: what the packs gave is what was drawn.
func TestRandomScenarios(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	names := []string{"nmc", "nca", "lfp", "nimh"} // lead-acid counts quick charge for more than it is
	most := 0
	for n := range 400 {
		series := 1 + rng.IntN(12)
		var packs []Pack
		for range 1 + rng.IntN(3) {
			p := typicalPack(t, names[rng.IntN(len(names))], 0.5+20*rng.Float64(), series)
			p.Charge, p.Temperature = 0.05+0.95*rng.Float64(), quantity.Celsius(-20+70*rng.Float64())
			p.Leads = quantity.Ohms(0.02 * rng.Float64())
			if rng.IntN(3) == 0 {
				p.Protection = &Cutout{Opens: p.Cell.Chemistry.DatasheetFloor() * quantity.Volts(series), ResetThreshold: quantity.Volts(rng.Float64()), Delay: quantity.Seconds(2 * rng.Float64()), Trip: quantity.Amperes(200 * rng.Float64())}
			}
			packs = append(packs, p)
		}
		q := float64(packs[0].Capacity())
		load := func() Load {
			switch rng.IntN(4) {
			case 0:
				return Delivering(quantity.Watts(q * 3.5 * float64(series) * 3 * rng.Float64()))
			case 1:
				return Across(quantity.Ohms(float64(series) * 3.5 / (q * (0.05 + 3*rng.Float64()))))
			case 2:
				return Idle()
			}
			return Drawing(quantity.Amperes(q * (3*rng.Float64() - 0.3)))
		}
		d := Demand{Repeat: true}
		for range 1 + rng.IntN(4) {
			d.Parts = append(d.Parts, Part{load(), quantity.Seconds(math.Exp(8 * rng.Float64()))})
		}
		s := Scenario{Packs: packs, Demand: d, Ambient: packs[0].Temperature, Until: 3 * 24 * 3600, TracePoints: 200}
		s.Levels = FloorLevels(packs[0], nil)
		if rng.IntN(2) == 0 {
			s.Cutout = &Cutout{Opens: packs[0].Cell.Chemistry.ConservativeFloor() * quantity.Volts(series), ResetThreshold: quantity.Volts(float64(series) * 0.3 * rng.Float64()), Delay: quantity.Seconds(5 * rng.Float64())}
			s.StopAtCutout = rng.IntN(2) == 0
		}
		o, err := Simulate(s)
		if _, collapsed := errors.AsType[*CollapseError](err); collapsed {
			continue
		}
		if err != nil {
			t.Fatalf("scenario %d: %v", n, err)
		}
		most = max(most, o.Steps)
		if o.Ended == "" || math.IsNaN(float64(o.Charge+quantity.AmpereHours(o.Energy)+quantity.AmpereHours(o.Heat)+quantity.AmpereHours(o.Volts))) {
			t.Errorf("scenario %d: %+v", n, o)
		}
		var given float64
		for i, p := range o.Packs {
			given += float64(p.Out)
			moved := (packs[i].Charge - p.Charge) * float64(packs[i].Cell.Capacity) * packs[i].Cell.Chemistry.CapacityFactor(packs[i].Temperature)
			if packs[i].Cell.Chemistry.value("charge-return") == 1 && math.Abs(moved-float64(p.Out)) > 1e-6*(1+math.Abs(moved)) {
				t.Errorf("scenario %d, pack %d: %.9f Ah out, %.9f Ah less in it", n, i, float64(p.Out), moved)
			}
		}
		if math.Abs(given-float64(o.Charge)) > 1e-9*(1+math.Abs(given)) {
			t.Errorf("scenario %d: packs gave %.9f Ah, %.9f Ah was drawn", n, given, float64(o.Charge))
		}
		if want, steady := demanded(d, o); steady && math.Abs(float64(o.Charge)-want) > 1e-6*(1+math.Abs(want)) {
			t.Errorf("scenario %d: %.9f Ah drawn, the load asks for %.9f Ah in %v", n, float64(o.Charge), want, o.Elapsed)
		}
		if len(o.Trace) > 201 {
			t.Errorf("scenario %d: %d rows of trace", n, len(o.Trace))
		}
	}
	t.Logf("at most %d steps", most)
}

// demanded is the charge that a demand of currents asks for in the time that a
// run lasted; false where it holds other loads or something opened.
func demanded(d Demand, o *Outcome) (ah float64, steady bool) {
	left := float64(o.Elapsed)
	for _, p := range d.Parts {
		if p.kind != currentLoad {
			return 0, false
		}
	}
	for i := 0; left > 1e-9; i++ {
		p := d.Parts[i%len(d.Parts)]
		t := min(left, float64(p.For))
		ah += p.value * t / 3600
		left -= t
	}
	return ah, len(o.Openings) == 0
}

// The same logs give the same values, to the last bit.
func TestCalibrationRepeats(t *testing.T) {
	var cells []*Cell
	for range 2 {
		e, err := Typical(chemistry(t, "nca"), quantity.Exact(quantity.AmpereHours(3)))
		if err != nil {
			t.Fatal(err)
		}
		cal, err := e.Calibrate(samsungLog(t, "2C"))
		if err != nil {
			t.Fatal(err)
		}
		cells = append(cells, cal.After.Cell())
	}
	if !reflect.DeepEqual(cells[0], cells[1]) {
		t.Error("two calibrations on one log differ")
	}
}
