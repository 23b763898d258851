package study

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

const truckVersion = `---
kind: version
name: A truck
date: 2026-01-10
packs: [{chemistry: lfp, series: 8, capacity: 15 Ah, resistance: 22 mΩ}]
controller: {kind: pwm, setting: 65 %, efficiency: 93 %, limit: 70 A}
motors:
  - {name: front, rated: 24 V, no-load-speed: 2850 rpm ± 60 rpm, no-load-current: 1.4 A, stall-current: 96 A, rated-speed: 2480 rpm, rated-current: 12.6 A, copper: 140 g, insulation: B}
  - {name: rear, count: 2, rated: 24 V, no-load-speed: 2850 rpm ± 60 rpm, no-load-current: 1.4 A, stall-current: 96 A, rated-speed: 2480 rpm, rated-current: 12.6 A, insulation: F}
drive: {ratio: 11.2, wheel: 120 mm, surface: steel-rail, gear-efficiency: 82 %, rolling: 0.013 ± 0.003, hill: 1 in 70, cruise: 0.5 % down, drag-area: 0.6 m², top-speed: 7.2 km/h, braking: {force: 160 N, reaction: 1.2 s}}
masses: {vehicle: 58 kg, payload: 140 kg, wagons: [{name: open wagon, mass: 35 kg, count: 2, rolling: 0.011}, {mass: 20 kg}]}
---
`

func versionOf(t *testing.T, text string) *journal.Version {
	t.Helper()
	var found finding.List
	n := notes.ParseNote("truck/1-x/version.md", []byte(text), &found)
	v := &journal.Version{Vehicle: &journal.Vehicle{Slug: "truck"}, Slug: "1-x", Note: n}
	notes.Decode(n.Front, v, &found)
	if found.Len() > 0 {
		t.Fatal(found.Sorted())
	}
	return v
}

func TestDriveInput(t *testing.T) {
	v := versionOf(t, truckVersion)
	h := DriveInput(v, NewResults())
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"motors", float64(h.Motors), 3},
		{"rated", float64(h.Plate.Rated.Value), 24},
		{"no-load speed", float64(h.Plate.NoLoadSpeed.Value), 2850},
		{"its uncertainty, k = 1", float64(h.Plate.NoLoadSpeed.U), 30},
		{"stall current", float64(h.Plate.StallCurrent.Value), 96},
		{"rated current", float64(h.Rated.Value), 12.6},
		{"copper", float64(h.Copper.Value), 0.14},
		{"ratio", float64(h.Ratio.Value), 11.2},
		{"wheel", float64(h.Wheel.Value), 0.12},
		{"gear", float64(h.GearEfficiency.Value), 0.82},
		{"rolling", float64(h.Rolling.Value), 0.013},
		{"its uncertainty, k = 1", float64(h.Rolling.U), 0.0015},
		{"hill", float64(*h.Hill), 1. / 70},
		{"cruise", float64(*h.Cruise), -0.005},
		{"drag area, m²", float64(h.DragArea.Value), 0.6},
		{"wanted, m/s", float64(h.Wanted.Value), 2},
		{"brake", float64(h.BrakeForce.Value), 160},
		{"reaction", float64(h.Reaction.Value), 1.2},
		{"setting", float64(h.Setting.Value), 0.65},
		{"limit", float64(h.Limit.Value), 70},
		{"wagons", float64(len(h.Wagons)), 3},
		{"second wagon", float64(h.Wagons[1].Mass), 35},
		{"its rolling", float64(h.Wagons[1].Rolling), 0.011},
		{"third wagon's rolling, the way's", float64(h.Wagons[2].Rolling), 0},
	} {
		if math.Abs(c.got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	if h.Plate.Resistance.Known() || h.Plate.Power.Known() || h.Deceleration.Known() || h.Insulation != "B" || h.Control != drivetrain.ByDuty || h.Ground != "steel-rail" || h.NoMotor != "" {
		t.Errorf("%+v", h)
	}
	if m := Masses(v); m.Vehicle.Value != 58+2*35+20 || math.Abs(float64(m.NoLoadCurrent.Value)-3*1.4) > 1e-12 {
		t.Errorf("moved: %s, idle %s", m.Vehicle, m.NoLoadCurrent)
	}
	if d := Performance(v, NewResults()); d == nil || d.Err != "" || !d.Top.HasSpeed() {
		t.Errorf("%+v", d)
	}
}

func TestDriveInputOfUnlikeOrNoMotors(t *testing.T) {
	unlike := versionOf(t, strings.Replace(truckVersion, "rear, count: 2, rated: 24 V", "rear, count: 2, rated: 36 V", 1))
	if h := DriveInput(unlike, NewResults()); !strings.Contains(h.NoMotor, "unlike") {
		t.Errorf("%q", h.NoMotor)
	}
	if d := Performance(unlike, NewResults()); !strings.Contains(d.Err, "unlike") {
		t.Errorf("%q", d.Err)
	}
	none := versionOf(t, "---\nkind: version\nname: N\ndate: 2026-01-10\ndrive: {ratio: 3}\n---\n")
	if d := Performance(none, NewResults()); !strings.Contains(d.Err, "No motor") {
		t.Errorf("%q", d.Err)
	}
	nothing := versionOf(t, "---\nkind: version\nname: N\ndate: 2026-01-10\n---\n")
	if d := Performance(nothing, NewResults()); d != nil {
		t.Errorf("%+v", d)
	}
}

// A run's own conditions go before the version's, and a display read at both ends
// stands for the voltage between them.
func TestRunOfADrive(t *testing.T) {
	var found finding.List
	n := notes.ParseNote("truck/1-x/field.md", []byte("---\nkind: run\ntype: field\nname: Round\ndate: 2026-01-11\nconditions: {payload: 90 kg, surface: gravel, setting: 40 %}\n---\n"), &found)
	r := &journal.Run{Version: versionOf(t, truckVersion), Slug: "field", Note: n}
	notes.Decode(n.Front, r, &found)
	if found.Len() > 0 {
		t.Fatal(found.Sorted())
	}
	missing := quantity.Missing[quantity.Volts]()
	measured := &runlog.Result{MeanVoltage: missing, StartVoltage: quantity.Exact(quantity.Volts(26)), EndVoltage: quantity.Exact(quantity.Volts(25)),
		TopSpeed: quantity.Missing[quantity.MetresPerSecond](), MeanSpeed: quantity.Exact(quantity.MetresPerSecond(1.2)), PerDistance: quantity.Missing[quantity.WattHoursPerKilometre]()}
	got := driveRun(r, measured)
	if got.Volts.Value != 25.5 || got.Payload.Value != 90 || got.Ground != "gravel" || got.Setting.Value != 0.4 || got.Mean.Value != 1.2 || got.Top.Known() || got.WheelsUp {
		t.Errorf("%+v", got)
	}
	measured.MeanVoltage = quantity.Exact(quantity.Volts(25.2))
	if got = driveRun(r, measured); got.Volts.Value != 25.2 {
		t.Errorf("%s", got.Volts)
	}
	if got = driveRun(r, nil); got.Volts.Known() || got.Mean.Known() {
		t.Errorf("%+v", got)
	}
}
