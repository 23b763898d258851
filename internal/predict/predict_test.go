package predict

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

func chemistry(t testing.TB, name string) *battery.Chemistry {
	t.Helper()
	c, err := battery.ChemistryNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// bank is a made-up pack of 7 cells, lithium iron phosphate unless told otherwise.
func bank(t testing.TB, change func(*Bank)) Bank {
	b := Bank{Packs: []Pack{{Name: "one", Chemistry: chemistry(t, "lfp"), Series: 7, Capacity: quantity.Exact(quantity.AmpereHours(16)),
		Resistance: quantity.Missing[quantity.Ohms](), Full: quantity.Missing[quantity.Volts]()}},
		Cutout: &battery.Cutout{Opens: 20.7, ResetThreshold: 2.2, Delay: 1}}
	if change != nil {
		change(&b)
	}
	return b
}

// trial makes a run of a bank by simulation: a cell that is other than typical,
// a load that changes every few minutes, and a rest at the end.
func trial(t testing.TB, b Bank, name string, amps float64) Run {
	t.Helper()
	e, err := battery.Typical(b.Packs[0].Chemistry, b.Capacity())
	if err != nil {
		t.Fatal(err)
	}
	cell := e.Cell()
	cell.Capacity *= 0.93
	cell.Ohmic = cell.Ohmic.Scaled(0.8)
	pack := battery.NewPack(cell, b.Series())
	pack.Temperature = 18
	d := battery.Demand{Parts: []battery.Part{{Load: battery.Drawing(quantity.Amperes(amps)), For: 400}, {Load: battery.Drawing(quantity.Amperes(amps / 2)), For: 200}}, Repeat: true}
	rows := &Rows{}
	put := func(at, i, v float64) {
		rows.Time, rows.Current = append(rows.Time, at), append(rows.Current, i)
		rows.Voltage, rows.Temperature = append(rows.Voltage, v), append(rows.Temperature, math.NaN())
	}
	put(60, 0, float64(pack.RestVoltage()))
	out := 0.0
	for at := 20.0; ; at += 20 {
		o, err := battery.Simulate(battery.Scenario{Packs: []battery.Pack{pack}, Demand: d, Ambient: 18, Until: quantity.Seconds(at - 1e-6)})
		if err != nil {
			t.Fatal(err)
		}
		i := amps
		if math.Mod(at-1, 600) >= 400 {
			i /= 2
		}
		put(60+at, i, float64(o.Volts))
		out = float64(o.Charge)
		if o.Volts < 20.7 || o.Ended != battery.TimeOver {
			break
		}
	}
	return Run{ID: "cart/1/" + name, Slug: name, Name: name, Kind: "bench", Label: name, Ambient: quantity.Exact(quantity.Celsius(18)),
		Rows: rows, Thin: rows, Capacity: quantity.Missing[quantity.AmpereHours](), DischargedCharge: quantity.Exact(quantity.AmpereHours(out)), ChargedCharge: quantity.Exact(quantity.AmpereHours(0)), Power: quantity.Missing[quantity.Watts](), Charging: quantity.Amperes(math.NaN())}
}

// told is all that is handed on of an answer, as text, for comparing.
func told(a *Prediction) string {
	var out strings.Builder
	tell(&out, reflect.ValueOf(a))
	return out.String()
}

func tell(out *strings.Builder, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			tell(out, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				out.WriteString(f.Name + "{")
				tell(out, v.Field(i))
				out.WriteString("} ")
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			tell(out, v.Index(i))
			out.WriteString(", ")
		}
	default:
		fmt.Fprint(out, v)
	}
}

