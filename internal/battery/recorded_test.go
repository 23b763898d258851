package battery

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// The records of this file are a net under the checks against something from outside, which tell what is right: they say that
// calibrations, forecasts and what logs are cut down to are what they were. VOLTWRIGHT_UPDATE=1 writes them anew: read the difference.

func held(t *testing.T, name string, cases []recorded.Case) {
	t.Helper()
	recorded.Hold(t, "testdata/recorded/"+name+".txt", cases, "battery.Chemistry")
}

// plainLog is the log of a plain cell whose capacity and resistance are other than typical, times of the steps and currents again and again.
type plainLog struct {
	chemistry           string
	ah, ohmic           float64 // of the cell, and its resistances as a part of the typical ones
	charge, celsius     float64
	steps               [][2]float64 // A, s
	every, end, longest float64
	rest                float64 // s before the first load
	warm                bool    // with temperatures
}

func (x plainLog) log(t testing.TB, name string) Log {
	t.Helper()
	c := plainOf(chemistry(t, x.chemistry), x.ah/x.ohmic, x.charge, x.celsius)
	c.capacity *= x.ohmic
	var at, amps, volts, celsius []float64
	now := 0.0
	put := func(i, s float64) float64 {
		for range int(math.Round(s)) {
			c.step(i, 1, x.celsius)
		}
		now += s
		v := c.emf() - i*c.ohms()
		at, amps, volts, celsius = append(at, now), append(amps, i), append(volts, v), append(celsius, c.t)
		return v
	}
	at, amps, volts, celsius = append(at, 0), append(amps, 0), append(volts, c.emf()), append(celsius, x.celsius)
	for s := 0.0; s < x.rest; s += x.every {
		put(0, x.every)
	}
	part, in := 0, 0.0
	for now-x.rest < x.longest {
		v := put(x.steps[part][0], x.every)
		if in += x.every; in >= x.steps[part][1] {
			part, in = (part+1)%len(x.steps), 0
		}
		if v < x.end {
			break
		}
	}
	put(0, x.every)
	if !x.warm {
		celsius = nil
	}
	l := NewLog(name, 1, at, amps, volts, celsius)
	l.Ambient = quantity.Exact(quantity.Celsius(x.celsius))
	return l
}

var plainNMC = plainLog{chemistry: "nmc", ah: 4.6, ohmic: 1.2, charge: 1, celsius: 22, steps: [][2]float64{{4, 600}, {0, 120}, {2, 300}}, every: 30, end: 3, longest: 1e5, rest: 60, warm: true}

