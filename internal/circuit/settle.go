package circuit

import (
	"math"

	"voltwright/internal/quantity"
)

// settle solves by turns until diodes, chargers, controllers and motors agree.
func (n *network) settle() ([]float64, error) {
	const turns = 200
	for turn := range turns {
		x, err := n.linear()
		if err != nil {
			return nil, err
		}
		if !n.adjust(x, turn > turns/4) {
			return x, n.reversed(x)
		}
	}
	return nil, &UnsettledError{n.op.Name}
}

// reversed refuses a solution in which a controller is fed the wrong way round,
// of which its average says nothing.
func (n *network) reversed(x []float64) error {
	for _, k := range n.controllers {
		in := n.branches[k.in]
		if volts := x[in.from] - x[in.to]; in.law == input && volts < -1e-6 {
			return &ReversedError{k.part, quantity.Volts(volts)}
		}
	}
	return nil
}

// adjust changes what does not agree with a solution and tells whether
// anything did; one change only if one is asked for, which ends cycles.
func (n *network) adjust(x []float64, one bool) bool {
	nn, nb := len(n.nodes.named), len(n.branches)
	across := func(b *branch) float64 { return x[b.from] - x[b.to] }
	changed := false
	forward, excess := -1, 1e-9
	for _, d := range n.diodes {
		b := &n.branches[d]
		switch {
		case b.law == open && across(b)-b.drop > excess:
			forward, excess = d, across(b)-b.drop
		case b.law == resistive && x[nn+d] < -1e-9:
			b.law, changed = open, true
			if one {
				return true
			}
		}
	}
	if forward >= 0 && !changed { // one at a time: of two side by side the one with less of a drop may take all
		n.branches[forward].law, changed = resistive, true
		if one {
			return true
		}
	}
	for i := range n.chargers {
		c := &n.chargers[i]
		b := &n.branches[c.branch]
		switch {
		case b.law == resistive && x[nn+c.branch] > c.amps*(1+1e-12):
			b.law, b.amps, changed = source, c.amps, true
		case b.law == source && -across(b) > c.volts*(1+1e-12):
			b.law, changed = resistive, true
		case b.law == resistive && x[nn+c.branch] < -1e-9:
			b.law, changed = open, true // a charger takes nothing back
		}
	}
	for i := range n.drawn {
		d := &n.drawn[i]
		b := &n.branches[d.branch]
		if d.mode != probing {
			continue
		}
		changed = true
		if math.Abs(x[nn+d.branch]) < 1e-9 {
			d.mode, b.law = unfed, open
			n.unfed = append(n.unfed, b.part)
		} else {
			d.mode, b.law, b.amps = drawing, source, math.Copysign(d.amps, x[nn+d.branch])
		}
	}
	for _, k := range n.converters {
		changed = n.adjustConverter(k, x) || changed
	}
	for i, k := range n.controllers {
		if n.branches[k.in].law == input && n.adjustController(k, x, x[nn+nb+i]) {
			changed = true
		}
	}
	return changed
}

func (n *network) adjustController(k *regulator, x []float64, duty float64) bool {
	nn := len(n.nodes.named)
	in := n.branches[k.in]
	volts, amps := x[in.from]-x[in.to], x[nn+k.out]
	changed := false
	if brakes := k.gain*amps < -1e-9; brakes != k.brakes && !k.fresh {
		k.brakes, changed = brakes, true
	}
	if !k.limited {
		if k.limit > 0 && math.Abs(amps) > k.limit*(1+1e-12) && !k.brakes {
			k.limited, k.fresh, changed = true, true, true
		}
		return changed
	}
	if k.fresh {
		out := n.branches[k.out]
		k.fresh, k.around = false, volts
		if volts != 0 {
			k.gain = (x[out.to] - x[out.from] + k.ohms*amps) / volts
		}
		return true
	}
	if math.Abs(duty) > math.Abs(k.duty)*(1+1e-9) { // it would have to give more than it is set to
		k.limited, k.gain = false, k.duty
		return true
	}
	if math.Abs(duty-k.gain) > 1e-13*math.Abs(k.duty) || math.Abs(volts-k.around) > 1e-12*math.Abs(volts) {
		changed = true
	}
	k.gain, k.around = duty, volts
	return changed
}
