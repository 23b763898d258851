package diagram

import (
	"math"
	"slices"

	"voltwright/internal/circuit"
)

// symbol draws one part. Symbols are after IEC 60617, from memory: battery,
// fuse, circuit breaker, make contact, changeover, contactor, coil, emergency
// stop with mushroom head, converters of direct current and of a charger, motor,
// diode, suppressor, resistor with and without a slider, lamp, horn, plug
// and socket. The terminal block as a bar, the charger socket and the cutout
// module as a box with its contact are ours.
type symbol struct {
	*pen
	fig  *figure
	part *circuit.Part
	x    float64 // middle
	y    float64 // of the first row
	live map[string]bool
	// position is where the contacts stand.
	position circuit.Position
}

func (s *symbol) row(k int) float64 { return s.y + pitch*float64(k) }

// rowOf is the first row of a terminal; with or without a lead on it.
func (s *symbol) rowOf(terminal string) (first, last int, on [2]bool) {
	first, last = math.MaxInt, -1
	for side, ports := range s.fig.ports {
		for _, p := range ports {
			if p.terminal == terminal {
				first, last = min(first, p.row), max(last, p.row)
				on[side] = true
			}
		}
	}
	return first, last, on
}

func (s *symbol) draw() {
	s.pen.of, s.pen.ink = s.part.Name, Symbol
	s.names()
	switch s.part.Kind {
	case circuit.Pack:
		if s.part.Cells > 1 {
			s.tapped()
			return
		}
		s.battery()
	case circuit.Cutout:
		s.cutout()
	case circuit.Controller, circuit.Converter:
		s.converter()
	case circuit.ReversingSwitch:
		s.reversing()
	case circuit.HalfSpeedSwitch:
		s.halfSpeed()
	case circuit.Throttle:
		s.throttle()
	case circuit.BalanceLead:
		s.balance()
	case circuit.TerminalBlock:
		s.block()
	case circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Connector:
		s.poles()
	default:
		if s.fig.stands {
			s.standing()
		} else {
			s.lying()
		}
	}
}

// names writes name and rating over the symbol.
func (s *symbol) names() {
	y := s.y - s.fig.up - 5 - 3 - lineStep*float64(len(s.fig.names)+len(s.fig.rating)-1)
	for _, line := range s.fig.names {
		s.text("d-b", line, s.x, y, middle)
		y += lineStep
	}
	for _, line := range s.fig.rating {
		s.text("", line, s.x, y, middle)
		y += lineStep
	}
}

// terminal draws the rings of a terminal, joined by a bar where it takes more
// than one lead, and its label under its first ring.
func (s *symbol) terminal(name string, sd side, x float64) {
	var rows []int
	for _, p := range s.fig.ports[sd] {
		if p.terminal == name {
			rows = append(rows, p.row)
		}
	}
	if len(rows) == 0 {
		return
	}
	s.rings(name, x, rows)
	first := slices.Min(rows)
	if sd == west {
		s.text("", name, x+ringRadius+2, s.row(first)+under, begins)
	} else {
		s.text("", name, x-ringRadius-2, s.row(first)+under, ends)
	}
}

// under is from a lead to the baseline of a text that hangs under it.
const under = textOff + 0.8*letterSize

func (s *symbol) rings(name string, x float64, rows []int) {
	first, last := slices.Min(rows), slices.Max(rows)
	if first != last {
		s.line("d-bar", x, s.row(first), x, s.row(last))
	}
	class := "d-ring"
	if s.live != nil {
		class = "d-ring d-cool"
		if s.live[name] {
			class = "d-ring d-hot"
		}
	}
	for r := first; r <= last; r++ {
		if slices.Contains(rows, r) {
			s.ring(class, x, s.row(r), ringRadius)
		}
	}
}

func (s *symbol) left() float64  { return s.x - s.fig.width/2 }
func (s *symbol) right() float64 { return s.x + s.fig.width/2 }

func (s *symbol) battery() {
	plus, plusLast, _ := s.rowOf("+")
	minus, _, _ := s.rowOf("-")
	x := s.x - 20
	top, bottom := s.row(plus), s.row(minus)
	mid := (s.row(plusLast) + bottom) / 2
	s.line("", s.right()-ringRadius, top, x, top, x, mid-11)
	s.line("d-bold", x-15, mid-11, x+15, mid-11)
	s.line("d-bold", x-8, mid-5, x+8, mid-5)
	s.line("d-dots", x, mid-4, x, mid+4)
	s.line("d-bold", x-15, mid+5, x+15, mid+5)
	s.line("d-bold", x-8, mid+11, x+8, mid+11)
	s.line("", x, mid+11, x, bottom, s.right()-ringRadius, bottom)
	s.terminal("+", east, s.right())
	s.terminal("-", east, s.right())
}

