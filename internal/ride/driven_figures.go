package ride

import (
	"math"

	"voltwright/internal/quantity"
)

// Figure is a value of a version under a name that stays.
type Figure struct {
	Name     string            // fixed: "top-speed"
	Label    string            // "Top speed"
	Formula  string            // the Doc that explains it
	Quantity quantity.Quantity // NaN where Missing is set
	Missing  string            // why there is none, a sentence; "" where there is one
}

// drivenFact is everything that is said of a figure of a drive anywhere.
type drivenFact struct {
	name, label, formula string
	value                func(*Driven) (quantity.Quantity, string)
}

func measuredOr[K quantity.Kind](m quantity.Measured[K], why string) (quantity.Quantity, string) {
	if m.Known() {
		return m.Quantity(), ""
	}
	return m.Quantity(), why
}

// ofCourse takes a value from a course, or the reason why there is none.
func ofCourse[K quantity.Kind](which func(*Driven) *Course, none string, get func(*Course) quantity.Measured[K]) func(*Driven) (quantity.Quantity, string) {
	return func(d *Driven) (quantity.Quantity, string) {
		c := which(d)
		missing := quantity.Missing[K]().Quantity()
		switch {
		case d.NoSpeed != "":
			return missing, d.NoSpeed
		case c == nil:
			return missing, none
		case c.Err != "":
			return missing, c.Err
		}
		return measuredOr(get(c), c.Words)
	}
}

func (d *Driven) top() *Course    { return &d.Top }
func (d *Driven) cruise() *Course { return &d.Cruise }
func (d *Driven) hill() *Course   { return d.Hill }

func (d *Driven) named(list []Course, name string) *Course {
	for i := range list {
		if list[i].Name == name {
			return &list[i]
		}
	}
	return nil
}

const (
	noHill   = "No hill is stated (drive.hill)."
	noCutout = "Nothing opens the circuit."
	noBrake  = "How it brakes is not stated (drive.braking)."
	noWanted = "No top speed is wanted (drive.top-speed)."
)

type (
	speedOf   = quantity.Measured[quantity.MetresPerSecond]
	currentOf = quantity.Measured[quantity.Amperes]
)

func stalled[K quantity.Kind](get func(*Stalled) (quantity.Measured[K], string)) func(*Driven) (quantity.Quantity, string) {
	return func(d *Driven) (quantity.Quantity, string) {
		if d.Stall == nil {
			return quantity.Missing[K]().Quantity(), "It could not be computed."
		}
		return measuredOr(get(d.Stall))
	}
}

func stopped[K quantity.Kind](k int, none string, get func(*Stopped) quantity.Measured[K]) func(*Driven) (quantity.Quantity, string) {
	return func(d *Driven) (quantity.Quantity, string) {
		missing := quantity.Missing[K]().Quantity()
		switch {
		case d.NoSpeed != "":
			return missing, d.NoSpeed
		case len(d.Stops) == 0 && !d.Top.Goes():
			return missing, d.Top.Words + d.Top.Err
		case len(d.Stops) == 0:
			return missing, noBrake
		case len(d.Stops) <= k:
			return missing, none
		case d.Stops[k].Err != "":
			return missing, d.Stops[k].Err
		}
		return measuredOr(get(&d.Stops[k]), "It could not be computed.")
	}
}

