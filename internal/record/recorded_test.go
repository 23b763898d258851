package record

import (
	"slices"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/recorded"
	"voltwright/internal/wiring"
)

// recordedCircuits have each sort of part, with and without a cutout, and one has faults where it is spoilt.
var recordedCircuits = []string{"01-barrow-switch", "06-two-packs", "11-lamps-and-horn", "14-charging", "19-limited"}

// Worked circuits, computed and handed on.
func TestRecordOfWirings(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	for _, name := range recordedCircuits {
		x, err := circuittest.Named(name)
		if err != nil {
			t.Fatal(err)
		}
		w := wiring.Compute(&x.Circuit, x.Points)
		all = append(all, recorded.Case{Name: x.Name, Value: OfWiring(w)})
		if name != "01-barrow-switch" {
			continue
		}
		spoilt := append([]circuit.OperatingPoint{{Name: "of a part that is none", Parts: map[string]circuit.State{"none": {}}}}, x.Points...)
		all = append(all, recorded.Case{Name: x.Name + ", one point spoilt", Value: OfWiring(wiring.Compute(&x.Circuit, spoilt))})
		faulty := x.Circuit
		faulty.Leads = append([]circuit.Lead{{From: circuit.Terminal{Part: "nowhere", Name: "x"}, To: faulty.Leads[0].To}}, faulty.Leads...)
		all = append(all, recorded.Case{Name: x.Name + ", a lead to nowhere", Value: OfWiring(wiring.Compute(&faulty, x.Points))})
	}
	// One of which little is stated: no resistance, no length, a lead with a stripe, at another table.
	x, err := circuittest.Named("03-barrow-controller")
	if err != nil {
		t.Fatal(err)
	}
	bare := x.Circuit
	bare.Parts, bare.Leads, bare.Table = slices.Clone(bare.Parts), slices.Clone(bare.Leads), circuit.ElectricalCode
	for i := range bare.Parts {
		bare.Parts[i].Resistance, bare.Parts[i].Efficiency, bare.Parts[i].Volts = 0, 0, 0
	}
	bare.Leads[0].Length, bare.Leads[1].Stripe, bare.Leads[2].Size = 0, "white", circuit.Size{}
	all = append(all, recorded.Case{Name: "little stated", Value: OfWiring(wiring.Compute(&bare, x.Points))})
	recorded.Hold(t, "testdata/recorded/wirings.txt", all)
}
