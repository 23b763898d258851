package diagram

import "voltwright/internal/circuit"

// boxTerminals draws the terminals of a box.
func (s *symbol) boxTerminals() {
	left, right := boxed(s.part)
	for _, t := range left {
		s.terminal(t, west, s.left())
	}
	for _, t := range right {
		s.terminal(t, east, s.right())
	}
}

// middleOf is the height of a terminal's first row.
func (s *symbol) heightOf(terminal string) float64 {
	first, _, _ := s.rowOf(terminal)
	return s.row(first)
}

// direct draws the sign of direct current.
func (s *symbol) direct(x, y float64) {
	s.line("", x-8, y-2.5, x+8, y-2.5)
	s.line("d-dash", x-8, y+2.5, x+8, y+2.5)
}

// reversing draws the two straight ways, and the two crossed ones dashed; which of them is joined goes by the position.
func (s *symbol) reversing() {
	s.frame()
	inP, inN, outP, outN := s.heightOf("in+"), s.heightOf("in-"), s.heightOf("out+"), s.heightOf("out-")
	const l, r = 22, 22
	straight, crossed := "d-blade", "d-dash"
	switch s.position {
	case circuit.OtherWay:
		straight, crossed = crossed, straight
	case circuit.Opened:
		straight = "d-dash"
	}
	s.line("", s.left()+ringRadius, inP, s.x-l, inP)
	s.line("", s.left()+ringRadius, inN, s.x-l, inN)
	s.line("", s.x+r, outP, s.right()-ringRadius, outP)
	s.line("", s.x+r, outN, s.right()-ringRadius, outN)
	s.line(straight, s.x-l, inP, s.x+r, outP)
	s.line(straight, s.x-l, inN, s.x+r, outN)
	s.line(crossed, s.x-l, inP, s.x+r, outN)
	s.line(crossed, s.x-l, inN, s.x+r, outP)
	for _, y := range []float64{inP, inN} {
		s.ring("d-dot", s.x-l, y, 1.6)
	}
	s.boxTerminals()
}

// halfSpeed draws the ways side by side, and the one that joins the two halves one after the other dashed.
func (s *symbol) halfSpeed() {
	s.frame()
	ap, an, bp, bn := s.heightOf("a+"), s.heightOf("a-"), s.heightOf("b+"), s.heightOf("b-")
	plus, minus := s.heightOf("+"), s.heightOf("-")
	l, r := s.x-26, s.x+26
	beside, series, ends := "d-blade", "d-dash", "d-blade"
	switch s.position {
	case circuit.OtherWay:
		beside, series = series, beside
	case circuit.Opened:
		beside, ends = "d-dash", "d-dash"
	}
	for _, y := range []float64{ap, an, bp, bn} {
		s.line("", s.left()+ringRadius, y, l, y)
		s.ring("d-dot", l, y, 1.6)
	}
	s.line("", r, plus, s.right()-ringRadius, plus)
	s.line("", r, minus, s.right()-ringRadius, minus)
	s.line(ends, l, ap, r, plus)
	s.line(ends, l, bn, r, minus)
	s.line(beside, l, bp, r, plus)
	s.line(beside, l, an, r, minus)
	s.line(series, l, an, l-10, an+8, l-10, bp-8, l, bp)
	s.boxTerminals()
}

// throttle draws a track between + and - with the wiper's arrow on it.
func (s *symbol) throttle() {
	plus, wiper, minus := s.heightOf("+"), s.heightOf("wiper"), s.heightOf("-")
	x := s.right() - 14
	edge := s.left() + ringRadius
	s.line("", edge, plus, x, plus, x, plus+10)
	s.rect("d-body", x-6, plus+10, x+6, minus-10)
	s.line("", x, minus-10, x, minus, edge, minus)
	s.line("", edge, wiper, x-8, wiper)
	s.shape("d-fill", x-13, wiper-4, x-13, wiper+4, x-6, wiper)
	s.boxTerminals()
}

// balance draws the plug: one contact below the other in its housing.
func (s *symbol) balance() {
	left, _ := boxed(s.part)
	top, bottom := s.heightOf(left[0]), s.heightOf(left[len(left)-1])
	s.rect("d-body", s.right()-20, top-9, s.right(), bottom+9)
	for _, t := range left {
		y := s.heightOf(t)
		s.line("", s.left()+ringRadius, y, s.right()-20, y)
		s.line("d-plug", s.right()-15, y, s.right()-5, y)
	}
	s.boxTerminals()
}

// tapped draws a pack cell by cell, with a lead out between each two.
func (s *symbol) tapped() {
	x := s.x - 20
	all := packTerminals(s.part)
	for k, t := range all {
		first, last, _ := s.rowOf(t)
		y := s.row(first)
		s.line("", s.right()-ringRadius, y, x, y)
		s.terminal(t, east, s.right())
		if k == len(all)-1 {
			continue
		}
		next := s.heightOf(all[k+1])
		mid := (s.row(last) + next) / 2
		s.line("", x, y, x, mid-3)
		s.line("d-bold", x-15, mid-3, x+15, mid-3)
		s.line("d-bold", x-8, mid+3, x+8, mid+3)
		s.line("", x, mid+3, x, next)
	}
}

// suppressed draws a suppressor from one point to another, on x or on y: a triangle and a bar with its ends bent, or two of
// them back to back.
func (s *symbol) suppressed(x, y, dx, dy float64) {
	at := func(along, across float64) (float64, float64) {
		return x + along*dx - across*dy, y + along*dy + across*dx
	}
	shape := func(points ...float64) {
		var out []float64
		for i := 0; i < len(points); i += 2 {
			px, py := at(points[i], points[i+1])
			out = append(out, px, py)
		}
		s.shape("d-fill", out...)
	}
	line := func(class string, points ...float64) {
		var out []float64
		for i := 0; i < len(points); i += 2 {
			px, py := at(points[i], points[i+1])
			out = append(out, px, py)
		}
		s.line(class, out...)
	}
	if s.part.BothWays {
		shape(-14, -7, -14, 7, 0, 0)
		shape(14, -7, 14, 7, 0, 0)
		line("d-bold", -4, -9, 0, -6, 0, 6, 4, 9)
		return
	}
	shape(-8, -8, -8, 8, 8, 0)
	line("d-bold", 4, -10, 8, -7, 8, 7, 12, 10)
}
