package predict

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// TestTracesAreThinned: at most three hundred points, evenly, with the last; each as it was.
func TestTracesAreThinned(t *testing.T) {
	// Of more than three hundred every second, third, … row is kept, and the last.
	for n, want := range map[int]int{1: 1, 2: 2, 299: 299, 300: 300, 301: 151, 599: 300, 600: 300, 601: 201, 5000: 296} {
		at, volts := make([]float64, n), make([]float64, n)
		for k := range n {
			at[k], volts[k] = float64(k), float64(3*k)
		}
		got := traceOf(at, volts, 2)
		if len(got.T) != want || got.T[len(got.T)-1] != float64(n-1) {
			t.Errorf("%d points become %d, the last %v", n, len(got.T), got.T[len(got.T)-1])
		}
		for k, x := range got.T {
			if got.V[k] != 6*x {
				t.Fatalf("%v at %v", got.V[k], x)
			}
		}
	}
	thin := thinned(&Rows{Start: 100, Time: []float64{110, 130}, Voltage: []float64{5, 4}})
	if !slices.Equal(thin.T, []float64{10, 30}) || !slices.Equal(thin.V, []float64{5, 4}) {
		t.Errorf("%+v", thin)
	}
}

// TestResidualsAreMeans: by hand, of three runs of which two ran far enough down.
func TestResidualsAreMeans(t *testing.T) {
	k, err := typical(bank(t, nil), false, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := func(predicted, measured, volts float64, level string) Validation {
		check := LevelCheck{Level: level, Measured: quantity.Seconds(measured), Predicted: quantity.Of(quantity.Seconds(predicted), quantity.Seconds(4))}
		return Validation{Voltage: quantity.Volts(volts), Checks: []LevelCheck{check}}
	}
	accuracyOver := k.accuracyOver
	end := k.levels()[0].Name
	r := accuracyOver([]Validation{c(110, 100, 0.01, end), c(94, 100, 0.03, end), c(1, 2, 0.02, "another")})
	if r.Runs != 3 || r.TimeRuns != 2 || r.Inside != 1 || math.Abs(r.Time-0.08) > 1e-12 || math.Abs(float64(r.Voltage)-0.02) > 1e-12 {
		t.Errorf("%+v", r)
	}
	for _, says := range []string{"3 runs", "20 mV", "8.0 %", "(2 of them", "1 of 2 inside"} {
		if !strings.Contains(r.Words, says) {
			t.Errorf("%s does not say %s", r.Words, says)
		}
	}
	if one := accuracyOver([]Validation{c(110, 100, 0.01, end)}); !strings.Contains(one.Words, "1 run ") || strings.Contains(one.Words, "of them") {
		t.Error(one.Words)
	}
	if none := accuracyOver(nil); !math.IsNaN(none.Time) || !math.IsNaN(float64(none.Voltage)) {
		t.Errorf("%+v", none)
	}
	for x, want := range map[float64]string{9.94: "9.9", 10: "10", 4.26: "4.3", 123.4: "123"} {
		if got := chiSquare(x); got != want {
			t.Errorf("%v is written %s", x, got)
		}
	}
}

// TestWhoTeaches: the four that took out most, the deepest first.
func TestWhoTeaches(t *testing.T) {
	var all []CalibrationRun
	for _, depth := range []float64{0.3, 0.9, -1, 0.5, 0.7, 0.1} {
		l := CalibrationRun{}
		if depth > 0 {
			l.log = &calibrationLog{run: &Run{}, depth: depth}
		}
		all = append(all, l)
	}
	var got []float64
	for _, l := range chosenForCalibration(all) {
		got = append(got, l.depth)
	}
	if !slices.Equal(got, []float64{0.9, 0.7, 0.5, 0.3}) {
		t.Error(got)
	}
	if len(chosenForCalibration(nil)) != 0 {
		t.Error("nobody teaches")
	}
}

// TestChangedCells: more capacity is more of the same cells, so heat and cooling go along; each resistance by the same factor.
func TestChangedCells(t *testing.T) {
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := setting{packs: k.cells(halves, 20)}
	s.packs[0].Leads = 0.01
	before := *s.packs[0].Cell
	c := s.clone()
	c.cells(1.1, 1.2)
	after := *c.packs[0].Cell
	near(t, "capacity", float64(after.Capacity), 1.1*float64(before.Capacity), 1e-12)
	near(t, "heat capacity", after.HeatCapacity, 1.1*before.HeatCapacity, 1e-12)
	near(t, "conductance", after.Conductance, 1.1*before.Conductance, 1e-12)
	near(t, "ohmic", after.Ohmic.At(0.5), 1.2*before.Ohmic.At(0.5), 1e-12)
	for n := range after.Branches {
		near(t, "branch", after.Branches[n].Resistance.At(0.5), 1.2*before.Branches[n].Resistance.At(0.5), 1e-12)
	}
	near(t, "leads", float64(c.packs[0].Leads), 0.012, 1e-12)
	lead, err := typical(bank(t, func(b *Bank) { b.Packs[0].Chemistry = chemistry(t, "lead-acid-agm") }), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	of := setting{packs: lead.cells(halves, 20)}
	more := of.clone()
	more.cells(1.1, 1)
	near(t, "what Peukert's law goes by", float64(more.packs[0].Cell.Peukert.Capacity), 1.1*float64(of.packs[0].Cell.Peukert.Capacity), 1e-12)
	near(t, "of what it went by", float64(of.packs[0].Cell.Peukert.Capacity), 8, 1e-12)
	if s.packs[0].Leads != 0.01 || s.packs[0].Cell.Capacity != before.Capacity {
		t.Error("the pack that was copied changes with it")
	}
	tornado := Sensitivity{Base: 10, Inputs: []InputEffect{{Effect: 2, Low: ChangedInput{Time: 8}, High: ChangedInput{Time: 12}}}}
	tornado.counted(1.5)
	if b := tornado.Inputs[0]; tornado.Base != 15 || b.Effect != 3 || b.Low.Time != 12 || b.High.Time != 18 {
		t.Errorf("%+v", tornado)
	}
}

// TestChargesAndLife: a fifth and a half of the capacity an hour, the charger's own and those of runs; full cycles are charge over capacity.
func TestChargesAndLife(t *testing.T) {
	b := bank(t, func(b *Bank) { b.Charger = battery.Charger{Current: 5, Volts: 25.2} })
	k, err := typical(b, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	runs := []Run{{ID: "cart/1/a", Slug: "a", Name: "A", Charging: 4, DischargedCharge: quantity.Exact(quantity.AmpereHours(8)), Capacity: quantity.Missing[quantity.AmpereHours]()}, {ID: "cart/1/b", Slug: "b", Charging: quantity.Amperes(math.NaN()), DischargedCharge: quantity.Exact(quantity.AmpereHours(8)), Capacity: quantity.Exact(quantity.AmpereHours(10))}, {ID: "cart/1/c", Slug: "c", DischargedCharge: quantity.Missing[quantity.AmpereHours]()}}
	list := k.chargeTimes(runs, quantity.Exact(quantity.Number(0.25)), nil, false, 20)
	var names []string
	for _, c := range list {
		names = append(names, c.Name)
		want := map[string]float64{ChargerName: 5, "charge-time/c-5": 3.2, "charge-time/c-2": 8, "charge-time/a": 4}[c.Name]
		near(t, c.Name, float64(c.Current), want, 1e-12)
		if c.From != 0.25 || c.Err != "" || c.Own != (c.Name == ChargerName) || (c.Run != "") != (c.Name == "charge-time/a") {
			t.Errorf("%+v", c)
		}
		near(t, "total", float64(c.Total.Value), float64(c.Bulk+c.Taper), 1e-9)
		near(t, "charge, three quarters of 16 Ah", float64(c.Charge), 12, 0.05)
		// Lithium-ion: the missing charge over the current, and an hour to an hour and a half more.
		near(t, "by the rule", float64(c.RuleLow), 3600*(12/want+1), 1e-9)
		near(t, "by the rule", float64(c.RuleHigh), 3600*(12/want+1.5), 1e-9)
		if u := float64(c.Total.U / c.Total.Value); u < 0.05 || u > 0.5 {
			t.Errorf("%s: u is %v of it", c.Name, u)
		}
	}
	if got := strings.Join(names, " "); got != "charge-time/charger charge-time/c-5 charge-time/c-2 charge-time/a" {
		t.Error(got)
	}
	l := k.life(nil, runs)
	if len(l.Runs) != 2 || l.Runs[0].Cycles != 0.5 || l.Runs[1].Cycles != 0.8 || len(l.At) != 1 || l.At[0].Depth != 0.5 || l.At[0].Name != "to half" {
		t.Errorf("%+v", l)
	}
	near(t, "stored", float64(l.Storage), 7*float64(chemistry(t, "lfp").StorageVoltage()), 1e-12)
	own := &RunTime{Cutout: &EndPoint{Charge: quantity.Exact(quantity.AmpereHours(12)), Left: quantity.Exact(quantity.AmpereHours(4))}, Conservative: EndPoint{Charge: quantity.Exact(quantity.AmpereHours(14)), Left: quantity.Exact(quantity.AmpereHours(2))}}
	if l = k.life(own, nil); len(l.At) != 3 || l.At[0].Depth != 0.75 || l.At[1].Depth != 0.875 || !strings.Contains(l.At[0].Name, EndsAtCutout) {
		t.Errorf("%+v", l.At)
	}
	// A charger that ends below where the packs stand puts nothing in, one that fills them to less than four fifths is none for them.
	for volts, says := range map[quantity.Volts]string{22: "puts nothing in", 23.4: "", 25.2: ""} {
		k.bank.Charger.Volts = volts
		c := k.chargeTimes(nil, quantity.Exact(quantity.Number(0.25)), nil, false, 20)[0]
		if says != "" && !strings.Contains(c.Err, says) {
			t.Errorf("%v V: %+v", volts, c)
		}
	}
	a := &Prediction{Charges: list}
	a.Refuse("charge-voltage-high")
	if c := a.Charges[0]; c.Against != "charge-voltage-high" || c.Total.Known() || c.Current != 5 || a.Charges[1].Against != "" {
		t.Errorf("%+v", c)
	}
}

// TestHowFullALogBegins: at rest by the curve, under load by what it would be at rest; the bounds of the documented rules.
func TestHowFullALogBegins(t *testing.T) {
	k, err := typical(bank(t, func(b *Bank) { b.Packs[0].Chemistry = chemistry(t, "nmc") }), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	cell := k.estimates[0].Cell()
	curve := cell.Chemistry.Curve()
	rows := func(z, amps, rest float64) *Rows {
		v, _ := curve.At(z)
		r := &Rows{Start: 0}
		for at := 0.0; at <= rest; at += 10 {
			r.Time, r.Current, r.Voltage, r.Temperature = append(r.Time, at+10), append(r.Current, amps), append(r.Voltage, 7*float64(v)), append(r.Temperature, 20)
		}
		r.Time, r.Current, r.Voltage, r.Temperature = append(r.Time, rest+20), append(r.Current, 10), append(r.Voltage, 7*3.5), append(r.Temperature, 20)
		return r
	}
	for _, x := range []struct {
		z, amps, rest float64
		full, usable  bool
	}{
		{0.975, 0, 20, true, true}, {0.965, 0, 20, false, false}, {0.965, 0, 700, false, true}, {0.5, 0, 700, false, true}, {0.5, 0, 580, false, false}, {0.9, 0.33, 20, true, true}, {0.3, 5, 20, false, false}, {0.9, 0.31, 20, false, false},
	} {
		full, use, how, why := rows(x.z, x.amps, x.rest).begins(cell, 7, 16)
		if full != x.full || (why == "") != x.usable || (use != nil) != x.usable || (how != "") != x.usable {
			t.Errorf("%+v: full %v, %q, %q", x, full, how, why)
		}
		if x.usable && !full && (use.Time[0] < 600 || len(use.Time) != 2) {
			t.Errorf("%+v: %+v", x, use)
		}
	}
	if _, _, _, why := (&Rows{}).begins(cell, 7, 16); why == "" {
		t.Error("no rows begin")
	}
	flat, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	lfp := flat.estimates[0].Cell()
	r := rows(0.5, 0, 700)
	v, _ := lfp.Chemistry.Curve().At(0.55)
	for i := range r.Voltage[:len(r.Voltage)-1] {
		r.Voltage[i] = 7 * float64(v)
	}
	if _, _, _, why := r.begins(lfp, 7, 16); !strings.Contains(why, "hardly changes") {
		t.Errorf("the flat of LFP: %q", why)
	}
}

// TestRunningTime: what the rule takes out, by hand, of stops within, across either end and outside; or the stated part of the clock.
func TestRunningTime(t *testing.T) {
	w := &Timing{Part: math.NaN(), Stops: []Stop{{From: 0, To: 20, TakenOut: true}, {From: 30, To: 35}, {From: 40, To: 50, TakenOut: true}, {From: 90, To: 130, TakenOut: true}, {From: 200, To: 300, TakenOut: true}}}
	for _, x := range []struct{ from, to, want float64 }{{10, 100, 90 - 10 - 10 - 10}, {25, 36, 11}, {42, 48, 0}, {0, 400, 400 - 20 - 10 - 40 - 100}, {60, 60, 0}, {70, 60, 0}} {
		if got := w.running(x.from, x.to); math.Abs(got-x.want) > 1e-12 {
			t.Errorf("from %v to %v: %v, want %v", x.from, x.to, got, x.want)
		}
	}
	if got := (&Timing{Part: 0.8}).running(10, 60); math.Abs(got-40) > 1e-12 {
		t.Errorf("four fifths of the clock: %v", got)
	}
	if got := (*Timing)(nil).running(10, 60); got != 50 {
		t.Errorf("without stops: %v", got)
	}
	l := calibrationLog{run: &Run{Timing: w}, whole: &Rows{Start: 5}}
	r := battery.Residual{First: 20, Measured: 60} // from 25 on, 85
	near(t, "to the end", float64(l.running(r, 60)), 60-10, 1e-12)
	near(t, "to before it", float64(l.running(r, 10)), 10, 1e-12)
	near(t, "beyond it, as if it went on", float64(l.running(r, 75)), 60-10+15, 1e-12)
}

// TestRowsAsALog: rows are steps of the current: each begins where the last ended, with the charge of the rows, and the voltage that stood at a step's
// beginning where the current hardly changed.
func TestRowsAsALog(t *testing.T) {
	nan := math.NaN()
	r := &Rows{Start: 100, Time: []float64{110, 130, 160, 200}, Current: []float64{10, 10.25, 5, 5}, Voltage: []float64{26, 25.5, 25.8, 25.7}, Temperature: []float64{20, 21, nan, 23}}
	l := r.log("a", 7, 0.5, quantity.Exact(quantity.Celsius(18)))
	charge := 0.0
	for k := 1; k < len(l.Time); k++ {
		charge += (l.Amperes[k] + l.Amperes[k-1]) / 2 * (l.Time[k] - l.Time[k-1])
	}
	near(t, "charge", charge, 0.5*(10*10+10.25*20+5*30+5*40), 1e-3)
	if l.Series != 7 || l.Name != "a" || l.Ambient.Value != 18 || l.Time[0] != 0 || l.Time[len(l.Time)-1] != 100 || !slices.IsSorted(l.Time) || len(l.Celsius) != len(l.Time) {
		t.Errorf("%+v", l)
	}
	// A step within 3 % of the greatest current begins at the voltage before it, a larger one at its own.
	at := func(seconds float64) int {
		return slices.IndexFunc(l.Time, func(x float64) bool { return x > seconds && x < seconds+0.1 })
	}
	if k := at(10); k < 0 || l.Volts[k] != 26 || l.Celsius[k] != 20 {
		t.Errorf("%v, %v", l.Time, l.Volts)
	}
	if k := at(30); k < 0 || l.Volts[k] != 25.8 || l.Celsius[k] != 21 {
		t.Errorf("%v, %v", l.Time, l.Volts)
	}
	r.Temperature = []float64{nan, nan, nan, nan}
	if r.log("a", 7, 1, quantity.Missing[quantity.Celsius]()).Celsius != nil {
		t.Error("temperatures from nothing")
	}
	near(t, "mean", r.mean(), (26+25.5+25.8+25.7)/4, 1e-12)
	// Without a setting the motors get all of the voltage.
	run := Run{Masses: NoMovedMasses()}
	run.Masses.NoLoadCurrent = quantity.Exact(quantity.Amperes(2))
	load := NewLoad("a", "a", MeasuredLoad, battery.Delivering(100), "100 W", 1)
	load.Power, load.Current = quantity.Exact(quantity.Watts(100)), quantity.Exact(quantity.Amperes(4))
	near(t, "idle", float64(run.fixed(load, bank(t, nil)).idle), 50, 1e-12)
	run.Masses.Setting = quantity.Exact(quantity.Fraction(1.5))
	near(t, "more than all of it", float64(run.fixed(load, bank(t, nil)).idle), 50, 1e-12)
}

// TestMeasuresOfTime: a load that is on for a part of the clock, by hand: what is drawn while it is off comes on top of what is drawn while it
// is on, so that the charge over the clock is that of both.
func TestMeasuresOfTime(t *testing.T) {
	load := func(watts, rest, duty float64) Load {
		l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(quantity.Watts(watts)), "", quantity.Fraction(duty))
		l.Power, l.Rest = quantity.Exact(quantity.Watts(watts)), quantity.Watts(rest)
		return l
	}
	for _, x := range []struct{ watts, rest, duty, want float64 }{{100, 10, 0.8, 100 + 10*0.2/0.8}, {100, -10, 0.8, 100 - 2.5}, {100, -399, 0.8, 100 - 399./4}, {100, -401, 0.8, 100}, {100, 10, 1, 100}, {100, 10, 0, 100}} {
		l := load(x.watts, x.rest, x.duty)
		o, err := battery.Simulate(battery.Scenario{Packs: mustCells(t), Demand: battery.Steady(l.steady()), Until: 1})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "watts", 3600*float64(o.Energy), x.want, 1e-9)
	}
	l := load(100, 0, 0.5)
	running, clock := l.times(quantity.Of[quantity.Seconds](100, 3))
	if running.Value != 100 || clock.Value != 200 || clock.U != 6 {
		t.Errorf("%v, %v", running, clock)
	}
	l.perLoad, l.loose = 1.5, 0.02
	running, clock = l.times(quantity.Of[quantity.Seconds](100, 3))
	near(t, "running", float64(running.Value), 150, 1e-12)
	near(t, "u of it", float64(running.U), math.Hypot(4.5, 3), 1e-12)
	l.perLoad = 2.5
	if running, clock = l.times(quantity.Exact(quantity.Seconds(100))); running.Value != clock.Value {
		t.Errorf("it runs longer than the clock: %v, %v", running, clock)
	}
	if !load(100, 0, 1).OneMeasure() || !load(100, 0, 0).OneMeasure() || load(100, 0, 0.5).OneMeasure() {
		t.Error("which loads have one measure")
	}
	// A minute at 10 A, half of one at 0.1 A with 26 V, twice, with a stop that the rule takes out in the second half of the pause.
	rows := &Rows{Start: 0, Time: []float64{60, 90, 150, 180}, Current: []float64{10, 0.1, 10, 0.1}, Voltage: []float64{25, 26, 25, 26}}
	r := &Run{Timing: &Timing{Part: math.NaN(), U: 2, Rule: "a rule", Stops: []Stop{{From: 70, To: 90, TakenOut: true}, {From: 155, To: 180, TakenOut: true}}}}
	l = load(250, 0, 1)
	l.timed(r, rows, 0.5)
	// From the first load to where it stands for good: 155 s, 120 of them under load, 135 running; 30 s and 5 s at 2.6 W are off.
	near(t, "duty", float64(l.Duty), 120./155, 1e-12)
	near(t, "running for each second under load", l.perLoad, 135./120, 1e-12)
	near(t, "loose", l.loose, 2./135, 1e-12)
	near(t, "rest", float64(l.Rest), 2.6, 1e-9)
	if l.Rule != "a rule" {
		t.Error(l.Rule)
	}
	from, to := r.Timing.around(10, 100, 0, 180)
	if from != 0 || to != 155 {
		t.Errorf("%v to %v", from, to)
	}
	if from, to = (*Timing)(nil).around(10, 100, 0, 180); from != 10 || to != 100 {
		t.Errorf("%v to %v", from, to)
	}
	quiet := load(250, 0, 0.9)
	quiet.timed(r, rows, 20)
	if quiet.Duty != 0.9 || quiet.perLoad != 0 {
		t.Errorf("%+v", quiet)
	}
}

func mustCells(t *testing.T) []battery.Pack {
	t.Helper()
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	return k.cells(halves, 20)
}

// TestBeginningUnderLoad: what the packs would have at rest is what they have and what the load takes: the current of a cell's capacity times its
// resistance after ten minutes. Just below the curve at 80 % the log cannot have begun full, just above it may.
func TestBeginningUnderLoad(t *testing.T) {
	k, err := typical(bank(t, func(b *Bank) { b.Packs[0].Chemistry = chemistry(t, "nmc") }), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	cell := k.estimates[0].Cell() // of a half of 16 Ah
	at, _ := cell.Chemistry.Curve().At(0.8)
	for _, amps := range []float64{4, 12} {
		drop := amps / halves * float64(cell.ResistanceAt(0.8, 25, 600)) * halves * float64(cell.Capacity) * halves / 16
		for off, full := range map[float64]bool{0.002: true, -0.002: false} {
			v := 7 * (float64(at) - drop + off)
			r := &Rows{Time: []float64{10, 20}, Current: []float64{amps, amps}, Voltage: []float64{v, v}, Temperature: []float64{20, 20}}
			if got, _, _, why := r.begins(cell, 7, 16); got != full {
				t.Errorf("%v A at %.3f V: full %v, %s", amps, v, got, why)
			}
		}
	}
}

// TestProtectionOfParts: twins that are taken as one open together: their trip currents add up, and go with how many of them there are.
func TestProtectionOfParts(t *testing.T) {
	b := bank(t, func(b *Bank) {
		b.Packs[0].Protection = &battery.Cutout{Opens: 20, Trip: 30}
		b.Packs = append(b.Packs, b.Packs[0])
	})
	k, err := typical(b, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	for parts, trip := range map[int]quantity.Amperes{halves / 2: 30, halves: 60, 2 * halves: 120} {
		if p := k.packs(parts, 20)[0].Pack.Protection; p == nil || p.Trip != trip || p.Opens != 20 {
			t.Errorf("%d parts: %+v", parts, p)
		}
	}
	one := bank(t, func(b *Bank) { b.Packs[0].Protection = &battery.Cutout{Opens: 20, Trip: 30} })
	if k, err = typical(one, true, nil); err != nil {
		t.Fatal(err)
	}
	for parts, trip := range map[int]quantity.Amperes{halves / 2: 30, halves: 30, 2 * halves: 30} { // half or twice of one pack is another one, with the same protection
		if p := k.packs(parts, 20)[0].Pack.Protection; p == nil || p.Trip != trip {
			t.Errorf("%d parts of one: %+v", parts, p)
		}
	}
	one.Packs[0].Protection = &battery.Cutout{}
	if k, err = typical(one, true, nil); err != nil || k.packs(halves, 20)[0].Pack.Protection != nil {
		t.Errorf("a protection that says nothing: %v", err)
	}
	mixed := bank(t, func(b *Bank) {
		b.Packs = append(b.Packs, Pack{Name: "two", Chemistry: chemistry(t, "nmc"), Series: 7, Capacity: quantity.Exact(quantity.AmpereHours(9)), Protection: &battery.Cutout{Opens: 21, Trip: 10}})
	})
	if k, err = typical(mixed, true, nil); err != nil || len(k.packs(halves, 20)) != 2 {
		t.Fatal(err)
	}
	if all := k.packs(halves, 20); all[0].Pack.Protection != nil || all[1].Pack.Protection.Trip != 10 || all[0].Pack.Name != "one" || all[1].Pack.Name != "two" {
		t.Errorf("%+v", all)
	}
}
