package drivetrain

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"voltwright/internal/drive"
	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

// Input is a version as its drive is computed: what its front matter states, and
// what its runs measured. A value that is not stated is quantity.Missing; start
// from NothingStated.
type Input struct {
	Plate      drive.Plate                           // of one motor, as stated
	Motors     int                                   // how many like it, side by side
	NoMotor    string                                // why the motors cannot be computed, a sentence; "" where they can
	Rated      quantity.Measured[quantity.Amperes]   // rated current of one motor
	Copper     quantity.Measured[quantity.Kilograms] // in the winding of one motor
	Insulation string                                // thermal class of the winding; "" is not stated

	Ratio          quantity.Measured[quantity.Number]
	GearEfficiency quantity.Measured[quantity.Fraction]
	Wheel          quantity.Measured[quantity.Metres]
	Ground         string // what it runs on, in a note's word; "" is not stated
	Rolling        quantity.Measured[quantity.Number]
	Hill, Cruise   *drive.Grade                       // the steepest climb, and what it mostly runs on; nil: not stated
	DragArea       quantity.Measured[quantity.Number] // m²

	Vehicle, Payload quantity.Measured[quantity.Kilograms]
	Wagons           []drive.Wagon // beside vehicle and payload

	Deceleration quantity.Measured[quantity.MetresPerSecondSquare]
	BrakeForce   quantity.Measured[quantity.Newtons]
	Reaction     quantity.Measured[quantity.Seconds]
	Inattentive  bool                                        // whoever brakes may be slow to see why
	ChildAge     int                                         // of a child that rides, years; 0: no child, or its age is not stated
	Wanted       quantity.Measured[quantity.MetresPerSecond] // top speed wanted

	Control    ControlKind
	Setting    quantity.Measured[quantity.Fraction] // greatest duty
	Efficiency quantity.Measured[quantity.Fraction] // of the controller
	Limit      quantity.Measured[quantity.Amperes]  // to which the controller holds the motors' current

	PackLeads  quantity.Measured[quantity.Ohms] // with contacts, between packs and controller, there and back; missing: no wiring is stated
	MotorLeads quantity.Measured[quantity.Ohms] // between controller and motors, for the current of all
	LeadsLeft  int                              // leads of unknown resistance, which are in neither
	NoLeads    string                           // where the wiring is stated and PackLeads is missing: what is the matter with it, after "but"

	Supply Supply
	Runs   []Run
}

// Supply is the battery that the drive is fed by: all packs side by side.
type Supply struct {
	Err        string         // why the packs cannot be computed with; "" where they can
	Full       quantity.Volts // at rest, just charged
	Nominal    quantity.Volts
	Opens      quantity.Measured[quantity.Volts] // at which the circuit opens; missing: nothing opens it
	Resistance quantity.Measured[quantity.Ohms]

	Taken  string           // what the resistance rests on where not every pack states one; "" where each does
	Status reference.Status // of that
}

// ControlKind says how the speed is set.
type ControlKind string

// The kinds of control. An empty one is not stated.
const (
	ByDuty     ControlKind = "pwm"
	ByResistor ControlKind = "resistor"
	BySwitch   ControlKind = "switch"
)

// Run is what a run says of the drive.
type Run struct {
	ID, Name string
	Payload  quantity.Measured[quantity.Kilograms]
	Ground   string // "" is not stated
	WheelsUp bool
	Setting  quantity.Measured[quantity.Fraction] // missing: the version's
	Volts    quantity.Measured[quantity.Volts]    // of the battery under load, mean

	Top, Mean   quantity.Measured[quantity.MetresPerSecond]
	PerDistance quantity.Measured[quantity.WattHoursPerKilometre]
}

