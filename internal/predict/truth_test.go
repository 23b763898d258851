package predict

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// lasts is how long the pack really carries a current from full to a voltage, s.
func (p plainPack) lasts(t testing.TB, amps float64) float64 {
	t.Helper()
	p.from, p.rest, p.after, p.every, p.current, p.steps = 1, 0, 0, 5, 0, [][2]float64{{amps, 1e6}}
	r := p.run(t, "truth", nil)
	return r.Rows.Time[len(r.Rows.Time)-1]
}

// Logs made from another model than the one that is fitted, each with something wrong that a maker would not know of. The true time lies within what
// is said; where the program can tell what is wrong it says so.
func TestTheTruthLiesWithin(t *testing.T) {
	taught := func(amps float64, change func(*plainPack)) plainPack {
		p := plainLFP(amps)
		p.steps, p.every, p.rest = [][2]float64{{amps, 1e6}}, 5, 30
		if change != nil {
			change(&p)
		}
		return p
	}
	all := func(change func(*plainPack)) (runs []plainPack) {
		for _, amps := range []float64{9, 14} {
			runs = append(runs, taught(amps, change))
		}
		return runs
	}
	for _, c := range []struct {
		name string
		runs []plainPack
		says string
	}{
		{"nothing wrong", all(nil), ""},
		{"a resistance that goes with charge and current", all(func(p *plainPack) { p.map2 = true }), ""},
		{"hysteresis", all(func(p *plainPack) { p.lags = 0.03 }), ""},
		{"a cell that ends first", all(func(p *plainPack) { p.weak = 0.06 }), ""},
		{"a bad plug in one run", []plainPack{taught(9, nil), taught(14, func(p *plainPack) { p.ohms += 0.03 })}, "in its plugs and leads than"},
		{"not full at the start of one run, which begins under load", []plainPack{taught(9, nil), taught(14, func(p *plainPack) { p.from, p.rest = 0.92, 0 })}, "the packs are taken to have been full"},
		{"a meter that shows 2 % too much in one run", []plainPack{taught(9, nil), taught(14, func(p *plainPack) { p.current = 1.02 })}, ""},
		{"one run, by a meter that shows 2 % too little", []plainPack{taught(9, func(p *plainPack) { p.current = 0.98 })}, ""},
		{"one run, not full at the start", []plainPack{taught(9, func(p *plainPack) { p.from, p.rest = 0.92, 0 })}, ""},
	} {
		b := bank(t, nil)
		var runs []Run
		for i, p := range c.runs {
			runs = append(runs, p.run(t, string(rune('a'+i)), nil))
		}
		own := c.runs[0] // what is asked for is the pack with its plugs in order
		for _, amps := range []float64{4, 11, 20} {
			want := own.lasts(t, amps)
			load := NewLoad("asked", "as asked", AskedLoad, battery.Drawing(quantity.Amperes(amps)), "", 1)
			load.Ambient = 18
			a := Compute(b, runs, Options{Asked: []Load{load}, OwnPacksOnly: true})
			end := a.Table.Cells[0][0].End()
			low, high := float64(end.Running.Value-end.Running.Expanded()), float64(end.Running.Value+end.Running.Expanded())
			if end.Between != nil {
				low, high = float64(end.Between[0]), float64(end.Between[1])
			}
			t.Logf("%s, %g A: %.0f s, said %.0f s to %.0f s (%+.1f %%)", c.name, amps, want, low, high, 100*(float64(end.Running.Value)/want-1))
			if !(low <= want && want <= high) {
				t.Errorf("%s, %g A: it lasts %.0f s; said is %.0f s to %.0f s", c.name, amps, want, low, high)
			}
			said := a.Basis.Words
			for _, r := range a.Basis.Runs {
				said += r.Why
			}
			if !strings.Contains(said, c.says) || c.says == "" && strings.Contains(said, "plugs and leads") {
				t.Errorf("%s: %s", c.name, said)
			}
		}
	}
}

