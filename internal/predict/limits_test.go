package predict

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// Whatever is looked up by its name is found, and nothing else is.
func TestLookedUp(t *testing.T) {
	a := &Prediction{Validations: []Validation{{Run: "a", Ended: 1}, {Run: "b", Ended: 2}}, Basis: Basis{Runs: []CalibrationRun{{Run: "a", Name: "A"}, {Run: "c", Name: "C"}}},
		Table: RunTimeTable{Cells: [][]RunTime{{{Name: "x/own", Load: 1}, {Name: "x/half", Load: 2}}, {{Name: "y/own", Load: 3}}}}}
	if c, ok := a.Validation("b"); !ok || c.Ended != 2 {
		t.Errorf("%+v, %v", c, ok)
	}
	if l, ok := a.CalibrationRun("c"); !ok || l.Name != "C" {
		t.Errorf("%+v, %v", l, ok)
	}
	for name, want := range map[string]int{"x/own": 1, "x/half": 2, "y/own": 3} {
		if c, ok := a.RunTime(name); !ok || c.Load != want {
			t.Errorf("%s: %+v, %v", name, c, ok)
		}
	}
	_, check := a.Validation("d")
	_, lesson := a.CalibrationRun("d")
	if _, cell := a.RunTime("d"); check || lesson || cell {
		t.Error("something is called d")
	}
}

// The rule of thumb for lead-acid asks whether it was run down slowly: below a quarter of the capacity, 17 Ah · 24 V / 4 = 102 W.
func TestSlowlyRunDown(t *testing.T) {
	for watts, hours := range map[float64]float64{100: 6, 104: 3} {
		b := Bank{Packs: []Pack{packOf(t, "lead-acid-agm", 12, 17, nil)}, Cutout: &battery.Cutout{Opens: 20}}
		a := Compute(b, nil, Options{OwnPacksOnly: true, Asked: []Load{func() Load {
			l := asked("x", battery.Delivering(quantity.Watts(watts)), 1)
			l.Power = quantity.Exact(quantity.Watts(watts))
			return l
		}()}})
		c := a.Charges[0]
		missing := 3600 * (1 - c.From) * 17 / float64(c.Current)
		near(t, "added by the rule of thumb", float64(c.RuleLow)-missing, 3600*hours, 1e-6)
	}
}

// A table has the loads of the newest runs, 24 at the most, and says how many it left out; what is scaled has the room that is left.
func TestOldLoadsAreLeftOut(t *testing.T) {
	for _, x := range []struct{ hand, loads, left int }{{22, 24, 0}, {23, 24, 0}, {25, 24, 2}} {
		var runs []Run
		for n := range x.hand {
			r := carried(func(r *Run) { r.Slug = fmt.Sprint("hand-", n); r.ID = r.Slug; r.Label = r.Slug })
			r.Rows, r.Thin, r.Power = nil, nil, quantity.Exact(quantity.Watts(9000))
			runs = append(runs, r)
		}
		a := &Prediction{}
		loads, extra, _ := a.loads(bank(t, nil), append(runs, carried(nil)), Options{})
		if len(loads) != x.hand+1 || len(extra) != 1 {
			t.Fatalf("%d loads and %d others", len(loads), len(extra))
		}
		b := bank(t, func(b *Bank) { b.Packs[0].Capacity = quantity.Exact(quantity.AmpereHours(1.6)) }) // no cell of it carries 9 kW, which is told at once
		got := Compute(b, append(runs, carried(nil)), Options{OwnPacksOnly: true})
		if len(got.Table.Loads) != x.loads || got.Table.LeftOut != x.left || len(got.Table.Cells) != x.loads {
			t.Errorf("%d by hand: %d loads, %d left out", x.hand, len(got.Table.Loads), got.Table.LeftOut)
		}
		if last := got.Table.Loads[x.loads-1].Name; (last == "hauled-no-payload") != (x.hand == 22) {
			t.Errorf("%d by hand: the last is %s", x.hand, last)
		}
		if first := got.Table.Loads[0].Name; first != fmt.Sprint("hand-", x.left) {
			t.Errorf("%d by hand: the first is %s", x.hand, first)
		}
	}
	for n, says := range map[int]string{0: "The version has no run", 1: "No run of this version has a log"} {
		if got := noLoad(make([]Run, n)); !strings.HasPrefix(got, says) {
			t.Errorf("%d runs: %s", n, got)
		}
	}
}

