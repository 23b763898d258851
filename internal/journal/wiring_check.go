package journal

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// checkWiring judges the wiring without computing currents: its values, what it
// says beside the rest of the spec, and whether its names fit together.
func (l *loader) checkWiring(v *Version) {
	w := v.Wiring
	if w == nil {
		return
	}
	for i := range w.Parts {
		l.checkWiringPart(v, &w.Parts[i])
	}
	for i := range w.Leads {
		lead := &w.Leads[i]
		l.checkConductor(lead.Size, lead.Bundle)
		positive(l, "length", lead.Length)
	}
	l.checkConductor(w.Usual.Size, w.Usual.Bundle)
	l.checkPoints(w)
	l.wasNamed(w)
	l.namedTwice(v)
	l.leftOut(v)
	c, _ := v.Circuit()
	for _, f := range c.Check() {
		if !v.saidAlready(f) {
			l.findings.Add(v.faultFinding(f))
		}
	}
}

// wasNamed finds names of parts and leads of another version where this one is like none: what was found is gone by then.
func (l *loader) wasNamed(w *Wiring) {
	said := func(was notes.Word) {
		if was.Set {
			l.add(finding.Error, RuleLike, was.Span, "`was` names something of the version that this one is like, and there is no `like`", "name that version under `like`, or leave the key out.")
		}
	}
	for i := range w.Parts {
		said(w.Parts[i].Was)
	}
	for i := range w.Leads {
		said(w.Leads[i].Was)
	}
}

// saidAlready tells whether a fault is of a value that could not be read, which
// is a finding already.
func (v *Version) saidAlready(f circuit.Fault) bool {
	w := v.Wiring
	if v.strayed && slices.Contains([]string{"part-not-wired", "terminal-floating"}, f.Rule) {
		return true
	}
	if s := f.Subject; s.Part >= 0 {
		p := &w.Parts[s.Part]
		return !p.Name.Set || !p.Kind.Set
	} else if s.Lead >= 0 {
		lead := &w.Leads[s.Lead]
		if end := [2]notes.Word{lead.From, lead.To}; s.End >= 0 && !end[s.End].Set {
			return true
		} else if at, _ := circuit.ParseTerminal(end[max(s.End, 0)].Text); f.Rule == "unknown-terminal" {
			for i := range w.Parts { // its kind could not be read, and with it its terminals
				if w.Parts[i].Name.Text == at.Part && !w.Parts[i].Kind.Set {
					return true
				}
			}
		}
	}
	return false
}

// faultFinding puts a fault of the circuit where it was written.
func (v *Version) faultFinding(f circuit.Fault) finding.Finding {
	out := finding.Finding{Rule: f.Rule, Level: finding.Error, Span: v.WiringSpan(f.Subject), Text: f.Text, Remedy: f.Remedy}
	if f.Nearest != "" {
		out.Text += "; did you mean `" + f.Nearest + "`?"
	}
	if s := f.Subject; s.Part >= 0 {
		name := v.Wiring.Parts[s.Part].Name.Text
		switch f.Rule {
		case "name-used-twice":
			for i := range v.Wiring.Parts[:s.Part] {
				if first := v.Wiring.Parts[i].Name; first.Text == name {
					out.Related = append(out.Related, finding.Related{Span: first.Span, Text: "the first one is here"})
					break
				}
			}
		case "terminal-crowded":
			ends := v.endsAt(circuit.Terminal{Part: name, Name: s.Terminal})
			for _, at := range ends[:max(len(ends)-1, 0)] {
				out.Related = append(out.Related, finding.Related{Span: at, Text: "this lead ends there too"})
			}
		}
	}
	return out
}

// mostWays bounds poles and ways, as no real part has more: a slip of the
// keyboard should not make a hundred thousand terminals.
const mostWays = 200