// NothingStated is a Input of which nothing is stated.
func NothingStated() Input {
	return Input{Motors: 1, Rated: quantity.Missing[quantity.Amperes](), Copper: quantity.Missing[quantity.Kilograms](),
		Ratio: quantity.Missing[quantity.Number](), GearEfficiency: quantity.Missing[quantity.Fraction](), Wheel: quantity.Missing[quantity.Metres](),
		Rolling: quantity.Missing[quantity.Number](), DragArea: quantity.Missing[quantity.Number](),
		Vehicle: quantity.Missing[quantity.Kilograms](), Payload: quantity.Missing[quantity.Kilograms](),
		Deceleration: quantity.Missing[quantity.MetresPerSecondSquare](), BrakeForce: quantity.Missing[quantity.Newtons](), Reaction: quantity.Missing[quantity.Seconds](),
		Wanted: quantity.Missing[quantity.MetresPerSecond](), Setting: quantity.Missing[quantity.Fraction](), Efficiency: quantity.Missing[quantity.Fraction](),
		Limit: quantity.Missing[quantity.Amperes](), PackLeads: quantity.Missing[quantity.Ohms](), MotorLeads: quantity.Missing[quantity.Ohms](),
		Supply: Supply{Err: "no pack is stated", Opens: quantity.Missing[quantity.Volts](), Resistance: quantity.Missing[quantity.Ohms]()}}
}

// Assumption is a value that nobody stated and that an answer rests on.
type Assumption struct {
	What   string // "efficiency of the gearing"
	Words  string // "80 %, from 70 % to 90 %"
	Source string // where the value comes from
	Status reference.Status
}

const (
	fromMemory = reference.FromMemory
	ownChoice  = reference.OwnChoice
)

// What is taken where a note states nothing. The figures are from memory, no
// table read, but for the reaction time.
const (
	gearedLow, gearedHigh   = 0.70, 0.90 // one or two stages of spur gear, chain or belt
	directLow, directHigh   = 0.92, 0.99 // a motor in the wheel: bearings and seals only
	controllerEfficiency    = 0.95
	windingStart            = quantity.Celsius(20)
	reactionLow, reactionHi = 0.67, 2.5 // s, the span of drive.Reactions
	attentive               = 1.5       // s, the average of the literature: a rule and no floor
	distracted              = 2.5       // s, where attention is not assured
)

// childSpread is the standard uncertainty of a child's mass at the upper end of its
// age, as a part: the middle of an age is a quarter below. Own choice.
const childSpread = 0.15

// between is the middle of a range with the standard uncertainty of a flat
// distribution over it (JCGM 100:2008, 4.3.7).
func between[K quantity.Kind](low, high K) quantity.Measured[K] {
	return quantity.Of((low+high)/2, K(float64(high-low)/math.Sqrt(12)))
}

// prepared is a Input with everything filled in that may be taken.
type prepared struct {
	Input
	given   drive.Given // at the nominal voltage, on the cruise's grade, at the setting
	setup   drive.Setup // the same at the values themselves
	rolling RollingBasis
	noWay   string // why what the way asks is not known, a sentence; "" where it is
	own     quantity.Fraction
	winding *drive.Winding
	brake   *drive.GivenBrake
	assumed []Assumption
}

func (p *prepared) assume(what, words, source string, status reference.Status) {
	p.assumed = append(p.assumed, Assumption{what, words, source, status})
}

// prepare fills in what is not stated, or says why nothing can be computed.
func (h Input) prepare() (*prepared, error) {
	p := &prepared{Input: h}
	switch {
	case h.NoMotor != "":
		return nil, errors.New(h.NoMotor)
	case !h.Ratio.Known():
		return nil, errors.New("the gear ratio is not stated (drive.ratio)")
	case !h.Wheel.Known():
		return nil, errors.New("the diameter of the driven wheels is not stated (drive.wheel)")
	case !h.Vehicle.Known():
		return nil, errors.New("what the vehicle weighs is not stated (masses.vehicle)")
	}
	if h.Supply.Err != "" {
		return nil, errors.New(h.Supply.Err)
	}
	base := drive.Setup{Vehicle: drive.Vehicle{Parallel: max(h.Motors, 1), Wagons: h.Wagons}}
	p.given = drive.NoneGiven(base)
	p.motor()
	if _, err := p.given.Plate.Motor(); err != nil {
		return nil, err
	}
	p.gearing()
	p.control()
	p.battery()
	p.masses()
	p.way()
	p.stopping()
	var err error
	if p.setup, err = p.given.Setup(); err != nil {
		return nil, err
	}
	return p, p.setup.Check()
}

