package drive_test

import (
	"fmt"

	"voltwright/internal/drive"
	"voltwright/internal/quantity"
)

// An invented garden locomotive with two motors, of which the maker knows what is
// printed on them and has measured the resistance, pulls a wagon up 1 in 60.
func Example() {
	motor, err := drive.Plate{
		Rated:         quantity.Exact(quantity.Volts(24)),
		NoLoadSpeed:   quantity.Exact(quantity.RevolutionsPerMinute(2650)),
		NoLoadCurrent: quantity.Exact(quantity.Amperes(1.5)),
		Resistance:    quantity.Exact(quantity.Ohms(0.19)),
		Winding:       20,
	}.Motor()
	if err != nil {
		fmt.Println(err)
		return
	}
	grade, err := drive.ParseGrade("1 in 60")
	if err != nil {
		fmt.Println(err)
		return
	}
	loco := drive.Setup{
		Vehicle: drive.Vehicle{Motor: motor, Parallel: 2, Ratio: 9, GearEfficiency: 0.85, Wheel: 0.12, Mass: 60, Payload: 80,
			Wagons: []drive.Wagon{{Mass: 220}}, DragArea: 0.8},
		Supply:     drive.Supply{Rest: 25.6, Resistance: 0.05},
		Controller: drive.Controller{Duty: 0.7, Efficiency: 0.96, MotorLimit: 60, Regenerates: true},
		Way:        drive.Way{Rolling: 0.015, Grade: grade},
	}
	p, err := loco.Operate()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Words())
	fmt.Printf("%.0f W, %.0f %% of it at the rim, %.1f Wh/km\n", float64(p.Power.Battery), 100*float64(p.Efficiency()), float64(p.PerDistance()))
	stop, err := loco.Stop(p.Speed, drive.Brake{Force: 150, Reaction: drive.Reactions()[1].Time})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f m to a stand\n", float64(stop.Distance()))
	// Output:
	// it runs at 4.58 km/h, with 9.72 A from the battery and 6.67 A in each motor
	// 244 W, 59 % of it at the rim, 53.3 Wh/km
	// 3.0 m to a stand
}