func (l *loader) checkWiringPart(v *Version, p *WiringPart) {
	positive(l, "current", p.Current)
	positive(l, "peak", p.Peak)
	positive(l, "volts", p.Volts)
	positive(l, "breaking", p.Breaking)
	positive(l, "resistive", p.Resistive)
	positive(l, "inductive", p.Inductive)
	positive(l, "nominal", p.Nominal)
	notNegative(l, "resistance", p.Resistance)
	positive(l, "power", p.Power)
	positive(l, "coil", p.Coil)
	notNegative(l, "drop", p.Drop)
	positive(l, "clamps", p.Clamps)
	for name, n := range map[string]notes.Integer{"poles": p.Poles, "ways": p.Ways, "takes": p.Takes, "cells": p.Cells} {
		l.between(name, n, 1, mostWays)
	}
	l.between("throws", p.Throws, 1, 2)
	if p.Clamp.Set && p.Clamp.From.Value < 0 {
		l.add(finding.Error, notes.RuleImpossibleValue, p.Clamp.Span, fmt.Sprintf("`clamp`: %s cannot be: it must be zero or more", p.Clamp.Written), "write the sizes of wire that the clamp takes, such as 0.5 mm² to 6 mm².")
	}
	if !p.Kind.Set {
		return
	}
	kind := circuit.Kind(p.Kind.Value)
	l.keysOfKind(p, kind)
	l.checkIdentity(v, p, kind)
	v.wired(p, func(c clash) {
		f := finding.Finding{Rule: RuleWiringDisagrees, Level: finding.Error, Span: c.own, Text: fmt.Sprintf("`%s`: the wiring says %s of “%s”, and elsewhere this version says %s", c.key, c.written, p.Name.Text, c.there),
			Remedy: "take it out here: the wiring takes the value from where it stands."}
		if c.other.Source != nil {
			f.Related = []finding.Related{{Span: c.other, Text: "the other value is written here"}}
		}
		l.findings.Add(f)
	})
}

func (l *loader) between(name string, n notes.Integer, low, high int) {
	if n.Set && (n.Value < low || n.Value > high) {
		l.add(finding.Error, notes.RuleImpossibleValue, n.Span, fmt.Sprintf("`%s`: %d cannot be: it must be %d to %d", name, n.Value, low, high), "write how many there are.")
	}
}

// checkIdentity finds packs and motors of the wiring that the rest of the spec
// does not know by that name.
func (l *loader) checkIdentity(v *Version, p *WiringPart, kind circuit.Kind) {
	var all []string
	var near, list string
	found := true
	switch kind {
	case circuit.Pack:
		list = "packs"
		for i := range v.Packs {
			all = append(all, v.Packs[i].Name.Text)
		}
		pack, n := v.wiredPack(p)
		near, found = n, pack != nil
	case circuit.Motor:
		list = "motors"
		for i := range v.Motors {
			all = append(all, v.Motors[i].Name.Text)
		}
		motor, n := v.wiredMotor(p)
		near, found = n, motor != nil
	case circuit.Converter:
		list = "converters"
		for i := range v.Converters {
			all = append(all, v.Converters[i].Name.Text)
		}
		converter, n := v.wiredConverter(p)
		near, found = n, converter != nil
	}
	if found || len(all) == 0 && !p.Of.Set || !p.Name.Set {
		return
	}
	name := p.Name
	if p.Of.Set {
		name = p.Of
	}
	all = slices.DeleteFunc(all, func(s string) bool { return s == "" })
	f := finding.Finding{Rule: RuleTwoNames, Level: finding.Error, Span: name.Span}
	switch {
	case len(all) == 0:
		f.Text, f.Remedy = fmt.Sprintf("`%s` gives no name to what the wiring calls “%s”", list, name.Text), "add `name: "+name.Text+"` to it."
	case len(all) == 1 && !p.Of.Set:
		f.Text, f.Remedy = fmt.Sprintf("the wiring calls “%s” what `%s` calls “%s”", name.Text, list, all[0]), "use one name in both places, or write `of: "+all[0]+"` with the part."
	default:
		f.Text, f.Remedy = fmt.Sprintf("`%s` has none that is called “%s”", list, name.Text), "write one of "+strings.Join(all, ", ")+"."
		if near != "" {
			f.Text += "; did you mean `" + near + "`?"
		}
	}
	l.findings.Add(f)
}

// namedTwice finds one pack or motor that two parts of the wiring are, and
// blocks of a pack that do not make up the whole.
func (l *loader) namedTwice(v *Version) {
	packs, motors := map[*Pack]*WiringPart{}, map[*Motor]*WiringPart{}
	cells := map[*Pack]int{}
	twice := func(p, first *WiringPart, remedy string) {
		l.findings.Add(finding.Finding{Rule: RuleTwoNames, Level: finding.Error, Span: firstOf(p.Of.Span, p.Name.Span), Remedy: remedy,
			Text:    fmt.Sprintf("“%s” and “%s” of the wiring are the same %s", first.Name.Text, p.Name.Text, p.Kind.Value),
			Related: []finding.Related{{Span: first.Name.Span, Text: "the first one is here"}}})
	}
	for i := range v.Wiring.Parts {
		p := &v.Wiring.Parts[i]
		switch circuit.Kind(p.Kind.Value) {
		case circuit.Pack:
			pack, _ := v.wiredPack(p)
			switch first := packs[pack]; {
			case pack == nil:
			case first != nil && !(first.Cells.Set && p.Cells.Set):
				twice(p, first, "give it the name of another pack, or say with `cells` how many cells in series each block has.")
			default:
				packs[pack] = p
				cells[pack] += p.Cells.Or(pack.Series.Or(0))
			}
		case circuit.Motor:
			motor, _ := v.wiredMotor(p)
			if first := motors[motor]; motor != nil && first != nil {
				twice(p, first, "list each motor in `motors`, and give each its own name.")
			} else if motor != nil {
				motors[motor] = p
			}
		}
	}
	for i := range v.Packs {
		pack := &v.Packs[i]
		if last := packs[pack]; last != nil && last.Cells.Set && pack.Series.Set && cells[pack] != pack.Series.Value {
			l.findings.Add(finding.Finding{Rule: RuleWiringDisagrees, Level: finding.Error, Span: last.Cells.Span,
				Text:    fmt.Sprintf("`cells`: the blocks of “%s” have %d cells in series together, and the pack has %d", pack.Name.Text, cells[pack], pack.Series.Value),
				Remedy:  "count the cells in series of each block: a 12 V lead-acid battery has 6.",
				Related: []finding.Related{{Span: pack.Series.Span, Text: "the cells in series are written here"}}})
		}
	}
}

