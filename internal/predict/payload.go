package predict

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/battery"
	"voltwright/internal/drive"
	"voltwright/internal/quantity"
)

// ScaledLoad is the source of a load that was measured at another payload.
const ScaledLoad LoadSource = "scaled"

// MovedMasses is what the motors of a run, or of a version, move.
type MovedMasses struct {
	Vehicle  quantity.Measured[quantity.Kilograms] // without payload; missing: not stated
	Payload  quantity.Measured[quantity.Kilograms] // missing: not stated
	WheelsUp bool                                  // nothing is moved

	NoLoadCurrent quantity.Measured[quantity.Amperes]  // no-load current of all motors together; missing where one states none
	Setting       quantity.Measured[quantity.Fraction] // the controller's, the part of the voltage that the motors get; missing: all of it
}

// NoMovedMasses is MovedMasses of which nothing is stated.
func NoMovedMasses() MovedMasses {
	return MovedMasses{Vehicle: quantity.Missing[quantity.Kilograms](), Payload: quantity.Missing[quantity.Kilograms](),
		NoLoadCurrent: quantity.Missing[quantity.Amperes](), Setting: quantity.Missing[quantity.Fraction]()}
}

func (m MovedMasses) stated() bool {
	return m.Vehicle.Known() && m.Vehicle.Value > 0 && m.Payload.Known() && m.Payload.Value >= 0
}

// massRatio is by what the pull grows from one train to another on the same way:
// the road load without the air, in which every term has the mass in it, so that
// ground and grade cancel.
func massRatio(from, to MovedMasses) float64 {
	pull := func(m MovedMasses) float64 {
		v := drive.Vehicle{Mass: m.Vehicle.Value, Payload: m.Payload.Value}
		return float64(v.Resistance(drive.Way{Rolling: 1}, 0).Sum())
	}
	return pull(to) / pull(from)
}

// scalingError is the standard uncertainty that scaling adds to a load, as a part
// of what the scaling changes. Against it stand the air, the copper loss, which
// grows with the square of the pull, and the share of a stop's energy that a
// driver takes back by coasting. Our own choice; no source.
const scalingError = 0.25

// fixed is what a run drew whatever the mass, W: at a stand, and the no-load
// power of its motors, V·I₀ at the part of the voltage that the setting gives them.
type fixed struct{ standing, idle quantity.Watts }

func (r *Run) fixed(l Load, b Bank) fixed {
	var f fixed
	volts := float64(b.NominalVoltage())
	if l.Current.Known() && l.Current.Value > 0 {
		volts = float64(l.Power.Value) / float64(l.Current.Value)
	}
	if m := r.Masses; m.NoLoadCurrent.Known() {
		part := 1.0
		if m.Setting.Known() && m.Setting.Value > 0 {
			part = math.Min(1, float64(m.Setting.Value))
		}
		f.idle = quantity.Watts(volts * part * float64(m.NoLoadCurrent.Value))
	}
	if l.rows == nil {
		return f
	}
	var joules, time float64
	from := l.rows.Start
	for k, at := range l.rows.Time {
		if p := l.rows.Current[k] * l.rows.Voltage[k]; l.rows.Current[k] < l.threshold && p >= 0 {
			joules, time = joules+p*(at-from), time+at-from
		}
		from = at
	}
	if time > 0 {
		f.standing = quantity.Watts(joules / time)
	}
	return f
}

// scaled is a power at another mass.
func (f fixed) scaled(p, ratio float64) float64 {
	still := float64(f.standing + f.idle)
	if p >= 0 && p <= still {
		return p
	}
	if p < 0 { // given back downhill
		still = 0
	}
	return still + (p-still)*ratio
}