// motor takes over the plate. Values without an uncertainty of their own get what
// a plate is good for.
func (p *prepared) motor() {
	plate := p.Plate
	loose := false
	spread(&plate.NoLoadSpeed, &loose)
	spread(&plate.NoLoadCurrent, &loose)
	spread(&plate.Resistance, &loose)
	spread(&plate.StallCurrent, &loose)
	spread(&plate.Power, &loose)
	spread(&plate.Speed, &loose)
	spread(&plate.Current, &loose)
	if loose {
		p.assume("values of the motor's plate", fmt.Sprintf("each within %.0f %%", 100*drive.Agreement), "where the note states no uncertainty of its own; what is printed on a motor is seldom better", ownChoice)
	}
	plate.Winding = windingStart
	p.given.Plate = plate
	p.assume("temperature of the motors", quantity.Brief(windingStart)+", cold", "a warm motor runs a little faster without load and pulls less: see motor-temperature", ownChoice)
	if p.Copper.Known() {
		limit, class := quantity.Celsius(math.NaN()), p.Insulation
		for _, c := range drive.ThermalClasses() {
			if c.Name == class {
				limit = c.Limit
			}
		}
		if math.IsNaN(float64(limit)) {
			c := drive.ThermalClasses()[0]
			limit = c.Limit
			p.assume("thermal class of the winding", fmt.Sprintf("%s, %s", c.Name, quantity.Brief(c.Limit)), c.Source+": the lowest, as none is stated", c.Status)
		}
		p.winding = &drive.Winding{Copper: p.Copper.Value, Start: windingStart, Limit: limit}
	}
	if p.Motors > 1 {
		p.assume("how the motors are joined", fmt.Sprintf("%d side by side, sharing the load evenly", p.Motors), "the note does not say otherwise", ownChoice)
	}
}

func spread[K quantity.Kind](m *quantity.Measured[K], loose *bool) {
	if m.Known() && m.Value != 0 && !(m.U > 0) {
		m.U, *loose = K(drive.Agreement/math.Sqrt(3)*math.Abs(float64(m.Value))), true
	}
}

func (p *prepared) gearing() {
	p.given.Ratio, p.given.Wheel = p.Ratio, p.Wheel
	p.given.GearEfficiency = p.GearEfficiency
	if p.GearEfficiency.Known() {
		return
	}
	low, high, what := quantity.Fraction(gearedLow), quantity.Fraction(gearedHigh), "one or two stages of spur gear, chain or belt; no table read"
	if p.Ratio.Value == 1 {
		low, high, what = directLow, directHigh, "a motor in the wheel, without a gear; no table read"
	}
	p.given.GearEfficiency = between(low, high)
	p.assume("efficiency of the gearing", fmt.Sprintf("%s, from %s to %s", quantity.Brief(p.given.GearEfficiency.Value), quantity.Brief(low), quantity.Brief(high)), what, fromMemory)
}

func (p *prepared) control() {
	c := &p.given.Base.Controller
	c.Duty, c.Efficiency = 1, 1
	if p.Control == BySwitch || p.Control == ByResistor {
		p.given.Base.Controller = drive.Switched()
		p.own = 1
		if p.Control == ByResistor {
			p.assume("resistors in the controller", "none in the circuit: the last step", "a resistor's loss goes with the current and is not computed at its steps", ownChoice)
		}
		return
	}
	p.own = 1
	if p.Setting.Known() {
		p.given.Duty, p.own = p.Setting, p.Setting.Value
	} else {
		p.assume("setting of the controller", "100 %, fully open", "none is stated", ownChoice)
	}
	if p.Efficiency.Known() {
		c.Efficiency = p.Efficiency.Value
	} else if p.Control == ByDuty {
		c.Efficiency = controllerEfficiency
		p.assume("efficiency of the controller", quantity.Brief(quantity.Fraction(controllerEfficiency)), "a switching controller near full opening; no table read", fromMemory)
	}
	if p.Limit.Known() {
		c.MotorLimit = p.Limit.Value
	} else {
		p.assume("limit of the controller", "none: nothing holds the current back but resistance", "controller.limit is not stated", ownChoice)
	}
}

