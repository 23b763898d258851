package circuit_test

import (
	"fmt"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/recorded"
)

// Every terminal of every kind of part, and of those that are made in several ways: its polarity, what it is, and how many leads it
// takes. A record: what a kind has is common practice and stands in the table of the package.
func TestTerminalsOfEveryKind(t *testing.T) {
	var b strings.Builder
	list := func(name string, p circuit.Part) {
		p.Name = "it"
		fmt.Fprintf(&b, "%s:", name)
		for _, s := range p.Terminals() {
			fmt.Fprintf(&b, " %s %v %v %d,", s.Name, s.Polarity, s.Style, s.Takes)
		}
		b.WriteString("\n")
	}
	for _, k := range circuit.Kinds() {
		list(string(k), circuit.Part{Kind: k})
		list(string(k)+" of two poles, two throws, three ways and cells", circuit.Part{Kind: k, Poles: 2, Throws: 2, Ways: 3, Cells: 3})
	}
	list("controller with a throttle", circuit.Part{Kind: circuit.Controller, Reference: 5})
	list("controller with a throttle, on studs that take three", circuit.Part{Kind: circuit.Controller, Reference: 5, Style: circuit.Stud, Takes: 3})
	recorded.Text(t, "testdata/terminals.txt", b.String())
}

// A contact that puts a resistor across the motor brakes, whichever end of the resistor is at which end of the motor and whichever of
// its own sides is where; one that is in series with motor and resistor all along, or whose resistor lies across it in any case, does not.
func TestWhatBrakes(t *testing.T) {
	lead := func(from, to string) circuit.Lead { return circuit.Lead{From: terminal(from), To: terminal(to)} }
	for _, x := range []struct {
		name  string
		leads []circuit.Lead
		at    circuit.Position
		want  bool
	}{
		{"1 at +", []circuit.Lead{lead("motor:+", "ohms:1"), lead("ohms:2", "contact:in"), lead("contact:out", "motor:-")}, circuit.Usual, true},
		{"2 at +", []circuit.Lead{lead("motor:+", "ohms:2"), lead("ohms:1", "contact:in"), lead("contact:out", "motor:-")}, circuit.Usual, true},
		{"the contact at +", []circuit.Lead{lead("motor:-", "ohms:2"), lead("ohms:1", "contact:out"), lead("contact:in", "motor:+")}, circuit.Usual, true},
		{"for good", []circuit.Lead{lead("motor:+", "ohms:1"), lead("ohms:2", "motor:-"), lead("contact:in", "motor:+")}, circuit.Usual, false},
		{"one end alone", []circuit.Lead{lead("motor:+", "ohms:1"), lead("ohms:2", "contact:in")}, circuit.Usual, false},
		{"both ends at one", []circuit.Lead{lead("motor:+", "ohms:1"), lead("ohms:2", "contact:in"), lead("contact:out", "motor:+")}, circuit.Usual, false},
	} {
		c := circuit.Circuit{Leads: x.leads, Parts: []circuit.Part{{Name: "motor", Kind: circuit.Motor}, {Name: "ohms", Kind: circuit.BrakeResistor}, {Name: "contact", Kind: circuit.Contactor}}}
		if at, got := c.Brakes()["contact"]; got != x.want || at != x.at {
			t.Errorf("%s: brakes %t, in position %d", x.name, got, at)
		}
	}
}