// frame is the box of a module, from its first row to its last.
func (s *symbol) frame() (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = s.left(), s.y-18, s.right(), s.row(s.fig.rows-1)+under+6
	s.rect("d-body", x0, y0, x1, y1)
	return
}

func (s *symbol) cutout() {
	s.frame()
	in, _, _ := s.rowOf("in+")
	minus, _, _ := s.rowOf("in-")
	s.line("", s.left()+ringRadius, s.row(in), s.x-16, s.row(in))
	s.contact(s.x-16, s.x+16, s.row(in), false)
	s.line("", s.x+16, s.row(in), s.right()-ringRadius, s.row(in))
	s.line("", s.left()+ringRadius, s.row(minus), s.right()-ringRadius, s.row(minus))
	for _, t := range []string{"in+", "in-"} {
		s.terminal(t, west, s.left())
	}
	for _, t := range []string{"out+", "out-"} {
		s.terminal(t, east, s.right())
	}
	mid := (s.row(in) + s.row(minus)) / 2
	s.rect("", s.x-16, mid-8, s.x+16, mid+13)
	s.text("", "U <", s.x, mid+7, middle)
	s.line("d-link", s.x, mid-8, s.x, s.row(in)+1)
}

func (s *symbol) converter() {
	s.frame()
	minus, _, _ := s.rowOf("in-")
	mid := (s.y + s.row(minus)) / 2
	const h = 22
	s.rect("", s.x-h, mid-h, s.x+h, mid+h)
	s.line("", s.x-h, mid+h, s.x+h, mid-h)
	s.direct(s.x-10, mid-11)
	s.direct(s.x+10, mid+11)
	s.boxTerminals()
}

func (s *symbol) block() {
	first, last := math.MaxInt, 0
	for _, ports := range s.fig.ports {
		for _, p := range ports {
			first, last = min(first, p.row), max(last, p.row)
		}
	}
	if last < 0 || first > last {
		return
	}
	s.line("d-bus", s.x, s.row(first)-9, s.x, s.row(last)+9)
	for sd, ports := range s.fig.ports {
		for _, p := range ports {
			x, inner := s.left(), s.left()+ringRadius
			if side(sd) == east {
				x, inner = s.right(), s.right()-ringRadius
			}
			s.line("", inner, s.row(p.row), s.x, s.row(p.row))
			s.terminalAt(p, side(sd), x)
		}
	}
}

// terminalAt draws one way of a block.
func (s *symbol) terminalAt(p port, sd side, x float64) {
	s.rings(p.terminal, x, []int{p.row})
	if sd == west {
		s.text("", p.terminal, x+ringRadius+1, s.row(p.row)+under, begins)
	} else {
		s.text("", p.terminal, x-ringRadius-1, s.row(p.row)+under, ends)
	}
}

// contact draws a make contact from x0 to x1: closed on the line, open raised.
func (s *symbol) contact(x0, x1, y float64, opened bool) {
	if opened || s.position == circuit.Opened {
		s.line("d-blade", x0, y, x1-3, y-12)
	} else {
		s.line("d-blade", x0, y, x1, y-2.5)
	}
	s.ring("d-dot", x0, y, 1.6)
	s.line("", x1, y-3.5, x1, y)
}

func (s *symbol) lying() {
	in, out := s.fig.ports[west][0].terminal, s.fig.ports[east][0].terminal
	y := s.y
	a, b := s.left()+ringRadius, s.right()-ringRadius
	c := s.left() + width(in) + 6 + bodyWidth/2
	l, r := c-16, c+16
	flip := in == "out" || in == "cathode" || in == "2"
	s.line("", a, y, l, y)
	s.line("", r, y, b, y)
	switch s.part.Kind {
	case circuit.Fuse:
		s.rect("d-body", l, y-6, r, y+6)
		s.line("", l, y, r, y)
	case circuit.Shunt:
		s.rect("d-body", l, y-6, r, y+6)
		s.line("", l+7, y-6, l+7, y-11)
		s.line("", r-7, y-6, r-7, y-11)
	case circuit.Resistor, circuit.PrechargeResistor:
		s.rect("d-body", l, y-6, r, y+6)
	case circuit.BrakeResistor: // made to get hot
		s.rect("d-body", l, y-6, r, y+6)
		for _, x := range []float64{l + 8, c, r - 8} {
			s.line("", x, y-6, x, y+6)
		}
	case circuit.Suppressor:
		if flip {
			s.suppressed(c, y, -1, 0)
		} else {
			s.suppressed(c, y, 1, 0)
		}
		s.line("", l, y, r, y)
	case circuit.Diode:
		if flip {
			s.shape("d-fill", c+8, y-8, c+8, y+8, c-8, y)
			s.line("d-bold", c-8, y-8, c-8, y+8)
		} else {
			s.shape("d-fill", c-8, y-8, c-8, y+8, c+8, y)
			s.line("d-bold", c+8, y-8, c+8, y+8)
		}
		s.line("", l, y, r, y)
	case circuit.Breaker:
		s.contact(l, r, y, false)
		s.line("", r-3, y-3, r+3, y+3)
		s.line("", r-3, y+3, r+3, y-3)
	case circuit.EmergencyStop:
		s.contact(l, r, y, false)
		rise := y - 2
		if s.position == circuit.Opened {
			rise = y - 6
		}
		s.line("d-link", c, rise, c, y-19)
		s.line("d-bold", c-11, y-19, c+11, y-19)
		s.arc("d-mushroom", c-11, y-19, c+11, y-19, true)
	}
	s.terminal(in, west, s.left())
	s.terminal(out, east, s.right())
}