// The bank's own cell of the table is what battery.Forecasts says of the same packs.
func TestTableIsForecasts(t *testing.T) {
	for _, b := range []Bank{
		bank(t, nil),
		bank(t, func(b *Bank) {
			b.Packs = append(b.Packs, Pack{Name: "two", Chemistry: chemistry(t, "nmc"), Series: 7, Capacity: quantity.Exact(quantity.AmpereHours(9))})
		}),
	} {
		load := battery.Delivering(150)
		a := Compute(b, nil, Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, load, "a load", 0.5)}})
		var packs []battery.KnownPack
		for _, p := range a.Basis.Parts {
			p.Pack.Temperature = usualAmbient
			packs = append(packs, p)
		}
		want, err := battery.Forecasts(packs, battery.Steady(load), b.Cutout, usualAmbient)
		if err != nil {
			t.Fatal(err)
		}
		c := a.Table.Cells[0][0]
		for _, f := range want {
			got := map[string]EndPoint{battery.CutoutLevel: *c.Cutout, battery.ConservativeFloor: c.Conservative, battery.DatasheetFloor: c.Datasheet}[f.Name]
			if got.UnderLoad != f.Time || got.Left != f.Left || got.Energy != f.Energy || got.Charge != f.Charge {
				t.Errorf("%s: %+v, forecast %+v", f.Name, got, f)
			}
			if got.Clock.Value != 2*got.UnderLoad.Value {
				t.Errorf("%s: %v on the clock at half the time under load of %v", f.Name, got.Clock, got.UnderLoad)
			}
		}
	}
}

// Energy is power by time, and what is taken out and what is left are the
// capacity; half a bank under half the load runs as long as the whole.
func TestConservation(t *testing.T) {
	b := bank(t, nil)
	whole := Compute(b, nil, Options{Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Delivering(200), "a load", 1)}})
	half := Compute(b, nil, Options{Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Delivering(100), "a load", 1)}})
	c := whole.Table.Cells[0][0]
	for _, r := range []EndPoint{*c.Cutout, c.Conservative, c.Datasheet} {
		if want := 200 * float64(r.UnderLoad.Value) / 3600; math.Abs(float64(r.Energy.Value)-want) > 1e-6*want {
			t.Errorf("%.9g Wh at %v, want %.9g Wh", float64(r.Energy.Value), r.UnderLoad, want)
		}
		if sum := float64(r.Charge.Value + r.Left.Value); math.Abs(sum-16) > 1e-6 {
			t.Errorf("%.9g Ah out and left of 16 Ah", sum)
		}
	}
	if got, want := half.Table.Cells[0][1].Cutout.Running.Value, c.Cutout.Running.Value; math.Abs(float64(got/want)-1) > 1e-9 {
		t.Errorf("half the bank under half the load: %v, the whole %v", got, want)
	}
	if double := whole.Table.Cells[0][2].Cutout.Running.Value; double <= 2*c.Cutout.Running.Value || double > 2.3*c.Cutout.Running.Value {
		t.Errorf("twice the bank runs %v, the bank %v", double, c.Cutout.Running.Value)
	}
	if name := c.Name; name != "run-time/a/own" {
		t.Errorf("the cell is called %s", name)
	}
}

// The oracle is the simulation that made the runs, of a cell with 7 % less
// capacity and other resistances than is typical.
func TestLearnsFromRuns(t *testing.T) {
	b := bank(t, nil)
	runs := []Run{trial(t, b, "slow", 4), trial(t, b, "quick", 12)}
	before := Compute(b, nil, Options{Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(8), "a load", 1)}})
	a := Compute(b, runs, Options{})
	if !a.Basis.Calibrated || !a.Basis.Runs[0].Taught || !a.Basis.Runs[1].Taught {
		t.Fatalf("%+v", a.Basis)
	}
	capacity := a.Basis.Values[0].Quantity
	if math.Abs(capacity.Value-0.93*16) > 2*capacity.U || math.Abs(capacity.Value-0.93*16) > 0.2 {
		t.Errorf("capacity %s, made with %.4g Ah", capacity.Rounded(), 0.93*16)
	}
	for _, c := range a.Validations {
		t.Logf("%s by %v: measured %.0f s, predicted %s, %.1f mV a cell", c.Run, c.CalibratedOn, float64(c.Measured), c.Predicted, 1000*float64(c.Voltage))
		if c.Why != "" || math.Abs(c.TimeError()) > 0.03 || math.Abs(float64(c.Predicted.Value-c.Measured)) > float64(c.Predicted.Expanded()) || c.Voltage > 0.02 {
			t.Errorf("%s: off by %.2f %% and %.1f mV; %s", c.Run, 100*c.TimeError(), 1000*float64(c.Voltage), c.Why)
		}
		if len(c.CalibratedOn) != 1 || c.CalibratedOn[0] == c.Run {
			t.Errorf("%s was predicted by %v", c.Run, c.CalibratedOn)
		}
		if len(c.MeasuredTrace.T) > TracePoints || len(c.PredictedTrace.T) > TracePoints || len(c.PredictedTrace.T) < 20 {
			t.Errorf("%s: %d and %d points", c.Run, len(c.MeasuredTrace.T), len(c.PredictedTrace.T))
		}
	}
	if a.Accuracy.Runs != 2 || a.Accuracy.TimeRuns != 2 || !(a.Accuracy.Time < 0.03) {
		t.Errorf("%+v", a.Accuracy)
	}
	after := Compute(b, runs, Options{Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(8), "a load", 1)}})
	if wide, narrow := before.Table.Cells[0][0].Cutout.Running, after.Table.Cells[0][0].Cutout.Running; narrow.U > wide.U/2 {
		t.Errorf("%v before, %v after two runs", wide, narrow)
	}
	if load := a.Table.Loads[1]; math.Abs(float64(load.Current.Value)-10) > 0.7 || load.Duty != 1 || load.Source != MeasuredLoad {
		t.Errorf("%+v", load)
	}
	for i, row := range a.Table.Cells { // the load goes up and down by half without a stop: nearly its mean
		end := row[0].End()
		if at := row[0].Replayed; at.Err != "" || math.Abs(float64(at.Clock/end.Clock.Value)-1) > 0.03 {
			t.Errorf("%s: its own course %+v, its mean %v", a.Table.Loads[i].Name, at, end.Clock)
		}
		if math.IsNaN(float64(row[0].Replayed.Clock)) || !math.IsNaN(float64(row[1].Replayed.Clock)) {
			t.Errorf("%+v and %+v", row[0].Replayed, row[1].Replayed)
		}
	}
	if first, again := told(a), told(Compute(b, runs, Options{})); first != again {
		t.Error("two answers to one question")
	}
}

