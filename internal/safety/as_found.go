package safety

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// A foundClass is what a thing is, as far as it matters how it was found.
type foundClass uint8

const (
	anything     foundClass = iota
	burningCells            // of lithium or sodium
	otherCells              // of lead or nickel
	mainsCharger            // with the mains in it
	joint                   // leads, connectors and what else only joins
	guard                   // what opens or parts when it has to
	runningGear             // wheels, axles, gears and brakes
)

// foundThing is one thing that a version states as found.
type foundThing struct {
	name  string // in a sentence
	class foundClass
	found journal.Found
}

// asFound lists the things that may be stated as found, in the order of the front matter.
func (s *subject) asFound() []foundThing {
	v := s.version
	var all []foundThing
	add := func(name string, class foundClass, found journal.Found) {
		all = append(all, foundThing{name, class, found})
	}
	for i := range v.Packs {
		p := &v.Packs[i]
		name := "the pack"
		if len(v.Packs) > 1 {
			name = s.named(p)
		}
		add(name, classOfCells(burns(p)), p.AsFound)
	}
	if c := v.Cutout; c != nil {
		add("the cutout", guard, c.AsFound)
	}
	if c := v.Controller; c != nil {
		add("the controller", anything, c.AsFound)
	}
	for i := range v.Motors {
		name := "the motor"
		if m := v.Motors[i].Name.Text; m != "" && m != "motor" {
			name += " `" + m + "`"
		}
		add(name, anything, v.Motors[i].AsFound)
	}
	if d := v.Drive; d != nil {
		add("what it runs and brakes on", runningGear, d.AsFound)
	}
	if g := v.Charger; g != nil {
		add("the charger", mainsCharger, g.AsFound)
	}
	if w := v.Wiring; w != nil {
		for i := range w.Parts {
			add("`"+w.Parts[i].Name.Text+"`", s.classOfPart(&w.Parts[i]), w.Parts[i].AsFound)
		}
		for i := range w.Leads {
			add(fmt.Sprintf("the lead from `%s` to `%s`", w.Leads[i].From.Text, w.Leads[i].To.Text), joint, w.Leads[i].AsFound)
		}
	}
	return all
}

func classOfCells(burning bool) foundClass {
	if burning {
		return burningCells
	}
	return otherCells
}

// classOfPart sorts a part of the wiring; a pack there burns where any of the version's does.
func (s *subject) classOfPart(p *journal.WiringPart) foundClass {
	switch circuit.Kind(p.Kind.Value) {
	case circuit.Pack:
		return classOfCells(anyBurns(s.version))
	case circuit.Fuse, circuit.Breaker, circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Cutout, circuit.EmergencyStop, circuit.ReversingSwitch, circuit.HalfSpeedSwitch:
		return guard
	case circuit.TerminalBlock, circuit.Connector, circuit.ChargerSocket, circuit.Shunt, circuit.BalanceLead:
		return joint
	}
	return anything
}

// foundSaying is what a word means of a thing: how grave, the sentence behind the thing's name, what to do first.
type foundSaying struct {
	signal       finding.Signal
	text, remedy string
}

// An asFoundRule speaks of everything that a version states by one word: of the gravest in its sentence, of the others
// beside it. says has a row for each class of things that the word means something of its own for, and one for anything.
type asFoundRule struct {
	word journal.FoundWord
	says map[foundClass]foundSaying
	skip func(*subject, foundThing) bool // nil: nothing is left to another rule
}

func (r asFoundRule) of(class foundClass) foundSaying {
	if own, has := r.says[class]; has {
		return own
	}
	return r.says[anything]
}

func (r asFoundRule) judge(s *subject) []verdict {
	var named []string
	var all []verdict
	for _, t := range s.asFound() {
		at, is := t.found.Is(r.word)
		if !is || r.skip != nil && r.skip(s, t) {
			continue
		}
		say := r.of(t.class)
		all = append(all, verdict{signal: say.signal, at: at, text: t.name + " " + say.text, remedy: say.remedy})
		named = append(named, strings.ReplaceAll(t.name, "`", "")+": "+string(r.word))
	}
	if len(all) == 0 {
		return nil
	}
	worst := 0
	for i := range all {
		if levelOf(all[i].signal) > levelOf(all[worst].signal) {
			worst = i
		}
	}
	v := all[worst]
	for _, other := range slices.Delete(slices.Clone(all), worst, worst+1) {
		v.related = append(v.related, finding.Related{Span: other.at, Text: "likewise, " + other.text})
	}
	if n := len(v.related); n > 0 {
		v.text += fmt.Sprintf("; and so it is at %s", places(n))
	}
	v.numbers = strings.Join(named, "; ")
	return said(v)
}