func (s *symbol) standing() {
	first := ""
	for _, ports := range s.fig.ports {
		for _, p := range ports {
			if p.row == 0 {
				first = p.terminal
			}
		}
	}
	second := ""
	for _, ports := range s.fig.ports {
		for _, p := range ports {
			if p.terminal != first {
				second = p.terminal
			}
		}
	}
	_, a, _ := s.rowOf(first)
	b, _, _ := s.rowOf(second)
	ya, yb := s.row(a), s.row(b)
	mid := (ya + yb) / 2
	half := 17.0
	x := s.x
	switch s.part.Kind {
	case circuit.Motor:
		s.ring("d-body", x, mid, half)
		s.text("d-b", "M", x, mid+3, middle)
		s.line("", x-7, mid+9, x+7, mid+9)
		s.line("d-dash", x-7, mid+12, x+7, mid+12)
	case circuit.Lamp:
		half = 13
		s.ring("d-body", x, mid, half)
		d := half * math.Sqrt2 / 2
		s.line("", x-d, mid-d, x+d, mid+d)
		s.line("", x-d, mid+d, x+d, mid-d)
	case circuit.Horn:
		half = 12
		s.rect("d-body", x-5, mid-12, x+5, mid+12)
		s.shape("", x+5, mid-5, x+18, mid-13, x+18, mid+13, x+5, mid+5)
	case circuit.ChargerSocket:
		half = 14
		s.rect("d-body", x-18, mid-14, x+18, mid+14)
		s.arc("", x-6, mid-10, x-6, mid-2, false)
		s.arc("", x-6, mid+2, x-6, mid+10, false)
		s.line("", x-10, mid-6, x-14, mid-6)
		s.line("", x-10, mid+6, x-14, mid+6)
		s.line("", x+4, mid-2.5, x+14, mid-2.5)
		s.line("d-dash", x+4, mid+2.5, x+14, mid+2.5)
	case circuit.Diode:
		half = 8
		up := first == "cathode"
		if up {
			s.shape("d-fill", x-8, mid+8, x+8, mid+8, x, mid-8)
			s.line("d-bold", x-8, mid-8, x+8, mid-8)
		} else {
			s.shape("d-fill", x-8, mid-8, x+8, mid-8, x, mid+8)
			s.line("d-bold", x-8, mid+8, x+8, mid+8)
		}
	case circuit.Charger:
		half = 17
		s.rect("d-body", x-17, mid-17, x+17, mid+17)
		s.line("", x-17, mid+17, x+17, mid-17)
		s.arc("", x-14, mid-9, x-8, mid-9, true)
		s.arc("", x-8, mid-9, x-2, mid-9, false)
		s.line("", x+1, mid+8, x+14, mid+8)
		s.line("d-dash", x+1, mid+12, x+14, mid+12)
	case circuit.Suppressor:
		half = 14
		if first == "cathode" {
			s.suppressed(x, mid, 0, -1)
		} else {
			s.suppressed(x, mid, 0, 1)
		}
		s.line("", x, mid-half, x, mid+half)
	case circuit.BrakeResistor:
		half = 16
		s.rect("d-body", x-6, mid-16, x+6, mid+16)
		for _, y := range []float64{mid - 8, mid, mid + 8} {
			s.line("", x-6, y, x+6, y)
		}
	default:
		half = 16
		s.rect("d-body", x-6, mid-16, x+6, mid+16)
	}
	s.line("", x, ya, x, mid-half)
	s.line("", x, mid+half, x, yb)
	for i, t := range []string{first, second} {
		var rows []int
		f, l, _ := s.rowOf(t)
		for _, ports := range s.fig.ports {
			for _, p := range ports {
				if p.terminal == t {
					rows = append(rows, p.row)
				}
			}
		}
		s.rings(t, x, rows)
		if i == 0 {
			s.text("", t, x+6, s.row(l)+under-1, begins)
		} else {
			s.text("", t, x+6, s.row(f)-textOff-2, begins)
		}
	}
}