// A run read by hand teaches nothing of the packs and still tells the load.
func TestLoadByHand(t *testing.T) {
	r := trial(t, bank(t, nil), "by-hand", 9)
	r.Rows, r.Thin, r.Why = nil, nil, "It was read by hand."
	r.Power = quantity.Of[quantity.Watts](140, 8)
	a := Compute(bank(t, nil), []Run{r}, Options{OwnPacksOnly: true})
	if len(a.Table.Loads) != 1 || a.Basis.Calibrated {
		t.Fatalf("%+v", a.Table.Loads)
	}
	if l := a.Table.Loads[0]; l.Name != "by-hand" || l.Source != MeasuredLoad || l.Power != r.Power || l.Ambient != 18 || l.Duty != 1 {
		t.Errorf("%+v", l)
	}
}

func TestLessons(t *testing.T) {
	b := bank(t, nil)
	good := trial(t, b, "good", 9)
	cut := func(r *Rows, from, to int) *Rows {
		start := r.Start
		if from > 0 {
			start = r.Time[from-1]
		}
		return &Rows{start, r.Time[from:to], r.Current[from:to], r.Voltage[from:to], r.Temperature[from:to]}
	}
	for _, c := range []struct {
		name, want string
		taught     bool
		change     func(*Run)
	}{
		{"as it is", "were full", true, func(*Run) {}},
		{"a rest", "Nothing was driven", false, func(r *Run) { r.Kind = "rest" }},
		{"a charge", "a charge teaches nothing", false, func(r *Run) { r.Kind = "charge" }},
		{"no rows", "by hand", false, func(r *Run) { r.Rows, r.Thin, r.Why = nil, nil, "It was read by hand." }},
		{"shallow", "too little", false, func(r *Run) {
			r.DischargedCharge, r.Rows = quantity.Exact(quantity.AmpereHours(0.3)), cut(r.Rows, 0, 12)
			r.Thin = r.Rows
		}},
		{"begins half empty under load", "below what full packs show", false, func(r *Run) { r.Rows = cut(r.Rows, len(r.Rows.Time)-20, len(r.Rows.Time)); r.Thin = r.Rows }},
		{"begins under load, full", "taken to have been full", true, func(r *Run) { r.Rows = cut(r.Rows, 1, len(r.Rows.Time)); r.Thin = r.Rows }},
		{"begins half empty after a short rest", "too short a rest", false, func(r *Run) {
			v := slices.Clone(r.Rows.Voltage)
			v[0] = 7 * 3.29
			r.Rows = &Rows{0, r.Rows.Time, r.Rows.Current, v, r.Rows.Temperature}
			r.Thin = r.Rows
		}},
		{"another pack's voltage", "cannot be that of 7 cells", false, func(r *Run) {
			v := slices.Clone(r.Rows.Voltage)
			for i := range v {
				v[i] /= 2
			}
			r.Rows = &Rows{0, r.Rows.Time, r.Rows.Current, v, r.Rows.Temperature}
			r.Thin = r.Rows
		}},
		{"a long gap", "cut off by a gap", false, func(r *Run) {
			i := slices.Clone(r.Rows.Current)
			time := slices.Clone(r.Rows.Time)
			i[4], i[5] = math.NaN(), 0
			for k := 4; k < len(time); k++ {
				time[k] += 4000
			}
			r.Rows = &Rows{0, time, i, r.Rows.Voltage, r.Rows.Temperature}
			r.Thin = r.Rows
		}},
		{"a gap under one load", "were full", true, func(r *Run) {
			i := slices.Clone(r.Rows.Current)
			i[9] = math.NaN()
			r.Rows = &Rows{0, r.Rows.Time, i, r.Rows.Voltage, r.Rows.Temperature}
			r.Thin = r.Rows
		}},
	} {
		r := good
		c.change(&r)
		a := Compute(b, []Run{r}, Options{OwnPacksOnly: true})
		got := a.Basis.Runs[0]
		if got.Taught != c.taught || !strings.Contains(got.Why, c.want) {
			t.Errorf("%s: taught %v, %q; want %v, %q", c.name, got.Taught, got.Why, c.taught, c.want)
		}
		if c.taught != a.Basis.Calibrated || a.Accuracy.Words == "" || a.Basis.Words == "" {
			t.Errorf("%s: %+v", c.name, a.Basis)
		}
	}
}

