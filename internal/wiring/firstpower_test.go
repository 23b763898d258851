package wiring

import (
	"fmt"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

func fiveSixths(c *circuit.Circuit) func(int) quantity.Volts {
	return func(i int) quantity.Volts { return c.Parts[i].Nominal * 5 / 6 }
}

// Every step of every worked circuit, as it was read and found right: testdata/first-power.txt. The ranges are those of the packs, 5/6 of
// nominal to full, with 1 % and 0.1 V of the meter's own; behind what is open next to nothing.
func TestFirstPower(t *testing.T) {
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for _, x := range all {
		fmt.Fprintf(&out, "== %s\n", x.Name)
		for _, s := range FirstPower(&x.Circuit, fiveSixths(&x.Circuit)) {
			fmt.Fprintf(&out, "%s: %s", s.Name, s.Do)
			if s.Reads.Unit != "" {
				fmt.Fprintf(&out, " %s to %s: %s.", s.Plus, s.Minus, s.Reads.Said())
			}
			fmt.Fprintf(&out, " / %s\n", s.Stop)
		}
	}
	recorded.Text(t, "testdata/first-power.txt", out.String())
}

// The order that keeps hands whole (common practice, no source): fuses out and each pack by itself before anything is joined, what lies
// between the sides before the first fuse, what is behind a contact before it closes, motors before stops, the charger last. And each
// name is one step's alone, or a reading would not know where it belongs.
func TestFirstPowerIsInOrder(t *testing.T) {
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	steps := 0
	for _, x := range all {
		at := map[string]int{}
		for i, s := range FirstPower(&x.Circuit, fiveSixths(&x.Circuit)) {
			if _, twice := at[s.Name]; twice {
				t.Errorf("%s: two steps are called %s", x.Name, s.Name)
			}
			at[s.Name] = i
			steps++
		}
		before := func(a, b string) {
			i, okA := at[a]
			k, okB := at[b]
			if okA && okB && i > k {
				t.Errorf("%s: %s comes after %s", x.Name, a, b)
			}
		}
		for name := range at {
			what, of, _ := strings.Cut(name, " ")
			before("before", name)
			switch what {
			case "pack":
				before(name, "nothing joined")
			case "behind":
				before("nothing joined", name)
			case "closed":
				before("open "+of, name)
			case "rest":
				before(name, "turning")
			case "stopped":
				before("turning", name)
			case "charging":
				for other := range at {
					if !strings.HasPrefix(other, "charging") && !strings.HasPrefix(other, "unplugged") {
						before(other, name)
					}
				}
			}
		}
		for i := range x.Circuit.Parts {
			switch p := &x.Circuit.Parts[i]; p.Kind {
			case circuit.Fuse, circuit.Breaker:
				if _, is := at["behind "+p.Name]; !is {
					t.Errorf("%s: no step puts %s in", x.Name, p.Name)
				}
			case circuit.Switch, circuit.EmergencyStop, circuit.Cutout, circuit.Contactor:
				if _, is := at["closed "+p.Name]; !is {
					t.Errorf("%s: no step closes %s", x.Name, p.Name)
				}
			}
		}
	}
	if steps < 200 {
		t.Errorf("only %d steps", steps)
	}
}