func residuals(t testing.TB, cal *Calibration) []Residual {
	t.Helper()
	r, err := cal.Residuals()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// summary is what a calibration found, without its steps.
type summary struct {
	Unknowns, Sure []float64
	Together       float64 // the sum of the covariances
	Misfit         float64
	AssumedFull    []string
	Residuals      []Residual
	Values         []Value
	Capacity       quantity.Measured[quantity.AmpereHours]
}

func summaryOf(t *testing.T, cal *Calibration) summary {
	t.Helper()
	s := summary{Unknowns: cal.After.xi, Misfit: cal.Misfit, AssumedFull: cal.AssumedFull, Residuals: residuals(t, cal)}
	for i := range places.n {
		s.Sure = append(s.Sure, cal.After.cov.At(i, i))
	}
	s.Together = mat.Sum(cal.After.cov)
	var err error
	if s.Values, err = cal.After.Values(); err != nil {
		t.Fatal(err)
	}
	if s.Capacity, err = cal.After.Capacity(); err != nil {
		t.Fatal(err)
	}
	return s
}

func learned(t *testing.T, name string, label quantity.Measured[quantity.AmpereHours], resistance float64, logs ...Log) *Calibration {
	t.Helper()
	e, err := Typical(chemistry(t, name), label)
	if err != nil {
		t.Fatal(err)
	}
	if resistance > 0 {
		if e, err = e.WithResistance(quantity.Exact(quantity.Ohms(resistance))); err != nil {
			t.Fatal(err)
		}
	}
	cal, err := e.Calibrate(logs...)
	if err != nil {
		t.Fatal(err)
	}
	return cal
}

func ampereHours(ah float64) quantity.Measured[quantity.AmpereHours] {
	return quantity.Exact(quantity.AmpereHours(ah))
}

// heldCalibration compares a calibration with its record, and what it has of the capacity with what the plain cell holds.
func heldCalibration(t *testing.T, name string, cal *Calibration, holds, within float64) {
	t.Helper()
	s := summaryOf(t, cal)
	close1(t, name+": capacity", float64(s.Capacity.Value), holds, within)
	held(t, name, []recorded.Case{{Name: name, Value: s}})
}

func TestRecordOfARunDown(t *testing.T) {
	t.Parallel()
	heldCalibration(t, "rundown", learned(t, "nmc", ampereHours(5), 0, plainNMC.log(t, "down")), 4.6, 0.02)
}

func TestRecordOfAShallowRun(t *testing.T) {
	t.Parallel()
	shallow := plainNMC
	shallow.end, shallow.longest, shallow.rest, shallow.warm = 0, 2400, 0, false
	heldCalibration(t, "shallow", learned(t, "nmc", ampereHours(5), 0.05, shallow.log(t, "shallow")), 5, 0.15)
}

func TestRecordOfAFalseLabel(t *testing.T) {
	t.Parallel()
	down := plainNMC
	down.steps, down.every = [][2]float64{{3, 1e6}}, 60
	heldCalibration(t, "label", learned(t, "nmc", quantity.Of[quantity.AmpereHours](10, 0.4), 0, down.log(t, "down")), 4.6, 0.03)
}

func TestRecordOfALabelFarTooLow(t *testing.T) {
	t.Parallel()
	down := plainNMC
	down.steps, down.every = [][2]float64{{3, 900}, {0, 60}}, 60
	heldCalibration(t, "low", learned(t, "nmc", quantity.Of[quantity.AmpereHours](1.6, 0.1), 0, down.log(t, "down")), 4.6, 0.03)
}

func TestRecordOfTwoTemperatures(t *testing.T) {
	t.Parallel()
	warm, cold := plainNMC, plainNMC
	warm.chemistry, cold.chemistry = "lfp", "lfp"
	warm.every, cold.every = 60, 60
	warm.end, cold.end = 2.8, 2.8
	cold.celsius = 8
	heldCalibration(t, "temperatures", learned(t, "lfp", ampereHours(5), 0, warm.log(t, "warm"), cold.log(t, "cold")), 4.6, 0.03)
}

func TestRecordOfLeadAcidRuns(t *testing.T) {
	t.Parallel()
	slow := plainLog{chemistry: "lead-acid-agm", ah: 16, ohmic: 1.1, charge: 1, celsius: 25, steps: [][2]float64{{2, 1e6}}, every: 120, end: 1.8, longest: 1e5, rest: 120}
	quick := slow
	quick.steps, quick.every = [][2]float64{{8, 1e6}}, 60
	heldCalibration(t, "leadacid", learned(t, "lead-acid-agm", ampereHours(17), 0, slow.log(t, "slow"), quick.log(t, "quick")), 16, 0.05)
}

func TestRecordOfRunsThatFade(t *testing.T) {
	t.Parallel()
	first := plainLog{chemistry: "lead-acid-agm", ah: 16, ohmic: 1.1, charge: 1, celsius: 25, steps: [][2]float64{{4, 1e6}}, every: 240, end: 1.8, longest: 1e5, rest: 120}
	later := first
	later.ah = 9
	cal := learned(t, "lead-acid-agm", ampereHours(17), 0, first.log(t, "first"), later.log(t, "later"))
	held(t, "fade", []recorded.Case{{Name: "both", Value: summaryOf(t, cal)}})
	if got := cal.After.Logs(); got[0] != "first" || got[1] != "later" || cal.Misfit < contradict {
		t.Errorf("%v, %g", got, cal.Misfit)
	}
}

// Forecasts: straight, sampled, uncertain, never reached; of one pack and of two.
func TestRecordOfForecasts(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	add := func(name string, packs []KnownPack, l Load, cutout *Cutout, ambient quantity.Celsius) {
		f, err := Forecasts(packs, Steady(l), cutout, ambient)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, recorded.Case{Name: name, Value: f})
	}
	add("straight", known(t, "nmc", 5, 5, 20), Drawing(5), &Cutout{Opens: 15.5}, 20)
	add("sampled", known(t, "lfp", 20, 8, 2), Delivering(300), &Cutout{Opens: 23.6, Delay: 2}, 2)
	add("uncertain", known(t, "lfp", 20, 8, 2), Drawing(20), &Cutout{Opens: 24.6}, 2)
	add("never", known(t, "nimh", 4, 10, 20), Across(20), &Cutout{Opens: 1}, 20)
	held(t, "forecasts", all)
	two := append(known(t, "nmc", 5, 5, 20), known(t, "nmc", 2, 5, 20)...)
	_, err := Forecasts(two, Steady(Delivering(1e5)), nil, 20)
	if _, collapsed := errors.AsType[*CollapseError](err); !collapsed {
		t.Error(err)
	}
}

