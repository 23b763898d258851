package predict

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// The version's own charger has the first row. At a current that another row has
// too, and with the packs' full voltage, it takes as long; one that ends lower is
// done earlier, and one that cannot fill the packs has no time.
func TestOwnCharger(t *testing.T) {
	asked := Options{OwnPacksOnly: true, Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(5), "5 A", 1)}}
	with := func(amps quantity.Amperes, volts quantity.Volts) *Prediction {
		return Compute(bank(t, func(b *Bank) { b.Charger = battery.Charger{Current: amps, Volts: volts} }), nil, asked)
	}
	without := with(0, 0)
	for _, c := range without.Charges {
		if c.Own {
			t.Errorf("a charger that is not stated: %+v", c)
		}
	}
	fifth := without.Charges[0]
	full := bank(t, nil).Packs[0].Chemistry.Full() * quantity.Volts(bank(t, nil).Series())
	row := func(a *Prediction) ChargeTime {
		if c := a.Charges[0]; c.Own && c.Name == ChargerName && a.Charges[1].Name == "charge-time/c-5" {
			return c
		}
		t.Fatalf("the own charger is not first: %+v", a.Charges)
		return ChargeTime{}
	}
	for _, volts := range []quantity.Volts{0, full} {
		if c := row(with(fifth.Current, volts)); c.Err != "" || math.Abs(float64(c.Total.Value/fifth.Total.Value)-1) > 1e-9 || c.Against != "" {
			t.Errorf("ending at %g V: %s, %q; at the same current %s", float64(volts), c.Total, c.Err, fifth.Total)
		}
	}
	if c := row(with(fifth.Current, full*0.98)); c.Err != "" || !(c.Total.Value < fifth.Total.Value) || !strings.Contains(c.Label, "up to ") {
		t.Errorf("ending lower: %+v, longer than %s", c, fifth.Total)
	}
	for _, tt := range []struct {
		volts quantity.Volts
		want  string
	}{{full * 0.7, "it puts nothing in"}, {full * 0.9, "% only"}} {
		if c := row(with(fifth.Current, tt.volts)); !strings.Contains(c.Err, tt.want) || c.Total.Known() {
			t.Errorf("ending at %g V: %q, %s; want %q", float64(tt.volts), c.Err, c.Total, tt.want)
		}
	}
	a := with(fifth.Current, 0)
	a.Refuse("a-rule")
	if c := row(a); c.Against != "a-rule" || !strings.Contains(c.Err, "a-rule") || c.Total.Known() || c.Current != fifth.Current {
		t.Errorf("refused: %+v", c)
	}
	if c := a.Charges[1]; c.Err != "" || c.Against != "" || c.Total != fifth.Total {
		t.Errorf("another row is refused with it: %+v", c)
	}
}

// Time to a part of the charge, while the current is held: charge over current (a coulomb counter's own sum), from the charge that the packs
// begin with; what lies below that, or is only reached with the voltage held, has no such time.
func TestChargeTimeToAPart(t *testing.T) {
	a := Compute(bank(t, nil), nil, Options{Asked: []Load{NewLoad("asked", "asked", AskedLoad, battery.Drawing(5), "a load", 1)}, Ambient: quantity.Exact(quantity.Celsius(20)), HoldAmbient: true, OwnPacksOnly: true})
	held := 0
	for _, c := range a.Charges {
		if c.Err != "" || !c.Total.Known() {
			continue
		}
		capacity := 16.0 // Ah
		for _, part := range []float64{0.3, 0.5, 0.8} {
			want := (part - c.From) * capacity / float64(c.Current) * 3600
			got := c.To(part)
			switch reached := want <= float64(c.Bulk); {
			case part <= c.From || !reached && want > 1.05*float64(c.Bulk):
				if got.Known() {
					t.Errorf("%s: to %v from %v it takes %v, with the current held for %v", c.Name, part, c.From, got, c.Bulk)
				}
			case reached && want < float64(c.Bulk)/1.05:
				held++
				if math.Abs(float64(got.Value)/want-1) > 0.03 { // what comes back is a little less than what went in
					t.Errorf("%s: to %v it takes %v s, by the charge %v", c.Name, part, got.Value, want)
				}
				if !(got.U > 0) || got.U > c.Total.U {
					t.Errorf("%s: to %v its uncertainty is %v of %v for the whole", c.Name, part, got.U, c.Total.U)
				}
			}
		}
		if c.To(c.From).Known() || c.To(1).Known() && c.Taper > 0 {
			t.Errorf("%s: no charge at all, or all of it, takes %v, %v", c.Name, c.To(c.From), c.To(1))
		}
	}
	if held < 4 {
		t.Errorf("only %d times are held", held)
	}
	if (&ChargeTime{Err: "none"}).To(0.8).Known() {
		t.Error("where there is no charge there is a time")
	}
}
