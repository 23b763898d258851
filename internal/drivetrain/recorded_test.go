package drivetrain

import (
	"slices"
	"testing"

	"voltwright/internal/drive"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// How a version drives, with what is stated and what is not.
func TestRecordOfDrives(t *testing.T) {
	t.Parallel()
	var all []recorded.Case
	add := func(name string, change func(*Input)) {
		h := garden(t)
		if change != nil {
			change(&h)
		}
		d := Compute(h)
		all = append(all, recorded.Case{Name: name, Value: d})
		if slices.Contains([]string{"everything stated", "on a floor", "too steep for it", "nothing known"}, name) {
			all = append(all, recorded.Case{Name: name + ", figures", Value: d.Figures()})
		}
	}
	add("as it is", nil)
	add("everything stated", func(h *Input) {
		h.Copper, h.Insulation, h.Rated = quantity.Of[quantity.Kilograms](0.4, 0.04), "F", quantity.Exact(quantity.Amperes(12))
		h.PackLeads, h.MotorLeads, h.LeadsLeft = quantity.Of[quantity.Ohms](0.01, 0.002), quantity.Exact(quantity.Ohms(0.004)), 2
		h.Limit, h.DragArea, h.Wanted = quantity.Exact(quantity.Amperes(40)), quantity.Exact(quantity.Number(0.6)), quantity.Exact(quantity.MetresPerSecond(1.4))
		h.Reaction, h.GearEfficiency = quantity.Exact(quantity.Seconds(1)), quantity.Of[quantity.Fraction](0.85, 0.02)
		h.Vehicle.U, h.Payload.U = 2, 5
		cruise := drive.OneIn(200)
		h.Cruise = &cruise
		h.Wagons = []drive.Wagon{{Mass: 90}, {Mass: 40, Rolling: 0.02}}
		h.Runs = []Run{
			{ID: "a", Name: "A", Payload: kilograms(120), Ground: "steel-rail", Setting: quantity.Exact(quantity.Fraction(0.6)), Volts: quantity.Of[quantity.Volts](25.6, 0.1),
				Top: quantity.Of[quantity.MetresPerSecond](1.2, 0.05), Mean: quantity.Of[quantity.MetresPerSecond](0.9, 0.02), PerDistance: quantity.Of[quantity.WattHoursPerKilometre](22, 1)},
			{ID: "b", Name: "B", Payload: kilograms(0), Ground: "grass", Setting: quantity.Missing[quantity.Fraction](), Volts: quantity.Missing[quantity.Volts](),
				Top: quantity.Missing[quantity.MetresPerSecond](), Mean: quantity.Exact(quantity.MetresPerSecond(2)), PerDistance: quantity.Exact(quantity.WattHoursPerKilometre(2))},
			{ID: "c", Name: "C", WheelsUp: true, Payload: kilograms(0)},
		}
	})
	add("a child and a switch", func(h *Input) {
		h.Control, h.ChildAge, h.Inattentive, h.Payload = BySwitch, 9, true, quantity.Missing[quantity.Kilograms]()
		h.Motors, h.Ground = 1, "grass"
		h.Deceleration, h.BrakeForce = quantity.Missing[quantity.MetresPerSecondSquare](), quantity.Of[quantity.Newtons](150, 15)
		h.PackLeads, h.LeadsLeft = quantity.Exact(quantity.Ohms(0.006)), 1
	})
	add("by resistor, in the wheel", func(h *Input) {
		h.Control, h.Ratio, h.Ground, h.Hill = ByResistor, quantity.Exact(quantity.Number(1)), "asphalt", nil
		h.Copper, h.NoLeads = quantity.Exact(quantity.Kilograms(0.3)), "a lead ends nowhere"
		h.Supply.Opens = quantity.Missing[quantity.Volts]()
		typicalSupply(t, h)
	})
	add("too steep for it", func(h *Input) {
		g := drive.Grade(0.9)
		h.Hill, h.Wanted = &g, quantity.Exact(quantity.MetresPerSecond(9))
		h.Supply.Full = 27
	})
	add("a plate by its rated point, and no control stated", func(h *Input) {
		h.Plate.Resistance, h.Plate.StallCurrent = quantity.Missing[quantity.Ohms](), quantity.Exact(quantity.Amperes(96))
		h.Control, h.Setting, h.Efficiency = "", quantity.Missing[quantity.Fraction](), quantity.Missing[quantity.Fraction]()
		h.Ground = "asphalt"
	})
	add("power, speed and current on the plate", func(h *Input) {
		h.Plate.Resistance = quantity.Missing[quantity.Ohms]()
		h.Plate.Power, h.Plate.Speed, h.Plate.Current = quantity.Exact(quantity.Watts(250)), quantity.Exact(quantity.RevolutionsPerMinute(2380)), quantity.Exact(quantity.Amperes(13.7))
	})
	add("on a floor", func(h *Input) { h.Ground = "floor" })
	add("nothing known", func(h *Input) { *h = NothingStated() })
	recorded.Hold(t, "testdata/recorded/drives.txt", all)
}