// Questions that have no answer get a sentence.
func TestImpossibleQuestions(t *testing.T) {
	ask := func(l battery.Load, warm quantity.Celsius) Options {
		return Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, l, "a load", 1)}, Ambient: quantity.Exact(warm), HoldAmbient: true, OwnPacksOnly: true}
	}
	for _, c := range []struct {
		name, want string
		bank       Bank
		options    Options
	}{
		{"no pack", "No pack is stated", Bank{}, Options{}},
		{"no chemistry", "chemistry of one is not known", bank(t, func(b *Bank) { b.Packs[0].Chemistry = nil }), Options{}},
		{"no capacity", "capacity of one is not known", bank(t, func(b *Bank) { b.Packs[0].Capacity = quantity.Missing[quantity.AmpereHours]() }), Options{}},
		{"unlike strings", "cannot be joined in parallel", bank(t, func(b *Bank) {
			p := b.Packs[0]
			p.Series = 8
			b.Packs = append(b.Packs, p)
		}), Options{}},
		{"no load", "no run, so what it draws is not known", bank(t, nil), Options{}},
		{"too much power", "more than the pack can give", bank(t, nil), ask(battery.Delivering(40e3), 20)},
		{"a floor below the protection", "cut off by its own protection", bank(t, func(b *Bank) {
			b.Packs[0].Protection = &battery.Cutout{Opens: 18.5, ResetThreshold: quantity.Volts(math.NaN())}
		}), ask(battery.Drawing(5), 20)},
		{"charging in frost", "metallic lithium", bank(t, nil), ask(battery.Drawing(5), -3)},
		{"a cutout above the sagging voltage", "At once", bank(t, func(b *Bank) { b.Cutout.Opens = 24 }), ask(battery.Drawing(40), 0)},
	} {
		a := Compute(c.bank, nil, c.options)
		text := told(a)
		if a.Sensitivity != nil && a.Sensitivity.Base == 0 && a.Sensitivity.Err == "" {
			t.Errorf("%s: what moves the run time has neither a run time nor a reason: %+v", c.name, a.Sensitivity)
		}
		if c.want == "At once" && (a.Sensitivity.Err == "" || a.Table.Cells[0][0].Cutout.Running.Known()) {
			t.Errorf("%s: %+v", c.name, a.Sensitivity)
		}
		if !strings.Contains(text, c.want) {
			t.Errorf("%s: %s", c.name, text)
		}
	}
}