// Simulations of every sort: cutouts that open by voltage and current, protections, replays, charges, collapses.
func TestRecordOfOutcomes(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(17, 4))
	names := []string{"nmc", "lfp", "lead-acid-agm", "nimh", "sodium-ion"}
	var all []recorded.Case
	for n := range 36 {
		series := 1 + rng.IntN(8)
		var packs []Pack
		for i := range 1 + n%3 {
			p := typicalPack(t, names[(n+i)%len(names)], 2+10*rng.Float64(), series)
			p.Name, p.Parallel = fmt.Sprint("pack ", i), 1+rng.IntN(2)
			p.Charge, p.Temperature, p.Leads = 0.2+0.8*rng.Float64(), quantity.Celsius(-10+50*rng.Float64()), quantity.Ohms(0.01*rng.Float64())
			if n%4 == 1 {
				p.Protection = &Cutout{Opens: p.Cell.Chemistry.DatasheetFloor() * quantity.Volts(series), ResetThreshold: quantity.Volts(0.4 * rng.Float64() * float64(series)), Delay: quantity.Seconds(2 * rng.Float64()), Trip: quantity.Amperes(30 + 60*rng.Float64())}
			}
			packs = append(packs, p)
		}
		q, volts := float64(packs[0].Capacity()), float64(packs[0].Cell.Chemistry.Nominal())*float64(series)
		loads := []Load{Delivering(quantity.Watts(q * volts * (0.2 + rng.Float64()))), Across(quantity.Ohms(volts / q / (0.1 + rng.Float64()))), Drawing(quantity.Amperes(q * (0.1 + 1.5*rng.Float64()))), Idle(), Drawing(quantity.Amperes(-0.2 * q))}
		d := Demand{Repeat: n%5 != 0}
		for i := range 1 + n%4 {
			d.Parts = append(d.Parts, Part{loads[(n+i)%len(loads)], quantity.Seconds(math.Exp(2 + 6*rng.Float64()))})
		}
		s := Scenario{Packs: packs, Demand: d, Ambient: packs[0].Temperature - 5, Until: 36000, TracePoints: []int{0, 12}[n%2]}
		if n%3 != 2 {
			s.Levels = FloorLevels(packs[0], nil)
		}
		if n%2 == 0 {
			s.Cutout = &Cutout{Opens: packs[0].Cell.Chemistry.ConservativeFloor() * quantity.Volts(series), ResetThreshold: []quantity.Volts{quantity.Volts(0.25 * float64(series)), quantity.Volts(math.NaN()), 50}[n%3], Delay: quantity.Seconds(5 * rng.Float64()), Trip: quantity.Amperes([]float64{0, q, 2 * q}[n/2%3]), Idle: quantity.Amperes(0.002 * q)}
			s.StopAtCutout = n%8 == 0
		}
		o, err := Simulate(s)
		if o != nil {
			o.Steps = 0 // how it is come to
			if many := len(o.Openings); many > 6 {
				o.Openings = append(o.Openings[:3], o.Openings[many-3:]...)
				o.Openings[0].Pack += fmt.Sprint(" of ", many)
			}
			kept := o.Trace[:0]
			for i, row := range o.Trace {
				if i%4 == 0 || i == len(o.Trace)-1 {
					kept = append(kept, row)
				}
			}
			o.Trace = kept
		}
		all = append(all, recorded.Case{Name: fmt.Sprint("scenario ", n), Value: struct {
			Outcome *Outcome
			Err     error
		}{o, err}})
	}
	held(t, "outcomes", all)
}

