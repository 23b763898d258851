package journal

import (
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Circuit is the version's wiring as package circuit computes with it; false
// where none is stated. Its parts and leads are those of the front matter, in
// their order, so that an index of the one is an index of the other.
func (v *Version) Circuit() (*circuit.Circuit, bool) {
	w := v.Wiring
	if w == nil {
		return nil, false
	}
	c := &circuit.Circuit{Table: circuit.AmpacityTable(w.Ampacity.Value)}
	for i := range w.Parts {
		c.Parts = append(c.Parts, v.wired(&w.Parts[i], nil))
	}
	for i := range w.Leads {
		c.Leads = append(c.Leads, w.Leads[i].lead(&w.Usual))
	}
	return c, true
}

// WiringSpan is where the front matter has a part, a lead, an end of a lead, or
// the last lead that ends at a terminal.
func (v *Version) WiringSpan(s circuit.Subject) finding.Span {
	w := v.Wiring
	switch {
	case w == nil:
		return finding.Span{}
	case s.Lead >= 0 && s.Lead < len(w.Leads):
		l := &w.Leads[s.Lead]
		switch {
		case s.End == 0 && l.From.Set:
			return l.From.Span
		case s.End == 1 && l.To.Set:
			return l.To.Span
		}
		return firstOf(l.From.Span, l.Span)
	case s.Part >= 0 && s.Part < len(w.Parts):
		p := &w.Parts[s.Part]
		if ends := v.endsAt(circuit.Terminal{Part: p.Name.Text, Name: s.Terminal}); s.Terminal != "" && len(ends) > 0 {
			return ends[len(ends)-1]
		}
		return firstOf(p.Name.Span, p.Span)
	}
	return w.Span
}

func firstOf(a, b finding.Span) finding.Span {
	if a.Source != nil {
		return a
	}
	return b
}

// endsAt lists where leads name a terminal.
func (v *Version) endsAt(t circuit.Terminal) []finding.Span {
	var all []finding.Span
	for i := range v.Wiring.Leads {
		l := &v.Wiring.Leads[i]
		for _, end := range [2]notes.Word{l.From, l.To} {
			if at, _ := circuit.ParseTerminal(end.Text); at == t && end.Set {
				all = append(all, end.Span)
			}
		}
	}
	return all
}

// wired is a part with what the rest of the spec says of it, by clash told of
// what both say and not alike; then the part's own word holds.
func (v *Version) wired(p *WiringPart, clash func(clash)) circuit.Part {
	out := circuit.Part{
		Name: p.Name.Text, Kind: circuit.Kind(p.Kind.Value),
		Ratings: circuit.Ratings{Current: p.Current.Stated().OrZero(), Peak: p.Peak.Stated().OrZero(), Volts: p.Volts.Stated().OrZero(), Breaking: p.Breaking.Stated().OrZero(),
			Resistive: p.Resistive.Stated().OrZero(), Inductive: p.Inductive.Stated().OrZero(), AC: p.AC.Value},
		Nominal: p.Nominal.Stated().OrZero(), Volts: p.Drop.Stated().OrZero(), Resistance: p.Resistance.Stated().OrZero(), Power: p.Power.Stated().OrZero(), Coil: p.Coil.Stated().OrZero(),
		FuseKind: string(p.FuseKind.Value), Poles: count(p.Poles), Throws: count(p.Throws), OffBetween: p.OffBetween.Value,
		Ways: count(p.Ways), CommonPositive: p.CommonPositive.Value, TouchProof: p.TouchProof.Value,
		Clamps: p.Clamps.Stated().OrZero(), BothWays: p.BothWays.Value,
		Style: styles[p.Style.Value], Takes: count(p.Takes),
	}
	if p.Clamp.Set {
		out.Clamp = circuit.Range{From: p.Clamp.From.Value, To: p.Clamp.To.Value}
	}
	f := filler{clash}
	switch out.Kind {
	case circuit.Pack:
		if pack, _ := v.wiredPack(p); pack != nil {
			block := pack.block(p.Cells)
			takeGiven(f, p, pack, &out)
			take(f, "resistance", p.Resistance, quantity.Scale(pack.Resistance.Stated(), block), pack.Resistance.Span, &out.Resistance)
			take(f, "nominal", p.Nominal, quantity.Scale(pack.Nominal(), block), pack.Span, &out.Nominal)
			out.Full = quantity.Scale(pack.FullVoltage(), block).OrZero()
			out.Fused = pack.Fuse.Rating.Stated().OrZero()
			if p.Taps.Value {
				out.Cells = min(p.Cells.Or(pack.Series.Or(0)), mostWays)
			}
		}
	case circuit.Motor:
		if motor, _ := v.wiredMotor(p); motor != nil {
			take(f, "resistance", p.Resistance, motor.Resistance.Stated(), motor.Resistance.Span, &out.Resistance)
		}
	case circuit.Cutout:
		if c := v.Cutout; c != nil {
			take(f, "current", p.Current, c.Current.Stated(), c.Current.Span, &out.Current)
		}
	case circuit.Controller:
		if c := v.Controller; c != nil {
			take(f, "current", p.Current, c.Current.Stated(), c.Current.Span, &out.Current)
			if c.Voltage.Set {
				take(f, "volts", p.Volts, c.Voltage.To, c.Voltage.Span, &out.Ratings.Volts)
			}
			out.Efficiency = c.Efficiency.Stated().OrZero()
		}
		if t := v.Throttle; t != nil && v.has(circuit.Throttle) {
			out.Reference, out.Pull = t.Reference.Stated().OrZero(), t.PullDown.Stated().OrZero()
		}
	case circuit.Converter:
		if c, _ := v.wiredConverter(p); c != nil {
			out.Nominal, out.Current, out.Idle = c.Gives.Stated().OrZero(), c.Current.Stated().OrZero(), c.Idle.Stated().OrZero()
			out.Efficiency, out.Isolated = c.Efficiency.Stated().OrZero(), c.Isolated.Value
			out.Ratings.Volts = c.Highest.Stated().OrZero()
			if c.Window.Set {
				out.Window = circuit.VoltRange{From: c.Window.From.Value, To: c.Window.To.Value}
			}
		}
	case circuit.BalanceLead:
		out.Cells = count(p.Cells)
	case circuit.PrechargeResistor:
		if c := v.Controller; c != nil && c.Precharge != nil {
			take(f, "resistance", p.Resistance, c.Precharge.Through.Stated(), c.Precharge.Through.Span, &out.Resistance)
			take(f, "power", p.Power, c.Precharge.Power.Stated(), c.Precharge.Power.Span, &out.Power)
		}
	}
	v.listed(p, f, &out)
	return out
}

// count is how many there are of something, never more than mostWays: what is
// beyond is a finding, and no terminal is made for it.
func count(n notes.Integer) int { return max(0, min(n.Or(0), mostWays)) }

// block is the share of a pack's cells in series that one block of it has.
func (p *Pack) block(cells notes.Integer) float64 {
	if whole := p.Series.Or(0); cells.Set && cells.Value > 0 && whole > 0 {
		return float64(cells.Value) / float64(whole)
	}
	return 1
}

// takeGiven fills in what a pack may give: for good the steady discharge of its
// data sheet, and for a while the current at which its protection opens, which is
// the bound for good as well where no discharge is stated. A steady discharge says
// nothing of a start; a current that the wiring itself states goes for both.
func takeGiven(f filler, p *WiringPart, pack *Pack, out *circuit.Part) {
	lasting, trip := pack.Discharge, pack.Protection.Current
	if !lasting.Known() {
		lasting = trip
	}
	take(f, "current", p.Current, lasting.Stated(), lasting.Span, &out.Current)
	take(f, "peak", p.Peak, trip.Stated(), trip.Span, &out.Peak)
	if !(out.Peak > 0) {
		out.Peak = p.Current.Stated().OrZero()
	}
}

// wiredPack is the pack of `packs` that a part of the wiring is: the one of its
// name, or the only one where that has no name. near is a name to think of
// where there is none.
func (v *Version) wiredPack(p *WiringPart) (pack *Pack, near string) {
	var all []string
	for i := range v.Packs {
		all = append(all, v.Packs[i].Name.Text)
	}
	i, near := sameThing(p, all)
	if i < 0 {
		return nil, near
	}
	return &v.Packs[i], ""
}

// WiredPack is the index of the pack of `packs` that a part of the wiring is, and the share of its cells in series that the
// part has; −1 where it is none.
func (v *Version) WiredPack(part int) (index int, share float64) {
	p := &v.Wiring.Parts[part]
	pack, _ := v.wiredPack(p)
	if pack == nil {
		return -1, 0
	}
	for index = range v.Packs {
		if &v.Packs[index] == pack {
			break
		}
	}
	return index, pack.block(p.Cells)
}

// ContactsAtRest puts every contact of the wiring where it stands when nobody touches it.
func (v *Version) ContactsAtRest() map[string]circuit.State {
	all := map[string]circuit.State{}
	for i := range v.Wiring.Parts {
		if w := &v.Wiring.Parts[i]; w.AtRest.Set {
			all[w.Name.Text] = circuit.State{Position: positions[w.AtRest.Value]}
		}
	}
	return all
}

// PointKind is the kind of an operating point that the maker states.
func (w *WiringPoint) PointKind() circuit.PointKind { return pointKinds[w.Kind.Value] }

// wiredMotor is the motor of `motors` that a part of the wiring is.
func (v *Version) wiredMotor(p *WiringPart) (motor *Motor, near string) {
	var all []string
	for i := range v.Motors {
		all = append(all, v.Motors[i].Name.Text)
	}
	i, near := sameThing(p, all)
	if i < 0 {
		return nil, near
	}
	return &v.Motors[i], ""
}

// wiredConverter is the converter of `converters` that a part of the wiring is.
func (v *Version) wiredConverter(p *WiringPart) (converter *Converter, near string) {
	var all []string
	for i := range v.Converters {
		all = append(all, v.Converters[i].Name.Text)
	}
	i, near := sameThing(p, all)
	if i < 0 {
		return nil, near
	}
	return &v.Converters[i], ""
}

// has tells whether the wiring has a part of a kind.
func (v *Version) has(kind circuit.Kind) bool {
	return slices.ContainsFunc(v.Wiring.Parts, func(p WiringPart) bool { return p.Kind.Set && circuit.Kind(p.Kind.Value) == kind })
}

// sameThing finds the one of a list that a part is, or -1.
func sameThing(p *WiringPart, all []string) (i int, near string) {
	name := p.Name.Text
	if p.Of.Set {
		name = p.Of.Text
	}
	if i = slices.Index(all, name); i >= 0 && name != "" {
		return i, ""
	}
	if len(all) == 1 && all[0] == "" && !p.Of.Set {
		return 0, ""
	}
	near, _ = finding.Nearest(name, all)
	return -1, near
}

// lead is a lead with what is usual for the version's leads.
func (l *WiringLead) lead(usual *UsualLead) circuit.Lead {
	from, _ := circuit.ParseTerminal(l.From.Text)
	to, _ := circuit.ParseTerminal(l.To.Text)
	ends := orEnds(l.Ends, usual.Ends)
	return circuit.Lead{
		From: from, To: to, Size: size(orValue(l.Size, usual.Size)), Class: classes[orChoice(l.Stranding, usual.Stranding).Value],
		Tinned: orFlag(l.Tinned, usual.Tinned).Value, Insulation: orValue(l.Insulation, usual.Insulation).Stated().OrZero(),
		Length: l.Length.Stated().OrZero(), Colour: string(l.Colour.Value), Stripe: string(l.Stripe.Value),
		EndA: ends.Ends[0].end(), EndB: ends.Ends[1].end(), Bundle: orInteger(l.Bundle, usual.Bundle).Or(0),
		Ambient: orValue(l.Ambient, usual.Ambient).Stated().OrZero(), Sheathed: orFlag(l.Sheathed, usual.Sheathed).Value, Label: l.Label.Text,
	}
}

func (e LeadEnd) end() circuit.End { return circuit.End{Kind: circuit.EndKind(e.Kind), For: e.For} }

// size is a cross-section by gauge or in mm², as it was written.
func size(v notes.Value[quantity.SquareMillimetres]) circuit.Size {
	if !v.Set {
		return circuit.Size{}
	}
	q, err := quantity.ParseAs(strings.TrimSpace(v.Written), quantity.Area)
	if err != nil {
		return circuit.Metric(v.Value)
	}
	return circuit.SizeOf(q)
}

func orValue[K quantity.Kind](own, usual notes.Value[K]) notes.Value[K] {
	if own.Set {
		return own
	}
	return usual
}

func orChoice[E notes.Enum](own, usual notes.Choice[E]) notes.Choice[E] {
	if own.Set {
		return own
	}
	return usual
}

func orFlag(own, usual notes.Flag) notes.Flag {
	if own.Set {
		return own
	}
	return usual
}

func orInteger(own, usual notes.Integer) notes.Integer {
	if own.Set {
		return own
	}
	return usual
}

func orEnds(own, usual LeadEnds) LeadEnds {
	if own.Set {
		return own
	}
	return usual
}
