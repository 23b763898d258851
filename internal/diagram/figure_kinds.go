package diagram

import (
	"strconv"

	"voltwright/internal/circuit"
)

// boxed are the terminals of parts that are drawn as a box: from above on its left and on its right side.
func boxed(p *circuit.Part) (left, right []string) {
	switch p.Kind {
	case circuit.Cutout, circuit.Controller, circuit.Converter, circuit.ReversingSwitch:
		left, right = []string{"in+", "in-"}, []string{"out+", "out-"}
		if p.Kind == circuit.Controller && p.Reference > 0 {
			right = append(right, "throttle+", "throttle", "throttle-")
		}
	case circuit.HalfSpeedSwitch:
		left, right = []string{"a+", "a-", "b+", "b-"}, []string{"+", "-"}
	case circuit.BalanceLead:
		for _, t := range p.Terminals() { // the positive end above
			left = append([]string{t.Name}, left...)
		}
	case circuit.Throttle:
		left = []string{"+", "wiper", "-"}
	}
	return left, right
}

// box lays out the terminals of a box, row by row, with a free row between + and - of a module as at a pack.
func (b *builder) box(p *circuit.Part) {
	left, right := boxed(p)
	pairs := len(left) >= 2 && left[0] == "in+"
	row := [2]int{}
	for k := range max(len(left), len(right)) {
		if pairs && k == 1 {
			at := max(row[west], row[east]) + 1
			row = [2]int{at, at}
		}
		if p.Kind == circuit.HalfSpeedSwitch && k == 1 {
			row[east] = max(row[east], 2)
		}
		for s, names := range [2][]string{left, right} {
			if k < len(names) {
				row[s] += b.fixed(names[k], side(s), row[s])
			}
		}
	}
	b.rows = max(row[west], row[east])
	b.up = 20
	switch p.Kind {
	case circuit.Throttle:
		b.width = 96
	case circuit.BalanceLead:
		b.width = 72
	default:
		b.width = 148
		if b.n.narrow {
			b.width = 132
		}
	}
}

// packTerminals lists the terminals of a pack from above, with the ends of its cells between its own.
func packTerminals(p *circuit.Part) []string {
	all := []string{"+"}
	for k := p.Cells - 1; k >= 1; k-- {
		all = append(all, strconv.Itoa(k))
	}
	return append(all, "-")
}

// tapped lays out a pack whose cells are tapped.
func (b *builder) tapped(p *circuit.Part) {
	row := 0
	for _, t := range packTerminals(p) {
		row += b.fixed(t, east, row)
	}
	b.rows, b.width, b.up = row, 80, 6
}
