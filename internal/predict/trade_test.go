package predict

import (
	"math"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// Facts of the trade: common practice, no source. They are check values here and
// stand nowhere else.

// toolPack is a pack of five cells of 5 Ah with a cutout.
func toolPack(t *testing.T, opens quantity.Volts) Bank {
	return bank(t, func(b *Bank) {
		b.Packs[0].Chemistry, b.Packs[0].Series, b.Packs[0].Capacity = chemistry(t, "nmc"), 5, quantity.Exact(quantity.AmpereHours(5))
		b.Cutout = &battery.Cutout{Opens: opens, ResetThreshold: 1}
	})
}

// common practice, no source: five cells are not run below about 16 V under load,
// though the protection of some tools cuts near 13.5 V. The run-time table shows
// what the last part is worth: minutes, of a run of the better part of an hour.
func TestTradeLastPartInTheTable(t *testing.T) {
	minutes := func(opens quantity.Volts) float64 {
		a := Compute(toolPack(t, opens), nil, Options{OwnPacksOnly: true, Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(5), "5 A", 1)}})
		c := a.Table.Cells[0][0]
		if c.Err != "" || c.Cutout == nil || c.Cutout.Err != "" {
			t.Fatalf("%+v", c)
		}
		return float64(c.Cutout.Running.Value) / 60
	}
	careful, tool := minutes(16), minutes(13.5)
	t.Logf("16 V after %.1f min, 13.5 V after %.1f min: the last part is worth %.1f min", careful, tool, tool-careful)
	if last := tool - careful; last < 1 || last > 15 || careful < 40 || careful > 60 {
		t.Errorf("%.1f min and %.1f min", careful, tool)
	}
}

// common practice, no source: a tool pack charges from empty in about 90 min on
// its own charger. At 4 A the table of charge times comes to the same order.
func TestTradeToolChargerInTheTable(t *testing.T) {
	r := Run{ID: "x/1/charge", Slug: "charge", Kind: "charge", Charging: 4, Capacity: quantity.Missing[quantity.AmpereHours](), DischargedCharge: quantity.Missing[quantity.AmpereHours](),
		ChargedCharge: quantity.Exact(quantity.AmpereHours(5)), Power: quantity.Missing[quantity.Watts](), Ambient: quantity.Missing[quantity.Celsius](), Masses: NoMovedMasses()}
	bank := toolPack(t, 13.5)
	bank.Packs[0].Chemistry = bank.Packs[0].Chemistry.With(battery.Sheet{Name: "a sheet that allows 1 C", Full: quantity.Missing[quantity.Volts](), Floor: quantity.Missing[quantity.Volts](), Windows: []battery.Window{{From: 0, To: 45, Rate: 1}}})
	a := Compute(bank, []Run{r}, Options{OwnPacksOnly: true, Asked: []Load{NewLoad("a", "a", AskedLoad, battery.Drawing(5), "5 A", 1)}})
	c := a.Charges[len(a.Charges)-1]
	if m := float64(c.Total.Value) / 60; c.Run != r.ID || c.Err != "" || m < 60 || m > 150 {
		t.Errorf("%+v: %.0f min", c, m)
	}
}

// common practice, no source: with the wheels in the air the same set-up ran about
// 1.8 times as long as with a person on it. Run times go by power, and a little more for the sag.
func TestTradeBenchAndFloorInTheTable(t *testing.T) {
	load := func(w float64) Load {
		return NewLoad("a", "a", AskedLoad, battery.Delivering(quantity.Watts(w)), "", 1)
	}
	a := Compute(toolPack(t, 13.5), nil, Options{OwnPacksOnly: true, Asked: []Load{load(40), load(1.8 * 40)}})
	bench, floor := a.Table.Cells[0][0].Cutout.Running.Value, a.Table.Cells[1][0].Cutout.Running.Value
	if r := float64(bench / floor); math.IsNaN(r) || r < 1.8 || r > 2 {
		t.Errorf("ratio %.3f", r)
	}
}
