package study

import (
	"strings"
	"testing"
)

const truckWiring = `wiring:
  usual: {size: 4 mm², stranding: flexible, insulation: 105 °C, ambient: 30 °C}
  parts:
    - {name: pack, kind: pack}
    - {name: key, kind: switch, current: 60 A, volts: 48 V}
    - {name: controller, kind: speed-controller}
    - {name: front, kind: motor}
  leads:
    - {from: "pack:+", to: "key:in", length: 400 mm, colour: red}
    - {from: "key:out", to: "controller:in+", length: 400 mm, colour: red}
    - {from: "pack:-", to: "controller:in-", length: 400 mm, colour: black}
    - {from: "controller:out+", to: "front:+", length: 400 mm, colour: brown}
    - {from: "controller:out-", to: "front:-", length: 400 mm, colour: blue}
---
`

// Where the wiring is stated and no way can be had of it, the drive says what is
// the matter, never that no wiring is stated.
func TestLeadsThatCannotBeHad(t *testing.T) {
	oneMotor := truckVersion[:strings.Index(truckVersion, "motors:")] + "motors: [{name: front, rated: 24 V, no-load-speed: 2850 rpm, no-load-current: 1.4 A, stall-current: 96 A}]\n" +
		strings.TrimSuffix(truckVersion[strings.Index(truckVersion, "drive:"):], "---\n")
	for _, c := range []struct {
		name   string
		wiring bool
		change []string // old and new, each there once
		want   string
	}{
		{"nothing stated", false, nil, "no wiring is stated by which to compute it"},
		{"sound", true, nil, "computed from the wiring: see circuit-solution; crimps and ferrules are left out"},
		{"key open at rest", true, []string{"kind: switch,", "kind: switch, at-rest: open,"},
			"the wiring is stated, but with its contacts at rest nothing feeds the motor “front”"},
		{"no motor in it", true, []string{"kind: motor", "kind: horn, nominal: 24 V, power: 30 W", "front:+", "front:1", "front:-", "front:2"},
			"the wiring is stated, but there is no motor in it"},
		{"a diode across the supply", true, []string{"kind: pack}", "kind: pack, takes: 2}", "volts: 48 V}", "volts: 48 V, takes: 2}\n    - {name: diode, kind: diode, drop: 0.7 V}",
			"  leads:\n", "  leads:\n    - {from: \"key:out\", to: \"diode:anode\", length: 400 mm}\n    - {from: \"diode:cathode\", to: \"pack:-\", length: 400 mm}\n"},
			"the wiring is stated, but it is written wrong: “diode” is the wrong way round: its anode is on the positive side, so it conducts as soon as that side is switched on, and nothing limits the current"},
		{"a terminal that is none", true, []string{"controller:in+", "controller:input+"},
			"the wiring is stated, but it is written wrong: “controller” has no terminal “input+”"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := oneMotor + "---\n"
			if c.wiring {
				text = oneMotor + truckWiring
			}
			for i := 0; i < len(c.change); i += 2 {
				if n := strings.Count(text, c.change[i]); n != 1 {
					t.Fatalf("%q stands %d times", c.change[i], n)
				}
				text = strings.Replace(text, c.change[i], c.change[i+1], 1)
			}
			v := versionOf(t, text)
			d := Performance(v, NewResults())
			if d == nil || d.Err != "" {
				t.Fatalf("%+v", d)
			}
			said := 0
			for _, a := range d.Assumed {
				if a.What == "leads between pack and motors" {
					said++
					if a.Source != c.want {
						t.Errorf("%q, want %q", a.Source, c.want)
					}
				}
			}
			if said != 1 {
				t.Errorf("said %d times", said)
			}
		})
	}
}
