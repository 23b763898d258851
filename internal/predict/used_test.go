package predict

import (
	"strings"
	"testing"

	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// What a charge is said to teach is what it teaches: another charge is predicted otherwise where it is said to, and as before where it is not; a
// running time is never moved by one.
func TestUseOfCharges(t *testing.T) {
	full := chargedRun(t, "full", 2)
	cut := full
	cut.ChargeRows = &phases.Rows{Time: full.ChargeRows.Time[:100], Amperes: full.ChargeRows.Amperes[:100], Volts: full.ChargeRows.Volts[:100]}
	hand := full
	hand.ChargeRows, hand.Why = nil, "Its values were read by hand."
	wall := hand
	wall.Wall, wall.ChargedEnergy = quantity.Exact(quantity.WattHours(400)), quantity.Exact(quantity.WattHours(300))
	only := full
	only.OnlyChecked = true
	bench := full
	bench.Kind, bench.ChargedCharge, bench.DischargedCharge = "bench", quantity.Exact(quantity.AmpereHours(11)), quantity.Exact(quantity.AmpereHours(0.01))
	charger := func(b *Bank) { b.Charger.Current = 5 }
	before := Compute(bank(t, charger), nil, Options{OwnPacksOnly: true})
	for name, c := range map[string]struct {
		run             Run
		use, says, mute string
	}{
		"to full":       {full, UsedCharges, "It teaches other charges: how long they take to 80 %, how long they take with the voltage held, the energy that goes in, the current that the charger ends at. Of running times a charge teaches nothing", "Why"},
		"cut off":       {cut, UsedNot, "Of charges it teaches nothing either. It ended before the packs were full", "It teaches"},
		"by hand":       {hand, UsedNot, "Of charges it teaches nothing either. Its values were read by hand.", "It teaches"},
		"the wall":      {wall, UsedCharges, "It teaches other charges: how much of what the wall gives goes in. ", "80 %"},
		"only checked":  {only, UsedChecked, "Left out by taught-by: held against what the packs and other charges teach. Of running times", "It teaches"},
		"no charge run": {bench, UsedNot, "not noted as `type: charge`", "It teaches"},
	} {
		a := Compute(bank(t, charger), []Run{c.run}, Options{OwnPacksOnly: true})
		use, why := a.Use(a.Basis.Runs[0])
		if use != c.use || !strings.Contains(why, c.says) || strings.Contains(why, c.mute) || !strings.Contains(why, noRunningTime) {
			t.Errorf("%s: %s. %s", name, use, why)
		}
		taught := a.Charges[0].Total != before.Charges[0].Total || a.Charges[0].Energy != before.Charges[0].Energy || a.Charges[0].Wall.Value != before.Charges[0].Wall.Value
		if taught != (use == UsedCharges) {
			t.Errorf("%s: %s, and the charge takes %v, before %v, from the wall %v, before %v", name, use, a.Charges[0].Total, before.Charges[0].Total, a.Charges[0].Wall, before.Charges[0].Wall)
		}
		if a.Basis.Calibrated {
			t.Errorf("%s: a running time learned of it", name)
		}
	}
	many := make([]Run, mostChargings+1)
	for i := range many {
		many[i] = chargedRun(t, string(rune('a'+i)), 2)
	}
	a := Compute(bank(t, charger), many, Options{OwnPacksOnly: true})
	if use, why := a.Use(a.Basis.Runs[0]); use != UsedNot || !strings.Contains(why, "The 12 newest charges are compared, and it is older.") {
		t.Errorf("the oldest: %s. %s", use, why)
	}
	if use, _ := a.Use(a.Basis.Runs[1]); use != UsedCharges || a.ChargeRuns[1].By != mostChargings-1 {
		t.Errorf("the second: %s, taught by %d", use, a.ChargeRuns[1].By)
	}
}
