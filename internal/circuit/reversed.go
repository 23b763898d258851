package circuit

import (
	"slices"
	"strings"
)

// reversed finds parts that work one way round only and are joined the other way: packs in series, the terminals
// marked + and −, diodes. Each is told once, and what only follows from it is for when it is mended.
func (c *Circuit) reversed() []Fault {
	n := c.nets(usual, passing)
	at := c.potentials(n, sourceOf)
	if faults := c.opposedPacks(n, at); len(faults) > 0 {
		return faults
	}
	faults := c.reversedTerminals(n, at)
	if len(faults) > 0 {
		return faults // a diode at a part that is reversed itself
	}
	return c.reversedDiodes()
}

const rulePolarity = "polarity-reversed"

// opposedPacks finds packs that are joined against each other, side by side or in a string.
func (c *Circuit) opposedPacks(n *nets, at potentials) []Fault {
	var faults []Fault
	for _, i := range at.opposed {
		text := "both ends of “" + c.Parts[i].Name + "” are joined with nothing between"
		if n.of(Terminal{c.Parts[i].Name, "+"}) != n.of(Terminal{c.Parts[i].Name, "-"}) {
			text = "“" + c.Parts[i].Name + "” is joined against another pack, or to one of quite another voltage"
		}
		faults = append(faults, Fault{Rule: "packs-opposed", Subject: aboutPart(i, ""), Text: text, Remedy: "look at the + and - of its leads before anything is connected: the current would be limited by the packs alone."})
	}
	if len(faults) > 0 {
		return faults
	}
	for _, sign := range [2]string{"-", "+"} {
		if a, b, is := c.headOn(n, sign); is {
			one, other := Terminal{c.Parts[a].Name, sign}.String(), Terminal{c.Parts[b].Name, sign}.String()
			faults = append(faults, Fault{Rule: "packs-opposed", Subject: aboutPart(b, sign), Text: one + " and " + other + " are joined to each other and to nothing else, so the voltage of one is taken from the other's",
				Remedy: "in a string + goes to -: turn one of the two round."})
		}
	}
	return faults
}

// headOn finds two packs of a string that meet with terminals of one sign: a net that has nothing else on it, and whose
// packs are not side by side.
func (c *Circuit) headOn(n *nets, sign string) (a, b int, is bool) {
	other := map[string]string{"-": "+", "+": "-"}[sign]
	for i := range c.Parts {
		if c.Parts[i].Kind != Pack {
			continue
		}
		net := n.of(Terminal{c.Parts[i].Name, sign})
		var meet []int
		alone := true
		for k := range c.Parts {
			p := &c.Parts[k]
			for _, spec := range p.Terminals() {
				if passing(p) || n.of(Terminal{p.Name, spec.Name}) != net {
					continue
				}
				if p.Kind == Pack && spec.Name == sign {
					meet = append(meet, k)
				} else {
					alone = false
				}
			}
		}
		if alone && len(meet) == 2 && n.of(Terminal{c.Parts[meet[0]].Name, other}) != n.of(Terminal{c.Parts[meet[1]].Name, other}) {
			return meet[0], meet[1], true
		}
	}
	return 0, 0, false
}

// reversedTerminals finds parts whose terminals marked + and − are joined to the other side. Where one of the two hangs
// in the air, a socket's or an electronic part's other one tells.
func (c *Circuit) reversedTerminals(n *nets, at potentials) []Fault {
	var faults []Fault
	for i := range c.Parts {
		p := &c.Parts[i]
		var plus, minus string
		for _, spec := range p.Terminals() {
			switch {
			case p.Kind == Pack || strings.HasPrefix(spec.Name, "out"):
			case spec.Polarity == Positive:
				plus = spec.Name
			case spec.Polarity == Negative:
				minus = spec.Name
			}
		}
		if plus == "" {
			continue
		}
		netPlus, netMinus := n.of(Terminal{p.Name, plus}), n.of(Terminal{p.Name, minus})
		high, okHigh := at.volts[netPlus]
		low, okLow := at.volts[netMinus]
		wrong := okHigh && okLow && high < low
		if !p.Kind.coiled() { // a coil is switched on either side
			wrong = wrong || okLow && !okHigh && low > unlike*at.high[netMinus] || okHigh && !okLow && c.packMinusNet(n, netPlus)
		}
		if wrong {
			faults = append(faults, Fault{Rule: rulePolarity, Subject: aboutPart(i, plus),
				Text: p.Name + ":" + plus + " is wired to the negative side and " + p.Name + ":" + minus + " to the positive", Remedy: "change them over."})
		}
	}
	return faults
}

