package circuit_test

import (
	"testing"

	"voltwright/internal/circuit"
)

// Two packs at a bar, one of them behind a fuse: what is joined is read off the drawing in the comment.
//
//	left + ── bar:1   bar:2 ── fuse ── right +   bar:3 ── diode ── lamp
func TestJoined(t *testing.T) {
	at := func(text string) circuit.Terminal { end, _ := circuit.ParseTerminal(text); return end }
	c := &circuit.Circuit{
		Parts: []circuit.Part{{Name: "left", Kind: circuit.Pack}, {Name: "right", Kind: circuit.Pack}, {Name: "bar", Kind: circuit.TerminalBlock, Ways: 3},
			{Name: "fuse", Kind: circuit.Fuse}, {Name: "diode", Kind: circuit.Diode}, {Name: "lamp", Kind: circuit.Lamp}},
		Leads: []circuit.Lead{{From: at("left:+"), To: at("bar:1")}, {From: at("bar:2"), To: at("fuse:in")}, {From: at("fuse:out"), To: at("right:+")},
			{From: at("bar:3"), To: at("diode:anode")}, {From: at("diode:cathode"), To: at("lamp:1")}},
	}
	all := func(*circuit.Part) bool { return true }
	noFuse := func(p *circuit.Part) bool { return p.Kind != circuit.Fuse }
	for _, tt := range []struct {
		a, b    string
		through func(*circuit.Part) bool
		want    bool
	}{
		{"left:+", "right:+", all, true},
		{"left:+", "right:+", noFuse, false},
		{"left:+", "fuse:in", noFuse, true},
		{"left:+", "left:-", all, false},
		{"left:+", "lamp:1", all, false}, // a diode is no joint
		{"left:+", "right:no", all, false},
		{"no:+", "no:+", all, false},
	} {
		if got := c.Joined(at(tt.a), at(tt.b), tt.through); got != tt.want {
			t.Errorf("%s and %s: %v, want %v", tt.a, tt.b, got, tt.want)
		}
	}
}
