package predict

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// chargedRun is a charge whose course is known in closed form: 5 A are held until nine tenths of 12 Ah are in, then they die away, so many times as slowly
// as would put the last tenth in.
func chargedRun(t *testing.T, id string, slower float64) Run {
	t.Helper()
	const series, amps = 7, 5.0
	rows := &phases.Rows{Start: 0}
	held, tau := 12*0.9*3600/amps, slower*12*0.1*3600/amps
	for at := 60.0; ; at += 60 {
		i := amps
		if at > held {
			i = amps * math.Exp(-(at-held)/tau)
		}
		if i < 0.2 {
			break
		}
		rows.Time, rows.Amperes = append(rows.Time, at), append(rows.Amperes, i)
		rows.Volts = append(rows.Volts, series*min(3.3+0.25*at/held, 3.6))
	}
	return Run{ID: id, Slug: id, Kind: "charge", Charging: amps, ChargeRows: rows, Ambient: quantity.Exact(quantity.Celsius(20)), Capacity: quantity.Missing[quantity.AmpereHours](),
		Wall: quantity.Missing[quantity.WattHours](), ChargedEnergy: quantity.Missing[quantity.WattHours]()}
}

// A charge is held against its prediction at 80 %, at full, in energy, and in energy from the wall where a meter read it; another charge
// teaches it: the error gets smaller, and the interval narrower. What a run that only checks shows teaches nothing.
func TestChargesAreChecked(t *testing.T) {
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	one := chargedRun(t, "a", 2)
	one.Wall, one.ChargedEnergy = quantity.Exact(quantity.WattHours(371.48)), quantity.Exact(quantity.WattHours(315.758))
	two := one
	two.ID, two.Slug = "b", "b"
	alone := k.chargeChecks([]Run{one})
	if len(alone) != 1 || alone[0].Why != "" || alone[0].By != 0 {
		t.Fatalf("%+v", alone)
	}
	both := k.chargeChecks([]Run{one, two})
	full := func(c ChargeCheck, name string) ChargeLevel {
		for _, l := range c.Levels {
			if l.Name == name {
				return l
			}
		}
		t.Fatalf("%s is not compared: %+v", name, c)
		return ChargeLevel{}
	}
	before, after := full(alone[0], ChargeToFull), full(both[0], ChargeToFull)
	if both[0].By != 1 || !(math.Abs(after.Off()) < math.Abs(before.Off())) || !(after.Predicted.U < before.Predicted.U) {
		t.Errorf("taught: %s; before: %s", after.Words(), before.Words())
	}
	if got := after.Measured.Value; math.Abs(got-one.ChargeRows.Time[len(one.ChargeRows.Time)-1]) > 120 {
		t.Errorf("measured %g s", got)
	}
	// The wall: 0.85 ± 0.05 typical (from memory), then as the other charge showed it, 315.758/371.48.
	wall, in := full(alone[0], ChargeAtWall), full(alone[0], ChargeIn)
	if math.Abs(wall.Predicted.Value/(in.Predicted.Value/0.85)-1) > 1e-9 || wall.Measured.Value != 371.48 {
		t.Errorf("%s; into the packs %s", wall.Words(), in.Words())
	}
	learned, in := full(both[0], ChargeAtWall), full(both[0], ChargeIn)
	if math.Abs(learned.Predicted.Value/(in.Predicted.Value/0.85)-1) > 1e-9 || !(learned.Predicted.U < wall.Predicted.U) {
		t.Errorf("%s; before %s", learned.Words(), wall.Words())
	}
	two.OnlyChecked = true
	if c := k.chargeChecks([]Run{one, two}); c[0].By != 0 || c[1].By != 1 {
		t.Errorf("a run that only checks: %d, %d", c[0].By, c[1].By)
	}
	a := &Prediction{ChargeRuns: both}
	if words := a.ChargeCheckedWords(ChargeToFull); !strings.Contains(words, "2 charges it had not seen") {
		t.Error(words)
	}
	if words := (&Prediction{}).ChargeCheckedWords(ChargeToFull); !strings.HasPrefix(words, "not checked") {
		t.Error(words)
	}
	// The answer is taught too, and ends at the current that the charges ended at.
	free := k.chargeTimes(nil, quantity.Exact(quantity.Number(0.2)), nil, false, 20)[0]
	taught := k.chargeTimes(nil, quantity.Exact(quantity.Number(0.2)), lessonsOf(both, ""), false, 20)[0]
	if taught.Taught != 2 || !(taught.Total.Value > free.Total.Value) {
		t.Errorf("%v taught by %d, %v before", taught.Total, taught.Taught, free.Total)
	}
	if amps, u := endingCurrent(lessonsOf(both, ""), halves); math.Abs(float64(amps)-0.2) > 0.03 || u != stopRepeats {
		t.Errorf("ends at %v, %g", amps, u)
	}
	// The mean of n charges leaves σ·√(1 + 1/n) of the next one (textbook).
	for n, want := range map[int]float64{1: math.Sqrt2, 4: math.Sqrt(1.25)} {
		if e := k.efficiency(slices.Repeat([]Run{one}, n), ""); math.Abs(float64(e.U)/(repeatEfficiency*want)-1) > 1e-12 {
			t.Errorf("%d charges: %v", n, e)
		}
	}
	// A stated efficiency stands before both.
	k.bank.Efficiency = quantity.Exact(quantity.Fraction(0.9))
	if e := k.efficiency([]Run{one}, ""); e.Value != 0.9 || e.U != repeatEfficiency {
		t.Errorf("%v", e)
	}
}

