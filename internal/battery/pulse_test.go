package battery

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// pulsed makes a log of pulses from a cell that is known, with the noise of a meter.
func pulsed(t testing.TB, c *Cell, start float64, amps []float64, noise float64) Log {
	t.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	e := newElement(NewPack(c, 1))
	e.thermal = false
	e.y.charge, e.y.temp = start, 25
	var l Log
	at := 0.0
	add := func(i float64) {
		e.behind(&e.y, &e.now)
		l.Time, l.Amperes = append(l.Time, at), append(l.Amperes, i)
		l.Volts = append(l.Volts, e.now.emf-e.now.ohms*i+noise*rng.NormFloat64())
		l.Celsius = append(l.Celsius, 25)
	}
	stretch := func(i, seconds, step float64) {
		add(i)
		for s := 0.0; s < seconds-1e-9; s += step {
			for range 10 {
				e.hold(i, step/10, 25)
			}
			at += step
			add(i)
		}
	}
	stretch(0, 5, 1)
	for _, i := range amps {
		stretch(i, 10, 0.2)
		stretch(0, 600, 2)
	}
	log := NewLog("made", 1, l.Time, l.Amperes, l.Volts, l.Celsius)
	log.Drawn = quantity.Exact(quantity.AmpereHours((1 - start) * float64(c.Capacity)))
	return log
}

// A cell that is not the typical one is found again from its pulses: the
// resistance at once, after 10 s and after 10 min within the uncertainty stated
// (k = 2) and within 5 %. Oracle: the values the log was made with.
func TestPulsesGiveTheValuesBack(t *testing.T) {
	truth := *typicalPack(t, "nmc", 5, 1).Cell
	truth.Ohmic = Profile{0.026}
	truth.Branches = []Branch{{Profile{0.007}, 5}, {Profile{0.012}, 90}}
	truth.Lag = 110
	truth.HeatCapacity = 0
	log := pulsed(t, &truth, 0.6, []float64{5, 10, 2.5, 15}, 0.0005)
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	cal, err := e.Calibrate(log)
	if err != nil {
		t.Fatal(err)
	}
	z := 0.6
	after := []float64{0, 10, 600}
	s, err := cal.After.Spread(func(c *Cell) ([]float64, error) {
		var y []float64
		for _, s := range after {
			y = append(y, float64(c.ResistanceAt(z, 25, quantity.Seconds(s))))
		}
		return y, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, secs := range after {
		want := float64(truth.ResistanceAt(z, 25, quantity.Seconds(secs)))
		t.Logf("after %g s: (%.2f ± %.2f) mΩ, made with %.2f mΩ", secs, 1000*s[i].Value, 2000*s[i].U, 1000*want)
		limit := 0.05
		if secs > 10 {
			limit = 0.25 // a pulse of 10 s tells little of ten minutes: rest and lag share it
		}
		if math.Abs(s[i].Value-want) > quantity.CoverageFactor*s[i].U || math.Abs(s[i].Value/want-1) > limit {
			t.Errorf("after %g s: %.2f mΩ, made with %.2f mΩ", secs, 1000*s[i].Value, 1000*want)
		}
	}
}

// Resistances over 10 s from measured pulses, against those that SOURCE.md of the
// Panasonic set works out by hand from the rows, 1C and 4C pulses: within 5 %.
// "R at the first row" is not compared: the first row comes up to 0.1 s late.
func TestMeasuredPulses(t *testing.T) {
	var lines []string
	for _, k := range []struct {
		name   string
		drawn  float64
		stated []float64 // 1C, 4C; 0: not stated
	}{
		{"25C_HPPC_5pulse_SOC100", 0, []float64{0.04798, 0.04278}},
		{"25C_HPPC_5pulse_SOC50", 1.45002, []float64{0.03733, 0.03657}},
		{"25C_HPPC_5pulse_SOC20", 2.32002, []float64{0.04553, 0}},
	} {
		l := panasonicLog(t, k.name)
		l.Drawn = quantity.Exact(quantity.AmpereHours(k.drawn))
		e, err := Typical(chemistry(t, "nca"), quantity.Exact(quantity.AmpereHours(2.9)))
		if err != nil {
			t.Fatal(err)
		}
		cal, err := e.Calibrate(l)
		if err != nil {
			t.Fatal(err)
		}
		// The same quotient from the calibrated cell: a pulse of 10 s from rest.
		for i, amps := range []float64{2.9, 11.6} {
			if k.stated[i] == 0 {
				continue
			}
			s, err := cal.After.Spread(func(c *Cell) ([]float64, error) {
				p := NewPack(c, 1)
				p.Charge = 1 - k.drawn/float64(c.Capacity)
				o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Demand{Parts: []Part{{Drawing(quantity.Amperes(amps)), 10}}}, Ambient: 25, Tolerance: 1e-4})
				if err != nil {
					return nil, err
				}
				return []float64{(float64(p.RestVoltage()) - float64(o.Volts)) / amps}, nil
			})
			if err != nil {
				t.Fatal(err)
			}
			lines = append(lines, fmt.Sprintf("%-24s %5.1f A: (%.2f ± %.2f) mΩ over 10 s, stated %.2f mΩ, %+.1f %%", k.name, amps, 1000*s[0].Value, 2000*s[0].U, 1000*k.stated[i], 100*(s[0].Value/k.stated[i]-1)))
			// At full charge the quotient falls from 47.98 mΩ at 1C to 42.78 mΩ at 4C: there
			// the resistance depends on the current, which this circuit does not have.
			limit := 0.05
			if k.drawn == 0 {
				limit = 0.10
			}
			if math.Abs(s[0].Value/k.stated[i]-1) > limit {
				t.Errorf("%s at %g A: %.2f mΩ, stated %.2f mΩ", k.name, amps, 1000*s[0].Value, 1000*k.stated[i])
			}
		}
	}
	t.Log("\n" + strings.Join(lines, "\n"))
}