// A small reset threshold makes the cutout chatter, a large one does not.
func TestChatter(t *testing.T) {
	for _, c := range []struct {
		threshold quantity.Volts
		reaches   bool
	}{{0.4, true}, {6, false}} {
		b := bank(t, func(b *Bank) { b.Cutout.ResetThreshold = c.threshold })
		a := Compute(b, nil, Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, battery.Drawing(14), "a load", 1)}, OwnPacksOnly: true})
		got := a.Chatter
		if got.Err != "" || got.Reaches != c.reaches || (got.Openings > 1) != c.reaches || got.Words == "" {
			t.Errorf("threshold %v: %+v", c.threshold, got)
		}
		if float64(got.Rebound.Value) < 20.7 || !(got.Rebound.U > 0) || math.IsNaN(got.Likely) {
			t.Errorf("threshold %v: %+v", c.threshold, got)
		}
	}
	b := bank(t, func(b *Bank) { b.Cutout.ResetThreshold = quantity.Volts(math.NaN()) })
	a := Compute(b, nil, Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, battery.Drawing(14), "a load", 1)}, OwnPacksOnly: true})
	if !strings.Contains(a.Chatter.Words, "not stated") {
		t.Errorf("%+v", a.Chatter)
	}
}

// More capacity runs longer; more load, more resistance, a higher cutout and a
// pack that is not full run shorter; the greatest effect comes first.
func TestTornado(t *testing.T) {
	a := Compute(bank(t, nil), nil, Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, battery.Drawing(8), "a load", 1)}, OwnPacksOnly: true})
	longer := map[string]bool{"capacity": true, "resistance": false, "load": false, "temperature": true, "voltage of the cutout": false}
	last := quantity.Seconds(math.Inf(1))
	for _, bar := range a.Sensitivity.Inputs {
		if bar.Effect > last {
			t.Errorf("%s comes after a smaller one", bar.Input)
		}
		last = bar.Effect
		if up, ok := longer[bar.Input]; ok {
			if (bar.High.Time > a.Sensitivity.Base) != up || (bar.Low.Time < a.Sensitivity.Base) != up {
				t.Errorf("%s: %v, now %v, %v", bar.Input, bar.Low.Time, a.Sensitivity.Base, bar.High.Time)
			}
			delete(longer, bar.Input)
		} else if bar.Input != "charge at the start" || bar.Low.Time >= a.Sensitivity.Base {
			t.Errorf("%+v", bar)
		}
	}
	if len(longer) > 0 {
		t.Errorf("missing: %v", longer)
	}
	if c := a.Table.Cells[0][0].Cutout.Running.Value; c != a.Sensitivity.Base {
		t.Errorf("the tornado's run time is %v, the table's %v", a.Sensitivity.Base, c)
	}
}

// Two like packs share evenly and what flows at joining is the closed form;
// an unlike one carries its own share.
func TestParallel(t *testing.T) {
	pair := func(second float64) *ParallelPacks {
		b := bank(t, func(b *Bank) {
			p := b.Packs[0]
			p.Name, p.Capacity = "two", quantity.Exact(quantity.AmpereHours(second))
			b.Packs = append(b.Packs, p)
		})
		return Compute(b, nil, Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, battery.Drawing(10), "10 A", 1)}, OwnPacksOnly: true}).Parallel
	}
	like, unlike := pair(16), pair(8)
	if math.Abs(like.Shares[0].Part-0.5) > 1e-6 || math.Abs(like.Shares[1].Part-0.5) > 1e-6 {
		t.Errorf("%+v", like.Shares)
	}
	if math.Abs(unlike.Shares[0].Part-2./3) > 0.02 || unlike.Shares[1].Most >= unlike.Shares[0].Most || !strings.Contains(unlike.Words, "not alike") {
		t.Errorf("%+v", unlike)
	}
	k, err := typical(Bank{Packs: bank(t, nil).Packs}, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	full := k.cells(halves, usualAmbient)[0]
	less := full
	less.Charge = 0.9
	if want := (full.RestVoltage() - less.RestVoltage()) / quantity.Volts(full.Resistance()+less.Resistance()); math.Abs(float64(like.Flows)/float64(want)-1) > 1e-9 {
		t.Errorf("%v flow at joining, want %v", like.Flows, want)
	}
	if p := Compute(bank(t, nil), nil, Options{}).Parallel; p != nil {
		t.Errorf("one pack: %+v", p)
	}
}

