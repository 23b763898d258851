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
	}
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
		v.Remedy = "remove the path around it."
		if len(l.FedBehind) > 0 {
			v.Detail = "joined to its far side without it: " + j.names(l.FedBehind)
		}
	}
	j.give(v, err)
}
