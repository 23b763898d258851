package journal

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

const bankVersion = `---
kind: version
name: Two unlike packs
date: 2026-01-10
packs:
  - {name: left pack, chemistry: lfp, series: 7, capacity: 11.5 Ah ± 0.4 Ah, resistance: 33 mΩ, full: 25 V, protection: {opens: 18.4 V, current: 30 A}}
  - {name: right pack, chemistry: nmc, series: 7, capacity: 14 Ah, protection: none}
cutout: {opens: 21.3 V, reset-threshold: 1.9 V, delay: 4 s}
controller: {efficiency: 80 %}
motors: [{name: one, power: 200 W}]
---
`

func bankOf(t *testing.T) *Version {
	t.Helper()
	var found finding.List
	n := notes.ParseNote("cart/1-x/version.md", []byte(bankVersion), &found)
	v := &Version{Vehicle: &Vehicle{Slug: "cart"}, Slug: "1-x", Note: n}
	notes.Decode(n.Front, v, &found)
	if found.Len() > 0 {
		t.Fatal(found.Sorted())
	}
	return v
}

func TestBank(t *testing.T) {
	b := bankOf(t).Bank()
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
	if loads := bankOf(t).StatedLoads(); len(loads) != 1 || loads[0].Words != "250 W" {
		t.Errorf("%+v", loads)
	}
}

// Every built-in chemistry of the front matter is one of the calculation.
func TestChemistriesAreKnown(t *testing.T) {
	for _, o := range Chemistry("").Options() {
		p := Pack{}
		p.Chemistry.Value = Chemistry(o.Name)
		if p.bank().Chemistry == nil {
			t.Errorf("%s cannot be computed", o.Name)
		}
	}
}

func TestWith(t *testing.T) {
	for _, c := range []struct {
		path, value string
		want        string // of the findings; "" for none
		holds       func(*Version) bool
	}{
		{"packs.left pack.capacity", "9 Ah", "", func(v *Version) bool {
			return v.Packs[0].Capacity.Value == 9 && v.Packs[1].Capacity.Value == 14
		}},
		{"packs.left.capacity", "9 Ah ± 1 Ah", "", func(v *Version) bool { return v.Packs[0].Capacity.U == 0.5 }},
		{"packs.2.resistance", "20 mΩ", "", func(v *Version) bool { b := v.Bank(); return b.Packs[1].Insisted && !b.Packs[0].Insisted }},
		{"packs.2.protection.opens", "19 V", "", func(v *Version) bool { return v.Packs[1].Protection.Opens.Value == 19 }},
		{"packs.1.protection", "none", "", func(v *Version) bool { return v.Packs[0].Protection.None }},
		{"cutout.opens", "22 V", "", func(v *Version) bool { return v.Cutout.Opens.Value == 22 && v.Cutout.Delay.Value == 4 }},
		{"drive.ratio", "9", "", func(v *Version) bool { return v.Drive.Ratio.Value == 9 }},
		{"packs.middle.capacity", "9 Ah", "there is no item `middle`", nil},
		{"packs.3.capacity", "9 Ah", "there is no item `3`", nil},
		{"packs.1.capacty", "9 Ah", "unknown key `capacty`; did you mean `capacity`?", nil},
		{"packs.1.capacity", "9 V", "9 V is a voltage", nil},
		{"packs.1.capacity", "nine", "`capacity`", nil},
		{"cutout.opens", "90 V", "is not below the pack's full charge", nil},
		{"cutoot.opens", "20 V", "unknown key `cutoot`; did you mean `cutout`?", nil},
		{"packs..capacity", "9 Ah", "is no path of keys", nil},
	} {
		v := bankOf(t)
		var found finding.List
		got := v.With([]Setting{{c.path, c.value}}, &found)
		text := ""
		for _, f := range found.Sorted() {
			if f.Level == finding.Error {
				text += f.Text
				if f.Span.Source == nil || f.Span.Source.Name != "--set "+c.path {
					t.Errorf("%s: the place is %v", c.path, f.Span.Source)
				}
			}
		}
		switch {
		case c.want == "" && text != "", !strings.Contains(text, c.want):
			t.Errorf("%s=%s: %q, want %q", c.path, c.value, text, c.want)
		case c.holds != nil && !c.holds(got):
			t.Errorf("%s=%s was not taken: %+v", c.path, c.value, got)
		}
		if v.Packs[0].Capacity.Value != 11.5 || v.Cutout.Opens.Value != 21.3 {
			t.Errorf("%s changed the version itself", c.path)
		}
	}
}

// What the motors move is the version's mass and the run's own payload.
func TestMoved(t *testing.T) {
	v := bankOf(t)
	if m := v.Moved(); m.Vehicle.Known() || m.Payload.Known() || m.NoLoadCurrent.Known() || m.Setting.Known() || m.WheelsUp {
		t.Errorf("nothing is stated: %+v", m)
	}
	var found finding.List
	v = v.With([]Setting{{"masses.vehicle", "70 kg"}, {"masses.payload", "90 kg"}, {"motors.1.no-load-current", "1.3 A"}, {"controller.setting", "60 %"}}, &found)
	if found.Count(finding.Error) > 0 {
		t.Fatal(found.Sorted())
	}
	if m := v.Moved(); m.Vehicle.Value != 70 || m.Payload.Value != 90 || m.NoLoadCurrent.Value != 1.3 || m.Setting.Value != 0.6 {
		t.Errorf("%+v", m)
	}
	run := &Run{Version: v}
	if m := run.moved(); m.Vehicle.Value != 70 || m.Payload.Known() || m.WheelsUp || m.Setting.Value != 0.6 {
		t.Errorf("a run without a payload: %+v", m)
	}
	run.Conditions.Surface.Set, run.Conditions.Surface.Value = true, WheelsUp
	if !run.moved().WheelsUp {
		t.Error("wheels up")
	}
}
