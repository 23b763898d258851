package study

import (
	"slices"

	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/reference"
	"voltwright/internal/runlog"
)

// DriveInput is a version's drive as drivetrain computes with it. What is not written is
// missing there, and drivetrain says so.
func DriveInput(v *journal.Version, results *Results) drivetrain.Input {
	in := drivetrain.NothingStated()
	motorsInto(v, &in)
	if d := v.Drive; d != nil {
		in.Ratio, in.Wheel, in.GearEfficiency, in.Rolling = d.Ratio.Stated(), d.Wheel.Stated(), d.GearEfficiency.Stated(), d.Rolling.Stated()
		if d.Surface.Set {
			in.Ground = string(d.Surface.Value)
		}
		if g, err := drive.ParseGrade(d.Hill.Text); d.Hill.Set && err == nil {
			in.Hill = &g
		}
		if g, err := drive.ParseGrade(d.Cruise.Text); d.Cruise.Set && err == nil {
			in.Cruise = &g
		}
		if a := d.DragArea.Stated(); a.Known() { // mm² there, m² here
			in.DragArea = quantity.Of(quantity.Number(a.Value*1e-6), quantity.Number(a.U*1e-6))
		}
		in.Wanted = d.TopSpeed.Stated()
		if b := d.Braking; b != nil {
			in.Deceleration, in.BrakeForce, in.Reaction = b.Deceleration.Stated(), b.Force.Stated(), b.Reaction.Stated()
		}
	}
	if u := v.Use; u != nil && u.Rider.Value == journal.Child {
		in.Inattentive, in.ChildAge = true, u.Age.Or(0)
	}
	if m := v.Masses; m != nil {
		in.Vehicle, in.Payload = m.Vehicle.Stated(), m.Payload.Stated()
		for _, w := range m.Wagons {
			if w.Mass.Known() {
				for range min(w.Count.Or(1), mostWagons) {
					in.Wagons = append(in.Wagons, drive.Wagon{Mass: w.Mass.Value, Rolling: w.Rolling.Stated().OrZero()})
				}
			}
		}
	}
	if c := v.Controller; c != nil {
		in.Setting, in.Efficiency, in.Limit = c.Setting.Stated(), c.Efficiency.Stated(), c.Limit.Stated()
		if c.Kind.Set {
			in.Control = drivetrain.ControlKind(c.Kind.Value)
		}
	}
	leadsInto(v, &in)
	in.Supply = supply(v, results.Prediction(v.Path()))
	for _, r := range v.Runs {
		if r.Type.Value == journal.Field || r.Type.Value == journal.Bench {
			in.Runs = append(in.Runs, driveRun(r, results.Run(r.ID())))
		}
	}
	return in
}

// supply is a version's packs as the drive is fed by them, with what their runs taught of them.
func supply(v *journal.Version, answers *predict.Prediction) drivetrain.Supply {
	out := drivetrain.Supply{Opens: quantity.Missing[quantity.Volts](), Resistance: quantity.Missing[quantity.Ohms]()}
	b := Bank(v).Holding(answers)
	if err := b.Check(); err != nil {
		out.Err = err.Error()
		return out
	}
	out.Full, out.Nominal, out.Status = b.FullVoltage(), b.NominalVoltage(), b.Packs[0].Chemistry.Facts["ohmic"].Status
	if cutout, _ := b.Ending(); cutout != nil && cutout.Opens > 0 {
		out.Opens = quantity.Exact(cutout.Opens)
	}
	out.Resistance, out.Taken = b.ResistanceTaken()
	if r, ok := learnedResistance(v, answers); ok {
		out.Resistance, out.Taken, out.Status = r, predict.LearnedFromRuns, reference.Computed
	}
	if !out.Resistance.Known() {
		out.Err = "the resistance of the packs is not known"
	}
	return out
}

// leadsInto takes over what the wiring puts between packs and motors, or why
// that cannot be had.
func leadsInto(v *journal.Version, in *drivetrain.Input) {
	c, ok := v.Circuit()
	if !ok {
		return
	}
	if faults := c.Check(); len(faults) > 0 {
		in.NoLeads = "it is written wrong: " + faults[0].Text
		return
	}
	way, err := c.Way(v.ContactsAtRest())
	if err != nil {
		in.NoLeads = err.Error()
		return
	}
	in.PackLeads, in.MotorLeads, in.LeadsLeft = quantity.Exact(way.Supply), quantity.Exact(way.Motors), len(way.Left)
}

// mostWagons is the most wagons of one kind that are counted; a train has fewer.
const mostWagons = 1000