func (p *prepared) battery() {
	p.given.Rest = quantity.Exact(p.Supply.Nominal)
	p.given.Supply = p.Supply.Resistance
	if p.Supply.Taken != "" {
		p.assume("resistance of the packs", p.given.Supply.String(), p.Supply.Taken+": see run-time", p.Supply.Status)
	}
	p.leads()
}

// leads takes over what the wiring puts in the way.
func (p *prepared) leads() {
	if !p.PackLeads.Known() {
		why := "no wiring is stated by which to compute it"
		if p.NoLeads != "" {
			why = "the wiring is stated, but " + p.NoLeads
		}
		p.assume("leads between pack and motors", "no resistance", why, ownChoice)
		return
	}
	p.given.Supply = quantity.Of(p.given.Supply.Value+p.PackLeads.Value, quantity.Ohms(math.Hypot(float64(p.given.Supply.U), float64(p.PackLeads.U))))
	p.given.MotorLeads = p.MotorLeads
	words := fmt.Sprintf("%s between packs and controller, %s from there to the motors", quantity.Rough(p.PackLeads.Value), quantity.Rough(p.MotorLeads.OrZero()))
	if p.Control == BySwitch || p.Control == ByResistor {
		words = quantity.Rough(p.PackLeads.Value + p.MotorLeads.OrZero())
	}
	basis := "computed from the wiring: see circuit-solution; crimps and ferrules are left out"
	switch p.LeadsLeft {
	case 0:
	case 1:
		basis += ", and so is one lead whose size or length is not stated"
	default:
		basis += fmt.Sprintf(", and so are %d leads whose size or length is not stated", p.LeadsLeft)
	}
	p.assume("leads between pack and motors", words, basis, reference.Computed)
}

// behindTerminals is what is left of the supply's resistance where the voltage
// at the terminals of the packs is given: that of the leads.
func (p *prepared) behindTerminals() quantity.Measured[quantity.Ohms] {
	if p.PackLeads.Known() {
		return p.PackLeads
	}
	return quantity.Exact(quantity.Ohms(0))
}

func (p *prepared) masses() {
	p.given.Mass, p.given.Payload = p.Vehicle, p.Payload
	if !p.Payload.Known() {
		p.given.Payload = quantity.Exact(quantity.Kilograms(0))
		if c, ok := drive.ChildMassAt(p.ChildAge); ok && p.ChildAge > 0 {
			p.given.Payload = quantity.Of(c.Mass, c.Mass*childSpread)
			p.assume("payload", fmt.Sprintf("%s, as a child of %d rides", quantity.Brief(c.Mass), p.ChildAge), c.Source, c.Status)
			return
		}
		p.assume("payload", "none", "masses.payload is not stated", ownChoice)
	}
}

func (p *prepared) way() {
	if p.DragArea.Known() {
		p.given.DragArea = p.DragArea
	} else {
		p.assume("drag of the air", "none", "drive.drag-area is not stated; at walking pace the air asks for a few newtons", ownChoice)
	}
	cruise := drive.Grade(0)
	if p.Cruise != nil {
		cruise = *p.Cruise
	}
	p.given.Grade = quantity.Exact(quantity.Number(cruise))
	p.rolling, p.noWay = rollingOn(p.Ground, p.Rolling)
	if p.noWay == "" {
		p.given.Rolling = p.rolling.Taken
		if !p.rolling.Stated {
			p.assume("rolling coefficient", p.rolling.Words, p.rolling.Source, p.rolling.Status)
		}
	}
}