// Packs that are joined, until they are quiet, and chargers of several sorts.
func TestRecordOfJoinsAndCharges(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	for i, x := range []struct {
		names  [2]string
		ah     [2]float64
		charge [2]float64
	}{{[2]string{"nmc", "nmc"}, [2]float64{5, 5}, [2]float64{1, 0.9}}, {[2]string{"nmc", "nmc"}, [2]float64{10, 4}, [2]float64{0.4, 0.95}}, {[2]string{"lfp", "lfp"}, [2]float64{3, 3.15}, [2]float64{0.9, 0.1}}, {[2]string{"lead-acid-agm", "lead-acid-agm"}, [2]float64{17, 17.9}, [2]float64{1, 0.5}}} {
		var packs []Pack
		for k := range 2 {
			p := typicalPack(t, x.names[k], x.ah[k], 4)
			p.Name, p.Charge, p.Temperature = fmt.Sprint("pack ", k), x.charge[k], 15
			packs = append(packs, p)
		}
		j, err := Join(packs, 15)
		all = append(all, recorded.Case{Name: fmt.Sprint("join ", i), Value: struct {
			Joining *Joining
			Err     error
		}{j, err}})
	}
	three := []Pack{typicalPack(t, "nmc", 5, 4), typicalPack(t, "nmc", 5, 4), typicalPack(t, "nmc", 5, 4)}
	three[2].Charge = 0.5 // it takes what both others give
	j, err := Join(three, 20)
	if err != nil || j.Largest != -j.Currents[2] || !(j.Currents[0] > 0 && j.Currents[1] > 0) {
		t.Errorf("%+v, %v", j, err)
	}
	all = append(all, recorded.Case{Name: "join of three", Value: j})
	for i, x := range []struct {
		name string
		from float64
		c    Charger
		warm quantity.Celsius
	}{{"nmc", 0.1, Charger{Current: 2}, 20}, {"lfp", 0.5, Charger{Current: 4, Volts: 14.2, Stop: 0.3}, 30}, {"lead-acid-agm", 0.2, Charger{Current: 1.2}, 25}, {"lead-acid-gel", 0.85, Charger{Current: 1}, 25}, {"nimh", 0.3, Charger{Current: 0.5}, 20}, {"sodium-ion", 0, Charger{Current: 1, Limit: 5000}, -5}} {
		p := typicalPack(t, x.name, 5, 4)
		p.Charge, p.Temperature = x.from, x.warm
		c, err := Charge(p, x.c, x.warm)
		if err == nil {
			c.course = nil
		}
		all = append(all, recorded.Case{Name: fmt.Sprint("charge ", i), Value: struct {
			Charging *Charging
			Err      error
		}{c, err}})
	}
	held(t, "joins", all)
}

// What a log is cut down to, in numbers.
type cutDown struct {
	Seconds, Amps, Temp, Mark                    []float64
	At, Currents, Volts, Temps, Sigma            []float64
	First, Charging                              []float64
	StartTemp, Ambient, Drawn, RestStart, Lowest float64
	Measured, AssumedFull                        bool
}

func cut(p *prepared) cutDown {
	flag := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	c := cutDown{StartTemp: p.startTemp, Ambient: p.ambient, Drawn: p.drawn, RestStart: p.restStart, Measured: p.measured, AssumedFull: p.fullAssume}
	for _, x := range p.pieces {
		c.Seconds, c.Amps, c.Temp, c.Mark = append(c.Seconds, x.seconds), append(c.Amps, x.amps), append(c.Temp, x.temp), append(c.Mark, float64(x.mark))
	}
	for _, m := range p.marks {
		c.At, c.Currents, c.Volts, c.Temps, c.Sigma = append(c.At, m.t), append(c.Currents, m.amps), append(c.Volts, m.volts), append(c.Temps, m.temp), append(c.Sigma, m.sigma)
		c.First, c.Charging = append(c.First, flag(m.first)), append(c.Charging, flag(m.charging))
	}
	return c
}

