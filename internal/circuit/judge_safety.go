package circuit

import "slices"

// safety judges shorts, bypasses and what stays live.
func (j *judge) safety() {
	shorts, err := j.c.Shorts()
	for i := range j.c.Parts {
		if j.c.Parts[i].Kind != Pack {
			continue
		}
		v := Verdict{Rule: ShortCircuit, Subject: aboutPart(i, ""), OK: true, Quoted: Quoted{"search through leads, contacts and forward diodes, every combination of contacts", Computed}}
		at := slices.IndexFunc(shorts, func(s Short) bool { return s.Pack == i })
		if at >= 0 {
			s := shorts[at]
			v.OK, v.Path, v.With = false, s.Path, s.With
			v.Remedy = "open the path; contacts that must not close together need a changeover or an interlock."
			switch {
			case s.Opposed:
				v.Detail = "packs are joined against each other"
			case s.Diode:
				v.Detail = "through a diode that conducts"
			}
			j.give(v, nil)
			continue
		}
		j.give(v, err)
	}
	for i := range j.c.Parts {
		if k := j.c.Parts[i].Kind; k == Cutout || k == EmergencyStop {
			j.whenOpen(i)
		}
		if j.c.Parts[i].Kind == ChargerSocket {
			j.socket(i)
		}
	}
}

// socket judges whether the pins of a charger socket carry the packs' voltage
// with nothing plugged in: whatever bridges them, a key or a coin, is then a
// short behind the fuse at most. A diode that lets the charge in and nothing out
// keeps them dead. A socket that is live only with a contact that usually stands
// otherwise holds, and the verdict names the contact.
func (j *judge) socket(part int) {
	p := &j.c.Parts[part]
	v := Verdict{Rule: SocketLive, Subject: aboutPart(part, ""), OK: true, Quoted: Quoted{"search of the circuit with nothing plugged in, every combination of the contacts", Computed}}
	live := func(at func(*Part) Position) bool {
		n := j.c.nets(at, passing)
		plus, minus := false, false
		for i := range j.c.Parts {
			if q := &j.c.Parts[i]; q.Kind == Pack {
				plus = plus || n.of(Terminal{q.Name, "+"}) == n.of(Terminal{p.Name, "+"})
				minus = minus || n.of(Terminal{q.Name, "-"}) == n.of(Terminal{p.Name, "-"})
			}
		}
		return plus && minus
	}
	var err error
	switch {
	case live(usual) && p.TouchProof:
		v.Detail, v.Quoted = "live with nothing plugged in, and stated to be touch-proof", Quoted{"as stated for " + p.Name, Stated}
	case live(usual):
		v.OK, v.Detail = false, "both pins are joined to the packs with nothing plugged in"
		v.Remedy = "take a socket whose contacts cannot be touched or bridged, or put a diode for the charging current into its positive lead."
	default:
		if !j.c.states(usual, func(*Part) bool { return true }, func(at func(*Part) Position) bool {
			if live(at) {
				v.With = j.c.standing(at)
				v.Detail = "live with nothing plugged in when a contact stands otherwise than usual"
			}
			return v.With == nil
		}) {
			err = unjudged("more than %d combinations of contacts", mostStates)
		}
	}
	j.give(v, err)
}

// whenOpen judges one cutout or emergency stop. Behind an open cutout nothing may
// draw on the packs; an open stop has to leave motors and their controllers
// without supply.
func (j *judge) whenOpen(part int) {
	l, err := j.c.Live(part)
	kind := j.c.Parts[part].Kind
	v := Verdict{Rule: LiveWhenOpen, Subject: aboutPart(part, ""), OK: true, Quoted: Quoted{"search of the circuit with it open, every combination of the other contacts", Computed}}
	for _, i := range l.Fed {
		k := j.c.Parts[i].Kind
		if kind == EmergencyStop && k != Motor && k != Controller {
			continue
		}
		v.OK = false
		v.Parts = append(v.Parts, i)
	}
	switch {
	case !v.OK && kind == Cutout:
		v.Detail = "still drawing on the packs with it open: " + j.names(v.Parts)
		v.Remedy = "take their supply from the far side of the cutout, or say why they stay on."
	case !v.OK:
		v.Detail = "still supplied with it open: " + j.names(v.Parts)
		v.Remedy = "put the stop where all current of the motors passes."
	case len(l.Fed) > 0:
		v.Detail = "still supplied with it open: " + j.names(l.Fed)
	}
	if !v.OK {
		err = nil // what was found is certain, however many combinations were left
	}
	j.give(v, err)
	v = Verdict{Rule: BypassWhenOpen, Subject: aboutPart(part, ""), OK: true, Path: l.Bypass, Parts: l.FedBehind,
		Quoted: Quoted{"search of the circuit with it open, every combination of the other contacts", Computed}}
	if l.Bypass != nil || len(l.FedBehind) > 0 {
		v.OK, err = false, nil
		switch around := j.partsOn(l.Bypass, part); {
		case l.Bypass == nil:
			v.Detail = "on its out side: " + j.names(l.FedBehind)
			v.Remedy = "join all packs to one side of it and all loads to the other."
		case len(around) > 0:
			v.Parts, v.Detail = around, "a way around it through "+j.names(around)
			v.Remedy = "take out the way around it."
		default:
			v.Parts, v.Detail = nil, "a way around it by leads alone"
			v.Remedy = "take out the way around it."
		}
	}
	j.give(v, err)
}

// partsOn are the parts that a path goes through, but one and terminal blocks.
func (j *judge) partsOn(path []Step, but int) []int {
	var all []int
	for _, s := range path {
		if s.Part >= 0 && s.Part != but && j.c.Parts[s.Part].Kind != TerminalBlock && !slices.Contains(all, s.Part) {
			all = append(all, s.Part)
		}
	}
	return all
}
