package study

import (
	"math"
	"os"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

func bankOf(t *testing.T) *journal.Version {
	t.Helper()
	text, err := os.ReadFile("../journal/testdata/bank.md")
	if err != nil {
		t.Fatal(err)
	}
	var found finding.List
	n := notes.ParseNote("cart/1-x/version.md", text, &found)
	v := &journal.Version{Vehicle: &journal.Vehicle{Slug: "cart"}, Slug: "1-x", Note: n}
	notes.Decode(n.Front, v, &found)
	if found.Len() > 0 {
		t.Fatal(found.Sorted())
	}
	return v
}

func TestBank(t *testing.T) {
	b := Bank(bankOf(t))
	if len(b.Packs) != 2 || b.Packs[0].Name != "left pack" || b.Packs[0].Chemistry.Name != "lfp" || b.Packs[1].Chemistry.Name != "nmc" || b.Packs[1].Series != 7 {
		t.Fatalf("%+v", b)
	}
	p := b.Packs[0]
	if p.Capacity.Value != 11.5 || p.Capacity.U != 0.2 || p.Resistance.Value != 0.033 || p.Full.Value != 25 || p.Insisted {
		t.Errorf("%+v", p)
	}
	if p.Protection == nil || p.Protection.Opens != 18.4 || p.Protection.Trip != 30 || !math.IsNaN(float64(p.Protection.ResetThreshold)) {
		t.Errorf("%+v", p.Protection)
	}
	if b.Packs[1].Protection != nil || b.Packs[1].Resistance.Known() || b.Packs[1].Full.Known() {
		t.Errorf("%+v", b.Packs[1])
	}
	if c := b.Cutout; c.Opens != 21.3 || c.ResetThreshold != 1.9 || c.Delay != 4 {
		t.Errorf("%+v", c)
	}
	if loads := StatedLoads(bankOf(t)); len(loads) != 1 || loads[0].Words != "250 W" {
		t.Errorf("%+v", loads)
	}
}

// What the motors move is the version's mass and the run's own payload.
func TestMoved(t *testing.T) {
	v := bankOf(t)
	if m := Masses(v); m.Vehicle.Known() || m.Payload.Known() || m.NoLoadCurrent.Known() || m.Setting.Known() || m.WheelsUp {
		t.Errorf("nothing is stated: %+v", m)
	}
	var found finding.List
	v = v.With([]journal.Setting{{Path: "masses.vehicle", Value: "70 kg"}, {Path: "masses.payload", Value: "90 kg"}, {Path: "motors.1.no-load-current", Value: "1.3 A"}, {Path: "controller.setting", Value: "60 %"}}, &found)
	if found.Count(finding.Error) > 0 {
		t.Fatal(found.Sorted())
	}
	if m := Masses(v); m.Vehicle.Value != 70 || m.Payload.Value != 90 || m.NoLoadCurrent.Value != 1.3 || m.Setting.Value != 0.6 {
		t.Errorf("%+v", m)
	}
	run := &journal.Run{Version: v}
	if m := massesOn(run); m.Vehicle.Value != 70 || m.Payload.Known() || m.WheelsUp || m.Setting.Value != 0.6 {
		t.Errorf("a run without a payload: %+v", m)
	}
	run.Conditions.Surface.Set, run.Conditions.Surface.Value = true, journal.WheelsUp
	if !massesOn(run).WheelsUp {
		t.Error("wheels up")
	}
}