// ragged is a log with jumps, ripple, a charge, rests, repeated times, gaps and rows without numbers.
func ragged(t *testing.T) Log {
	down := plainLog{chemistry: "nmc", ah: 5, ohmic: 1, charge: 0.9, celsius: 20, steps: [][2]float64{{0, 60}, {5, 200}, {5.2, 20}, {0.05, 400}, {-3, 120}, {0.05, 30}, {-0.2, 30}, {0.5, 90}, {9, 15}, {-0.2, 30}}, every: 5, longest: 4000, rest: 20, warm: true}
	l := down.log(t, "ragged")
	for i := range l.Time {
		l.Amperes[i] += 0.02 * math.Sin(float64(i))
		switch {
		case i%37 == 5:
			l.Volts[i] = math.NaN()
		case i%41 == 7:
			l.Celsius[i] = math.NaN()
		case i%53 == 9:
			l.Time[i] = l.Time[i-1]
		case i%59 == 11:
			l.Time[i] -= 8
		}
	}
	l.Celsius[0], l.Celsius[1] = math.NaN(), math.NaN()
	return l
}

func TestRecordOfCutLogs(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	c := chemistry(t, "nmc")
	add := func(name string, l Log, capacity float64, whole bool) *prepared {
		p, err := prepareRows(l, c, capacity, whole)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, recorded.Case{Name: name, Value: cut(p)})
		return p
	}
	add("ragged", ragged(t), 5, false)
	add("ragged, every row", ragged(t), 5, true)
	add("ragged, of a large cell", ragged(t), 80, false)
	full := plainNMC.log(t, "full")
	add("from full", full, 5, false)
	full.Drawn, full.Ambient, full.Celsius = ampereHours(1.5), quantity.Missing[quantity.Celsius](), nil
	add("taken out before", full, 5, false)
	begins := ragged(t)
	begins.Amperes[0] = 0.05
	add("begins at a twentieth of an ampere", begins, 5, false)
	add("begins at a twentieth of an ampere, of a large cell", begins, 80, false)
	for _, dt := range []float64{0.016, 0.017} { // a logger of some sixty rows a second, at a step of the current
		l := NewLog("quick", 1, nil, nil, nil, nil)
		for k := range 400 {
			amps, volts := 0.0, 3.9
			if k > 30 {
				amps, volts = 5, 3.7-0.2*(1-math.Exp(-float64(k-30)*dt))
			}
			l.Time, l.Amperes, l.Volts = append(l.Time, float64(k)*dt), append(l.Amperes, amps), append(l.Volts, volts)
		}
		add(fmt.Sprintf("quick rows, %g s", dt), l, 5, false)
	}
	drifts := NewLog("drifts", 1, nil, nil, nil, nil) // a current that goes up and down by little and little, at a voltage that stays
	for k := range 300 {
		drifts.Time, drifts.Amperes, drifts.Volts = append(drifts.Time, 3*float64(k)), append(drifts.Amperes, 2+0.1*math.Abs(float64(k%60-30))), append(drifts.Volts, 3.9)
	}
	add("a current that drifts", drifts, 5, false)
	short := plainNMC
	short.every, short.steps, short.longest, short.end, short.ah = 1, [][2]float64{{4, 1}, {1, 2}, {0.1, 1}}, 26000, 0, 30
	steps := short.log(t, "short")
	for i := range steps.Celsius {
		steps.Celsius[i] = 20 + 7*float64(i%5)
	}
	add("of as many steps", steps, 5, false)
	long := plainNMC
	long.every, long.steps, long.longest, long.end = 1, [][2]float64{{4, 3}, {1, 2}}, 9000, 0
	add("of very many rows", long.log(t, "long"), 5, false)
	cell := typicalPack(t, "nmc", 5, 1).Cell
	for _, name := range []string{"ragged", "down"} {
		l := map[string]Log{"ragged": ragged(t), "down": plainNMC.log(t, "down")}[name]
		r, err := Compare(cell, l)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, recorded.Case{Name: name + ", compared", Value: r})
	}
	held(t, "logs", all)
}
