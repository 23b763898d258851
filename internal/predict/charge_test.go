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

// Time to 80 %, while the current is held: charge over current (a coulomb counter's own sum), from the charge that the packs begin with; a
// charge that begins above it has no such time.
func TestChargeTimeToMost(t *testing.T) {
	k, err := typical(bank(t, nil), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	held := 0
	for _, from := range []float64{0.1, 0.4, 0.85} {
		for _, c := range k.chargeTimes(nil, quantity.Of(quantity.Number(from), 0.02), nil, false, 20) {
			if c.Err != "" {
				t.Fatalf("%s: %s", c.Name, c.Err)
			}
			if from > battery.MostOfCharge {
				if c.Most.Known() {
					t.Errorf("%s: from %g it takes %v to 80 %%", c.Name, from, c.Most)
				}
				continue
			}
			want := (0.8 - from) * 16 / float64(c.Current) * 3600
			if want > float64(c.Bulk)/1.02 {
				continue
			}
			held++
			if math.Abs(float64(c.Most.Value)/want-1) > 0.01 {
				t.Errorf("%s: from %g it takes %v s, by the charge %v", c.Name, from, c.Most.Value, want)
			}
			// The start is unsure by 2 % of the charge, and the model by 2.8 % where nothing taught.
			least := math.Hypot(0.02*16/float64(c.Current)*3600, 0.028*want)
			if u := float64(c.Most.U); u < 0.99*least || u > 0.2*want || c.Most.U > c.Total.U {
				t.Errorf("%s: from %g u is %.0f s, at least %.0f s; to full %.0f s", c.Name, from, u, least, float64(c.Total.U))
			}
		}
	}
	if held < 3 {
		t.Errorf("only %d times are held", held)
	}
}
