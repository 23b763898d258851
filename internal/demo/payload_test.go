package demo

import (
	"math"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// A train is driven with one payload, the load that predict makes of that for
// another payload is held against the same train driven with the other. The
// demo's vehicles are invented, but they know what the scaling does not: copper
// loss with the square of the pull, and a driver who coasts. The oracle is the
// simulation; the bound is two of the standard uncertainties that predict states.
func TestOtherPayload(t *testing.T) {
	chemistry, err := battery.ChemistryNamed("lfp")
	if err != nil {
		t.Fatal(err)
	}
	b := predict.Bank{Packs: []predict.Pack{{Name: "pack", Chemistry: chemistry, Series: 8, Capacity: quantity.Exact(quantity.AmpereHours(40)),
		Resistance: quantity.Missing[quantity.Ohms](), Full: quantity.Missing[quantity.Volts]()}}}
	missing := quantity.Missing[quantity.AmpereHours]()
	for _, c := range []struct {
		name    string
		drive   func(s *outing, payload float64)
		vehicle float64
		idle    quantity.Measured[quantity.Amperes]
	}{
		{"train", func(s *outing, payload float64) { s.drive(train(96+payload), loop(), 3000) }, 96, quantity.Missing[quantity.Amperes]()},
		{"train, no-load current of two motors stated", func(s *outing, payload float64) { s.drive(train(96+payload), loop(), 3000) }, 96, quantity.Exact(quantity.Amperes(2.2))},
		{"barrow", func(s *outing, payload float64) { s.drive(barrow(57+payload), path(), 1900) }, 57, quantity.Missing[quantity.Amperes]()},
	} {
		run := func(payload float64) predict.Run {
			s := newOuting(7, 15, 0.1, 1, iron(20, 0.017, 1), iron(20, 0.017, 1))
			s.rest(60, 0.2)
			c.drive(s, payload)
			rows := &predict.Rows{}
			var out float64
			for k, r := range s.rows[1:] {
				rows.Time, rows.Current = append(rows.Time, r.at), append(rows.Current, r.amps)
				rows.Voltage, rows.Temperature = append(rows.Voltage, r.volts), append(rows.Temperature, math.NaN())
				out += r.amps * (r.at - s.rows[k].at) / 3600
			}
			m := predict.NoMovedMasses()
			m.Vehicle, m.Payload = quantity.Exact(quantity.Kilograms(c.vehicle)), quantity.Exact(quantity.Kilograms(payload))
			m.NoLoadCurrent, m.Setting = c.idle, quantity.Exact(quantity.Fraction(0.7))
			return predict.Run{ID: "x/1/run", Slug: "run", Kind: "field", Label: "field", Rows: rows, Thin: rows, Ambient: quantity.Exact(quantity.Celsius(15)),
				Capacity: missing, DischargedCharge: quantity.Exact(quantity.AmpereHours(out)), ChargedCharge: quantity.Exact(quantity.AmpereHours(0)),
				Power: quantity.Missing[quantity.Watts](), Charging: quantity.Amperes(math.NaN()), Masses: m}
		}
		for _, pair := range [][2]float64{{300, 150}, {300, 450}, {150, 300}} {
			from, to := pair[0], pair[1]
			if c.vehicle < 60 {
				from, to = from/3, to/3
			}
			payload := quantity.Exact(quantity.Kilograms(to))
			truth := predict.Compute(b, []predict.Run{run(to)}, predict.Options{OwnPacksOnly: true}).Table.Loads[0]
			got := predict.Compute(b, []predict.Run{run(from)}, predict.Options{OwnPacksOnly: true, Payload: &payload}).Table.Loads
			if len(got) != 1 {
				t.Fatalf("%s: %+v", c.name, got)
			}
			l := got[0]
			off := float64(l.Power.Value/truth.Power.Value) - 1
			t.Logf("%s, %.0f kg from %.0f kg: %.1f W, driven %.1f W (%+.1f %%), 2 u %.1f %%", c.name, to, from, float64(l.Power.Value), float64(truth.Power.Value), 100*off, 200*float64(l.Unsure))
			if math.Abs(off) > 2*float64(l.Unsure) {
				t.Errorf("%s, %.0f kg from %.0f kg: off by %.1f %%, twice the stated uncertainty is %.1f %%", c.name, to, from, 100*off, 200*float64(l.Unsure))
			}
		}
	}
}