func (p *prepared) stopping() {
	if !p.Deceleration.Known() && !p.BrakeForce.Known() {
		return
	}
	b := drive.GivenBrake{Force: quantity.Missing[quantity.Number](), Deceleration: quantity.Missing[quantity.Number](), Reaction: p.Reaction}
	if p.Deceleration.Known() {
		b.Deceleration = quantity.Of(quantity.Number(p.Deceleration.Value), quantity.Number(p.Deceleration.U))
	} else {
		b.Force = quantity.Of(quantity.Number(p.BrakeForce.Value), quantity.Number(p.BrakeForce.U))
	}
	if !p.Reaction.Known() {
		t, why := quantity.Seconds(attentive), "an average, and no floor: every second person needs longer"
		if p.Inattentive {
			t, why = distracted, "a child rides, and attention is not assured"
		}
		r := drive.ReactionOf(t)
		b.Reaction = quantity.Of(t, quantity.Seconds((reactionHi-reactionLow)/math.Sqrt(12)))
		p.assume("reaction time", fmt.Sprintf("%.1f s: %s", float64(t), why), r.Source+"; its uncertainty is the span of reaction-time, drivers on roads", r.Status)
	}
	p.brake = &b
}

// RollingBasis is the rolling coefficient that is computed with, and what else is
// published for the same ground.
type RollingBasis struct {
	Taken    quantity.Measured[quantity.Number]
	Stated   bool   // by the maker
	Words    string // "0.01 to 0.02, plain-bearing stock on 5 or 7 1/4 inch track"
	Source   string
	Status   reference.Status
	Disputed string          // what is published and says otherwise, a sentence; "" where nothing does
	Rows     []drive.Surface // every published row of the ground
}

// miniatureRail is the row of drive.Surfaces that is taken on rails: what it
// takes to roll a small wheel is not what it takes to roll a full-size one.
const (
	miniatureRail = "miniature-rail"
	onRails       = "steel-rail" // the ground
)

// rollingOn finds the coefficient for a ground. On rails that of small wheels is
// taken; on other grounds the range is that of all rows, as the note does not say
// what tyre it is. The second value says why there is none.
func rollingOn(ground string, stated quantity.Measured[quantity.Number]) (RollingBasis, string) {
	out := RollingBasis{Taken: quantity.Missing[quantity.Number](), Rows: drive.SurfacesOn(ground)}
	word := strings.ReplaceAll(ground, "-", " ")
	if stated.Known() {
		out.Taken, out.Stated, out.Words, out.Source = stated, true, quantity.Brief(stated.Value), "stated by the maker (drive.rolling)"
		return out, ""
	}
	switch {
	case ground == "":
		return out, "What it runs on is not stated (drive.surface)."
	case ground == wheelsUp:
		return out, "Its wheels are off the ground."
	case len(out.Rows) == 0:
		return out, fmt.Sprintf("No rolling coefficient of %s is in the tables; state one that was measured as drive.rolling.", word)
	}
	low, high := math.Inf(1), 0.0
	var titles, sources []string
	status := reference.Confirmed
	for _, r := range out.Rows {
		if ground == onRails && r.Name != miniatureRail {
			continue
		}
		low, high = min(low, r.Low), max(high, r.High)
		titles = append(titles, r.Title)
		sources = appendNew(sources, r.Source)
		status = status.Weaker(r.Status)
	}
	out.Taken = between(quantity.Number(low), quantity.Number(high))
	out.Source, out.Status = strings.Join(sources, "; "), status
	out.Words = fmt.Sprintf("%.3g to %.3g: %s", low, high, strings.Join(titles, "; "))
	if ground == onRails {
		out.Disputed = disputedRail(out.Rows)
	}
	return out, ""
}

// wheelsUp is the word for a vehicle whose wheels are off the ground.
const wheelsUp = "wheels-up"

func disputedRail(rows []drive.Surface) string {
	for _, r := range rows {
		if r.Name == "steel-rail" {
			return fmt.Sprintf("This is disputed: for full-size wheels %.3g to %.3g is published (%s, %s), a tenth of what is taken. Small wheels in plain bearings roll worse, but the value taken for them is from memory. A coasting trial on the line itself settles it.", r.Low, r.High, r.Source, r.Status)
		}
	}
	return ""
}

func appendNew(list []string, text string) []string {
	for _, have := range list {
		if have == text {
			return list
		}
	}
	return append(list, text)
}
