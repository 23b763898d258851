package journal

import (
	"slices"

	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/reference"
	"voltwright/internal/runlog"
)

// Hauls says whether the version states anything of a drive.
func (v *Version) Hauls() bool { return len(v.Motors) > 0 || v.Drive != nil }

// Haul is the version's drive as drivetrain computes with it. What is not written is
// missing there, and drivetrain says so.
func (v *Version) Haul(results *Results) drivetrain.Input {
	h := drivetrain.NothingStated()
	v.haulMotors(&h)
	if d := v.Drive; d != nil {
		h.Ratio, h.Wheel, h.GearEfficiency, h.Rolling = d.Ratio.Stated(), d.Wheel.Stated(), d.GearEfficiency.Stated(), d.Rolling.Stated()
		if d.Surface.Set {
			h.Ground = string(d.Surface.Value)
		}
		if g, err := drive.ParseGrade(d.Hill.Text); d.Hill.Set && err == nil {
			h.Hill = &g
		}
		if g, err := drive.ParseGrade(d.Cruise.Text); d.Cruise.Set && err == nil {
			h.Cruise = &g
		}
		if a := d.DragArea.Stated(); a.Known() { // mm² there, m² here
			h.DragArea = quantity.Measured[quantity.Number]{Value: quantity.Number(a.Value * 1e-6), U: quantity.Number(a.U * 1e-6)}
		}
		h.Wanted = d.TopSpeed.Stated()
		if b := d.Braking; b != nil {
			h.Deceleration, h.BrakeForce, h.Reaction = b.Deceleration.Stated(), b.Force.Stated(), b.Reaction.Stated()
		}
	}
	if u := v.Use; u != nil && u.Rider.Value == Child {
		h.Inattentive, h.ChildAge = true, u.Age.Or(0)
	}
	if m := v.Masses; m != nil {
		h.Vehicle, h.Payload = m.Vehicle.Stated(), m.Payload.Stated()
		for _, w := range m.Wagons {
			if w.Mass.Known() {
				for range min(w.Count.Or(1), mostWagons) {
					h.Wagons = append(h.Wagons, drive.Wagon{Mass: w.Mass.Value, Rolling: known(w.Rolling.Stated())})
				}
			}
		}
	}
	if c := v.Controller; c != nil {
		h.Setting, h.Efficiency, h.Limit = c.Setting.Stated(), c.Efficiency.Stated(), c.Limit.Stated()
		if c.Kind.Set {
			h.Control = drivetrain.ControlKind(c.Kind.Value)
		}
	}
	v.haulLeads(&h)
	h.Supply = v.supply(results.Predictions[v.Path()])
	for _, r := range v.Runs {
		if r.Type.Value == Field || r.Type.Value == Bench {
			h.Runs = append(h.Runs, r.hauled(results.Runs[r.ID()]))
		}
	}
	return h
}

// supply is the version's packs as the drive is fed by them, with what their runs taught of them.
func (v *Version) supply(answers *predict.Prediction) drivetrain.Supply {
	out := drivetrain.Supply{Opens: quantity.Missing[quantity.Volts](), Resistance: quantity.Missing[quantity.Ohms]()}
	b := v.Bank().Holding(answers)
	if err := b.Check(); err != nil {
		out.Err = err.Error()
		return out
	}
	out.Full, out.Nominal, out.Status = b.FullVoltage(), b.NominalVoltage(), b.Packs[0].Chemistry.Facts["ohmic"].Status
	if cutout, _ := b.Ending(); cutout != nil && cutout.Opens > 0 {
		out.Opens = quantity.Exact(cutout.Opens)
	}
	out.Resistance, out.Taken = b.ResistanceTaken()
	if r, ok := v.learnedResistance(answers); ok {
		out.Resistance, out.Taken, out.Status = r, predict.LearnedFromRuns, reference.Computed
	}
	if !out.Resistance.Known() {
		out.Err = "the resistance of the packs is not known"
	}
	return out
}

// haulLeads takes over what the wiring puts between packs and motors, or why
// that cannot be had.
func (v *Version) haulLeads(h *drivetrain.Input) {
	c, ok := v.Circuit()
	if !ok {
		return
	}
	if faults := c.Check(); len(faults) > 0 {
		h.NoLeads = "it is written wrong: " + faults[0].Text
		return
	}
	p := &pointMaker{version: v, circuit: c}
	way, err := c.Way(p.atRest())
	if err != nil {
		h.NoLeads = err.Error()
		return
	}
	h.PackLeads, h.MotorLeads, h.LeadsLeft = quantity.Exact(way.Supply), quantity.Exact(way.Motors), len(way.Left)
}

// mostWagons is the most wagons of one kind that are counted; a train has fewer.
const mostWagons = 1000

// haulMotors takes over the motors, which have to be alike in all that decides how they share the load. What decides
// only how hot one gets is taken of the one that stands the least.
func (v *Version) haulMotors(h *drivetrain.Input) {
	if len(v.Motors) == 0 {
		h.NoMotor = "No motor is stated (motors)."
		return
	}
	h.Plate, h.Rated = v.Motors[0].plate(), v.Motors[0].RatedCurrent.Stated()
	h.Motors = 0
	for i := range v.Motors {
		m := &v.Motors[i]
		h.Motors += m.Count.Or(1)
		if !alike(m.plate(), h.Plate) {
			h.NoMotor = "The motors are unlike, and how they share the load is not computed."
		}
		widen(&h.Plate, m.plate())
		if copper := m.Copper.Stated(); copper.Known() && !(h.Copper.Value <= copper.Value) {
			h.Copper = copper
		}
	}
	h.Insulation = v.coolestClass()
}

// coolestClass is the thermal class of the motors that stands the least; "" where one states none, which may be the
// lowest there is.
func (v *Version) coolestClass() string {
	for _, m := range v.Motors {
		if !m.Insulation.Set {
			return ""
		}
	}
	for _, c := range drive.ThermalClasses() {
		if slices.ContainsFunc(v.Motors, func(m Motor) bool { return string(m.Insulation.Value) == c.Name }) {
			return c.Name
		}
	}
	return ""
}

func (m *Motor) plate() drive.Plate {
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

// hauled is what a run says of the drive. Its battery's voltage is the mean that
// was measured, or the middle of the two that a display showed.
func (r *Run) hauled(measured *runlog.Result) drivetrain.Run {
	c := &r.Conditions
	out := drivetrain.Run{ID: string(r.ID()), Name: r.Name.Text, Payload: c.Payload.Stated(), Setting: c.Setting.Stated(), WheelsUp: c.Surface.Set && c.Surface.Value == WheelsUp,
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

// Driving computes how the version drives; nil where it states nothing of a drive.
func (v *Version) Driving(results *Results) *drivetrain.Performance {
	if !v.Hauls() {
		return nil
	}
	return drivetrain.Compute(v.Haul(results))
}