// drivenTable is the one table of a drive's figures, in printing order.
var drivenTable = []drivenFact{
	{"top-speed", "Top speed, just charged", "version-drive", ofCourse((*Driven).top, "", func(c *Course) speedOf { return c.Speed })},
	{"top-current", "Battery current at top speed", "version-drive", ofCourse((*Driven).top, "", func(c *Course) currentOf { return c.BatteryCurrent })},
	{"cruise-speed", "Cruising speed, nominal voltage", "version-drive", ofCourse((*Driven).cruise, "", func(c *Course) speedOf { return c.Speed })},
	{"cruise-current", "Battery current at cruise", "version-drive", ofCourse((*Driven).cruise, "", func(c *Course) currentOf { return c.BatteryCurrent })},
	{"cruise-motor-current", "Current in each motor at cruise", "controller-duty", ofCourse((*Driven).cruise, "", func(c *Course) currentOf { return c.MotorCurrent })},
	{"cruise-power", "Power from the battery at cruise", "version-drive", ofCourse((*Driven).cruise, "", func(c *Course) quantity.Measured[quantity.Watts] { return c.BatteryPower })},
	{"cruise-heat", "Heat in the motors at cruise", "motor-model", ofCourse((*Driven).cruise, "", func(c *Course) quantity.Measured[quantity.Watts] { return c.MotorHeat })},
	{"cruise-efficiency", "Efficiency at cruise, battery to rim", "version-drive", ofCourse((*Driven).cruise, "", func(c *Course) quantity.Measured[quantity.Fraction] { return c.Efficiency })},
	{"cruise-energy-per-distance", "Energy per distance at cruise", "version-drive", ofCourse((*Driven).cruise, "", func(c *Course) quantity.Measured[quantity.WattHoursPerKilometre] { return c.PerDistance })},
	{"hill-speed", "Speed up the hill", "version-drive", ofCourse((*Driven).hill, noHill, func(c *Course) speedOf { return c.Speed })},
	{"hill-current", "Battery current up the hill", "version-drive", ofCourse((*Driven).hill, noHill, func(c *Course) currentOf { return c.BatteryCurrent })},
	{"hill-motor-current", "Current in each motor up the hill", "controller-duty", ofCourse((*Driven).hill, noHill, func(c *Course) currentOf { return c.MotorCurrent })},
	{"hill-heat", "Heat in the motors up the hill", "motor-model", ofCourse((*Driven).hill, noHill, func(c *Course) quantity.Measured[quantity.Watts] { return c.MotorHeat })},
	{"hill-efficiency", "Efficiency up the hill, battery to rim", "version-drive", ofCourse((*Driven).hill, noHill, func(c *Course) quantity.Measured[quantity.Fraction] { return c.Efficiency })},
	{"speed-at-cutout", "Speed where the cutout opens", "version-drive", ofCourse(func(d *Driven) *Course { return d.named(d.ByVoltage, "cutout") }, noCutout, func(c *Course) speedOf { return c.Speed })},
	{"open-speed", "Speed with the controller fully open, just charged", "version-drive", ofCourse(func(d *Driven) *Course {
		if d.Open == nil {
			return &d.Top
		}
		return d.Open
	}, "", func(c *Course) speedOf { return c.Speed })},
	{"empty-speed", "Cruising speed without a payload", "version-drive", ofCourse(func(d *Driven) *Course { return d.named(d.ByPayload, "payload-0") }, "", func(c *Course) speedOf { return c.Speed })},
	{"steepest-start", "Steepest climb that it starts on", "start", func(d *Driven) (quantity.Quantity, string) {
		if d.NoSpeed != "" {
			return d.Steepest.Quantity(), d.NoSpeed
		}
		return measuredOr(d.Steepest, "It does not start on the way that it cruises on, or the climb is too steep for a number.")
	}},
	{"stall-current", "Stall current of each motor", "motor-model", stalled(func(s *Stalled) (currentOf, string) { return s.Motor, "" })},
	{"stall-battery-current", "Battery current with the motors held", "controller-duty", stalled(func(s *Stalled) (currentOf, string) { return s.Battery, "" })},
	{"stall-time", "Time in which the copper of a held motor is at its limit", "stall-time", stalled(func(s *Stalled) (quantity.Measured[quantity.Seconds], string) { return s.Time, s.Why })},
	{"stopping-distance", "Stopping distance from top speed, level", "stopping-distance", stopped(0, noBrake, func(s *Stopped) quantity.Measured[quantity.Metres] { return s.Distance })},
	{"stopping-distance-downhill", "Stopping distance from top speed, down the hill", "stopping-distance", stopped(1, noHill, func(s *Stopped) quantity.Measured[quantity.Metres] { return s.Distance })},
	{"kinetic-energy", "Kinetic energy at top speed", "stopping-distance", func(d *Driven) (quantity.Quantity, string) {
		if d.NoSpeed != "" {
			return quantity.Missing[quantity.WattHours]().Quantity(), d.NoSpeed
		}
		q, why := measuredOr(d.Kinetic, d.Top.Words+d.Top.Err)
		q.Unit = "J"
		return q, why
	}},
	{"setting-for-top-speed", "Setting for the top speed wanted", "held-speed", func(d *Driven) (quantity.Quantity, string) {
		switch {
		case d.NoSpeed != "":
			return quantity.Missing[quantity.Fraction]().Quantity(), d.NoSpeed
		case d.Wanted == nil:
			return quantity.Missing[quantity.Fraction]().Quantity(), noWanted
		}
		return measuredOr(d.Wanted.Setting, d.Wanted.Err)
	}},
	{"rolling-coefficient", "Rolling coefficient that is taken", "rolling-coefficient", func(d *Driven) (quantity.Quantity, string) {
		return measuredOr(d.Rolling.Taken, d.NoSpeed)
	}},
}

// Figures gives every figure in printing order, the missing ones with the reason.
func (d *Driven) Figures() []Figure {
	out := make([]Figure, 0, len(drivenTable))
	for _, f := range drivenTable {
		x := Figure{Name: f.name, Label: f.label, Formula: f.formula}
		if d.Err != "" {
			x.Quantity, x.Missing = quantity.Quantity{Value: math.NaN(), U: math.NaN(), Decimals: -1}, d.Err
		} else {
			x.Quantity, x.Missing = f.value(d)
		}
		out = append(out, x)
	}
	return out
}

// Figure gives the figure of a name, and false for a name that is none.
func (d *Driven) Figure(name string) (Figure, bool) {
	for _, f := range d.Figures() {
		if f.Name == name {
			return f, true
		}
	}
	return Figure{}, false
}

// DrivenFigureNames lists the names of all figures of a drive in printing order.
func DrivenFigureNames() []string {
	out := make([]string, len(drivenTable))
	for k, f := range drivenTable {
		out[k] = f.name
	}
	return out
}
