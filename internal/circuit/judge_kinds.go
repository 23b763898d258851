package circuit

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"voltwright/internal/quantity"
)

// kinds judges what only one kind of part is asked: converters, throttles, suppressors and balance leads.
func (j *judge) kinds() {
	for i := range j.c.Parts {
		switch p := &j.c.Parts[i]; p.Kind {
		case Converter:
			j.converterInput(i)
		case Throttle:
			j.throttleReturn(i)
		case Suppressor:
			j.clamps(i)
		case BalanceLead:
			j.balanceFuses(i)
		}
	}
}

// converterInput holds the lowest voltage at the input of a converter, over all points with the packs joined, against the
// bottom of its window. One that has given up there has less than that.
func (j *judge) converterInput(part int) {
	p := &j.c.Parts[part]
	v := Verdict{Rule: ConverterInput, Subject: aboutPart(part, ""), Quoted: Quoted{"as stated for " + p.Name, Stated}}
	least := math.Inf(1)
	for _, s := range j.solutions {
		if parted(&s.Point) {
			continue
		}
		high, okHigh := s.Volts(Terminal{p.Name, "in+"})
		low, okLow := s.Volts(Terminal{p.Name, "in-"})
		if volts := float64(high - low); okHigh && okLow && volts < least {
			least, v.Point = volts, s.Point.Name
		}
	}
	switch {
	case math.IsInf(least, 1):
		return // no point at which it is fed
	case !(p.Window.From > 0):
		j.give(v, unjudged("the input voltage at which %s works is not stated", p.Name))
		return
	}
	v.Number, v.Limit = number(quantity.Volts(least)), number(p.Window.From)
	v.OK = atMost(p.Window.From, quantity.Volts(least))
	v.Remedy = "take one that works down to that voltage, or feed it from nearer to the packs."
	j.give(v, nil)
}

// readsRest is the share of its reference up to which the input of a throttle surely reads as at rest. Own choice, no source.
const readsRest = 0.1

// throttleReturn tells what the controller reads of a throttle at rest whose return wire is off: the whole track then lies
// between its reference and its input, and only what the controller has from there to the return holds it down,
// U = Uref·Rp/(Rp + Rt). Source: Ohm's law.
func (j *judge) throttleReturn(part int) {
	p := &j.c.Parts[part]
	k := j.feeder(part)
	if k < 0 {
		return
	}
	of := &j.c.Parts[k]
	v := Verdict{Rule: ThrottleReturn, Subject: aboutPart(part, "-"), Parts: []int{k}, Quoted: Quoted{"Ohm's law; a tenth of the reference is ours", OwnChoice}}
	share := 1.0
	if of.Pull > 0 {
		if !(p.Resistance > 0) {
			j.give(v, unjudged("the resistance of the track of %s is not stated", p.Name))
			return
		}
		share = float64(of.Pull) / float64(of.Pull+p.Resistance)
	}
	v.Number, v.Limit = number(of.Reference*quantity.Volts(share)), number(of.Reference*readsRest)
	v.OK = share <= readsRest
	v.Detail = fmt.Sprintf("%.0f %% of the voltage that %s feeds it with", 100*share, of.Name)
	v.Remedy = "take a controller that shuts off at a broken throttle wire, and try each wire with the wheels off the ground."
	j.give(v, nil)
}

// feeder is the controller whose throttle input a throttle's wiper goes to; −1: none.
func (j *judge) feeder(throttle int) int {
	wiper := j.nets.of(Terminal{j.c.Parts[throttle].Name, "wiper"})
	return slices.IndexFunc(j.c.Parts, func(k Part) bool {
		return k.Kind == Controller && k.Reference > 0 && j.nets.of(Terminal{k.Name, "throttle"}) == wiper
	})
}

