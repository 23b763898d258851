package circuit

import "voltwright/internal/quantity"

// Asked is the greatest that a circuit asks of one of its parts.
type Asked struct {
	Lasting   quantity.Amperes // through it at the points that may last for good
	LastingAt string           // the operating point; "" where none of the kind was solved
	Brief     quantity.Amperes // through it at those that end: a start, a hill, a stall
	BriefAt   string
	Full      quantity.Volts // between the ends of the packs when full; 0: not stated for every pack
}

// Asked gives for each part the greatest currents through it at the operating
// points of the solutions, either way, and the voltage of full packs, by the same
// rules as Judge. A terminal block is asked for what it hands on.
func (c *Circuit) Asked(solutions []*Solution) []Asked {
	j := &judge{c: c, solutions: solutions, nets: c.nets(usual, passing)}
	full := c.fullVolts(j.nets)
	all := make([]Asked, len(c.Parts))
	for i := range c.Parts {
		of := inside(i)
		if c.Parts[i].Kind == TerminalBlock {
			of = j.throughBlock(i)
		}
		a := &all[i]
		a.Full = full
		a.Lasting, a.LastingAt, _ = j.worstCurrent(lasting, of)
		a.Brief, a.BriefAt, _ = j.worstCurrent(brief, of)
	}
	return all
}
