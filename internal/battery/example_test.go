package battery_test

import (
	"fmt"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// A pack of which only the label is known, at a constant power: the answer is
// what is typical, with a wide interval.
func ExampleForecasts() {
	chemistry, err := battery.ChemistryNamed("lfp")
	if err != nil {
		fmt.Println(err)
		return
	}
	cell, err := battery.Typical(chemistry, quantity.Exact[quantity.AmpereHours](20))
	if err != nil {
		fmt.Println(err)
		return
	}
	pack := battery.KnownPack{Estimate: cell, Pack: battery.NewPack(nil, 8)}
	answers, err := battery.Forecasts([]battery.KnownPack{pack}, battery.Steady(battery.Delivering(250)), &battery.Cutout{Opens: 23.2, Delay: 2}, 18)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range answers {
		fmt.Printf("%s: %.1f h, give or take %.1f h; most from %s\n", a.Name, float64(a.Time.Value)/3600, float64(a.Time.Expanded())/3600, a.Parts[0].Name)
	}
	// Output:
	// conservative floor: 2.0 h, give or take 0.5 h; most from capacity
	// data sheet floor: 2.0 h, give or take 0.5 h; most from capacity
	// cutout: 1.9 h, give or take 0.5 h; most from capacity
}