// leftOut finds what the spec has and the wiring has not.
func (l *loader) leftOut(v *Version) {
	w := v.Wiring
	say := func(what string) {
		l.add(finding.Warning, RuleWiringLeftOut, w.Span, fmt.Sprintf("the wiring leaves out %s", what), "add it to the wiring's parts, with its leads.")
	}
	kinds := map[circuit.Kind]bool{}
	packs, motors := map[*Pack]bool{}, map[*Motor]bool{} // with nil: one whose name is a finding already
	for i := range w.Parts {
		p := &w.Parts[i]
		kind := circuit.Kind(p.Kind.Value)
		kinds[kind] = true
		switch kind {
		case circuit.Pack:
			pack, _ := v.wiredPack(p)
			packs[pack] = true
		case circuit.Motor:
			motor, _ := v.wiredMotor(p)
			motors[motor] = true
		}
	}
	for i := range v.Packs {
		if p := &v.Packs[i]; !packs[p] && !packs[nil] && p.Name.Set {
			say("the pack “" + p.Name.Text + "”")
		}
	}
	for i := range v.Motors {
		if m := &v.Motors[i]; !motors[m] && !motors[nil] && m.Name.Set {
			say("the motor “" + m.Name.Text + "”")
		}
	}
	if v.Cutout != nil && !kinds[circuit.Cutout] {
		say("the cutout")
	}
	if len(v.Converters) > 0 && !kinds[circuit.Converter] {
		say("what `converters` states")
	}
	if c := v.Controller; c != nil && !kinds[circuit.Controller] && c.Kind.Value == PWM {
		say("the speed controller")
	}
}

// checkConductor holds a lead's size and bundle to what there is.
func (l *loader) checkConductor(size notes.Value[quantity.SquareMillimetres], bundle notes.Integer) {
	positive(l, "size", size)
	l.between("bundle", bundle, 1, mostWays)
}

// checkPoints judges the operating points that the maker states.
func (l *loader) checkPoints(w *Wiring) {
	var contactNames []string
	for i := range w.Parts {
		if slices.Contains(contacts, circuit.Kind(w.Parts[i].Kind.Value)) {
			contactNames = append(contactNames, w.Parts[i].Name.Text)
		}
	}
	first := map[string]notes.Word{}
	for i := range w.Points {
		p := &w.Points[i]
		positive(l, "current", p.Current)
		bound(l, "duty", p.Duty, func(f quantity.Fraction) bool { return f >= -1 && f <= 1 }, "-100 % to 100 %", "write the share of the time that the controller is on; in reverse with a minus sign.")
		positive(l, "lasts", p.Lasts)
		if before, twice := first[p.Name.Text]; twice && p.Name.Set {
			l.findings.Add(finding.Finding{Rule: RuleTwoNames, Level: finding.Error, Span: p.Name.Span, Text: fmt.Sprintf("two points are called “%s”", p.Name.Text), Remedy: "give each point a name of its own.",
				Related: []finding.Related{{Span: before.Span, Text: "the first one is here"}}})
		} else {
			first[p.Name.Text] = p.Name
		}
		for _, name := range slices.Concat(p.Open, p.Closed, p.OtherWay) {
			if name.Set && !slices.Contains(contactNames, name.Text) {
				remedy := "the wiring has no switch, relay, contactor, cutout or emergency stop."
				if len(contactNames) > 0 {
					remedy = "write one of " + strings.Join(contactNames, ", ") + "."
				}
				l.add(finding.Error, "unknown-part", name.Span, fmt.Sprintf("no part with contacts is called “%s”%s", name.Text, notes.DidYouMean(name.Text, contactNames)), remedy)
			}
		}
	}
}

// orList is "a, b or c".
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
