package circuit

import (
	"errors"
	"math"
	"slices"

	"voltwright/internal/quantity"
)

// Verdict is what one rule says of one part or lead: it holds, it does not, or it
// cannot be judged and why.
type Verdict struct {
	Rule        Rule
	Subject     Subject
	OK          bool
	CannotJudge string            // "" if it was judged; OK is then false and means nothing
	Point       string            // the operating point that decided
	Number      quantity.Quantity // what is; NaN where the rule has no number
	Limit       quantity.Quantity // what may be
	Quoted                        // of the limit
	Detail      string            // what the numbers do not say
	Remedy      string
	Path        []Step    // for a short or a bypass
	With        []Contact // contacts that are not as usual
	Parts       []int     // further parts that it concerns: what stays fed
}

// Rule names what is judged.
type Rule string

// The rules.
const (
	LeadAmpacity     Rule = "lead-ampacity"
	ConductorSize    Rule = "conductor-size"
	FuseMissing      Rule = "fuse-missing"
	FusePlacement    Rule = "fuse-placement"
	FuseCarriesLoad  Rule = "fuse-carries-load"
	FuseSavesLead    Rule = "fuse-saves-lead"
	FuseInterrupts   Rule = "fuse-interrupts"
	FuseVolts        Rule = "fuse-volts"
	FuseHolds        Rule = "fuse-holds"
	FuseOpensAtStall Rule = "fuse-opens-at-stall"
	LiveWhenOpen     Rule = "live-when-open"
	BypassWhenOpen   Rule = "bypass-when-open"
	ShortCircuit     Rule = "short-circuit"
	SocketLive       Rule = "charger-socket-live"
	EndFitsTerminal  Rule = "end-fits-terminal"
	WireFitsClamp    Rule = "wire-fits-clamp"
	WireFitsFerrule  Rule = "wire-fits-ferrule"
	LastingCurrent   Rule = "lasting-current"
	PeakCurrent      Rule = "peak-current"
	ContactDirect    Rule = "contact-direct-current"
	PartVolts        Rule = "part-volts"
	PositiveColour   Rule = "positive-colour"
	LoadVoltsHigh    Rule = "load-volts-high"
	LoadVoltsLow     Rule = "load-volts-low"
	ResistorHeat     Rule = "resistor-heat"
	ConverterInput   Rule = "converter-input"
	ThrottleReturn   Rule = "throttle-return"
	SuppressorClamps Rule = "suppressor-clamps"
	BalanceFuses     Rule = "balance-fuses"
)

// Judge gives every verdict on a circuit from its solutions at operating points.
// It lists what holds, too, so that a page can show what was looked at. The
// minimum bend of a lead and the strain on its ends are not judged.
func (c *Circuit) Judge(solutions []*Solution) []Verdict {
	j := &judge{c: c, solutions: solutions, nets: c.nets(usual, passing)}
	nominal := c.potentials(j.nets, func(p *Part) quantity.Volts {
		if p.Nominal > 0 {
			return p.Nominal
		}
		return sourceOf(p)
	})
	j.at = nominal
	j.system = max(nominal.span(), j.c.inSeries(func(p *Part) quantity.Volts {
		if p.Nominal > 0 {
			return p.Nominal
		}
		return sourceOf(p)
	}))
	j.full = c.fullVolts(j.nets)
	j.leads()
	j.leastSizes()
	j.fuses()
	j.stalls()
	j.safety()
	j.ratings()
	j.loads()
	j.kinds()
	j.fits()
	j.colours()
	return j.verdicts
}

// judge carries what several rules need.
type judge struct {
	c         *Circuit
	solutions []*Solution
	nets      *nets
	at        potentials
	system    quantity.Volts // nominal
	full      quantity.Volts // at the end of charge; 0: not stated for every pack
	verdicts  []Verdict
}

func (c *Circuit) fullVolts(n *nets) quantity.Volts {
	for i := range c.Parts {
		if p := &c.Parts[i]; p.Kind == Pack && p.Full == 0 {
			return 0
		}
	}
	full := c.potentials(n, func(p *Part) quantity.Volts { return p.Full })
	return max(full.span(), c.inSeries(func(p *Part) quantity.Volts { return p.Full }))
}

// inSeries is the highest voltage with every half-speed switch the other way; 0 where there is none.
func (c *Circuit) inSeries(value func(*Part) quantity.Volts) quantity.Volts {
	if !slices.ContainsFunc(c.Parts, func(p Part) bool { return p.Kind == HalfSpeedSwitch }) {
		return 0
	}
	at := c.potentials(c.nets(func(p *Part) Position {
		if p.Kind == HalfSpeedSwitch {
			return OtherWay
		}
		return Usual
	}, passing), value)
	return at.span()
}