// An insisted resistance holds whatever was learned; a stated one is where the calibration begins.
func TestInsistedResistance(t *testing.T) {
	b := bank(t, func(b *Bank) {
		b.Packs[0].Resistance, b.Packs[0].Insisted = quantity.Exact(quantity.Ohms(0.12)), true
	})
	for _, runs := range [][]Run{nil, {trial(t, bank(t, nil), "run", 9)}} {
		a := Compute(b, runs, Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, battery.Drawing(8), "a load", 1)}, OwnPacksOnly: true})
		if got := a.Basis.Values[2]; got.Name != "resistance-10-s" || math.Abs(got.Quantity.Value-0.12) > 1e-9 {
			t.Errorf("%d runs: %s is %v", len(runs), got.Label, got.Quantity.Value)
		}
	}
}

// The demo's size: a version with two logs, in about a hundredth of the rows.
func BenchmarkAnswer(b *testing.B) {
	packs := bank(b, nil)
	runs := []Run{trial(b, packs, "slow", 4), trial(b, packs, "quick", 12)}
	floor := func() {
		k, _ := typical(packs, true, nil)
		if _, err := battery.RunTimes(k.cells(halves, 20), battery.Steady(battery.Drawing(8)), packs.Cutout, 20); err != nil {
			b.Fatal(err)
		}
	}
	start := b.Elapsed()
	for range 100 {
		floor()
	}
	each := (b.Elapsed() - start) / 100
	b.ResetTimer()
	for b.Loop() {
		Compute(packs, runs, Options{})
	}
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(each), "run-times/op")
}

// A cutout that opens below what the cells stand is named, unless the packs' own
// protection opens before; the floor is the chemistry's.
func TestCautions(t *testing.T) {
	for _, c := range []struct {
		opens, protection quantity.Volts
		want              bool
	}{{20.7, 0, false}, {17.5, 0, false}, {17.2, 0, true}, {9, 0, true}, {9, 18, false}, {9, 17, true}} {
		b := bank(t, func(b *Bank) {
			b.Cutout.Opens = c.opens
			if c.protection > 0 {
				b.Packs[0].Protection = &battery.Cutout{Opens: c.protection}
			}
		})
		a := Compute(b, nil, Options{Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(5), "", 1)}, OwnPacksOnly: true})
		if got := len(a.Cautions) == 1 && strings.Contains(a.Cautions[0], "below the 17.5 V that data sheets of lithium iron phosphate"); got != c.want {
			t.Errorf("%v, protection %v: %q", c.opens, c.protection, a.Cautions)
		}
	}
}

// A current that no short circuit draws, and a cutout above the voltage at rest:
// no times, no chatter.
func TestNothingRuns(t *testing.T) {
	a := Compute(bank(t, nil), nil, Options{Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(10000), "", 1)}, OwnPacksOnly: true})
	if c := a.Table.Cells[0][0]; !strings.Contains(c.Err, "into a short circuit") || a.Chatter != nil {
		t.Errorf("%q, %+v", c.Err, a.Chatter)
	}
	a = Compute(bank(t, func(b *Bank) { b.Cutout.Opens = 26 }), nil, Options{Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(5), "", 1)}, OwnPacksOnly: true})
	if c := a.Table.Cells[0][0]; c.Cutout == nil || !strings.Contains(c.Cutout.Err, "at rest, and the cutout opens at 26 V, so no load runs") || a.Chatter != nil {
		t.Errorf("%+v, %+v", c.Cutout, a.Chatter)
	}
}

// A time that is too unsure for a number has bounds that the charge allows, in
// words and as values.
func TestUnsureTime(t *testing.T) {
	b := bank(t, func(b *Bank) { b.Cutout.Opens = 22.3 })
	a := Compute(b, nil, Options{OwnPacksOnly: true, Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(16), "", 1)}})
	r := a.Table.Cells[0][0].Cutout
	if r == nil || r.Between == nil || r.Running.Known() || !strings.Contains(r.Err, "is reached between") {
		t.Fatalf("%+v", r)
	}
	// 16 Ah, of which typically a tenth more or less is there, at 16 A.
	if from, to := r.Between[0], r.Between[1]; from < 0 || from >= to || to > 1.35*3600 {
		t.Errorf("between %.0f s and %.0f s", float64(from), float64(to))
	}
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}
