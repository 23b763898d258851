package circuit_test

import (
	"fmt"

	"voltwright/internal/circuit"
)

// A lamp on a barrow, its fuse too far from the battery.
func Example() {
	at := func(text string) circuit.Terminal { t, _ := circuit.ParseTerminal(text); return t }
	c := circuit.Circuit{
		Parts: []circuit.Part{
			{Name: "battery", Kind: circuit.Pack, Nominal: 12, Volts: 12.6, Full: 14.4, Resistance: 0.03},
			{Name: "fuse", Kind: circuit.Fuse, FuseKind: "blade", Ratings: circuit.Ratings{Current: 10}},
			{Name: "lamp", Kind: circuit.Lamp, Nominal: 12, Power: 60},
		},
		Leads: []circuit.Lead{
			{From: at("battery:+"), To: at("fuse:in"), Size: circuit.Metric(1.5), Length: 0.4, Insulation: 90},
			{From: at("fuse:out"), To: at("lamp:1"), Size: circuit.Metric(1.5), Length: 2, Insulation: 90},
			{From: at("lamp:2"), To: at("battery:-"), Size: circuit.Metric(1.5), Length: 2.1, Insulation: 90},
		},
	}
	s, err := c.Solve(circuit.OperatingPoint{Name: "lit", Kind: circuit.Cruise})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f A, %.2f V of %.2f V lost\n", float64(s.Leads[0].Current), float64(s.Loads[0].Drop), float64(s.Packs[0].Volts))
	for _, v := range c.Judge([]*circuit.Solution{s}) {
		if !v.OK && v.CannotJudge == "" {
			fmt.Printf("%s: %s, at most %s (%s)\n", v.Rule, v.Number, v.Limit, v.Status)
		}
	}
	// Output:
	// 5.06 A, 0.30 V of 12.45 V lost
	// fuse-placement: 400 mm, at most 178 mm (confirmed)
}
