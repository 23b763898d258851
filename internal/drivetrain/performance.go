package drivetrain

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Performance is how a version drives: what is computed of its speed, current, heat
// and stop, what that rests on, and what cannot be told.
type Performance struct {
	Err string // why nothing could be computed, a sentence; all else is empty then

	Motors         int
	Rolling        RollingBasis
	NoSpeed        string // why no speed can be computed, a sentence; "" where it can
	Setting        quantity.Fraction
	FullVoltage    quantity.Volts // of the battery at rest, fully charged
	NominalVoltage quantity.Volts
	CutoutVoltage  quantity.Measured[quantity.Volts] // at which it opens; missing: there is none
	RatedCurrent   quantity.Measured[quantity.Amperes]

	Top           SteadyState                          // at the setting, on the cruise's grade, fully charged
	Cruise        SteadyState                          // the same at the nominal voltage
	Hill          *SteadyState                         // up the steepest climb at the nominal voltage; nil: none is stated
	FullyOpen     *SteadyState                         // fully charged with the controller fully open; nil: it is so anyway
	SteepestStart quantity.Measured[quantity.Fraction] // the steepest that it starts on, at the nominal voltage; missing: not computed
	LimitedByGrip bool                                 // it is the grip on dry rails that sets Steepest, with the vehicle's own weight on driven wheels

	ByVoltage []SteadyState
	BySetting []SteadyState // empty: nothing to set
	ByPayload []SteadyState

	KineticEnergy quantity.Measured[quantity.WattHours] // of the whole train at the top speed

	Stall  *Stall
	Stops  []Stopping   // on the level, and down the steepest climb
	Wanted *WantedSpeed // nil: no top speed is wanted

	Runs    []SpeedComparison
	Assumed []Assumption
	Missing []MissingFigure
}

// MissingFigure is a figure that is not given, and why.
type MissingFigure struct{ Figure, Why string }

// SteadyState is one steady state. Where it does not come to a steady speed, Words say
// what becomes of it and Speed is missing.
type SteadyState struct {
	Name    string // stable: "full", "setting-60", "payload-150"
	Label   string
	Grade   drive.Grade
	Volts   quantity.Volts // of the battery at rest; at its terminals for the cutout
	Payload quantity.Kilograms
	Setting quantity.Fraction
	drive.Answers
	Words string
	Err   string // why it could not be computed
}

// HasSpeed says whether there is a steady speed.
func (c SteadyState) HasSpeed() bool { return c.Err == "" && c.Point.Moves() }

// Stall is what held motors draw at the setting, fully charged.
type Stall struct {
	Motor   quantity.Measured[quantity.Amperes] // in each
	Battery quantity.Measured[quantity.Amperes]
	Heat    quantity.Watts // in the copper of each
	Limited drive.Limit
	Time    quantity.Measured[quantity.Seconds] // until the copper is at its limit
	Limit   quantity.Celsius
	Why     string // why there is no time
	Words   string // what sets it, in sentences
}

// Stopping is a stop from the top speed.
type Stopping struct {
	Label string
	Grade drive.Grade
	From  quantity.Measured[quantity.MetresPerSecond]
	drive.StopAnswers
	Err string // why it does not stop
}

// WantedSpeed is the top speed that is wanted and what setting gives it, fully charged on the cruise's grade.
type WantedSpeed struct {
	Speed   quantity.MetresPerSecond
	Setting quantity.Measured[quantity.Fraction]
	Words   string
	Err     string
}

// Compute computes how a version drives. The same input gives the same answer.
func Compute(h Input) *Performance {
	d := &Performance{CutoutVoltage: quantity.Missing[quantity.Volts](), RatedCurrent: h.Rated, SteepestStart: quantity.Missing[quantity.Fraction](), KineticEnergy: quantity.Missing[quantity.WattHours]()}
	p, err := h.prepare()
	if err != nil {
		d.Err = reason(err)
		return d
	}
	d.Motors, d.Rolling, d.NoSpeed, d.Setting, d.FullVoltage, d.NominalVoltage = max(h.Motors, 1), p.rolling, p.noWay, p.own, p.Supply.Full, p.Supply.Nominal
	d.CutoutVoltage = h.Supply.Opens
	d.Stall = p.stall()
	if p.noWay == "" {
		p.courses(d)
		p.stops(d)
		p.wanted(d)
		for _, r := range h.Runs {
			d.Runs = append(d.Runs, p.check(r))
		}
	}
	d.Assumed = p.assumed
	d.lack(p)
	return d
}