// clamps holds the voltage that a suppressor lets through against the least that a part across it stands.
func (j *judge) clamps(part int) {
	p := &j.c.Parts[part]
	a, k := j.nets.of(Terminal{p.Name, "anode"}), j.nets.of(Terminal{p.Name, "cathode"})
	v := Verdict{Rule: SuppressorClamps, Subject: aboutPart(part, "")}
	var least quantity.Volts
	for i := range j.c.Parts {
		q := &j.c.Parts[i]
		if i == part || !(q.Ratings.Volts > 0) || q.Kind == Suppressor || q.AC {
			continue
		}
		var nets []int
		for _, spec := range q.Terminals() {
			nets = append(nets, j.nets.of(Terminal{q.Name, spec.Name}))
		}
		across := slices.Contains(nets, a) && slices.Contains(nets, k)
		for _, way := range q.polesAt(Opened) { // a contact that it lies across is one net when closed
			across = across || !way.closed && j.lies(p, q, way)
		}
		if across && (least == 0 || q.Ratings.Volts < least) {
			least, v.Parts = q.Ratings.Volts, []int{i}
		}
	}
	if least == 0 {
		return // what it protects states no voltage
	}
	if !(p.Clamps > 0) {
		j.give(v, unjudged("the voltage to which %s clamps is not stated", p.Name))
		return
	}
	v.Number, v.Limit, v.OK = number(p.Clamps), number(least), atMost(p.Clamps, least)
	v.Quoted = Quoted{"as stated for " + j.names(v.Parts), Stated}
	v.Remedy = "take a suppressor that clamps lower, and still stands full packs for good."
	j.give(v, nil)
}

// lies tells whether a part of two terminals lies across one way of a contact.
func (j *judge) lies(p, contact *Part, way pole) bool {
	n := j.c.nets(func(q *Part) Position {
		if q.Name == contact.Name {
			return Opened
		}
		return Usual
	}, passing)
	a, k := n.of(Terminal{p.Name, "anode"}), n.of(Terminal{p.Name, "cathode"})
	in, out := n.of(Terminal{contact.Name, way.from}), n.of(Terminal{contact.Name, way.to})
	return a != k && (a == in && k == out || a == out && k == in)
}

// balanceFuses counts the contacts of a balance lead that are joined to a cell with no fuse between. The most negative one
// needs none.
func (j *judge) balanceFuses(part int) {
	p := &j.c.Parts[part]
	v := Verdict{Rule: BalanceFuses, Subject: aboutPart(part, ""), OK: true, Quoted: Quoted{"search through leads and closed contacts", Computed}}
	n := j.c.nets(usual, func(q *Part) bool { return passing(q) && !protects(q.Kind) })
	cells := map[int]bool{}
	for i := range j.c.Parts {
		if q := &j.c.Parts[i]; q.Kind == Pack {
			for _, spec := range q.Terminals() {
				if spec.Name != "-" && !(q.Fused > 0 && spec.Name == "+") {
					cells[n.of(Terminal{q.Name, spec.Name})] = true
				}
			}
		}
	}
	bare := 0
	for k := 1; k <= max(1, p.Cells); k++ {
		if cells[n.of(Terminal{p.Name, strconv.Itoa(k)})] {
			bare++
		}
	}
	if bare > 0 {
		v.OK, v.Detail = false, countText(bare, "wire")+" of it without a fuse"
		v.Remedy = "put a small fuse into each wire where it leaves its cell."
	}
	j.give(v, nil)
}

// balances tells whether a lead is a wire of a balance lead: one that ends at its plug, or at a fuse that has one there. Such a
// wire carries a signal, and its colour tells the cell.
func (c *Circuit) balances(lead int) bool {
	plug := func(name string) bool { i := c.find(name); return i >= 0 && c.Parts[i].Kind == BalanceLead }
	l := &c.Leads[lead]
	for _, end := range [2]string{l.From.Part, l.To.Part} {
		if plug(end) {
			return true
		}
		i := c.find(end)
		if i < 0 || !protects(c.Parts[i].Kind) {
			continue
		}
		for k := range c.Leads {
			o := &c.Leads[k]
			if o.From.Part == end && plug(o.To.Part) || o.To.Part == end && plug(o.From.Part) {
				return true
			}
		}
	}
	return false
}