// at is the load of a run as it would be with another mass, or why it cannot be told.
func (r *Run) at(l Load, b Bank, to MovedMasses) (Load, string) {
	from := r.Masses
	switch {
	case from.WheelsUp:
		return l, fmt.Sprintf("%s ran with its wheels in the air: nothing was carried, so it does not tell what another payload draws.", r.Slug)
	case r.Kind == "bench" && !(from.Payload.Known() && from.Payload.Value > 0):
		return l, fmt.Sprintf("%s was a run on the bench without a payload, so it does not tell what another payload draws.", r.Slug)
	case !from.Vehicle.Known() || !(from.Vehicle.Value > 0):
		return l, fmt.Sprintf("%s: what the vehicle weighs is not stated (masses.vehicle), so its load cannot be scaled to another payload.", r.Slug)
	case !from.Payload.Known():
		return l, fmt.Sprintf("%s: its payload is not stated (conditions.payload), so its load cannot be scaled to another.", r.Slug)
	case !to.stated():
		return l, fmt.Sprintf("%s: the masses to scale it to are not stated.", r.Slug)
	}
	f := r.fixed(l, b)
	power := float64(l.Power.Value)
	if float64(f.idle+f.standing) >= power {
		return l, fmt.Sprintf("%s drew %s on average, no more than the %s that its motors are stated to draw without a load, so how much of it goes with the mass cannot be told.",
			r.Slug, quantity.Brief(l.Power.Value), quantity.Brief(f.idle+f.standing))
	}
	ratio := massRatio(from, to)
	part := f.scaled(power, ratio) / power
	out := l
	out.Source, out.Run, out.From = ScaledLoad, "", l.Run
	out.Power = quantity.Scale(l.Power, part)
	if l.Current.Known() {
		out.Current = quantity.Scale(l.Current, part)
	}
	if out.Rest < 0 { // given back downhill
		out.Rest *= quantity.Watts(ratio)
	}
	out.Load = out.steady()
	out.Unsure = quantity.Fraction(scalingError * math.Abs(part-1) / part)
	out.Payload = to.Payload
	var words []string
	if to.Payload.Value != from.Payload.Value || to.Vehicle.Value == from.Vehicle.Value {
		at := "at " + quantity.Brief(to.Payload.Value)
		if to.Payload.Value == 0 {
			at = "without a payload"
		}
		words = append(words, at+", scaled from "+quantity.Brief(from.Payload.Value))
	}
	if to.Vehicle.Value != from.Vehicle.Value {
		words = append(words, fmt.Sprintf("scaled to a vehicle of %s instead of %s", quantity.Brief(to.Vehicle.Value), quantity.Brief(from.Vehicle.Value)))
	}
	out.Label += ", " + strings.Join(words, ", ")
	out.Words = quantity.Brief(out.Power.Value)
	if l.rows != nil && len(l.profile.Parts) > 0 {
		out.profile = l.rows.course(func(amps, watts float64) float64 {
			if math.Abs(amps) < l.threshold {
				return watts
			}
			return f.scaled(watts, ratio)
		})
	}
	return out, ""
}

// atPayload puts in place of the measured loads what they would be at the asked
// payload or with the asked vehicle, and tells which cannot be told.
func atPayload(loads []Load, b Bank, runs []Run, o Options) (out []Load, refused []string) {
	for _, l := range loads {
		r := runOf(runs, l.Run)
		if r == nil && o.Payload == nil { // a load that is stated stays what it is
			out = append(out, l)
			continue
		}
		if r == nil {
			refused = append(refused, fmt.Sprintf("The load %q was not measured at a payload, so it cannot be scaled to another.", l.Label))
			continue
		}
		to := r.target(o)
		if o.Payload == nil && to.Vehicle.Value == r.Masses.Vehicle.Value {
			out = append(out, l)
			continue
		}
		scaled, why := r.at(l, b, to)
		switch {
		case why == "":
			out = append(out, scaled)
		case o.Payload == nil: // only the vehicle's own mass was changed: a bench run stays as it is
			out = append(out, l)
		default:
			refused = append(refused, why)
		}
	}
	return out, refused
}

// target is what a run would move as it is asked.
func (r *Run) target(o Options) MovedMasses {
	to := r.Masses
	if o.Masses != nil && o.Masses.Vehicle.Known() && o.Masses.Vehicle.Value > 0 {
		to.Vehicle = o.Masses.Vehicle
	}
	if o.Payload != nil {
		to.Payload = *o.Payload
	}
	return to
}

// otherPayloads are the newest run that carried something as it would be with no
// payload, and with the payload that the version states where that is another.
func otherPayloads(loads []Load, b Bank, runs []Run, o Options) []Load {
	for i := len(loads) - 1; i >= 0; i-- {
		r := runOf(runs, loads[i].Run)
		if r == nil || loads[i].rows == nil || !(r.Masses.Payload.Value > 0) {
			continue
		}
		var out []Load
		add := func(name string, payload quantity.Measured[quantity.Kilograms]) {
			to := r.target(o)
			to.Payload = payload
			if l, why := r.at(loads[i], b, to); why == "" {
				l.Name += "-" + name
				out = append(out, l)
			}
		}
		add("no-payload", quantity.Exact(quantity.Kilograms(0)))
		if m := o.Masses; m != nil && m.Payload.Known() && m.Payload.Value > 0 && m.Payload.Value != r.Masses.Payload.Value {
			add("stated-payload", m.Payload)
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

func runOf(runs []Run, id string) *Run {
	if i := slices.IndexFunc(runs, func(r Run) bool { return r.ID == id && id != "" }); i >= 0 {
		return &runs[i]
	}
	return nil
}

// on is the load drawn for another share of the time; the course of a run has its
// stops made longer or shorter, or one put at its end where it has hardly any.
func (l Load) on(duty quantity.Fraction) Load {
	l.Duty = duty
	if l.Rule != "" {
		l.Load = l.steady()
	}
	if len(l.profile.Parts) == 0 {
		return l
	}
	var on, off quantity.Seconds
	for n, p := range l.profile.Parts {
		if l.rows.Current[n] > l.threshold {
			on += p.For
		} else {
			off += p.For
		}
	}
	want := on * quantity.Seconds(1/duty-1)
	l.profile.Parts = slices.Clone(l.profile.Parts)
	if off < on/20 {
		if want > off {
			l.profile.Parts = append(l.profile.Parts, battery.Part{Load: battery.Idle(), For: want - off})
		}
		return l
	}
	for n := range l.profile.Parts {
		if !(l.rows.Current[n] > l.threshold) {
			l.profile.Parts[n].For *= want / off
		}
	}
	return l
}