// reason is an error as a sentence.
func reason(err error) string {
	var missing *drive.MissingError
	if errors.As(err, &missing) {
		return finding.SentenceOf(fmt.Errorf("%w (under motors)", err))
	}
	return finding.SentenceOf(err)
}

// at is a course with some inputs changed.
func (p *prepared) at(name, label string, change func(*drive.Given)) SteadyState {
	g := p.given
	change(&g)
	c := SteadyState{Name: name, Label: label, Grade: drive.Grade(g.Grade.Value), Volts: g.Rest.Value, Payload: g.Payload.Value, Setting: p.own}
	if g.Duty.Known() {
		c.Setting = g.Duty.Value
	}
	a, err := g.Operate()
	if err != nil {
		c.Err = finding.SentenceOf(err)
		return c
	}
	c.Answers, c.Words = a, finding.SentenceOf(errors.New(a.Point.Words()))
	if !a.Point.Moves() {
		c.Speed, c.PerDistance, c.Efficiency = quantity.Missing[quantity.MetresPerSecond](), quantity.Missing[quantity.WattHoursPerKilometre](), quantity.Missing[quantity.Fraction]()
	}
	return c
}

// steepness is a climb in words, without its direction: "1 in 80 (1.2 %)".
func steepness(g drive.Grade) string { return strings.ReplaceAll(g.String(), " up ", " ") }

func (p *prepared) courses(d *Performance) {
	rest := func(v quantity.Volts) func(*drive.Given) {
		return func(g *drive.Given) { g.Rest = quantity.Exact(v) }
	}
	terminals := func(v quantity.Volts) func(*drive.Given) { // whatever is drawn
		return func(g *drive.Given) { g.Rest, g.Supply = quantity.Exact(v), p.behindTerminals() }
	}
	d.Top = p.at("full", "just charged", rest(p.Supply.Full))
	d.Cruise = p.at("nominal", "nominal voltage", rest(p.Supply.Nominal))
	d.ByVoltage = []SteadyState{d.Top, d.Cruise}
	if d.CutoutVoltage.Known() {
		d.ByVoltage = append(d.ByVoltage, p.at("cutout", "where the cutout opens", terminals(d.CutoutVoltage.Value)))
	}
	if p.Hill != nil {
		c := p.at("hill", "up "+steepness(*p.Hill), func(g *drive.Given) { g.Grade = quantity.Exact(quantity.Number(*p.Hill)) })
		d.Hill = &c
	}
	if p.Control != BySwitch && p.Control != ByResistor {
		if p.own < 1 {
			c := p.at("open", "fully open", func(g *drive.Given) {
				rest(p.Supply.Full)(g)
				g.Duty = quantity.Exact(quantity.Fraction(1))
			})
			d.FullyOpen = &c
		}
		for _, s := range settings(p.own) {
			d.BySetting = append(d.BySetting, p.at(fmt.Sprintf("setting-%.0f", 100*float64(s)), quantity.Brief(s), func(g *drive.Given) {
				if s != p.own {
					g.Duty = quantity.Exact(s)
				}
			}))
		}
	}
	for _, m := range payloads(p.given.Payload.Value) {
		label := quantity.Brief(m)
		if m == 0 {
			label = "nothing"
		}
		d.ByPayload = append(d.ByPayload, p.at(fmt.Sprintf("payload-%.0f", float64(m)), label, func(g *drive.Given) {
			if m != p.given.Payload.Value {
				g.Payload = quantity.Exact(m)
			}
		}))
	}
	if d.SteepestStart, d.LimitedByGrip = p.steepest(); d.LimitedByGrip {
		p.assume("grip on the rails", "dry, with the vehicle's own weight on driven wheels", "full-size steel tyres, "+drive.AdhesionOn(drive.DryRail).Source+": see rail-adhesion", drive.AdhesionOn(drive.DryRail).Status)
	}
}