// poles draws each pole of a contact or connector in its row and the coil below.
func (s *symbol) poles() {
	l, r := s.left(), s.right()
	wide := 0.0
	for _, p := range s.fig.ports[west] {
		if p.terminal != "coil+" && p.terminal != "coil-" {
			wide = max(wide, width(p.terminal))
		}
	}
	c := l + wide + 6 + bodyWidth/2
	if s.fig.coilAt >= 0 && s.fig.coil == west {
		c = max(c, l+width("coil+")+12+30)
	}
	a, b := c-16, c+16
	var blades []float64
	for _, pole := range polesOf(s.part) {
		in, out := pole[0], pole[1:]
		first, _, on := s.rowOf(in)
		y := s.row(first)
		mirrored := on[east]
		near, far := a, b
		nearEdge, farEdge := l+ringRadius, r-ringRadius
		if mirrored {
			near, far = b, a
			nearEdge, farEdge = r-ringRadius, l+ringRadius
		}
		dir := 1.0
		if far < near {
			dir = -1
		}
		s.line("", nearEdge, y, near, y)
		if len(out) > 0 {
			s.line("", farEdge, y, far, y)
		}
		if s.part.Kind == circuit.Connector {
			s.arc("", near-dir*2, y-6, near-dir*2, y+6, dir > 0)
			s.line("d-plug", near+dir*8, y, far, y)
			s.line("", near, y, near+dir*4, y)
			blades = append(blades, y)
			s.terminalsOf(in, out)
			continue
		}
		blades = append(blades, y)
		raised := s.position == circuit.Opened
		switch {
		case len(out) == 2:
			other, _, _ := s.rowOf(out[1])
			s.line("", farEdge, s.row(other), far, s.row(other), far, y+12)
			switch {
			case raised:
				s.line("d-blade", near, y, far-dir*2, y+6)
			case s.position == circuit.OtherWay:
				s.line("d-blade", near, y, far, y+12)
			default:
				s.line("d-blade", near, y, far, y-2.5)
			}
			s.ring("d-dot", near, y, 1.6)
			s.line("", far, y-3.5, far, y)
		case mirrored:
			if raised {
				s.line("d-blade", near, y, far+3, y-12)
			} else {
				s.line("d-blade", near, y, far, y-2.5)
			}
			s.ring("d-dot", near, y, 1.6)
			s.line("", far, y-3.5, far, y)
		default:
			s.contact(near, far, y, false)
		}
		if s.part.Kind == circuit.Contactor {
			s.arc("", far, y-7, far, y, dir > 0)
		}
		s.terminalsOf(in, out)
	}
	if len(blades) > 1 {
		for i := 1; i < len(blades); i++ {
			s.link(c, blades[i-1]-1, blades[i]-2)
		}
	}
	if s.fig.coilAt >= 0 && len(blades) > 0 {
		s.coil(c, blades[len(blades)-1])
	}
}

// link is the dashed line between contacts that move together; it stops at the
// leads that it would run over.
func (s *symbol) link(x, y0, y1 float64) { s.line("d-link", x, y0, x, y1) }

func (s *symbol) terminalsOf(in string, out []string) {
	for _, t := range append([]string{in}, out...) {
		s.terminal(t, west, s.left())
		s.terminal(t, east, s.right())
	}
}

func (s *symbol) coil(c, blade float64) {
	minus, _, _ := s.rowOf("coil-")
	_, plusLast, _ := s.rowOf("coil+")
	edge, x, out := s.left()+ringRadius, c-18.0, c
	sd := west
	if s.fig.coil == east {
		edge, x, sd = s.right()-ringRadius, c+18, east
	}
	top, bottom := s.row(plusLast)+9, s.row(minus)-9
	s.rect("d-body", x-8, top, x+8, bottom)
	s.line("", edge, s.row(plusLast), x, s.row(plusLast), x, top)
	s.line("", edge, s.row(minus), x, s.row(minus), x, bottom)
	inner := x + 8
	if out < x {
		inner = x - 8
	}
	s.line("d-link", inner, (top+bottom)/2, out, (top+bottom)/2, out, blade-1)
	at := s.left()
	if sd == east {
		at = s.right()
	}
	s.terminal("coil+", sd, at)
	s.terminal("coil-", sd, at)
}
