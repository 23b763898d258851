package circuit_test

import (
	"strings"
	"testing"

	"voltwright/internal/circuit"
)

// reversing is a small circuit to turn parts round in: a pack, its fuse, a key, a controller, a motor, a charger socket.
func reversing(more []circuit.Part, leads ...string) *circuit.Circuit {
	c := &circuit.Circuit{Parts: append([]circuit.Part{
		{Name: "pack", Kind: circuit.Pack, Nominal: 24, Full: 29, Takes: 9},
		{Name: "fuse", Kind: circuit.Fuse, Takes: 9}, {Name: "key", Kind: circuit.Switch, Takes: 9},
		{Name: "controller", Kind: circuit.Controller, Takes: 9}, {Name: "motor", Kind: circuit.Motor, Takes: 9},
	}, more...)}
	for _, l := range append([]string{"pack:+ fuse:in", "fuse:out key:in", "key:out controller:in+", "pack:- controller:in-", "controller:out+ motor:+", "controller:out- motor:-"}, leads...) {
		from, to, _ := strings.Cut(l, " ")
		a, _ := circuit.ParseTerminal(from)
		b, _ := circuit.ParseTerminal(to)
		c.Leads = append(c.Leads, circuit.Lead{From: a, To: b, Size: circuit.Metric(4), Length: 0.3, Insulation: 105})
	}
	return c
}

// What works one way round only, joined the other way: one fault each, that says what to turn round; and the same parts
// the right way round, which are sound. Oracle: a diode conducts from anode to cathode; the band is the cathode.
func TestReversedParts(t *testing.T) {
	diode := []circuit.Part{{Name: "diode", Kind: circuit.Diode, Takes: 2}}
	socket := []circuit.Part{{Name: "socket", Kind: circuit.ChargerSocket, Takes: 2}}
	both := append(append([]circuit.Part{}, socket...), diode...)
	second := []circuit.Part{{Name: "second", Kind: circuit.Pack, Nominal: 12, Full: 14.5, Takes: 2}, {Name: "first", Kind: circuit.Pack, Nominal: 12, Full: 14.5, Takes: 2}, {Name: "lamp", Kind: circuit.Lamp, Nominal: 24, Power: 10}}
	for _, c := range []struct {
		what         string
		parts        []circuit.Part
		wrong, right []string
		rule, says   string
	}{
		{"across the supply, behind the key", diode, []string{"diode:anode key:out", "diode:cathode pack:-"}, []string{"diode:cathode key:out", "diode:anode pack:-"}, "polarity-reversed", "as soon as that side is switched on"},
		{"across the motor", diode, []string{"diode:anode motor:+", "diode:cathode motor:-"}, []string{"diode:cathode motor:+", "diode:anode motor:-"}, "polarity-reversed", "as soon as that side is switched on"},
		{"in the charging lead", both, []string{"socket:+ diode:cathode", "diode:anode fuse:out", "socket:- pack:-"}, []string{"socket:+ diode:anode", "diode:cathode fuse:out", "socket:- pack:-"}, "polarity-reversed", "lets nothing through to the packs from socket"},
		{"a charger socket", socket, []string{"socket:+ pack:-", "socket:- fuse:out"}, []string{"socket:+ fuse:out", "socket:- pack:-"}, "polarity-reversed", "socket:+ is wired to the negative side"},
		{"blocks of a string", second, []string{"first:+ lamp:1", "first:- second:-", "second:+ lamp:2"}, []string{"first:+ lamp:1", "first:- second:+", "second:- lamp:2"}, "packs-opposed", "the voltage of one is taken from the other's"},
		{"blocks of a string, plus to plus", second, []string{"first:- lamp:1", "first:+ second:+", "second:- lamp:2"}, []string{"first:+ lamp:1", "first:- second:+", "second:- lamp:2"}, "packs-opposed", "the voltage of one is taken from the other's"},
	} {
		faults := reversing(c.parts, c.wrong...).Check()
		if len(faults) != 1 || faults[0].Rule != c.rule || !strings.Contains(faults[0].Text, c.says) {
			t.Errorf("%s: %+v, want one %s that says %q", c.what, faults, c.rule, c.says)
		}
		if faults := reversing(c.parts, c.right...).Check(); len(faults) != 0 {
			t.Errorf("%s, the right way round: %+v", c.what, faults)
		}
	}
	input := reversing(nil)
	input.Leads[2].To.Name, input.Leads[3].To.Name = "in-", "in+"
	if faults := input.Check(); len(faults) != 1 || faults[0].Rule != "polarity-reversed" {
		t.Errorf("the input of a controller: %+v", faults)
	}
	cut := reversing(append([]circuit.Part{{Name: "cutout", Kind: circuit.Cutout, Takes: 2}}, diode...))
	cut.Leads[2] = circuit.Lead{From: circuit.Terminal{Part: "key", Name: "out"}, To: circuit.Terminal{Part: "diode", Name: "cathode"}}
	cut.Leads = append(cut.Leads, circuit.Lead{From: circuit.Terminal{Part: "diode", Name: "anode"}, To: circuit.Terminal{Part: "cutout", Name: "in+"}},
		circuit.Lead{From: circuit.Terminal{Part: "cutout", Name: "out+"}, To: circuit.Terminal{Part: "controller", Name: "in+"}},
		circuit.Lead{From: circuit.Terminal{Part: "pack", Name: "-"}, To: circuit.Terminal{Part: "cutout", Name: "in-"}})
	if faults := cut.Check(); len(faults) != 1 || !strings.Contains(faults[0].Text, "lets nothing through to controller") {
		t.Errorf("a diode in the feed: %+v", faults)
	}
}
