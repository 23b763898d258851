package circuit

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// rated tells whether a part has ratings of current and voltage to hold.
func rated(k Kind) bool {
	switch k {
	case Fuse, Motor, Resistor, PrechargeResistor, BrakeResistor, Lamp, Horn, Throttle, BalanceLead, Charger:
		return false
	}
	return true
}

// ratings judges currents and voltages against what the parts' makers allow.
func (j *judge) ratings() {
	for i := range j.c.Parts {
		p := &j.c.Parts[i]
		if !rated(p.Kind) {
			continue
		}
		j.current(i, LastingCurrent, lasting, p.Current, "lasting current")
		if p.Kind != Breaker {
			peak := p.Peak
			if peak == 0 && p.Kind != Pack { // what a pack gives for good says nothing of a start
				peak = p.Current // what it stands for good it stands for a while
			}
			j.current(i, PeakCurrent, brief, peak, "peak current")
		}
		if p.Kind.contact() {
			j.contact(i)
		}
		switch p.Kind {
		case Pack, Converter: // a converter's window and highest voltage are its own
		case TerminalBlock, Shunt, Diode: // few of their makers state a voltage
			if p.Ratings.Volts > 0 {
				j.voltage(i)
			}
		default:
			j.voltage(i)
		}
	}
}

// current holds the greatest current through a part against a rating.
func (j *judge) current(part int, rule Rule, pick func(*OperatingPoint) bool, rating quantity.Amperes, what string) {
	p := &j.c.Parts[part]
	of := inside(part)
	if p.Kind == TerminalBlock {
		of = j.throughBlock(part)
	}
	amps, point, any := j.worstCurrent(pick, of)
	if !any {
		return // nothing of the sort was asked for
	}
	v := Verdict{Rule: rule, Subject: aboutPart(part, ""), Point: point, Number: number(amps)}
	if (p.Kind == Diode || p.Kind == Suppressor) && !(rating > 0) && amps < noCurrent {
		return // it stands against the current, as a diode across a motor does
	}
	if !(rating > 0) {
		j.give(v, unjudged("the %s that %s stands is not stated", what, p.Name))
		return
	}
	v.Limit, v.OK, v.Quoted = number(rating), atMost(amps, rating), Quoted{"as stated for " + p.Name, Stated}
	v.Remedy = "take a part for a greater current, or ask less of it."
	j.give(v, nil)
}

// noCurrent is what leaks through a diode that does not conduct.
const noCurrent quantity.Amperes = 1e-3

// throughBlock is the current that a terminal block hands on.
func (j *judge) throughBlock(part int) func(*Solution) quantity.Amperes {
	name := j.c.Parts[part].Name
	return func(s *Solution) quantity.Amperes {
		var in float64
		for i := range j.c.Leads {
			l := &j.c.Leads[i]
			amps := float64(s.Leads[i].Current)
			if l.To.Part == name {
				in += max(0, amps)
			}
			if l.From.Part == name {
				in += max(0, -amps)
			}
		}
		return quantity.Amperes(in)
	}
}

// contact holds the current that a contact switches against its rating for
// direct current: that for motors and coils where one is in its path. A rating
// for alternating current says nothing: with no zero to pass, a direct current's
// arc goes on.
func (j *judge) contact(part int) {
	p := &j.c.Parts[part]
	amps, point, any := j.worstCurrent(func(*OperatingPoint) bool { return true }, inside(part))
	if !any {
		return
	}
	v := Verdict{Rule: ContactDirect, Subject: aboutPart(part, ""), Point: point, Number: number(amps), Quoted: Quoted{"as stated for " + p.Name, Stated}}
	limit, what := p.Resistive, "direct current"
	if limit == 0 {
		limit = p.Current
	}
	if inductive := j.motorBehind(part); inductive {
		limit, what = p.Inductive, "direct current of a motor"
		v.Detail = "a motor hangs on it without a controller between"
	}
	// What a contact breaks of a direct current of motors is never more than what it breaks of others, nor that more than
	// what it breaks of an alternating one: above these it fails for certain.
	bound := p.Resistive
	if bound == 0 {
		bound = p.Current
	}
	switch {
	case (p.AC || !(limit > 0)) && bound > 0 && !atMost(amps, bound):
		v.Limit, v.Detail = number(bound), "more than it may carry or switch at all"
		v.Remedy = "take a contact for that direct current and voltage."
		j.give(v, nil)
	case p.AC:
		j.give(v, unjudged("%s is rated for alternating current, which says nothing about direct current", p.Name))
	case !(limit > 0):
		j.give(v, unjudged("the %s that %s switches is not stated", what, p.Name))
	default:
		v.Limit, v.OK = number(limit), atMost(amps, limit)
		v.Remedy = "take a contact for that direct current and voltage."
		j.give(v, nil)
	}
}

// motorBehind tells whether a motor hangs on a contact with nothing but leads
// and other contacts between.
func (j *judge) motorBehind(part int) bool {
	p := &j.c.Parts[part]
	n := j.c.nets(usual, func(q *Part) bool { return passing(q) && q != p })
	ways := p.polesAt(Usual)
	for i := range j.c.Parts {
		m := &j.c.Parts[i]
		if m.Kind != Motor {
			continue
		}
		for _, way := range ways {
			for _, end := range []string{way.from, way.to} {
				net := n.of(Terminal{p.Name, end})
				if p.Kind == Cutout && end[len(end)-1] == '-' || j.commonNet(n, net) {
					continue
				}
				if n.of(Terminal{m.Name, "+"}) == net || n.of(Terminal{m.Name, "-"}) == net {
					return true
				}
			}
		}
	}
	return false
}

// commonNet tells whether a net is the side that a controller shares with the
// packs: a motor's return hangs there, and is none of a contact's doing.
func (j *judge) commonNet(n *nets, net int) bool {
	for i := range j.c.Parts {
		if k := &j.c.Parts[i]; k.Kind == Controller {
			if side, _ := k.commonSide(); n.of(Terminal{k.Name, side}) == net {
				return true
			}
		}
	}
	return false
}

// voltage holds the voltage at the end of charge against a part's rating.
func (j *judge) voltage(part int) {
	p := &j.c.Parts[part]
	v := Verdict{Rule: PartVolts, Subject: aboutPart(part, ""), Detail: "packs full"}
	full := max(j.full, j.system) // not stated, it is no less than the nominal voltage
	if j.full == 0 {
		v.Detail = "packs at their nominal voltage"
	}
	switch certain := p.Ratings.Volts > 0 && !atMost(full, p.Ratings.Volts); {
	case j.full == 0 && !certain:
		j.give(v, unjudged("the voltage of a pack at the end of charge is not stated"))
	case !(p.Ratings.Volts > 0):
		j.give(v, unjudged("the direct voltage that %s stands is not stated", p.Name))
	case p.AC && !certain:
		j.give(v, unjudged("%s is rated for alternating voltage", p.Name))
	default:
		v.Number, v.Limit, v.OK = number(full), number(p.Ratings.Volts), atMost(full, p.Ratings.Volts)
		v.Quoted = Quoted{"as stated for " + p.Name, Stated}
		v.Remedy = fmt.Sprintf("take a part for at least %.3g V of direct voltage.", math.Ceil(float64(full)))
		j.give(v, nil)
	}
}