// motorsInto takes over the motors, which have to be alike in all that decides how they share the load. What decides
// only how hot one gets is taken of the one that stands the least.
func motorsInto(v *journal.Version, in *drivetrain.Input) {
	if len(v.Motors) == 0 {
		in.NoMotor = "No motor is stated (motors)."
		return
	}
	in.Plate, in.Rated = plate(&v.Motors[0]), v.Motors[0].RatedCurrent.Stated()
	in.Motors = 0
	for i := range v.Motors {
		m := &v.Motors[i]
		in.Motors += m.Count.Or(1)
		if !alike(plate(m), in.Plate) {
			in.NoMotor = "The motors are unlike, and how they share the load is not computed."
		}
		widen(&in.Plate, plate(m))
		if copper := m.Copper.Stated(); copper.Known() && !(in.Copper.Value <= copper.Value) {
			in.Copper = copper
		}
	}
	in.Insulation = coolestClass(v)
}

// coolestClass is the thermal class of the motors that stands the least; "" where one states none, which may be the
// lowest there is.
func coolestClass(v *journal.Version) string {
	for _, m := range v.Motors {
		if !m.Insulation.Set {
			return ""
		}
	}
	for _, c := range drive.ThermalClasses() {
		if slices.ContainsFunc(v.Motors, func(m journal.Motor) bool { return string(m.Insulation.Value) == c.Name }) {
			return c.Name
		}
	}
	return ""
}

func plate(m *journal.Motor) drive.Plate {
	return drive.Plate{Rated: m.Rated.Stated(), NoLoadSpeed: m.NoLoadSpeed.Stated(), NoLoadCurrent: m.NoLoadCurrent.Stated(), Resistance: m.Resistance.Stated(),
		StallCurrent: m.StallCurrent.Stated(), Power: m.Power.Stated(), Speed: m.RatedSpeed.Stated(), Current: m.RatedCurrent.Stated(),
		StallTorque: quantity.Missing[quantity.NewtonMetres](), Torque: quantity.Missing[quantity.NewtonMetres](),
		Efficiency: quantity.Missing[quantity.Fraction](), Constant: quantity.Missing[quantity.Number]()}
}

// alike says whether two plates state the same values.
func alike(a, b drive.Plate) bool {
	return same(a.Rated, b.Rated) && same(a.NoLoadSpeed, b.NoLoadSpeed) && same(a.NoLoadCurrent, b.NoLoadCurrent) && same(a.Resistance, b.Resistance) &&
		same(a.StallCurrent, b.StallCurrent) && same(a.StallTorque, b.StallTorque) && same(a.Power, b.Power) && same(a.Speed, b.Speed) &&
		same(a.Current, b.Current) && same(a.Torque, b.Torque) && same(a.Efficiency, b.Efficiency) && same(a.Constant, b.Constant) &&
		a.Frictionless == b.Frictionless && a.Winding == b.Winding
}

func same[K quantity.Kind](a, b quantity.Measured[K]) bool {
	return a.Value == b.Value || !a.Known() && !b.Known()
}

// widen gives a plate the greater of its own uncertainties and those of another that states the same values.
func widen(p *drive.Plate, by drive.Plate) {
	wider(&p.Rated, by.Rated)
	wider(&p.NoLoadSpeed, by.NoLoadSpeed)
	wider(&p.NoLoadCurrent, by.NoLoadCurrent)
	wider(&p.Resistance, by.Resistance)
	wider(&p.StallCurrent, by.StallCurrent)
	wider(&p.Power, by.Power)
	wider(&p.Speed, by.Speed)
	wider(&p.Current, by.Current)
}

func wider[K quantity.Kind](m *quantity.Measured[K], by quantity.Measured[K]) {
	if same(*m, by) && by.U > m.U {
		m.U = by.U
	}
}

// driveRun is what a run says of the drive. Its battery's voltage is the mean that
// was measured, or the middle of the two that a display showed.
func driveRun(r *journal.Run, measured *runlog.Result) drivetrain.Run {
	c := &r.Conditions
	out := drivetrain.Run{ID: string(r.ID()), Name: r.Name.Text, Payload: c.Payload.Stated(), Setting: c.Setting.Stated(), WheelsUp: c.Surface.Set && c.Surface.Value == journal.WheelsUp,
		Volts: quantity.Missing[quantity.Volts](), Top: quantity.Missing[quantity.MetresPerSecond](), Mean: quantity.Missing[quantity.MetresPerSecond](),
		PerDistance: quantity.Missing[quantity.WattHoursPerKilometre]()}
	if c.Surface.Set {
		out.Ground = string(c.Surface.Value)
	}
	if measured == nil {
		return out
	}
	out.Top, out.Mean, out.PerDistance = measured.TopSpeed, measured.MeanSpeed, measured.PerDistance
	switch {
	case measured.MeanVoltage.Known():
		out.Volts = measured.MeanVoltage
	case measured.StartVoltage.Known() && measured.EndVoltage.Known():
		out.Volts = quantity.Scale(quantity.Sum(measured.StartVoltage, measured.EndVoltage), 0.5)
	}
	return out
}

// Performance computes how a version drives; nil where it states nothing of a drive.
func Performance(v *journal.Version, results *Results) *drivetrain.Performance {
	if !v.StatesDrive() {
		return nil
	}
	return drivetrain.Compute(DriveInput(v, results))
}