// The resistance of a plug, as it was put in; none of packs whose plugs are in order, nor where the logs do not begin alike.
func TestContactIsMeasured(t *testing.T) {
	of := func(change func(*plainPack, *plainPack)) []CalibrationRun {
		one, two := plainLFP(9), plainLFP(14)
		for _, p := range []*plainPack{&one, &two} {
			p.steps, p.every, p.rest = [][2]float64{{p.steps[0][0], 1e6}}, 5, 30
		}
		change(&one, &two)
		k, err := typical(bank(t, nil), false, nil)
		if err != nil {
			t.Fatal(err)
		}
		all := calibrationRuns(k, []Run{one.run(t, "one", nil), two.run(t, "two", nil)})
		k.contacts(all)
		return all
	}
	bad := of(func(_, p *plainPack) { p.ohms += 0.014 })
	if c := bad[1].Contact; math.Abs(float64(c.More)/0.014-1) > 0.1 || c.Best != "one" || math.Abs(float64(bad[1].log.log.Contact)*bad[1].log.factor/0.014-1) > 0.1 || bad[0].Contact.More != 0 {
		t.Errorf("%+v", c)
	}
	if !strings.Contains(bad[1].Why, "14 mΩ more in its plugs and leads than one: 2.7 W at 14 A") {
		t.Error(bad[1].Why)
	}
	for name, change := range map[string]func(*plainPack, *plainPack){
		"in order": func(_, _ *plainPack) {},
		"colder":   func(_, p *plainPack) { p.ohms += 0.014; p.celsius = 11 },
		"loaded":   func(_, p *plainPack) { p.ohms += 0.014; p.rest = 0 },
		"slow":     func(_, p *plainPack) { p.ohms += 0.014; p.steps[0][0] = 7 },
		"coarse":   func(_, p *plainPack) { p.ohms += 0.014; p.every = 20 },
	} {
		if all := of(change); all[0].Contact.More != 0 || all[1].Contact.More != 0 {
			t.Errorf("%s: %+v", name, all[1].Contact)
		}
	}
}

// A plug that gets worse by 8 mΩ each time is told with its rise and its chance; one that does not, or that was mended, is not.
func TestPlugsThatGrow(t *testing.T) {
	of := func(more ...float64) (Basis, []CalibrationRun) {
		var runs []Run
		for i, ohms := range more {
			p := plainLFP(9)
			p.steps, p.every, p.rest = [][2]float64{{9, 1e6}}, 5, 30
			p.ohms += ohms
			runs = append(runs, p.run(t, string(rune('a'+i)), func(r *Run) { r.Day = 20000 + 10*i }))
		}
		_, _, basis, err := calibrate(bank(t, nil), runs, nil)
		if err != nil {
			t.Fatal(err)
		}
		return basis, basis.Runs
	}
	basis, _ := of(0, 0.008, 0.016, 0.024)
	// The straight line through what was put in rises by 24 mΩ; chance: Student's 4.303 for two degrees of freedom (Pearson and Hartley's table) times 4 % of the
	// resistances, root mean square, over the root of the sum of squared days, 500, times 30 days.
	g := basis.Plugs
	if g == nil || g.Runs != 4 || g.First != "cart/1/a" || g.Last != "cart/1/d" || math.Abs(float64(g.Rise)/0.024-1) > 0.02 {
		t.Fatalf("%+v", g)
	}
	square := 0.0
	for _, r := range basis.Runs {
		square += math.Pow(float64(r.Contact.After10s.Value), 2) / 4
	}
	if want := 4.303 * 0.04 * math.Sqrt(square/500) * 30; math.Abs(float64(g.Chance)/want-1) > 0.02 {
		t.Errorf("chance %v, want %v", g.Chance, want)
	}
	if !strings.Contains(basis.Words, "rose by 24 mΩ over 4 runs") {
		t.Error(basis.Words)
	}
	_, runs := of(0, 0.03, 0.03, 0)
	if c := runs[1].Contact; c.Mended != "d" || math.Abs(float64(c.Heat)/(81*0.03)-1) > 0.03 || !strings.Contains(runs[1].Why, "d, which is later, has none of it") {
		t.Errorf("%+v, %s", c, runs[1].Why)
	}
	for _, more := range [][]float64{{0, 0, 0, 0}, {0, 0.03, 0, 0}, {0, 0.01, 0.015}} {
		if basis, _ := of(more...); basis.Plugs != nil {
			t.Errorf("%v: %+v", more, basis.Plugs)
		}
	}
}