// What cannot be compared says why.
func TestChargesThatAreNotChecked(t *testing.T) {
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	one := chargedRun(t, "a", 1)
	hand := one
	hand.ChargeRows, hand.Why = nil, "Its values were read by hand."
	cut := one
	cut.ChargeRows = &phases.Rows{Time: one.ChargeRows.Time[:100], Amperes: one.ChargeRows.Amperes[:100], Volts: one.ChargeRows.Volts[:100]}
	for _, x := range []struct {
		r    Run
		says string
	}{{hand, "read by hand"}, {cut, "shows no rest before it"}} {
		c := k.chargeChecks([]Run{x.r})
		if len(c) != 1 || !strings.Contains(c[0].Why, x.says) || len(c[0].Levels) != 0 || len(lessonsOf(c, "")) != 0 {
			t.Errorf("%+v, want %q", c, x.says)
		}
	}
	field := one
	field.Kind = "field"
	if c := k.chargeChecks([]Run{field}); len(c) != 0 {
		t.Errorf("a field run: %+v", c)
	}
}

// Several checks are summed up from the one that was furthest below to the one furthest above, whatever their order.
func TestWordsOfSeveralCharges(t *testing.T) {
	level := func(predicted float64) []ChargeLevel {
		return []ChargeLevel{{Name: ChargeToFull, Measured: quantity.Exact(quantity.Seconds(1000)).Quantity(), Predicted: quantity.Of(quantity.Seconds(predicted), quantity.Seconds(20)).Quantity()}}
	}
	a := &Prediction{ChargeRuns: []ChargeCheck{{Levels: level(1010)}, {Levels: level(900)}, {Levels: level(1100)}, {Levels: level(990)}}}
	if got, want := a.ChargeCheckedWords(ChargeToFull), "checked on 4 charges it had not seen: -10.0 % to +10.0 %, 2 of 4 inside"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A charge in the cold is held against a charge in the cold.
func TestChargeInItsOwnAir(t *testing.T) {
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, ambient := range []quantity.Measured[quantity.Celsius]{quantity.Exact(quantity.Celsius(7)), quantity.Missing[quantity.Celsius]()} {
		r := chargedRun(t, "a", 1)
		r.Ambient = ambient
		want := quantity.Celsius(usualAmbient)
		if ambient.Known() {
			want = ambient.Value
		}
		if m, why := k.measuredCharge(&r); why != "" || m.Ambient != want {
			t.Errorf("%v: at %v, %q", ambient, m.Ambient, why)
		}
	}
}

// A level that the prediction does not come down to is outside, and says so; one whose interval is not known is neither.
func TestVerdictsOfLevels(t *testing.T) {
	missing := quantity.Missing[quantity.Seconds]()
	for _, x := range []struct {
		predicted quantity.Measured[quantity.Seconds]
		want      string
	}{
		{missing, "outside: the prediction does not come down to it"}, {quantity.Unsure(quantity.Seconds(1000)), "its interval is not known"},
		{quantity.Of(quantity.Seconds(1000), quantity.Seconds(50)), "inside"}, {quantity.Of(quantity.Seconds(1000), quantity.Seconds(5)), "outside"},
	} {
		if got := (LevelCheck{Predicted: x.predicted, Measured: 1040}).Verdict(); got != x.want {
			t.Errorf("%v: %q, want %q", x.predicted, got, x.want)
		}
	}
}