// Packs side by side, where the first and not the last is the odd one: by Kirchhoff's laws and by what each protection does alone.
func TestOddPackFirst(t *testing.T) {
	pack := func(ohms, u, trip float64) Pack {
		return packOf(t, "lfp", 8, 10, func(p *Pack) {
			p.Resistance = quantity.Of(quantity.Ohms(ohms), quantity.Ohms(u))
			p.Protection = &battery.Cutout{Opens: 20, Trip: quantity.Amperes(trip)}
		})
	}
	b := Bank{Packs: []Pack{pack(0.03, 0.0003, 0), pack(0.06, 0.006, 40)}}
	if p := b.protection(); p.Trip != 0 {
		t.Errorf("the first pack is opened by no current, both by %v", p.Trip)
	}
	near(t, "u, the greater part of the two", float64(b.Resistance().U), 0.1*0.02, 1e-12)
	b.Packs[0], b.Packs[1] = b.Packs[1], b.Packs[0]
	near(t, "u, the greater part of the two", float64(b.Resistance().U), 0.1*0.02, 1e-12)
	// What opens by current alone ends no run.
	b.Packs[0].Protection.Opens, b.Packs[1].Protection.Opens = 0, 0
	if cut, by := b.Ending(); cut != nil || by != EndsAtFloor {
		t.Errorf("%+v by %s", cut, by)
	}
	if err := (Bank{Packs: []Pack{{}}}).Check(); err == nil || !strings.Contains(err.Error(), "of the pack is") {
		t.Errorf("a pack without a name: %v", err)
	}
	if err := (Bank{Packs: []Pack{packOf(t, "lfp", 1, 1, nil)}}).Check(); err != nil {
		t.Error(err)
	}
	for _, x := range []struct {
		opens, trip float64
		kept        bool
	}{{20, 0, true}, {0, 30, true}, {0, 0, false}, {20, 30, true}} {
		one := bank(t, func(b *Bank) {
			b.Packs[0].Protection = &battery.Cutout{Opens: quantity.Volts(x.opens), Trip: quantity.Amperes(x.trip)}
		})
		k, err := typical(one, true, nil)
		if err != nil {
			t.Fatal(err)
		}
		p := k.packs(halves, 20)[0].Pack.Protection
		if (p != nil) != x.kept || p != nil && (float64(p.Opens) != x.opens || float64(p.Trip) != x.trip) {
			t.Errorf("%+v: %+v", x, p)
		}
	}
	// A resistance of nothing is none that is stated, of like packs and of unlike ones.
	mixed := Bank{Packs: []Pack{packOf(t, "lfp", 7, 10, func(p *Pack) { p.Resistance = quantity.Exact(quantity.Ohms(0)) }), packOf(t, "nmc", 7, 10, func(p *Pack) { p.Resistance = quantity.Exact(quantity.Ohms(0.07)) })}}
	k, err := typical(mixed, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	usual, err := typical(mixed, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	at := func(k *known, i int) float64 {
		c := k.estimates[i].Cell()
		return float64(c.ResistanceAt(0.5, c.Reference, 10)) * 7 / halves
	}
	near(t, "not stated", at(k, 0), at(usual, 0), 1e-12)
	near(t, "stated, after ten seconds", at(k, 1), 0.07, 0.1)
	if near := at(usual, 1); math.Abs(near/0.07-1) < 0.15 {
		t.Errorf("the typical resistance is what is stated, %g Ω: the check says nothing", near)
	}
	if k.name(0) != "lfp" || k.name(1) != "nmc" || len(k.estimates) != 2 {
		t.Errorf("%s, %s", k.name(0), k.name(1))
	}
}

// An insisted resistance is that of the bank after ten seconds at half charge; one that cannot be leaves a tenth of what the
// packs have at least, full and at 60 °C: −0.9 · 7 · R₀ of a half of the bank.
func TestInsistedOnTooLittle(t *testing.T) {
	insisted := func(ohms float64) *known {
		b := bank(t, func(b *Bank) { b.Packs[0].Resistance, b.Packs[0].Insisted = quantity.Exact(quantity.Ohms(ohms)), true })
		k, err := typical(b, false, nil)
		if err != nil {
			t.Fatal(err)
		}
		k.insist()
		return k
	}
	k := insisted(0.12)
	cell := k.estimates[0].Cell()
	near(t, "made up by leads", float64(k.leads), 2*0.12-7*float64(cell.ResistanceAt(0.5, 25, 10)), 1e-9)
	hot := cell.Ohmic.At(1) * math.Exp(cell.ActivationOhmic/8.314462618*(1/(273.15+60)-1/(273.15+25)))
	for _, parts := range []int{1, 2, 4} {
		near(t, "side by side", float64(k.packs(parts, 20)[0].Pack.Leads), float64(k.leads)/float64(parts), 1e-12)
	}
	near(t, "taken away at most", float64(insisted(0.001).leads), -0.9*7*hot, 1e-6)
	// Of packs that a run has taught, whose resistance goes with the charge, it is that of full ones.
	shallow := plainLFP(8)
	shallow.longest, shallow.every, shallow.after = 6000, 60, 0
	r := shallow.run(t, "shallow", nil)
	insistent := bank(t, func(b *Bank) { b.Packs[0].Resistance, b.Packs[0].Insisted = quantity.Exact(quantity.Ohms(0.001)), true })
	taught, _, _, err := calibrate(insistent, []Run{r}, nil)
	if err != nil {
		t.Fatal(err)
	}
	cell = taught.estimates[0].Cell()
	full, nearly := cell.Ohmic.At(1), cell.Ohmic.At(0.95)
	hot = full * math.Exp(cell.ActivationOhmic/8.314462618*(1/(273.15+60)-1/(273.15+25)))
	near(t, "taken away at most of what was taught", float64(taught.leads), -0.9*7*hot, 1e-6)
	if math.Abs(full/nearly-1) < 1e-4 {
		t.Errorf("%g Ω full and %g Ω nearly so: the check says nothing", full, nearly)
	}
	b := bank(t, func(b *Bank) { b.Packs[0].Insisted = true })
	none, err := typical(b, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	if none.insist(); none.leads != 0 {
		t.Errorf("nothing is insisted on: %v", none.leads)
	}
	mixed := Bank{Packs: []Pack{b.Packs[0], packOf(t, "nmc", 7, 9, func(p *Pack) { p.Resistance = quantity.Exact(quantity.Ohms(0.1)) })}}
	mixed.Packs[0].Resistance = quantity.Exact(quantity.Ohms(0.1))
	if none, err = typical(mixed, false, nil); err != nil {
		t.Fatal(err)
	}
	if none.insist(); none.leads != 0 {
		t.Errorf("unlike packs: %v", none.leads)
	}
}

// stepsOf is a run of given rows of a minute, currents and volts.
func stepsOf(out float64, amps, volts []float64, change func(*Run)) Run {
	rows := &Rows{}
	for k := range amps {
		rows.Time, rows.Temperature = append(rows.Time, 60*float64(k+1)), append(rows.Temperature, math.NaN())
	}
	rows.Current, rows.Voltage = amps, volts
	r := Run{ID: "a", Slug: "a", Kind: "field", Rows: rows, Thin: rows, Capacity: quantity.Missing[quantity.AmpereHours](), DischargedCharge: quantity.Exact(quantity.AmpereHours(out)), ChargedCharge: quantity.Exact(quantity.AmpereHours(0)), Ambient: celsius(20), Masses: NoMovedMasses()}
	if change != nil {
		change(&r)
	}
	return r
}

// What runs say by themselves that the packs hold, against what is stated, with each bound on both sides: the most that was taken out where
// that is more; what ran them down, to a twentieth above the floor of 7 · 2.8 V or half a percent above the cutout, where that is less than half.
func TestCountedByRuns(t *testing.T) {
	floor := 7 * float64(chemistry(t, "lfp").ConservativeFloor())
	for _, x := range []struct {
		name         string
		out, volts   float64
		cutout       float64
		amps, counts float64
		change       func(*Run)
	}{
		{"more than is stated", 16.1, 22, 0, 5, 16.1 / 16, nil},
		{"just what is stated", 16, 22, 0, 5, 1, nil},
		{"less, not run down", 5, 22, 0, 5, 1, nil},
		{"a third, run down", 5, 1.049 * floor, 0, 5, 5. / 16, nil},
		{"a third, not quite run down", 5, 1.051 * floor, 0, 5, 1, nil},
		{"a third, at rest that low", 5, 1.049 * floor, 0, 0, 1, nil},
		{"below half, run down", 7.9, 1.04 * floor, 0, 5, 7.9 / 16, nil},
		{"half, run down", 8, 1.04 * floor, 0, 5, 1, nil},
		{"a third, to the cutout", 5, 1.0049 * 23, 23, 5, 5. / 16, nil},
		{"a third, not to the cutout", 5, 1.0051 * 23, 23, 5, 1, nil},
		{"a cutout below the floor", 5, 1.049 * floor, 15, 5, 5. / 16, nil},
		{"a charge", 20, 22, 0, 5, 1, func(r *Run) { r.Kind = "charge" }},
		{"no rows", 20, 22, 0, 5, 1, func(r *Run) { r.Rows = nil }},
		{"not counted", 20, 22, 0, 5, 1, func(r *Run) { r.DischargedCharge = quantity.Missing[quantity.AmpereHours]() }},
		{"of packs of its own", 20, 22, 0, 5, 1, func(r *Run) { r.Capacity = quantity.Exact(quantity.AmpereHours(21)) }},
	} {
		b := bank(t, func(b *Bank) {
			if b.Cutout.Opens = quantity.Volts(x.cutout); x.cutout == 0 {
				b.Cutout = nil
			}
		})
		k, err := typical(b, true, nil)
		if err != nil {
			t.Fatal(err)
		}
		one := stepsOf(x.out, []float64{x.amps, x.amps}, []float64{25, x.volts}, x.change)
		if got := k.counted([]Run{one}); math.Abs(got-x.counts) > 1e-12 {
			t.Errorf("%s: %g of what is stated, want %g", x.name, got, x.counts)
		}
		// The least that another run took out does not count.
		less := stepsOf(1, []float64{1}, []float64{26}, nil)
		if got := k.counted([]Run{less, one, less}); math.Abs(got-x.counts) > 1e-12 {
			t.Errorf("%s, with others: %g of what is stated, want %g", x.name, got, x.counts)
		}
	}
}

// Which runs can teach, with each bound on both sides.
func TestBoundsOfALesson(t *testing.T) {
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	run := func(n int, out, volts float64, change func(*Run)) Run {
		amps, v := make([]float64, n), make([]float64, n)
		for i := range n {
			amps[i], v[i] = 5, 7*volts
		}
		return stepsOf(out, amps, v, change)
	}
	low, high := 0.7*float64(chemistry(t, "lfp").DatasheetFloor()), 1.1*float64(chemistry(t, "lfp").Full())
	for _, x := range []struct {
		name string
		run  Run
		why  string // "" where it teaches
	}{
		{"as it is", run(20, 5, 3.3, nil), ""},
		{"a rest", run(20, 5, 3.3, func(r *Run) { r.Kind = "rest" }), "Nothing was driven"},
		{"a charge by its kind", run(20, 5, 3.3, func(r *Run) { r.Kind = "charge" }), "a charge teaches nothing"},
		{"a charge by what went in", run(20, 0.79, 3.3, func(r *Run) { r.ChargedCharge = quantity.Exact(quantity.AmpereHours(0.8)) }), "a charge teaches nothing"},
		{"as much in as out", run(20, 0.79, 3.3, func(r *Run) { r.ChargedCharge = quantity.Exact(quantity.AmpereHours(0.79)) }), "It took out 4.9 % of the capacity"},
		{"much out and more in", run(20, 0.81, 3.3, func(r *Run) { r.ChargedCharge = quantity.Exact(quantity.AmpereHours(4)) }), ""},
		{"too little", run(20, 0.79, 3.3, nil), "It took out 4.9 % of the capacity"},
		{"not counted", run(20, math.NaN(), 3.3, nil), "too little"},
		{"just enough", run(20, 0.81, 3.3, nil), ""},
		{"no rows", run(20, 5, 3.3, func(r *Run) { r.Rows, r.Why = nil, "Read by hand." }), "Read by hand."},
		{"no thinned rows", run(20, 5, 3.3, func(r *Run) { r.Thin, r.Why = nil, "Read by hand." }), "Read by hand."},
		{"nine rows", run(9, 5, 3.3, nil), "cut off by a gap"},
		{"ten rows", run(10, 5, 3.3, nil), ""},
		{"too low a voltage", run(20, 5, 0.99*low, nil), "cannot be that of 7 cells"},
		{"just not too low", run(20, 5, 1.01*low, nil), "below what full packs show"},
		{"too high a voltage", run(20, 5, 1.01*high, nil), "cannot be that of 7 cells"},
		{"just not too high", run(20, 5, 0.99*high, nil), ""},
	} {
		l, why := k.calibrationLog(&x.run, 1)
		if (l != nil) != (x.why == "") || !strings.Contains(why, x.why) || why == "" {
			t.Errorf("%s: %v, %q; want %q", x.name, l != nil, why, x.why)
		}
	}
	// Rows begin at the end of a rest that tells the charge, in the thinned rows; what comes before is left out.
	rested := k
	if rested, err = typical(bank(t, func(b *Bank) { b.Packs[0].Chemistry = chemistry(t, "nmc") }), true, nil); err != nil {
		t.Fatal(err)
	}
	half := run(40, 5, 3.6, nil)
	half.Rows.Current = append(make([]float64, 12), half.Rows.Current[12:]...)
	half.Thin = &Rows{Start: 0, Time: half.Rows.Time[:30], Current: half.Rows.Current[:30], Voltage: half.Rows.Voltage[:30], Temperature: half.Rows.Temperature[:30]}
	taught, why := rested.calibrationLog(&half, 1)
	if taught == nil || taught.full || taught.whole.Start != 11*60 || len(taught.whole.Time) != 19 || taught.log.Drawn.Known() || !strings.Contains(why, "% full, by their rest voltage") {
		t.Errorf("%+v, %q", taught, why)
	}
	// Of packs of another capacity a fifth of a quarter is a twentieth.
	small := run(20, 0.81, 3.3, nil)
	if l, why := k.calibrationLog(&small, 1.02); l != nil {
		t.Error(why)
	}
	small.Capacity = quantity.Exact(quantity.AmpereHours(4))
	small.DischargedCharge.U = 0.00405
	l, why := k.calibrationLog(&small, 1)
	if l == nil {
		t.Fatal(why)
	}
	near(t, "depth", l.depth, 0.81/4, 1e-12)
	near(t, "the current of a half of 16 Ah", l.log.Amperes[3], 5*8/4., 1e-12)
	near(t, "counting", float64(l.log.Counting), 0.005, 1e-12)
	if !l.full || !l.log.Drawn.Known() || l.log.Drawn.Value != 0 || l.series != 7 {
		t.Errorf("%+v", l)
	}
	sure := run(20, 5, 3.3, nil)
	if l, _ = k.calibrationLog(&sure, 1); l.log.Counting != 0 {
		t.Errorf("counting that nobody stated: %v", l.log.Counting)
	}
	// A gap that is too long cuts off what comes after it, which is said; one at the very end is none.
	for at, says := range map[int]bool{12: true, 16: true, 19: false} {
		gap := run(20, 5, 3.3, nil)
		gap.Rows.Current = slices.Clone(gap.Rows.Current)
		gap.Rows.Current[at] = math.NaN()
		if at+1 < 20 {
			gap.Rows.Current[at+1] = 0.5
		}
		gap.Rows.Time = slices.Clone(gap.Rows.Time)
		for i := at; i < 20; i++ {
			gap.Rows.Time[i] += 3600
		}
		gap.Thin = gap.Rows
		if l, why := k.calibrationLog(&gap, 1); l == nil || strings.Contains(why, "up to a gap") != says {
			t.Errorf("a gap at %d: %v, %q", at, l != nil, why)
		}
	}
}

// What an answer rests on, in words.
func TestBasisInWords(t *testing.T) {
	one, two := packOf(t, "lfp", 7, 8, nil), packOf(t, "nmc", 7, 8, nil)
	stated := one
	stated.Resistance = quantity.Exact(quantity.Ohms(0.1))
	taught := func(slugs ...string) (out []*calibrationLog) {
		for _, s := range slugs {
			out = append(out, &calibrationLog{run: &Run{Slug: s, Capacity: quantity.Missing[quantity.AmpereHours]()}})
		}
		return out
	}
	other := taught("x", "y")
	other[1].run.Capacity = quantity.Exact(quantity.AmpereHours(12))
	for _, x := range []struct {
		packs  []Pack
		by     []*calibrationLog
		misfit float64
		want   string
	}{
		{[]Pack{one}, nil, math.NaN(), "Computed from what is typical of lithium iron phosphate and the stated capacity: no run has taught it better, so the intervals are wide."},
		{[]Pack{stated}, nil, math.NaN(), "Computed from what is typical of lithium iron phosphate and the stated capacity and resistance: no run has taught it better, so the intervals are wide."},
		{[]Pack{one, two}, nil, math.NaN(), "Computed from what is typical of each pack's chemistry and the stated capacity: no run has taught it better, so the intervals are wide."},
		{[]Pack{one}, taught("x"), 1, "Calibrated on x."},
		{[]Pack{one}, taught("x", "y"), 3.9, "Calibrated on x and y."},
		{[]Pack{one}, taught("x", "y", "z"), 1, "Calibrated on x, y and z."},
		{[]Pack{one}, taught("w", "x", "y", "z"), 1, "Calibrated on w, x, y and z."},
		{[]Pack{one, one}, taught("x"), 1, "Calibrated on x. The 2 packs are taken as one: one logger cannot tell what each of them gave."},
		{[]Pack{one}, other, 1, "Calibrated on x and y. The runs were made with 12 Ah; 8 Ah are taken to be more or fewer of the same cells."},
		{[]Pack{one}, taught("x"), 4, "Calibrated on x."}, // at the bound itself, which is a choice, nothing is wrong yet
		{[]Pack{one}, taught("x"), 4.1, "Calibrated on x. The voltages fit poorly (reduced χ² 4.1): see whether chemistry, cells in series and capacity are as stated."},
	} {
		if got := basisWords(Bank{Packs: x.packs}, x.by, x.misfit); got != x.want {
			t.Errorf("got  %s\nwant %s", got, x.want)
		}
	}
}

// A run that took out less than half has no end to be held against; of many runs the newest are predicted, and those that taught.
func TestWhichRunsAreChecked(t *testing.T) {
	b := bank(t, func(b *Bank) { b.Cutout = nil })
	plain, err := typical(b, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	var runs []Run
	for n := range 15 {
		depth := 0.49
		if n >= 12 {
			depth = 0.51
		}
		p := plainLFP(8)
		p.steps, p.every, p.longest, p.holds = [][2]float64{{8, 1e6}}, 72, depth*16/8*3600-1, 16
		p.rest, p.after = 72, 0
		runs = append(runs, p.run(t, fmt.Sprint("r", n), func(r *Run) { r.Ambient = quantity.Missing[quantity.Celsius]() }))
	}
	all := calibrationRuns(plain, runs)
	for i := range all {
		all[i].Taught = i == 3
	}
	got := validations(plain, plain, all)
	if len(got) != 12 {
		t.Errorf("%d checks", len(got))
	}
	for i, l := range all {
		want := i == 3 || i >= 4
		if l.Checked != want || strings.Contains(l.Why, "Not predicted: of many runs the newest 12 are.") == want {
			t.Errorf("%s: checked %v, %s", l.Run, l.Checked, l.Why)
		}
	}
	for _, c := range got {
		if c.Why == "" && !(c.Predicted.U > 0) { // at no stated temperature it is that of a room
			t.Errorf("%s: %v", c.Run, c.Predicted)
		}
		if deep := c.Run >= "cart/1/r12" && c.Run <= "cart/1/r14"; deep != !strings.Contains(c.Why, "The run took out ") {
			t.Errorf("%s: %s", c.Run, c.Why)
		}
		if taught := c.Run == "cart/1/r3"; taught != (len(c.CalibratedOn) == 0) {
			t.Errorf("%s by %v", c.Run, c.CalibratedOn)
		}
		near(t, c.Run+" left", c.Left, 1-math.Round(100*(1-c.Left))/100, 0.02)
	}
}

// A charger counts as one for these packs where it fills four fifths of them.
func TestChargerThatFillsTooLittle(t *testing.T) {
	b := bank(t, func(b *Bank) { b.Packs[0].Chemistry = chemistry(t, "nmc") })
	k, err := typical(b, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	pack := k.cells(halves, 20)[0]
	pack.Charge = 0.2
	filled := map[bool]float64{}
	for volts := 27.0; volts < 29.4; volts += 0.02 {
		c, err := battery.Charge(pack, battery.Charger{Current: 5, Volts: quantity.Volts(volts)}, 20)
		if err != nil {
			t.Fatal(err)
		}
		enough := c.AtEnd > 0.8
		if math.Abs(c.AtEnd-0.8) > 0.03 || math.Abs(c.AtEnd-0.8) < 0.002 {
			continue
		}
		filled[enough] = c.AtEnd
		k.bank.Charger = battery.Charger{Current: 5, Volts: quantity.Volts(volts)}
		got := k.chargeTimes(nil, quantity.Exact(quantity.Number(0.2)), nil, false, 20)[0]
		if (got.Err == "") != enough || !enough && !strings.Contains(got.Err, fmt.Sprintf("fills these packs to %.0f %% only", 100*c.AtEnd)) {
			t.Errorf("filled to %.3f: %q", c.AtEnd, got.Err)
		}
		if got.Total.Known() != enough || (got.Method != "") != enough || (got.Charge > 0) != enough || (got.RuleLow > 0) != enough {
			t.Errorf("filled to %.3f: %+v", c.AtEnd, got)
		}
	}
	if len(filled) != 2 {
		t.Errorf("only %v was tried", filled)
	}
	k.bank.Charger = battery.Charger{Current: 0.2}
	if got := k.chargeTimes(nil, quantity.Exact(quantity.Number(0)), nil, false, 20)[0]; got.Err != "At this current the charge does not end within two days." || got.Total.Known() || got.Method != "" || got.RuleLow != 0 {
		t.Errorf("0.2 A: %q", got.Err)
	}
	if n := len(k.chargeTimes([]Run{{Slug: "a", Charging: 0}, {Slug: "b", Charging: quantity.Amperes(math.NaN())}}, quantity.Exact(quantity.Number(0)), nil, false, 20)); n != 3 {
		t.Errorf("%d charge times", n)
	}
}

// What is said of a cutout that opens.
func TestChatterInWords(t *testing.T) {
	c := Chatter{Rebound: quantity.Of[quantity.Volts](22.4, 0.1), Reset: 23, Likely: 0.0255, Openings: 3, Lasts: 100, Off: 20, On: 5}
	stays := "After the cutout has opened the pack comes back to (22.40 ± 0.20) V; it closes again at 23 V, so it stays open."
	if got := c.words(""); got != stays+" That is not sure: by what is known of the pack it closes in 3 of 100 cases." {
		t.Error(got)
	}
	if c.Likely = 0.0245; c.words("") != stays {
		t.Error(c.words(""))
	}
	if c.Likely = 0.3; !strings.HasSuffix(c.words(""), " in 30 of 100 cases.") {
		t.Error(c.words(""))
	}
	c.Reaches = true
	closes := "After the cutout has opened the pack comes back to (22.40 ± 0.20) V and the cutout closes at 23 V, under the load that opened it."
	if got := c.words(battery.StayedOpen); got != closes+" Left alone it opens 3 times in 1 min 40 s, 20.0 s off and 5.0 s on each time, on average." {
		t.Error(got)
	}
	if got := c.words(battery.Chattering); got != closes+" Left alone it opens 3 times within 1 min 40 s and goes on, 20.0 s off and 5.0 s on each time, on average." {
		t.Error(got)
	}
	if c.Openings = 2; !strings.Contains(c.words(""), "opens 2 times") {
		t.Error(c.words(""))
	}
	if c.Openings = 1; c.words("") != closes {
		t.Error(c.words(""))
	}
}

// Packs are joined without their protection, which would open: what flows is (E₁ − E₂)/(R₁ + R₂). Without a load it is done at 20 °C.
func TestJoinedWithoutProtection(t *testing.T) {
	pair := func(trip float64, l *Load) *ParallelPacks {
		b := bank(t, func(b *Bank) {
			if trip > 0 {
				b.Packs[0].Protection = &battery.Cutout{Opens: 20, Trip: quantity.Amperes(trip)}
			}
			b.Packs = append(b.Packs, b.Packs[0])
		})
		return parallel(b, l)
	}
	cold, warm := asked("x", battery.Drawing(5), 1), asked("x", battery.Drawing(5), 1)
	cold.Ambient, warm.Ambient = 0, 20
	free, held := pair(0, nil), pair(0.5, nil)
	if free.Err != "" || free.Flows != held.Flows || free.Moved != held.Moved || !(free.Moved > 0.3) {
		t.Errorf("%+v\n%+v", free, held)
	}
	if at := pair(0, &warm); at.Flows != free.Flows || len(at.Shares) != 2 || len(free.Shares) != 0 || free.Load != "" || at.Load != "x" {
		t.Errorf("%+v\n%+v", at, free)
	}
	if at := pair(0, &cold); !(at.Flows < 0.95*free.Flows) {
		t.Errorf("%v flow at 0 °C, %v at 20 °C", at.Flows, free.Flows)
	}
	if got := pair(0, &warm).Words; !strings.HasSuffix(got, " From full to the end one gives 50 % of the charge and 2.5 A at the most, one gives 50 % of the charge and 2.5 A at the most.") {
		t.Error(got)
	}
	if got := free.Words; !strings.HasPrefix(got, "Joined with the first pack full and the others 10 % less, ") || !strings.HasSuffix(got, "when they have the same voltage.") {
		t.Error(got)
	}
}

// Packs that hold together what their logs showed have each the part of it that is stated of them, and what nobody states
// of their resistance is typical of that.
func TestBankAsItsLogsShowIt(t *testing.T) {
	b := Bank{Packs: []Pack{packOf(t, "lfp", 7, 12, nil), packOf(t, "lfp", 7, 4, func(p *Pack) { p.Resistance = quantity.Exact(quantity.Ohms(0.05)) })}}
	a := &Prediction{Capacity: quantity.Of[quantity.AmpereHours](8, 0.4), Basis: Basis{Calibrated: true}}
	held := b.Holding(a)
	for i, want := range []float64{6, 2} {
		near(t, "Ah", float64(held.Packs[i].Capacity.Value), want, 1e-12)
		near(t, "u of it, Ah", float64(held.Packs[i].Capacity.U), want/20, 1e-12)
	}
	if b.Packs[0].Capacity.Value != 12 || b.Holding(nil).Packs[0].Capacity.Value != 12 || b.Holding(&Prediction{Capacity: a.Capacity}).Packs[0].Capacity.Value != 12 {
		t.Error("what no log taught is changed")
	}
	cell, err := b.Packs[0].Chemistry.TypicalResistance(held.Packs[0].Capacity)
	if err != nil {
		t.Fatal(err)
	}
	r, taken := held.ResistanceTaken()
	near(t, "Ω side by side", 1/float64(r.Value), 1/(7*float64(cell.Value))+1/0.05, 1e-9)
	near(t, "u as a part, the wider of the two", float64(r.U/r.Value), float64(cell.U/cell.Value), 1e-9)
	if taken != "typical of "+b.Packs[0].Chemistry.Title+" of this capacity" {
		t.Errorf("taken: %q", taken)
	}
	b.Packs[0].Resistance = quantity.Exact(quantity.Ohms(0.05))
	if r, taken := b.ResistanceTaken(); r.Value != 0.025 || taken != "" {
		t.Errorf("stated: %s, %q", r, taken)
	}
	b.Packs[0].Resistance, b.Packs[0].Chemistry = quantity.Missing[quantity.Ohms](), nil
	if r, taken := b.ResistanceTaken(); r.Known() || taken != "" {
		t.Errorf("of no known chemistry: %s, %q", r, taken)
	}
	if r, _ := (Bank{}).ResistanceTaken(); r.Known() {
		t.Errorf("no packs: %s", r)
	}
}
