package predict

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// TestBankOfPacks: packs in parallel, by Kirchhoff's laws: capacities and currents add, 1/R adds; the least full voltage holds for all;
// a protection ends the discharge only where every pack has one, at the highest of them.
func TestBankOfPacks(t *testing.T) {
	pack := func(ah, ohms, full float64, cut *battery.Cutout) Pack {
		p := Pack{Chemistry: chemistry(t, "lfp"), Series: 8, Capacity: quantity.Of(quantity.AmpereHours(ah), quantity.AmpereHours(ah/100)),
			Resistance: quantity.Of(quantity.Ohms(ohms), quantity.Ohms(ohms/20)), Full: quantity.Exact(quantity.Volts(full)), Protection: cut}
		return p
	}
	b := Bank{Packs: []Pack{pack(10, 0.03, 28.8, &battery.Cutout{Opens: 20, Trip: 30}), pack(20, 0.06, 28.4, &battery.Cutout{Opens: 21, Trip: 40})}}
	near(t, "capacity", float64(b.Capacity().Value), 30, 1e-12)
	near(t, "u of it", float64(b.Capacity().U), math.Hypot(0.1, 0.2), 1e-12)
	near(t, "resistance", float64(b.Resistance().Value), 0.02, 1e-12)
	near(t, "u of it", float64(b.Resistance().U), 0.001, 1e-12)
	near(t, "full", float64(b.full()), 28.4, 1e-12)
	p := b.protection()
	if p.Opens != 21 || p.Trip != 70 {
		t.Errorf("%+v", p)
	}
	if cut, by := b.Ending(); cut.Opens != 21 || by != EndsAtProtection {
		t.Errorf("ends at %+v by %s", cut, by)
	}
	b.Packs[0].Protection.Opens = 22
	if p := b.protection(); p.Opens != 22 || b.Packs[0].Protection.Trip != 30 {
		t.Errorf("%+v", p)
	}
	b.Packs[1].Protection.Trip = 0
	if p := b.protection(); p.Trip != 0 {
		t.Errorf("a pack that no current opens: %+v", p)
	}
	b.Packs[1].Protection = nil
	if cut, by := b.Ending(); cut != nil || by != EndsAtFloor {
		t.Errorf("one pack without goes on: %+v, %s", cut, by)
	}
	b.Cutout = &battery.Cutout{Opens: 23}
	if cut, by := b.Ending(); cut.Opens != 23 || by != EndsAtCutout {
		t.Errorf("%+v, %s", cut, by)
	}
	b.Packs[0].Capacity.U = 0
	if b.Capacity().U != 0 {
		t.Error("an uncertainty that is half known")
	}
	b.Packs[0].Full, b.Packs[1].Full = quantity.Missing[quantity.Volts](), quantity.Missing[quantity.Volts]()
	if b.full() != 0 || !b.alike() || b.insisted() {
		t.Errorf("%v", b.full())
	}
	b.Packs[1].Insisted, b.Packs[1].Resistance = true, quantity.Exact(quantity.Ohms(0))
	if b.Resistance().Known() || !b.insisted() {
		t.Error("a resistance of nothing")
	}
	for name, spoil := range map[string]func(*Bank){"no packs": func(b *Bank) { b.Packs = nil }, "no chemistry": func(b *Bank) { b.Packs[0].Chemistry = nil }, "no series": func(b *Bank) { b.Packs[0].Series = 0 }, "unlike series": func(b *Bank) { b.Packs[1].Series = 7 },
		"no capacity": func(b *Bank) { b.Packs[1].Capacity.Value = 0 }, "unknown capacity": func(b *Bank) { b.Packs[1].Capacity = quantity.Missing[quantity.AmpereHours]() }} {
		bad := b
		bad.Packs = slices.Clone(b.Packs)
		spoil(&bad)
		if bad.Check() == nil {
			t.Errorf("%s passes", name)
		}
	}
	if err := b.Check(); err != nil {
		t.Error(err)
	}
}

