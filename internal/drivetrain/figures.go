package drivetrain

import (
	"voltwright/internal/quantity"
)

// Figure is a value of a version under a name that stays.
type Figure struct {
	Name      string                               // fixed: "top-speed"
	Label     string                               // "Top speed"
	Formula   string                               // the Doc that explains it
	Dimension quantity.Dimension                   // of the quantity, be it there or not
	Quantity  quantity.Optional[quantity.Quantity] // absent for a reason
}

// figureRow is everything that is said of a figure of a drive anywhere.
type figureRow struct {
	name, label, formula string
	value                func(*Performance) optional
}

// optional is what a figure comes to.
type optional struct {
	dimension quantity.Dimension
	quantity  quantity.Optional[quantity.Quantity]
}

// measuredOr is a measured value, or the reason why there is none.
func measuredOr[K quantity.Kind](m quantity.Measured[K], why string) optional {
	return optional{m.Value.Dimension(), m.OrWhy(why)}
}

// none is the absence of a value of a kind.
func none[K quantity.Kind](why string) optional { return measuredOr(quantity.Missing[K](), why) }

// ofCourse takes a value from a course, or the reason why there is none.
func ofCourse[K quantity.Kind](which func(*Performance) *SteadyState, absent string, get func(*SteadyState) quantity.Measured[K]) func(*Performance) optional {
	return func(d *Performance) optional {
		c := which(d)
		switch {
		case d.NoSpeed != "":
			return none[K](d.NoSpeed)
		case c == nil:
			return none[K](absent)
		case c.Err != "":
			return none[K](c.Err)
		}
		return measuredOr(get(c), c.Words)
	}
}

func (d *Performance) top() *SteadyState    { return &d.Top }
func (d *Performance) cruise() *SteadyState { return &d.Cruise }
func (d *Performance) hill() *SteadyState   { return d.Hill }