// The rebound after a load is taken off: calibrated on the pulses of 0.5C, 1C and
// 2C, the voltage 60 s and 1190 s after the 4C pulse is predicted within the
// uncertainty stated (k = 2, with 5 mV for the model itself). Stated values: the
// log's own rows, "V 60 s after" and "V end of rest" of SOURCE.md.
func TestRebound(t *testing.T) {
	var lines []string
	for _, k := range []struct {
		name            string
		drawn           float64
		minute, settled float64 // V, SOURCE.md; the minute of the 20 % log is not stated there
	}{
		{"25C_HPPC_5pulse_SOC100", 0, 4.12672, 4.13701},
		{"25C_HPPC_5pulse_SOC50", 1.45002, 3.63774, 3.64868},
		{"25C_HPPC_5pulse_SOC20", 2.32002, math.NaN(), math.NaN()},
	} {
		whole := panasonicLog(t, k.name)
		whole.Drawn = quantity.Exact(quantity.AmpereHours(k.drawn))
		// The fourth pulse begins where the current first passes 3.5 × 2.9 A.
		fourth, off := -1, -1
		for i, a := range whole.Amperes {
			if fourth < 0 && a > 3.5*2.9 {
				fourth = i
			}
			if fourth >= 0 && off < 0 && i > fourth && math.Abs(a) < 0.01 {
				off = i
			}
		}
		seen := whole
		seen.Time, seen.Amperes, seen.Volts, seen.Celsius = whole.Time[:fourth-1], whole.Amperes[:fourth-1], whole.Volts[:fourth-1], whole.Celsius[:fourth-1]
		e, err := Typical(chemistry(t, "nca"), quantity.Exact(quantity.AmpereHours(2.9)))
		if err != nil {
			t.Fatal(err)
		}
		cal, err := e.Calibrate(seen)
		if err != nil {
			t.Fatal(err)
		}
		p, err := prepareRows(whole, e.typical.chemistry, 2.9, true)
		if err != nil {
			t.Fatal(err)
		}
		for _, after := range []float64{60, 1190} {
			at := 0
			for i, m := range p.marks {
				if m.t <= whole.Time[off]+after {
					at = i
				}
			}
			measured := p.marks[at].volts
			if want := map[float64]float64{60: k.minute, 1190: k.settled}[after]; math.Abs(measured-want) > 0.0007 {
				t.Errorf("%s: the row %g s after is %.5f V, SOURCE.md states %.5f V", k.name, after, measured, want)
			}
			s, err := cal.After.Spread(func(c *Cell) ([]float64, error) {
				v := make([]float64, len(p.marks))
				p.follow(c, false, v, nil)
				return []float64{v[at]}, nil
			})
			if err != nil {
				t.Fatal(err)
			}
			u := math.Hypot(s[0].U, modelVolts)
			lines = append(lines, fmt.Sprintf("%-24s %5.0f s after 4C: (%.4f ± %.4f) V, measured %.4f V, %+.1f mV", k.name, after, s[0].Value, 2*u, measured, 1000*(s[0].Value-measured)))
			if math.Abs(s[0].Value-measured) > quantity.CoverageFactor*u {
				t.Errorf("%s: %.4f V after %g s, measured %.4f V", k.name, s[0].Value, after, measured)
			}
		}
	}
	t.Log("\n" + strings.Join(lines, "\n"))
}

