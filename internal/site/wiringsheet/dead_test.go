package wiringsheet

import (
	"testing"

	"voltwright/internal/circuit"
)

// In which order a circuit is made dead: the load first, what feeds it next, then every pack by itself, since each feeds what the other's
// fuse has parted.
func TestDeadInOrder(t *testing.T) {
	part := func(name string, kind circuit.Kind) circuit.Part { return circuit.Part{Name: name, Kind: kind} }
	for _, c := range []struct {
		parts []circuit.Part
		want  string
	}{
		{[]circuit.Part{part("stop", circuit.EmergencyStop), part("box", circuit.Pack), part("main fuse", circuit.Fuse)}, "stop, open stop, draw the fuse at the pack, then measure before you touch"},
		{[]circuit.Part{part("stop", circuit.EmergencyStop), part("one", circuit.Pack), part("two", circuit.Pack), part("fuse", circuit.Fuse), part("socket", circuit.ChargerSocket)},
			"stop, open stop, unplug the charger, which feeds socket, draw the fuse of every pack, then measure before you touch"},
		{[]circuit.Part{part("stop", circuit.EmergencyStop), part("box", circuit.Pack)}, "stop, open stop, take the leads off the pack one at a time and cover their ends, then measure before you touch"},
	} {
		if got := deadInOrder(&circuit.Circuit{Parts: c.parts}, 0); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