func (d *Performance) named(list []SteadyState, name string) *SteadyState {
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

func stalled[K quantity.Kind](get func(*Stall) (quantity.Measured[K], string)) func(*Performance) optional {
	return func(d *Performance) optional {
		if d.Stall == nil {
			return none[K]("It could not be computed.")
		}
		return measuredOr(get(d.Stall))
	}
}

func stopped[K quantity.Kind](k int, absent string, get func(*Stopping) quantity.Measured[K]) func(*Performance) optional {
	return func(d *Performance) optional {
		switch {
		case d.NoSpeed != "":
			return none[K](d.NoSpeed)
		case len(d.Stops) == 0 && !d.Top.HasSpeed():
			return none[K](d.Top.Words + d.Top.Err)
		case len(d.Stops) == 0:
			return none[K](noBrake)
		case len(d.Stops) <= k:
			return none[K](absent)
		case d.Stops[k].Err != "":
			return none[K](d.Stops[k].Err)
		}
		return measuredOr(get(&d.Stops[k]), "It could not be computed.")
	}
}

// figures is the one table of a drive's figures, in printing order.
var figures = []figureRow{
	{"top-speed", "Top speed, just charged", "version-drive", ofCourse((*Performance).top, "", func(c *SteadyState) speedOf { return c.Speed })},
	{"top-current", "Battery current at top speed", "version-drive", ofCourse((*Performance).top, "", func(c *SteadyState) currentOf { return c.BatteryCurrent })},
	{"cruise-speed", "Cruising speed, nominal voltage", "version-drive", ofCourse((*Performance).cruise, "", func(c *SteadyState) speedOf { return c.Speed })},
	{"cruise-current", "Battery current at cruise", "version-drive", ofCourse((*Performance).cruise, "", func(c *SteadyState) currentOf { return c.BatteryCurrent })},
	{"cruise-motor-current", "Current in each motor at cruise", "controller-duty", ofCourse((*Performance).cruise, "", func(c *SteadyState) currentOf { return c.MotorCurrent })},
	{"cruise-power", "Power from the battery at cruise", "version-drive", ofCourse((*Performance).cruise, "", func(c *SteadyState) quantity.Measured[quantity.Watts] { return c.BatteryPower })},
	{"cruise-heat", "Heat in the motors at cruise", "motor-model", ofCourse((*Performance).cruise, "", func(c *SteadyState) quantity.Measured[quantity.Watts] { return c.MotorHeat })},
	{"cruise-efficiency", "Efficiency at cruise, battery to rim", "version-drive", ofCourse((*Performance).cruise, "", func(c *SteadyState) quantity.Measured[quantity.Fraction] { return c.Efficiency })},
	{"cruise-energy-per-distance", "Energy per distance at cruise", "version-drive", ofCourse((*Performance).cruise, "", func(c *SteadyState) quantity.Measured[quantity.WattHoursPerKilometre] { return c.PerDistance })},
	{"hill-speed", "Speed up the hill", "version-drive", ofCourse((*Performance).hill, noHill, func(c *SteadyState) speedOf { return c.Speed })},
	{"hill-current", "Battery current up the hill", "version-drive", ofCourse((*Performance).hill, noHill, func(c *SteadyState) currentOf { return c.BatteryCurrent })},
	{"hill-motor-current", "Current in each motor up the hill", "controller-duty", ofCourse((*Performance).hill, noHill, func(c *SteadyState) currentOf { return c.MotorCurrent })},
	{"hill-heat", "Heat in the motors up the hill", "motor-model", ofCourse((*Performance).hill, noHill, func(c *SteadyState) quantity.Measured[quantity.Watts] { return c.MotorHeat })},
	{"hill-efficiency", "Efficiency up the hill, battery to rim", "version-drive", ofCourse((*Performance).hill, noHill, func(c *SteadyState) quantity.Measured[quantity.Fraction] { return c.Efficiency })},
	{"speed-at-cutout", "Speed where the cutout opens", "version-drive", ofCourse(func(d *Performance) *SteadyState { return d.named(d.ByVoltage, "cutout") }, noCutout, func(c *SteadyState) speedOf { return c.Speed })},
	{"open-speed", "Speed with the controller fully open, just charged", "version-drive", ofCourse(func(d *Performance) *SteadyState {
		if d.FullyOpen == nil {
			return &d.Top
		}
		return d.FullyOpen
	}, "", func(c *SteadyState) speedOf { return c.Speed })},
	{"empty-speed", "Cruising speed without a payload", "version-drive", ofCourse(func(d *Performance) *SteadyState { return d.named(d.ByPayload, "payload-0") }, "", func(c *SteadyState) speedOf { return c.Speed })},
	{"steepest-start", "Steepest climb that it starts on", "start", func(d *Performance) optional {
		if d.NoSpeed != "" {
			return none[quantity.Fraction](d.NoSpeed)
		}
		return measuredOr(d.SteepestStart, "It does not start on the way that it cruises on, or the climb is too steep for a number.")
	}},
	{"stall-current", "Stall current of each motor", "motor-model", stalled(func(s *Stall) (currentOf, string) { return s.Motor, "" })},
	{"stall-battery-current", "Battery current with the motors held", "controller-duty", stalled(func(s *Stall) (currentOf, string) { return s.Battery, "" })},
	{"stall-time", "Time in which the copper of a held motor is at its limit", "stall-time", stalled(func(s *Stall) (quantity.Measured[quantity.Seconds], string) { return s.Time, s.Why })},
	{"stopping-distance", "Stopping distance from top speed, level", "stopping-distance", stopped(0, noBrake, func(s *Stopping) quantity.Measured[quantity.Metres] { return s.Distance })},
	{"stopping-distance-downhill", "Stopping distance from top speed, down the hill", "stopping-distance", stopped(1, noHill, func(s *Stopping) quantity.Measured[quantity.Metres] { return s.Distance })},
	{"kinetic-energy", "Kinetic energy at top speed", "stopping-distance", func(d *Performance) optional {
		if d.NoSpeed != "" {
			return none[quantity.WattHours](d.NoSpeed)
		}
		out := measuredOr(d.KineticEnergy, d.Top.Words+d.Top.Err)
		if q, ok := out.quantity.Get(); ok {
			q.Unit = "J"
			out.quantity = quantity.Some(q)
		}
		return out
	}},
	{"setting-for-top-speed", "Setting for the top speed wanted", "held-speed", func(d *Performance) optional {
		switch {
		case d.NoSpeed != "":
			return none[quantity.Fraction](d.NoSpeed)
		case d.Wanted == nil:
			return none[quantity.Fraction](noWanted)
		}
		return measuredOr(d.Wanted.Setting, d.Wanted.Err)
	}},
	{"rolling-coefficient", "Rolling coefficient that is taken", "rolling-coefficient", func(d *Performance) optional {
		return measuredOr(d.Rolling.Taken, d.NoSpeed)
	}},
}

// Figures gives every figure in printing order, the missing ones with the reason.
func (d *Performance) Figures() []Figure {
	out := make([]Figure, 0, len(figures))
	for _, f := range figures {
		x := Figure{Name: f.name, Label: f.label, Formula: f.formula}
		if d.Err != "" {
			x.Quantity = quantity.None[quantity.Quantity](d.Err)
		} else {
			is := f.value(d)
			x.Dimension, x.Quantity = is.dimension, is.quantity
		}
		out = append(out, x)
	}
	return out
}

// Figure gives the figure of a name, and false for a name that is none.
func (d *Performance) Figure(name string) (Figure, bool) {
	for _, f := range d.Figures() {
		if f.Name == name {
			return f, true
		}
	}
	return Figure{}, false
}

// FigureNames lists the names of all figures of a drive in printing order.
func FigureNames() []string {
	out := make([]string, len(figures))
	for k, f := range figures {
		out[k] = f.name
	}
	return out
}