// give adds a verdict; a nil or *UnjudgedError decides whether it was judged.
func (j *judge) give(v Verdict, err error) {
	none := quantity.Quantity{Value: math.NaN(), Decimals: -1}
	if v.Number == (quantity.Quantity{}) {
		v.Number = none
	}
	if v.Limit == (quantity.Quantity{}) {
		v.Limit = none
	}
	var reason *UnjudgedError
	if errors.As(err, &reason) {
		v.OK, v.CannotJudge = false, reason.Reason
	}
	if v.OK {
		v.Remedy = "" // nothing is to be mended
	}
	j.verdicts = append(j.verdicts, v)
}

func number[K quantity.Kind](v K) quantity.Quantity {
	q := quantity.Exact(v).Quantity()
	q.Decimals = -1
	return q
}

// atMost tells whether a computed number keeps a limit, rounding aside.
func atMost[K quantity.Kind](v, limit K) bool { return float64(v) <= float64(limit)*(1+1e-9) }

// worstCurrent is the greatest current, either way, among the operating points
// that pick chooses; ok is false if it chooses none.
func (j *judge) worstCurrent(pick func(*OperatingPoint) bool, of func(*Solution) quantity.Amperes) (most quantity.Amperes, point string, ok bool) {
	for _, s := range j.solutions {
		if !pick(&s.Point) {
			continue
		}
		if i := quantity.Amperes(math.Abs(float64(of(s)))); !ok || i > most {
			most, point = i, s.Point.Name
		}
		ok = true
	}
	return most, point, ok
}

// lasting picks the points that may last for good: what is not said to end, a
// stall excepted, which always ends.
func lasting(op *OperatingPoint) bool { return op.Lasts == 0 && op.Kind != Stall && !parted(op) }

func brief(op *OperatingPoint) bool { return !lasting(op) && !parted(op) }

// parted tells of a point in which the packs are meant to be cut off. What still
// flows there is judged by where it goes, not by how much it is.
func parted(op *OperatingPoint) bool { return op.Kind == CutoutOpen || op.Kind == StopOpen }

func inside(part int) func(*Solution) quantity.Amperes {
	return func(s *Solution) quantity.Amperes {
		var most quantity.Amperes
		for _, in := range s.Inside {
			if in.Part == part && in.Way != "common" && in.Way != "coil" && !ofControls(in.Way) {
				most = max(most, quantity.Amperes(math.Abs(float64(in.Current))))
			}
		}
		return most
	}
}

// leads judges every lead's lasting current against its ampacity.
func (j *judge) leads() {
	for i := range j.c.Leads {
		amps, point, any := j.worstCurrent(lasting, func(s *Solution) quantity.Amperes { return s.Leads[i].Current })
		v := Verdict{Rule: LeadAmpacity, Subject: aboutLead(i, -1), Point: point}
		a, end, err := j.carries(i)
		if err != nil && any {
			if most, known := j.mostAmpacity(i); known && !atMost(amps, most.Amperes) {
				a, err = most, nil // too much even for the best lead of its size
			}
		}
		switch {
		case err != nil:
		case !any:
			err = unjudged("no operating point that lasts was solved")
		default:
			v.Number, v.Limit, v.Quoted = number(amps), number(a.Amperes), a.Quoted
			v.OK = atMost(amps, a.Amperes)
			v.Remedy = "take a thicker lead, or one with insulation for a higher temperature."
			if end != "" {
				v.Detail, v.Remedy = end+" carries less than its lead", "take an end that is made for this current, or state its own: `spade 6.3 mm 20 A`."
			}
		}
		j.give(v, err)
	}
}

// mostAmpacity is the most that a lead of this size may carry, whatever of it is not stated.
func (j *judge) mostAmpacity(lead int) (Ampacity, bool) {
	l := &j.c.Leads[lead]
	return MostAmpacity(l.Size, Laid{l.Insulation, l.Ambient, l.Bundle, j.system}, j.c.Table)
}

// ampacity of a lead by the circuit's table.
func (j *judge) ampacity(lead int) (Ampacity, error) {
	l := &j.c.Leads[lead]
	return AmpacityOf(l.Size, Laid{l.Insulation, l.Ambient, l.Bundle, j.system}, j.c.Table)
}
