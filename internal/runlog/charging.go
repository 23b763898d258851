package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// ChargePhases are a charge cut where its charger went from holding the current to holding the voltage. What was not held is missing.
type ChargePhases struct {
	HeldCurrent quantity.Measured[quantity.Amperes]
	HeldVoltage quantity.Measured[quantity.Volts]
	LastCurrent quantity.Measured[quantity.Amperes] // at the end of the held voltage

	CurrentTime, VoltageTime     quantity.Measured[quantity.Seconds]
	CurrentCharge, VoltageCharge quantity.Measured[quantity.AmpereHours]

	Wall       quantity.Measured[quantity.WattHours] // from the wall, as a meter there read
	Efficiency quantity.Measured[quantity.Fraction]  // energy into the pack by energy from the wall
}

func noPhases() ChargePhases {
	return ChargePhases{HeldCurrent: quantity.Missing[quantity.Amperes](), HeldVoltage: quantity.Missing[quantity.Volts](), LastCurrent: quantity.Missing[quantity.Amperes](),
		CurrentTime: quantity.Missing[quantity.Seconds](), VoltageTime: quantity.Missing[quantity.Seconds](),
		CurrentCharge: quantity.Missing[quantity.AmpereHours](), VoltageCharge: quantity.Missing[quantity.AmpereHours](),
		Wall: quantity.Missing[quantity.WattHours](), Efficiency: quantity.Missing[quantity.Fraction]()}
}

// phaseFigures are missing together where a run is no charge.
var phaseFigures = []string{"constant-current-time", "constant-current-charge", "constant-voltage-time", "constant-voltage-charge", "held-current", "held-voltage", "last-current"}

// ofPhases gives a figure of the phases.
func ofPhases[K quantity.Kind](get func(*ChargePhases) quantity.Measured[K]) func(*Result) quantity.Quantity {
	return func(r *Result) quantity.Quantity { return get(&r.Phases).Quantity() }
}

// wall takes over what a meter in the wall read, and compares.
func (r *Result) wall(o *Options) {
	const why = "No meter's reading of the wall is stated."
	if !o.Wall.Known() || !(o.Wall.Value > 0) {
		r.miss("wall-energy", why)
		r.miss("charging-efficiency", why)
		return
	}
	r.Phases.Wall = o.Wall
	if !r.Energy.In.Known() {
		r.miss("charging-efficiency", r.whyMissing("energy-in"))
		return
	}
	r.Phases.Efficiency = quantity.Quotient(r.Energy.In, o.Wall, func(in, wall quantity.WattHours) quantity.Fraction { return quantity.Fraction(in / wall) })
}

// charging finds the phases of a charge.
func (r *Result) charging() {
	miss := func(why string) {
		for _, name := range phaseFigures {
			r.miss(name, why)
		}
	}
	switch {
	case !r.Charge.In.Known():
		miss(noCurrent)
		return
	case !(r.Charge.In.Value > 10*r.Charge.Out.Value):
		miss("It is no charge.")
		return
	case r.Several:
		miss(fmt.Sprintf("The log holds %s, and none of them is taken for the run.", plural(len(r.Parts), "part")))
		return
	case r.Series == nil:
		miss("It needs both a voltage and a current, logged.")
		return
	}
	c, ok := phases.Of(r.Series.charging())
	if !ok {
		miss("Neither the current nor the voltage was held for long enough to tell.")
		return
	}
	p := &r.Phases
	part := float64(r.Charge.In.U / r.Charge.In.Value)
	charge := func(ampereSeconds float64) quantity.Measured[quantity.AmpereHours] {
		q := ampereSeconds / secondsPerHour
		return quantity.Of(quantity.AmpereHours(q), quantity.AmpereHours(math.Hypot(q*part, c.Loose*c.Amperes/secondsPerHour/math.Sqrt(3))))
	}
	time := func(seconds float64) quantity.Measured[quantity.Seconds] {
		return quantity.Of(quantity.Seconds(seconds), quantity.Seconds(math.Hypot(c.Loose/math.Sqrt(3), float64(r.Elapsed.U))))
	}
	if c.HeldCurrent() {
		p.HeldCurrent, p.CurrentTime, p.CurrentCharge = quantity.Unsure(quantity.Amperes(c.Amperes)), time(c.Change-c.Begin), charge(c.Current)
	} else {
		r.miss("held-current", "The voltage was held from the start, so no current was.")
	}
	if c.HeldVoltage() {
		p.HeldVoltage, p.VoltageTime, p.VoltageCharge = quantity.Unsure(quantity.Volts(c.Volts)), time(c.End-c.Change), charge(c.Voltage)
		p.LastCurrent = quantity.Unsure(quantity.Amperes(c.Last))
	}
	const early, late = "The voltage was held from the start.", "The charge ended while the current was held."
	for _, name := range phaseFigures[:2] {
		r.miss(name, early)
	}
	for _, name := range []string{"constant-voltage-time", "constant-voltage-charge", "held-voltage", "last-current"} {
		r.miss(name, late)
	}
	if !math.IsNaN(c.Float) {
		r.note("constant-voltage-time", "It ends where the charger went over to a lower voltage that keeps the pack full.")
	}
}

// charging are the rows with what flows in counted as positive.
func (s *Series) charging() phases.Rows {
	rows := phases.Rows{Start: s.Start, Time: s.Time, Volts: s.Voltage, Amperes: make([]float64, len(s.Current))}
	for k, i := range s.Current {
		rows.Amperes[k] = -i
	}
	return rows
}

// ChargeRows are the rows of a charge as its phases are told from them; nil without a log of both voltage and current.
func (r *Result) ChargeRows() *phases.Rows {
	if r.Series == nil {
		return nil
	}
	rows := r.Series.charging()
	return &rows
}

func chargingDocs() []finding.Doc {
	return []finding.Doc{
		formula("charge-phases", "The phases of a charge",
			"A charger holds the current until the pack comes to its voltage, then it holds the voltage while the current falls away; with lead-acid these are bulk and absorption. The held current is the middle of the rows near the greatest current that lasts. The phases are parted where the rows are best told apart by time: before it the current is at least 97 % of the held one, after it less. A held current lasts at least 3 % of the charge and a held voltage 1 %; a held current stays within 10 % and a held voltage within 1.2 % for 70 % of the time. The held voltage ends where the charger goes over to one that is 2 % lower, to keep the pack full.",
			"T(current) = t(change) − t(begin),  T(voltage) = t(end) − t(change)",
			"s, Ah, A, V; the change is uncertain by half the rows beside it (rectangular)",
			"A log of voltage and current of one charge. A charger that holds neither, such as a transformer without control, has no phases, and the page says so.", ownRule),
		formula("charging-efficiency", "Energy into the pack by energy from the wall",
			"What the charger and its lead lose stands between a meter in the wall socket and the pack. The reading is the run's key wall-energy.",
			"η = E(in)/E(wall)", "a ratio", "A charge with a meter's reading of the wall.", gum+" 5.1.2"),
	}
}
