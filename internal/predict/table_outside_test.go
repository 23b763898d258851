package predict

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// TestBarsAreComputedAnew: each bar is the run time with one thing changed by what its words say: 10 % of capacity and load, 20 % of the resistance,
// 10 K, 0.1 V of a cell, a tenth of the charge (our own choice); here changed by hand in the packs and computed again.
func TestBarsAreComputedAnew(t *testing.T) {
	b := bank(t, nil)
	a := Compute(b, nil, Options{OwnPacksOnly: true, Asked: []Load{NewLoad("asked", "asked", AskedLoad, battery.Delivering(150), "a load", 1)}})
	k, err := typical(b, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	run := func(capacity, ohms, watts, kelvins, volts, charge float64) float64 {
		packs := k.cells(halves, usualAmbient+quantity.Celsius(kelvins))
		for i := range packs {
			c := *packs[i].Cell
			c.Capacity *= quantity.AmpereHours(capacity)
			c.HeatCapacity *= capacity
			c.Conductance *= capacity
			c.Ohmic = c.Ohmic.Scaled(ohms)
			c.Branches = slices.Clone(c.Branches)
			for n := range c.Branches {
				c.Branches[n].Resistance = c.Branches[n].Resistance.Scaled(ohms)
			}
			packs[i].Cell, packs[i].Charge = &c, packs[i].Charge+charge
		}
		cutout := *b.Cutout
		cutout.Opens += quantity.Volts(volts)
		o, err := battery.Simulate(battery.Scenario{Packs: packs, Demand: battery.Steady(battery.Delivering(quantity.Watts(watts))), Ambient: usualAmbient + quantity.Celsius(kelvins),
			Levels: []battery.Level{{Name: "end", Volts: cutout.Opens, Delay: cutout.Delay}}})
		if err != nil {
			t.Fatal(err)
		}
		return float64(o.Levels[0].At)
	}
	base := run(1, 1, 150, 0, 0, 0)
	near(t, "base", float64(a.Sensitivity.Base), base, 1e-6)
	want := map[string][2]float64{
		"capacity": {run(0.9, 1, 150, 0, 0, 0), run(1.1, 1, 150, 0, 0, 0)}, "resistance": {run(1, 0.8, 150, 0, 0, 0), run(1, 1.2, 150, 0, 0, 0)}, "load": {run(1, 1, 135, 0, 0, 0), run(1, 1, 165, 0, 0, 0)},
		"temperature": {run(1, 1, 150, -10, 0, 0), run(1, 1, 150, 10, 0, 0)}, "voltage of the cutout": {run(1, 1, 150, 0, -0.7, 0), run(1, 1, 150, 0, 0.7, 0)}, "charge at the start": {run(1, 1, 150, 0, 0, -0.1), math.NaN()},
	}
	last := math.Inf(1)
	for _, bar := range a.Sensitivity.Inputs {
		w, ok := want[bar.Input]
		if !ok {
			t.Errorf("%s is a bar", bar.Input)
			continue
		}
		delete(want, bar.Input)
		effect := math.Abs(w[0] - base)
		near(t, bar.Input+", low", float64(bar.Low.Time), w[0], 1e-3)
		if !math.IsNaN(w[1]) {
			near(t, bar.Input+", high", float64(bar.High.Time), w[1], 1e-3)
			effect = max(effect, math.Abs(w[1]-base))
		}
		if math.Abs(float64(bar.Effect)-effect) > 1e-3*base {
			t.Errorf("%s: an effect of %v s, want %v s", bar.Input, bar.Effect, effect)
		}
		if float64(bar.Effect) > last {
			t.Errorf("%s is out of order", bar.Input)
		}
		last = float64(bar.Effect)
	}
	if len(want) > 0 {
		t.Errorf("no bars of %v", want)
	}
	// One column alone, the packs' own, and its end.
	if len(a.Table.Columns) != 1 || a.Table.EndsBy != EndsAtCutout || a.Table.Cells[0][0].Cutout.Volts != 20.7 {
		t.Errorf("%+v", a.Table)
	}
	// What is left to charge is what was taken out, at the fifth of the capacity.
	end := a.Table.Cells[0][0].End()
	from := float64(end.Left.Value / (end.Left.Value + end.Charge.Value))
	for _, c := range a.Charges {
		near(t, "charge begins", c.From, from, 1e-9)
	}
	// The cutout's rebound: at rest the pack comes back to the curve at what is left, by definition of the rest voltage.
	c := a.Chatter
	if c == nil || c.Err != "" || !math.IsNaN(c.Likely) && (c.Likely < 0 || c.Likely > 1) || c.Opens != 20.7 || math.Abs(float64(c.Reset)-22.9) > 1e-9 {
		t.Fatalf("%+v", c)
	}
	near(t, "likely", c.Likely, 0.5*math.Erfc(float64(c.Reset-c.Rebound.Value)/float64(c.Rebound.U)/math.Sqrt2), 1e-9)
}

// TestColumnsOfTheTable: half and twice the capacity; two twins are named as packs, twins being alike within a fifth of their resistance.
func TestColumnsOfTheTable(t *testing.T) {
	b := bank(t, nil)
	all := columnsOf(b, false)
	if len(all) != 3 || all[0].Capacity != 16 || all[1].Capacity != 8 || all[2].Capacity != 32 || all[0].parts != 2 || all[1].parts != 1 || all[2].parts != 4 || len(columnsOf(b, true)) != 1 {
		t.Errorf("%+v", all)
	}
	b.Packs = append(b.Packs, b.Packs[0])
	if all = columnsOf(b, false); !strings.HasPrefix(all[1].Label, "one of the packs") || all[0].Capacity != 32 {
		t.Errorf("%+v", all)
	}
	p := b.Packs[0]
	p.Resistance = quantity.Exact(quantity.Ohms(0.1))
	for name, c := range map[string]struct {
		change func(*Pack)
		twins  bool
	}{
		"the same": {func(*Pack) {}, true}, "a fifth": {func(p *Pack) { p.Resistance.Value = 0.0801 }, true}, "more than a fifth": {func(p *Pack) { p.Resistance.Value = 0.0799 }, false}, "no resistance": {func(p *Pack) { p.Resistance = quantity.Missing[quantity.Ohms]() }, false},
		"capacity": {func(p *Pack) { p.Capacity.Value = 15.9 }, false}, "series": {func(p *Pack) { p.Series = 8 }, false}, "chemistry": {func(p *Pack) { p.Chemistry = chemistry(t, "nmc") }, false}, "full": {func(p *Pack) { p.Full = quantity.Exact(quantity.Volts(25)) }, false},
	} {
		q := p
		c.change(&q)
		if twins(p, q) != c.twins || twins(q, p) != c.twins {
			t.Errorf("%s: twins %v", name, !c.twins)
		}
	}
}

// TestWhichRunsGiveLoads: no charge and no rest, by what they are called or by what went in; a mean power by hand; one label each.
func TestWhichRunsGiveLoads(t *testing.T) {
	b := bank(t, nil)
	hand := func(slug, kind string, watts, in, out float64) Run {
		return Run{ID: "cart/1/" + slug, Slug: slug, Name: slug, Kind: kind, Label: "field", Power: quantity.Exact(quantity.Watts(watts)), ChargedCharge: quantity.Exact(quantity.AmpereHours(in)), DischargedCharge: quantity.Exact(quantity.AmpereHours(out)),
			Ambient: quantity.Exact(quantity.Celsius(7)), Capacity: quantity.Missing[quantity.AmpereHours]()}
	}
	loads := loadsOf(b, []Run{hand("a", "field", 100, 0, 5), hand("b", "charge", 100, 5, 0), hand("c", "rest", 100, 0, 0), hand("d", "field", 100, 5.1, 1), hand("e", "field", 120, 4.9, 1), hand("f", "field", 0, 0, 5)})
	var names []string
	for _, l := range loads {
		names = append(names, l.Name)
		if !l.ByHand || l.Ambient != 7 || l.Assumed || l.Source != MeasuredLoad || l.Run != "cart/1/"+l.Name {
			t.Errorf("%+v", l)
		}
	}
	if strings.Join(names, " ") != "a e" || loads[1].Label != "field (e)" || loads[0].Label != "field" {
		t.Errorf("%v: %+v", names, loads)
	}
	if l := NewLoad("x", "y", StatedLoad, battery.Drawing(3), "z", 0.4); l.Ambient != 20 || !l.Assumed || l.Duty != 0.4 || l.Power.Known() || l.Current.Known() || l.Source != StatedLoad {
		t.Errorf("%+v", l)
	}
	// A cutout that opens below what data sheets allow is cautioned against, at the very voltage not.
	floor := 7 * float64(chemistry(t, "lfp").DatasheetFloor())
	for opens, says := range map[float64]int{floor: 0, floor - 0.01: 1, floor + 1: 0} {
		b.Cutout.Opens = quantity.Volts(opens)
		if got := cautions(b); len(got) != says {
			t.Errorf("%v V: %v", opens, got)
		}
	}
	b.Packs[0].Protection = &battery.Cutout{Opens: quantity.Volts(floor)}
	b.Cutout.Opens = quantity.Volts(floor - 1)
	if got := cautions(b); len(got) != 0 {
		t.Errorf("the packs' own opens before: %v", got)
	}
	b.Cutout, b.Packs[0].Protection = nil, nil
	if got := cautions(b); got != nil {
		t.Errorf("nothing opens: %v", got)
	}
}