// packMinusNet tells whether a net is the negative end of everything: it has a pack's − on it, and no pack's +.
func (c *Circuit) packMinusNet(n *nets, net int) bool {
	return c.packOn(n, net, "-") && !c.packOn(n, net, "+")
}

func (c *Circuit) packOn(n *nets, net int, sign string) bool {
	return slices.ContainsFunc(c.Parts, func(p Part) bool { return p.Kind == Pack && n.of(Terminal{p.Name, sign}) == net })
}

// reversedDiodes finds diodes that conduct as soon as the contacts before them close, with nothing between the packs
// but them, and diodes in a feed that let nothing through.
func (c *Circuit) reversedDiodes() []Fault {
	var faults []Fault
	told := map[int]bool{}
	say := func(i int, text, remedy string) {
		if !told[i] {
			told[i] = true
			faults = append(faults, Fault{Rule: rulePolarity, Subject: aboutPart(i, ""), Text: text, Remedy: remedy})
		}
	}
	if !slices.ContainsFunc(c.Parts, func(p Part) bool { return p.oneWay() }) {
		return nil
	}
	look := func(at func(*Part) Position) bool {
		n := c.nets(at, passing)
		volts := c.potentials(n, sourceOf)
		for i := range c.Parts {
			d := &c.Parts[i]
			if !d.oneWay() {
				continue
			}
			a, k := n.of(Terminal{d.Name, "anode"}), n.of(Terminal{d.Name, "cathode"})
			high, okHigh := volts.volts[a]
			low, okLow := volts.volts[k]
			switch fed := c.feeds(n, i, a, k); {
			case okHigh && okLow && c.packOn(n, k, "-") && high-low > unlike*volts.high[a], c.acrossOutput(n, a, k):
				say(i, "“"+d.Name+"” is the wrong way round: its anode is on the positive side, so it conducts as soon as that side is switched on, and nothing limits the current",
					"turn it round: the cathode, the end with the band, goes to the positive side.")
			case fed != "":
				say(i, "“"+d.Name+"” is the wrong way round: it lets nothing through to "+fed, "turn it round: the cathode, the end with the band, goes to what it feeds.")
			}
		}
		return true
	}
	if !c.states(usual, func(*Part) bool { return true }, look) {
		look(usual)
	}
	slices.SortFunc(faults, func(a, b Fault) int { return a.Subject.Part - b.Subject.Part })
	return faults
}

// acrossOutput tells whether a diode lies across the output of a controller with its anode on the positive of the two.
func (c *Circuit) acrossOutput(n *nets, anode, cathode int) bool {
	return slices.ContainsFunc(c.Parts, func(p Part) bool {
		return p.Kind == Controller && n.of(Terminal{p.Name, "out+"}) == anode && n.of(Terminal{p.Name, "out-"}) == cathode && anode != cathode
	})
}

// feeds names what a diode keeps from its feed: a charger socket whose + is at its cathode, with a pack's + at its
// anode, so that no charge goes in; or a controller or cutout whose + is at its anode, with a pack's + at its cathode,
// and no other way to it. "" if it keeps nothing.
func (c *Circuit) feeds(n *nets, diode, anode, cathode int) string {
	for i := range c.Parts {
		p := &c.Parts[i]
		switch {
		case p.Kind.charges() && n.of(Terminal{p.Name, "+"}) == cathode && c.packOn(n, anode, "+") && !c.packOn(n, cathode, "+"):
			return "the packs from " + p.Name
		case (p.Kind == Controller || p.Kind == Cutout) && n.of(Terminal{p.Name, "in+"}) == anode && c.packOn(n, cathode, "+") && !c.packOn(n, anode, "+") && !c.otherDiodeTo(n, diode, anode):
			return p.Name
		}
	}
	return ""
}

// otherDiodeTo tells whether another diode feeds a net.
func (c *Circuit) otherDiodeTo(n *nets, but, net int) bool {
	for i := range c.Parts {
		if d := &c.Parts[i]; i != but && d.Kind == Diode && n.of(Terminal{d.Name, "cathode"}) == net {
			return true
		}
	}
	return false
}