// misplaced finds parts of one use that are joined so that they cannot serve it.
func (c *Circuit) misplaced() []Fault {
	var faults []Fault
	n := c.nets(usual, passing)
	volts := c.potentials(n, sourceOf)
	for i := range c.Parts {
		p := &c.Parts[i]
		switch p.Kind {
		case PrechargeResistor:
			if n.of(Terminal{p.Name, "1"}) != n.of(Terminal{p.Name, "2"}) {
				faults = append(faults, Fault{Rule: "precharge-misplaced", Subject: aboutPart(i, ""), Text: "“" + p.Name + "” lies across no contact: with every contact closed its two ends are still apart",
					Remedy: "join one end to each side of the contact that closes on the capacitors."})
			}
		case BalanceLead:
			if f, bad := c.outOfOrder(i, n, volts); bad {
				faults = append(faults, f)
			}
		}
	}
	return faults
}

// outOfOrder finds the first contact of a balance lead that is not one cell above the one before it.
func (c *Circuit) outOfOrder(part int, n *nets, at potentials) (Fault, bool) {
	p := &c.Parts[part]
	top := max(1, p.Cells)
	net := func(k int) int { return n.of(Terminal{p.Name, strconv.Itoa(k)}) }
	low, okLow := at.volts[net(0)]
	high, okHigh := at.volts[net(top)]
	f := Fault{Rule: "balance-lead-swapped", Remedy: "measure each contact against contact 0 before anything is plugged in, and change the wires over."}
	if !okLow || !okHigh {
		return f, false // its ends hang in the air, which is told already
	}
	step := (high - low) / float64(top)
	if step <= 0 {
		f.Subject, f.Text = aboutPart(part, "0"), p.Name+":0 is not at the negative end of the cells, or "+p.Name+":"+strconv.Itoa(top)+" not at the positive"
		return f, true
	}
	for k := 1; k < top; k++ {
		volts, known := at.volts[net(k)]
		if want := low + step*float64(k); known && math.Abs(volts-want) > step/4 {
			f.Subject = aboutPart(part, strconv.Itoa(k))
			f.Text = fmt.Sprintf("%s:%d is at %.3g V; %s above the negative end it should be at %.3g V", p.Name, k, volts-low, countText(k, "cell"), want-low)
			return f, true
		}
	}
	return f, false
}

// Brakes gives for each contact the position in which it puts a brake resistor across a motor; empty where none does.
func (c *Circuit) Brakes() map[string]Position {
	all := map[string]Position{}
	for i := range c.Parts {
		k := &c.Parts[i]
		for _, at := range k.positions() {
			if k.Kind.contact() && c.brakesAt(k, at) {
				all[k.Name] = at
				break
			}
		}
	}
	return all
}

func (c *Circuit) brakesAt(contact *Part, at Position) bool {
	stands := func(at Position) *nets {
		return c.nets(func(q *Part) Position {
			if q.Name == contact.Name {
				return at
			}
			return Usual
		}, passing)
	}
	across := func(n *nets) bool {
		for i := range c.Parts {
			r := &c.Parts[i]
			if r.Kind != BrakeResistor {
				continue
			}
			one, two := n.of(Terminal{r.Name, "1"}), n.of(Terminal{r.Name, "2"})
			for k := range c.Parts {
				if m := &c.Parts[k]; m.Kind == Motor {
					plus, minus := n.of(Terminal{m.Name, "+"}), n.of(Terminal{m.Name, "-"})
					if plus != minus && (plus == one && minus == two || plus == two && minus == one) {
						return true
					}
				}
			}
		}
		return false
	}
	if !across(stands(at)) {
		return false
	}
	for _, other := range contact.positions() { // not in every position: then it is not this contact that does it
		if other != at && !across(stands(other)) {
			return true
		}
	}
	return false
}