// steepest is the steepest climb that it starts on: as far as the motors pull,
// and on rails as far as the wheels grip; slips says that it is the grip.
func (p *prepared) steepest() (quantity.Measured[quantity.Fraction], bool) {
	none := quantity.Missing[quantity.Fraction]()
	grip := p.gripGrade(p.setup)
	start, err := p.setup.Start()
	switch {
	case err != nil:
		return none, false
	case grip.Known() && float64(grip.Value) < float64(start.SteepestGrade):
		return grip, true
	case math.IsInf(float64(start.SteepestGrade), 0):
		return none, false
	}
	return quantity.Unsure(quantity.Fraction(start.SteepestGrade)), false
}

// gripGrade is the climb on which the pull that the wheels can have on dry rails,
// with the vehicle's own weight on them, just holds the train. Missing off the rails.
func (p *prepared) gripGrade(s drive.Setup) quantity.Measured[quantity.Fraction] {
	if p.Ground != onRails {
		return quantity.Missing[quantity.Fraction]()
	}
	a := drive.AdhesionOn(drive.DryRail)
	share := float64(s.Vehicle.Mass) / float64(s.Vehicle.TotalMass())
	return quantity.Unsure(quantity.Fraction(math.Max(0, (a.Low+a.High)/2*share-float64(s.Way.Rolling))))
}

// settings are those of the table: from 40 % in steps, and the version's own.
func settings(own quantity.Fraction) []quantity.Fraction {
	out := []quantity.Fraction{0.4, 0.6, 0.8, 1}
	if !slices.Contains(out, own) {
		out = append(out, own)
	}
	slices.Sort(out)
	return out
}

// payloads are those of the table: nothing, half, what is stated, half as much again.
func payloads(stated quantity.Kilograms) []quantity.Kilograms {
	if !(stated > 0) {
		return []quantity.Kilograms{0}
	}
	return []quantity.Kilograms{0, stated / 2, stated, stated * 3 / 2}
}

func (p *prepared) stall() *Stall {
	g := p.given
	g.Rest = quantity.Exact(p.Supply.Full)
	base, _ := g.Setup() // the plate is sound: see prepare
	held, err := base.Stall(p.winding)
	if err != nil {
		return nil
	}
	out := &Stall{Heat: held.Heat, Limited: held.Limited, Limit: quantity.Celsius(math.NaN()), Time: quantity.Missing[quantity.Seconds](),
		Motor: quantity.Exact(held.MotorCurrent), Battery: quantity.Exact(held.BatteryCurrent)}
	// The resistance of the motor is the input that counts; it is known as well as the plate says.
	if c, err := g.Plate.Constants(); err == nil {
		of := func(get func(drive.Stall) float64) float64 {
			_, u := quantity.Propagate(func(x []float64) float64 {
				s := base
				s.Vehicle.Motor.R = quantity.Ohms(x[0])
				s.Supply.Resistance = quantity.Ohms(x[1])
				w := p.winding
				if w != nil {
					w = &drive.Winding{Copper: quantity.Kilograms(x[2]), Start: w.Start, Limit: w.Limit}
				}
				other, err := s.Stall(w)
				if err != nil {
					return math.NaN()
				}
				return get(other)
			}, []float64{float64(c.R.Value), float64(g.Supply.Value), float64(p.Copper.OrZero())}, []float64{float64(c.R.U), float64(g.Supply.U), float64(unsureBy(p.Copper))}, nil)
			return u
		}
		out.Motor.U = quantity.Amperes(of(func(s drive.Stall) float64 { return float64(s.MotorCurrent) }))
		out.Battery.U = quantity.Amperes(of(func(s drive.Stall) float64 { return float64(s.BatteryCurrent) }))
		if p.winding != nil {
			out.Time = quantity.Of(held.Time, quantity.Seconds(of(func(s drive.Stall) float64 { return float64(s.Time) })))
			out.Limit = p.winding.Limit
		}
	}
	out.Words = p.heldWords(base, held)
	if p.winding == nil {
		out.Why = "How much copper is in a motor's winding is not stated (motors.copper)."
	}
	return out
}

