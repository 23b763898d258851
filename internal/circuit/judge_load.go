package circuit

import (
	"math"
	"slices"

	"voltwright/internal/quantity"
)

const (
	// greatestOver is how many times the voltage that a lamp, a horn or a coil is made for it stands for good. Full
	// packs of a nominal voltage have 1.17 to 1.23 times it (4.2 over 3.6, 3.65 over 3.2, 2.45 over 2.0 V a cell).
	// Common practice, no source; IEC 61810-1 has 1.1 for coils whose maker states no more (from memory).
	greatestOver = 1.25
	// leastPull is the share of its voltage at which a coil surely pulls: the lower end of class 1 of IEC 61810-1
	// (from memory). For lamps and horns it is common practice, no source.
	leastPull = 0.8
)

// loads judges the voltage that lamps, horns and coils get against what they are made for, and what resistors turn
// into heat.
func (j *judge) loads() {
	var full, nominal []*Solution
	var err error
	for i := range j.c.Parts {
		p := &j.c.Parts[i]
		switch {
		case p.Kind == Lamp || p.Kind == Horn || p.Kind.coiled() && j.coilWired(p):
			if full == nil && err == nil {
				if full, err = j.unloaded(func(p *Part) quantity.Volts { return max(p.Full, sourceOf(p)) }); err == nil {
					nominal, err = j.unloaded(func(p *Part) quantity.Volts {
						if p.Nominal > 0 {
							return p.Nominal
						}
						return sourceOf(p)
					})
				}
			}
			j.loadVolts(i, full, nominal, err)
		case p.Kind.coiled() && p.Nominal > 0:
			j.give(Verdict{Rule: LoadVoltsHigh, Subject: aboutPart(i, "")}, unjudged("no lead goes to the coil of %s", p.Name))
		case p.Kind.resists() && !passing(p):
			j.resistorHeat(i)
		}
	}
}

// coilWired tells whether a lead goes to both ends of a coil.
func (j *judge) coilWired(p *Part) bool {
	ends := map[string]bool{}
	for i := range j.c.Leads {
		for _, t := range [2]Terminal{j.c.Leads[i].From, j.c.Leads[i].To} {
			if t.Part == p.Name {
				ends[t.Name] = true
			}
		}
	}
	return ends["coil+"] && ends["coil-"]
}

// unloaded solves the circuit with every contact closed, controllers off and motors taken out, so that what is left is
// what hangs on the packs themselves; a second time with the changeovers the other way.
func (j *judge) unloaded(volts func(*Part) quantity.Volts) ([]*Solution, error) {
	bare := *j.c
	bare.Parts = append([]Part(nil), j.c.Parts...)
	var all []*Solution
	ways := []Position{Usual}
	if slices.ContainsFunc(bare.Parts, func(p Part) bool { return p.twoWays() }) {
		ways = append(ways, OtherWay)
	}
	for _, way := range ways {
		op := OperatingPoint{Name: "packs at rest", Parts: map[string]State{}}
		for i := range bare.Parts {
			switch p := &bare.Parts[i]; {
			case p.Kind == Pack:
				op.Parts[p.Name] = State{Volts: volts(p)}
			case p.Kind == Controller:
				op.Parts[p.Name] = State{Off: true}
			case p.Kind == Motor:
				p.Resistance = 1e9
			case p.twoWays():
				op.Parts[p.Name] = State{Position: way}
			}
		}
		s, err := bare.Solve(op)
		if err != nil {
			return nil, unjudged("the voltages at rest cannot be found: %v", err)
		}
		all = append(all, s)
	}
	return all, nil
}

// noVolts is less than anything gives a load that it feeds: a motor taken out leaves some microvolts. Own choice.
const noVolts quantity.Volts = 0.01

// across is the greatest voltage between the two ends of a load; fed is false where neither solution feeds it.
func across(p *Part, solutions []*Solution) (most quantity.Volts, fed bool) {
	a, b := "1", "2"
	if p.Kind.coiled() {
		a, b = "coil+", "coil-"
	}
	for _, s := range solutions {
		high, okHigh := s.Volts(Terminal{p.Name, a})
		low, okLow := s.Volts(Terminal{p.Name, b})
		if okHigh && okLow {
			most = max(most, quantity.Volts(math.Abs(float64(high-low))))
		}
	}
	return most, most > noVolts
}

// loadVolts holds the voltage of full packs against the most that a load stands, and their nominal voltage against the
// least at which it does what it is for. A full voltage that is not stated is no less than the nominal one, so that
// one is enough to say that it is too much.
func (j *judge) loadVolts(part int, full, nominal []*Solution, err error) {
	p := &j.c.Parts[part]
	high := Verdict{Rule: LoadVoltsHigh, Subject: aboutPart(part, ""), Detail: "packs full", Quoted: Quoted{practice, FromMemory}}
	low := Verdict{Rule: LoadVoltsLow, Subject: aboutPart(part, ""), Detail: "packs at their nominal voltage", Quoted: Quoted{practice, FromMemory}}
	if p.Kind.coiled() {
		low.Quoted = Quoted{"IEC 61810-1, operative range of coils, class 1", FromMemory}
	}
	if j.full == 0 {
		high.Detail = "packs at rest, as their voltage at the end of charge is not stated"
	}
	most, fed := across(p, full)
	switch {
	case err != nil:
	case !(p.Nominal > 0):
		err = unjudged("the voltage that %s is made for is not stated", p.Name)
	case !fed:
		err = unjudged("nothing feeds %s with every contact closed and the controllers off", p.Name)
	}
	if err != nil {
		j.give(high, err)
		return
	}
	high.Number, high.Limit = number(most), number(p.Nominal*greatestOver)
	high.OK = atMost(most, p.Nominal*greatestOver)
	high.Remedy = "take one for the voltage of the packs, or feed it through a converter."
	if high.OK && j.full == 0 {
		err = unjudged("the voltage of a pack at the end of charge is not stated")
	}
	j.give(high, err)
	if usually, fed := across(p, nominal); fed {
		low.Number, low.Limit = number(usually), number(p.Nominal*leastPull)
		low.OK = atMost(p.Nominal*leastPull, usually)
		low.Remedy = "take one for the voltage of the packs."
		j.give(low, nil)
	}
}

// noHeat is what any resistor stands: the smallest in common use are made for a quarter of a watt.
// Common practice, no source.
const noHeat quantity.Watts = 0.25

// resistorHeat holds what a resistor turns into heat for good against what it is made for.
func (j *judge) resistorHeat(part int) {
	p := &j.c.Parts[part]
	v := Verdict{Rule: ResistorHeat, Subject: aboutPart(part, ""), Quoted: Quoted{"as stated for " + p.Name, Stated}}
	var most quantity.Watts
	any := false
	for _, s := range j.solutions {
		if !lasting(&s.Point) {
			continue
		}
		any = true
		for _, in := range s.Inside {
			if in.Part == part && (v.Point == "" || in.Heat > most) {
				most, v.Point = in.Heat, s.Point.Name
			}
		}
	}
	if !any {
		return // nothing of the sort was asked for
	}
	v.Number = number(most)
	switch {
	case p.Power > 0:
		v.Limit, v.OK = number(p.Power), atMost(most, p.Power)
		v.Remedy = "take a resistor for more power, or less voltage across it."
		j.give(v, nil)
	case most > noHeat:
		j.give(v, unjudged("the power that %s stands is not stated", p.Name))
	}
}