// TestFilledRows: what a missing row is taken for, with the bounds of both rules on both sides: neighbours within a fifth of each other, or less than a hundredth
// of the capacity in it; and what is cut at either end.
func TestFilledRows(t *testing.T) {
	nan := math.NaN()
	rows := func(before, after, seconds float64) *Rows {
		return &Rows{Time: []float64{10, 10 + seconds, 10 + 2*seconds}, Current: []float64{before, nan, after}, Voltage: []float64{26, nan, 24}, Temperature: []float64{20, 21, 22}}
	}
	for _, x := range []struct {
		before, after, seconds float64
		kept                   int
	}{{10, 8.01, 600, 3}, {10, 7.99, 600, 1}, {10, 2, 89, 3}, {10, 2, 91, 1}, {8.01, 10, 600, 3}, {nan, 10, 10, 0}} {
		got := rows(x.before, x.after, x.seconds).filled(10)
		if len(got.Time) != x.kept {
			t.Errorf("%+v: %d rows", x, len(got.Time))
		}
		if x.kept == 3 {
			near(t, "current", got.Current[1], (x.before+x.after)/2, 1e-12)
			near(t, "voltage", got.Voltage[1], 25, 1e-12)
		}
	}
	r := &Rows{Start: 0, Time: []float64{1, 2, 3, 4, 5}, Current: []float64{0, 5, 0, 6, 0.2}, Voltage: []float64{26, 25, 26, 25, 26}, Temperature: []float64{1, 2, 3, 4, 5}}
	got := r.between(0.2)
	if got.Start != 1 || !slices.Equal(got.Time, []float64{2, 3, 4}) || !slices.Equal(got.Current, []float64{5, 0, 6}) || !slices.Equal(got.Temperature, []float64{2, 3, 4}) {
		t.Errorf("%+v", got)
	}
	if got := r.between(0.1); !slices.Equal(got.Time, []float64{2, 3, 4, 5}) {
		t.Errorf("%+v", got)
	}
	if got := r.between(6); len(got.Time) != 0 {
		t.Errorf("%+v", got)
	}
	r.Current[0] = 3
	if got := r.between(1); got.Start != 0 || len(got.Time) != 4 {
		t.Errorf("%+v", got)
	}
}

// TestScaledByMass: what rolls goes with the mass (force is coefficient times weight), what a motor draws without load does not.
func TestScaledByMass(t *testing.T) {
	moved := func(vehicle, payload float64) MovedMasses {
		m := NoMovedMasses()
		m.Vehicle, m.Payload = quantity.Exact(quantity.Kilograms(vehicle)), quantity.Exact(quantity.Kilograms(payload))
		return m
	}
	near(t, "ratio", massRatio(moved(50, 50), moved(50, 100)), 1.5, 1e-12)
	near(t, "ratio", massRatio(moved(50, 100), moved(25, 50)), 0.5, 1e-12)
	f := fixed{standing: 10, idle: 20}
	for x, want := range map[float64]float64{130: 30 + 150, 30: 30, 29: 29, 0: 0, -40: -60, 31: 31.5} {
		near(t, "scaled", f.scaled(x, 1.5), want, 1e-12)
	}
	for _, m := range []MovedMasses{NoMovedMasses(), moved(0, 10), moved(50, -1)} {
		if m.stated() {
			t.Errorf("%+v is stated", m)
		}
	}
	if !moved(50, 0).stated() {
		t.Error("no payload is one that is stated")
	}
	r := Run{Masses: moved(50, 50), Slug: "a", Kind: "field"}
	r.Masses.NoLoadCurrent, r.Masses.Setting = quantity.Exact(quantity.Amperes(2)), quantity.Exact(quantity.Fraction(0.5))
	l := NewLoad("a", "a", MeasuredLoad, battery.Delivering(100), "100 W", 1)
	l.Power, l.Current = quantity.Exact(quantity.Watts(100)), quantity.Exact(quantity.Amperes(4))
	l.threshold = 0.5
	l.rows = &Rows{Start: 0, Time: []float64{10, 30, 40}, Current: []float64{4, 0.2, 4}, Voltage: []float64{25, 25, 25}}
	b := bank(t, nil)
	got := r.fixed(l, b)
	near(t, "standing", float64(got.standing), 5, 1e-12)
	near(t, "idle", float64(got.idle), 25*0.5*2, 1e-12)
	l.rows = nil
	out, why := r.at(l, b, moved(50, 150))
	if why != "" {
		t.Fatal(why)
	}
	near(t, "power", float64(out.Power.Value), 25+75*2, 1e-9)
	near(t, "current", float64(out.Current.Value), 4*1.75, 1e-9)
	near(t, "unsure", float64(out.Unsure), 0.25*0.75/1.75, 1e-9)
	if out.Source != ScaledLoad || out.From != l.Run || out.Payload.Value != 150 {
		t.Errorf("%+v", out)
	}
	l.Current = quantity.Missing[quantity.Amperes]()
	near(t, "by the nominal voltage", float64(r.fixed(l, b).idle), 7*float64(chemistry(t, "lfp").Nominal())*0.5*2, 1e-9)
	l.Current = quantity.Exact(quantity.Amperes(4))
	r.Masses.NoLoadCurrent = quantity.Exact(quantity.Amperes(8))
	if _, why := r.at(l, b, moved(50, 150)); why == "" {
		t.Error("what the motors draw without a load is all of it")
	}
	r.Masses.WheelsUp = true
	if _, why := r.at(l, b, moved(50, 150)); !strings.Contains(why, "wheels in the air") {
		t.Error(why)
	}
}
