package circuit

import (
	"errors"
	"fmt"

	"voltwright/internal/quantity"
)

// Way is what leads and contacts put in the way of the motors' current, as if it
// were in one resistor on each side of the controllers: there it loses what they
// lose. Parts that are no contacts (packs, motors, controllers) are not in it.
type Way struct {
	Supply quantity.Ohms // between packs and controllers, there and back, for the current of all controllers
	Motors quantity.Ohms // between controllers and motors, there and back, for the current of all motors; 0 without a controller
	Left   []int         // leads whose resistance is not known; they are left out
}

// Way computes it, with contacts as the given states have them and all motors
// drawing alike. Other loads are off. With P lost in leads and contacts, I in all
// motors and the controllers at the duty D, P = I²·(D²·Supply + Motors); two
// duties give both. Exact where every lead of the way carries the current of one
// side, and the packs share as they do in the circuit. The ambient temperatures
// of the leads are those that they state. The error says why the circuit has no
// such way, as one with a short in it, in words that follow "the wiring is stated,
// but". Source: Joule's law.
func (c *Circuit) Way(at map[string]State) (Way, error) {
	bare := *c
	bare.Parts = append([]Part(nil), c.Parts...)
	op := OperatingPoint{Name: "way", Parts: map[string]State{}}
	for name, s := range at {
		op.Parts[name] = State{Position: s.Position}
	}
	motors, controllers := 0, 0
	for i := range bare.Parts {
		p := &bare.Parts[i]
		switch p.Kind {
		case Converter:
			op.Parts[p.Name] = State{Off: true}
		case Lamp, Horn:
			p.Power, p.Resistance, p.Coil = 0, 0, 0
		case Relay, Contactor:
			p.Coil = 0
		case Controller:
			controllers++
			p.Efficiency, p.Resistance = 1, 0
		case Motor:
			motors++
			s := op.Parts[p.Name]
			s.Draws = 1
			op.Parts[p.Name] = s
		}
	}
	if motors == 0 {
		return Way{}, errors.New("there is no motor in it")
	}
	lost := func(duty quantity.Fraction) (float64, *Solution, error) {
		for i := range bare.Parts {
			if p := &bare.Parts[i]; p.Kind == Controller {
				s := op.Parts[p.Name]
				s.Duty = duty
				op.Parts[p.Name] = s
			}
		}
		sol, err := bare.Solve(op)
		var unsettled *UnsettledError
		switch {
		case errors.As(err, &unsettled):
			return 0, nil, errors.New("no steady currents are found in it: look for a short, or for packs joined the wrong way round")
		case err != nil:
			return 0, nil, err
		}
		for _, i := range sol.Unfed {
			if bare.Parts[i].Kind == Motor {
				return 0, nil, fmt.Errorf("with its contacts at rest nothing feeds the motor “%s”", bare.Parts[i].Name)
			}
		}
		for _, pack := range sol.Packs {
			if float64(pack.Current) > 1.05*float64(motors) {
				return 0, nil, fmt.Errorf("with its contacts at rest “%s” gives more than the motors draw: a short, a diode or another pack takes the rest", bare.Parts[pack.Part].Name)
			}
		}
		sum := 0.0
		for i := range sol.Leads {
			sum += float64(sol.Leads[i].Heat)
		}
		for _, in := range sol.Inside {
			if bare.Parts[in.Part].Kind.passes() {
				sum += float64(in.Heat)
			}
		}
		return sum / float64(motors*motors), sol, nil
	}
	full, sol, err := lost(1)
	if err != nil {
		return Way{}, err
	}
	out := Way{Supply: quantity.Ohms(full)}
	for i := range sol.Leads {
		if sol.Leads[i].Missing != "" {
			out.Left = append(out.Left, i)
		}
	}
	if controllers > 0 {
		half, _, err := lost(0.5)
		if err != nil {
			return Way{}, err
		}
		supply := (full - half) * 4 / 3
		out.Supply, out.Motors = quantity.Ohms(supply), quantity.Ohms(max(0, full-supply))
	}
	return out, nil
}
