package phases

import (
	"math"
	"math/rand/v2"
	"testing"
)

// made is a charge whose phases are known: a held current for so long, then one that dies away as exp(−t/τ) to a last current.
func made(amps, held, tau, last, step, noise float64) Rows {
	random := rand.New(rand.NewPCG(3, 4))
	r := Rows{}
	for t := step; ; t += step {
		i, v := amps, 25+3.7*math.Min(1, t/held)
		if t > held {
			mid := t - step/2
			i, v = amps*math.Exp(-(mid-held)/tau), 28.7
		}
		if i < last {
			return r
		}
		r.Time, r.Amperes, r.Volts = append(r.Time, t), append(r.Amperes, i*(1+noise*random.NormFloat64())), append(r.Volts, v*(1+noise/20*random.NormFloat64()))
	}
}

// In closed form: the charge of a held current is I·t, that of one that dies away τ·(I − I last).
func TestPhasesOfAKnownCharge(t *testing.T) {
	for _, k := range []struct{ amps, held, tau, last, step, noise float64 }{
		{8, 7200, 600, 0.4, 10, 0}, {8, 7200, 600, 0.4, 1, 0.02}, {2, 900, 2400, 0.02, 10, 0.005}, {1, 20000, 300, 0.05, 60, 0}, {10, 3600, 3600, 1, 30, 0.01},
	} {
		c, ok := Of(made(k.amps, k.held, k.tau, k.last, k.step, k.noise))
		if !ok || !c.HeldCurrent() || !c.HeldVoltage() {
			t.Fatalf("%+v: %+v, %t", k, c, ok)
		}
		// The current falls by heldBand before it counts as fallen.
		if late := c.Change - k.held; late < -k.step || late > 1.5*heldBand*k.tau+2*k.step {
			t.Errorf("%+v: the change came %.0f s late", k, late)
		}
		if off := c.Current/(k.amps*k.held) - 1; math.Abs(off) > 0.02+2*heldBand*k.tau/k.held {
			t.Errorf("%+v: %.0f A s with the current held, off by %.1f %%", k, c.Current, 100*off)
		}
		if whole := k.amps*k.held + k.tau*(k.amps-k.last); math.Abs((c.Current+c.Voltage)/whole-1) > 0.01 {
			t.Errorf("%+v: %.0f A s in all, %.0f put in", k, c.Current+c.Voltage, whole)
		}
		if math.Abs(c.Volts/28.7-1) > 0.005 || math.Abs(c.Amperes/k.amps-1) > 0.05 || c.Last > 2*k.last || c.Last < 0.8*k.last {
			t.Errorf("%+v: held %.3g A and %.4g V, ended at %.3g A", k, c.Amperes, c.Volts, c.Last)
		}
		r := made(k.amps, k.held, k.tau, k.last, k.step, k.noise)
		toCome := k.amps * k.held / 2
		at := r.At(c, c.Current+c.Voltage-toCome)
		if math.Abs(at-k.held/2) > 0.02*k.held+k.step {
			t.Errorf("%+v: half of what the held current puts in was in at %.0f s, want %.0f s", k, at, k.held/2)
		}
	}
}

// Only what was held has a phase: a charge broken off before the voltage, one of a pack that was nearly full, and a current that falls
// from the start while the voltage rises, as from a transformer without control, which has none.
func TestPhasesThatAreMissing(t *testing.T) {
	cut := made(8, 7200, 600, 7.9, 10, 0)
	if c, ok := Of(cut); !ok || !c.HeldCurrent() || c.HeldVoltage() || !math.IsNaN(c.Volts) {
		t.Errorf("broken off: %+v, %t", c, ok)
	}
	topped := made(4, 20, 3000, 0.1, 10, 0)
	if c, ok := Of(topped); !ok || c.HeldCurrent() || !c.HeldVoltage() {
		t.Errorf("nearly full: %+v, %t", c, ok)
	}
	var loose Rows
	for t := 60.0; t < 36000; t += 60 {
		loose.Time, loose.Amperes, loose.Volts = append(loose.Time, t), append(loose.Amperes, 6-5*t/36000), append(loose.Volts, 24+5*t/36000)
	}
	if c, ok := Of(loose); ok {
		t.Errorf("neither held: %+v", c)
	}
	none := Rows{Time: []float64{10, 20, 30}, Amperes: []float64{-1, -1, -1}, Volts: []float64{12, 12, 12}}
	if c, ok := Of(none); ok {
		t.Errorf("a discharge: %+v", c)
	}
}

// A charger that goes over to a lower voltage ends the held one there; a spike of either sign at the start changes nothing.
func TestPhasesEndWhereTheVoltageIsLowered(t *testing.T) {
	r := made(6, 9000, 3600, 0.5, 30, 0)
	end := r.Time[len(r.Time)-1]
	for at := end + 30; at < end+14400; at += 30 {
		r.Time, r.Amperes, r.Volts = append(r.Time, at), append(r.Amperes, 0.1), append(r.Volts, 27.3)
	}
	r.Amperes[1], r.Amperes[2] = -12, 15
	c, ok := Of(r)
	if !ok || c.End != end || c.Float != end || math.Abs(c.Change-9000) > 200 || math.Abs(c.Amperes-6) > 0.1 {
		t.Errorf("%+v, %t; the voltage was lowered at %.0f s", c, ok, end)
	}
}