// pulsesOf are the nine pulses of one cell of the 21700 NMC set, from 10 % to 90 %.
func pulsesOf(t *testing.T, temp, cell string) []Log {
	text, err := os.ReadFile("../../testdata/logs/lg-m50-warwick/pulses_T25_T0_two_cells.csv")
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]*Log{}
	var order []string
	for line := range strings.Lines(string(text)) {
		f := strings.Split(strings.TrimSpace(line), ",")
		if f[0] != temp || f[2] != cell {
			continue
		}
		l := by[f[1]]
		if l == nil {
			n := NewLog(temp+cell+f[1], 1, nil, nil, nil, nil)
			soc, _ := strconv.ParseFloat(strings.TrimPrefix(f[1], "SoC"), 64)
			n.Drawn = quantity.Exact(quantity.AmpereHours(5 * (1 - soc/10)))
			l = &n
			by[f[1]] = l
			order = append(order, f[1])
		}
		at, _ := strconv.ParseFloat(f[6], 64)
		v, _ := strconv.ParseFloat(f[7], 64)
		i, _ := strconv.ParseFloat(f[8], 64)
		c, _ := strconv.ParseFloat(f[10], 64)
		l.Time, l.Volts, l.Amperes, l.Celsius = append(l.Time, at), append(l.Volts, v), append(l.Amperes, -i), append(l.Celsius, c)
	}
	var out []Log
	for _, k := range order {
		out = append(out, *by[k])
	}
	return out
}

// The pulses of three cells at two temperatures, each calibrated from its own nine
// pulses: the quotient over 10 s against the values that SOURCE.md works out from
// the rows. In 22 of 36 pulses a row has the new voltage with the old current.
func TestPulsesOfThreeCells(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for _, k := range []struct {
		temp, cell string
		amps       float64
		stated     map[float64]float64 // charge, ohm
	}{
		{"T25", "Cell1", 7.5, map[float64]float64{0.9: 0.03700, 0.5: 0.03618, 0.1: 0.04745}},
		{"T25", "Cell2", 7.5, map[float64]float64{0.5: 0.03394}},
		{"T0", "Cell19", 2.5, map[float64]float64{0.9: 0.05650, 0.5: 0.05024}},
	} {
		logs := pulsesOf(t, k.temp, k.cell)
		if len(logs) != 9 {
			t.Fatalf("%s %s: %d pulses", k.temp, k.cell, len(logs))
		}
		cal, err := e.Calibrate(logs...)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range logs {
			charge := 1 - float64(l.Drawn.Value)/5
			for at, stated := range k.stated {
				if math.Abs(at-charge) > 1e-9 {
					continue
				}
				p := NewPack(cal.After.Cell(), 1)
				p.Charge, p.Temperature = 1-float64(l.Drawn.Value)/float64(p.Cell.Capacity), quantity.Celsius(l.Celsius[0])
				o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Demand{Parts: []Part{{Drawing(quantity.Amperes(k.amps)), 10}}}, Ambient: p.Temperature, Tolerance: 1e-4})
				if err != nil {
					t.Fatal(err)
				}
				r := (float64(p.RestVoltage()) - float64(o.Volts)) / k.amps
				lines = append(lines, fmt.Sprintf("%-4s %-6s %3.0f %%: %.2f mΩ over 10 s, stated %.2f mΩ, %+.1f %%", k.temp, k.cell, 100*at, 1000*r, 1000*stated, 100*(r/stated-1)))
				limit := 0.05
				if at < 0.2 { // near empty the curve falls by a part of it
					limit = 0.08
				}
				if math.Abs(r/stated-1) > limit {
					t.Errorf("%s %s at %g: %.2f mΩ, stated %.2f mΩ", k.temp, k.cell, at, 1000*r, 1000*stated)
				}
			}
		}
	}
	t.Log("\n" + strings.Join(lines, "\n"))
}