// heldWords say what keeps the current of held motors where it is, and whether
// the wheels would slip before they are held.
func (p *prepared) heldWords(s drive.Setup, held drive.Stall) string {
	var say []string
	switch held.Limited {
	case drive.MotorSide, drive.BatterySide:
		say = append(say, "With the motors held it is the controller's limit that sets the current.")
	default:
		say = append(say, "With the motors held nothing but resistance sets the current.")
	}
	if p.Ground == onRails {
		if a := drive.AdhesionOn(drive.DryRail); held.Pull > s.Vehicle.Grip(s.Way, quantity.Number((a.Low+a.High)/2), 1) {
			say = append(say, "On dry rails the wheels slip before the motors are held by the load, so it takes a blocked wheel or gear.")
		}
	}
	if p.winding != nil {
		say = append(say, "The time is what a fuse has to be quicker than, not one that is safe.")
	}
	return strings.Join(say, " ")
}

func unsureBy[K quantity.Kind](m quantity.Measured[K]) K {
	if !m.Known() {
		return 0
	}
	return m.U
}

func (p *prepared) stops(d *Performance) {
	if d.Top.HasSpeed() {
		d.KineticEnergy = p.kinetic(d.Top.Speed)
	}
	if p.brake == nil || !d.Top.HasSpeed() {
		return
	}
	stop := func(label string, grade drive.Grade) {
		g := p.given
		g.Grade = quantity.Exact(quantity.Number(grade))
		out := Stopping{Label: label, Grade: grade, From: d.Top.Speed}
		a, err := g.Stop(d.Top.Speed, *p.brake)
		if err != nil {
			out.Err = finding.SentenceOf(err)
		}
		out.StopAnswers = a
		d.Stops = append(d.Stops, out)
	}
	stop("on the level", 0)
	if p.Hill != nil && *p.Hill > 0 {
		stop("down "+steepness(*p.Hill), -*p.Hill)
	}
}

// kinetic is the kinetic energy of the train at a speed.
func (p *prepared) kinetic(v quantity.Measured[quantity.MetresPerSecond]) quantity.Measured[quantity.WattHours] {
	joules := p.setup.Vehicle.KineticEnergy(v.Value)
	mass := math.Hypot(float64(p.given.Mass.U), float64(p.given.Payload.U)) / float64(p.setup.Vehicle.TotalMass())
	return quantity.Of(quantity.WattHours(joules/3600), quantity.WattHours(joules/3600*math.Hypot(2*float64(v.U/v.Value), mass)))
}

func (p *prepared) wanted(d *Performance) {
	if !p.Wanted.Known() {
		return
	}
	w := &WantedSpeed{Speed: p.Wanted.Value, Setting: quantity.Missing[quantity.Fraction]()}
	d.Wanted = w
	g := p.given
	g.Rest = quantity.Exact(p.Supply.Full)
	s, _ := g.Setup() // the plate is sound: see prepare
	point, err := s.AtSpeed(w.Speed)
	switch {
	case err != nil:
		w.Err = finding.SentenceOf(err)
		return
	case point.State != drive.Runs:
		w.Err = finding.SentenceOf(errors.New(point.Words()))
		return
	}
	w.Setting = quantity.Unsure(point.Duty)
	terms := quantity.Fraction(0)
	if top := d.Top; top.HasSpeed() { // the speed goes nearly with the setting
		terms = point.Duty * quantity.Fraction(top.Speed.U/top.Speed.Value)
	}
	w.Setting.U = terms
	w.Words = fmt.Sprintf("A setting of %s gives the %.3g km/h that are wanted, just charged.", w.Setting, 3.6*float64(w.Speed))
}

// lack lists the figures that are not given, with the reason.
func (d *Performance) lack(p *prepared) {
	for _, f := range d.Figures() {
		if !f.Quantity.Known() {
			d.Missing = append(d.Missing, MissingFigure{f.Label, f.Quantity.Why()})
		}
	}
}
