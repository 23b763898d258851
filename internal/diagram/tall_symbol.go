package diagram

import (
	"math"
	"strconv"

	"voltwright/internal/circuit"
)

// numbered is a part's name behind its number: its place among the parts of the wiring, from 1, which it has on the maker's photo as well.
func numbered(part int, name string) string { return strconv.Itoa(part+1) + "\u00a0" + name }

// symbol draws a part of a tall drawing: its terminals one under the other, its strokes between them, its name at the right.
func (t *tall) symbol(p *tallPart) {
	part := &t.net.c.Parts[p.part]
	t.out.WriteString(t.partGroup(p.part))
	t.pen.of, t.pen.ink = part.Name, Symbol
	x := t.port
	switch {
	case inBox(part):
		t.box(p)
	case p.under < len(p.ports):
		t.between(part, x, p.ports[p.under-1].y, p.ports[p.under].y)
	}
	t.rings(p, part)
	t.names(p)
	t.out.WriteString("</g>\n")
}

// box is the outline of a part whose inside is not drawn, with its terminals at its left edge.
func (t *tall) box(p *tallPart) {
	t.rect("d-body", t.port, p.ports[0].y-12, t.name-6, p.ports[len(p.ports)-1].y+12)
}

// rings draws the terminals with their names, and a bar along those that are joined.
func (t *tall) rings(p *tallPart, part *circuit.Part) {
	x := t.port
	class := func(name string) string {
		switch {
		case t.hot == nil:
			return "d-ring"
		case t.hot[circuit.Terminal{Part: part.Name, Name: name}]:
			return "d-ring d-hot"
		}
		return "d-ring d-cool"
	}
	if part.Kind == circuit.TerminalBlock && len(p.ports) > 1 {
		t.line("d-bus", x, p.ports[0].y, x, p.ports[len(p.ports)-1].y)
	}
	for i := 0; i < len(p.ports); {
		j := i
		for j+1 < len(p.ports) && p.ports[j+1].terminal == p.ports[i].terminal {
			j++
		}
		if j > i {
			t.line("d-bar", x, p.ports[i].y, x, p.ports[j].y)
		}
		for k := i; k <= j; k++ {
			t.ring(class(p.ports[i].terminal), x, p.ports[k].y, ringRadius)
		}
		t.text("", p.ports[i].terminal, x+ringRadius+6, p.ports[i].y+0.35*letterSize, begins)
		i = j + 1
	}
}

// names writes number, name and rating at the right of a part, about its middle.
func (t *tall) names(p *tallPart) {
	lines := t.nameLines(p)
	bold := len(lines)
	if f := t.figureOf(p.part); f != nil {
		bold -= len(f.rating)
	}
	last := p.ports[len(p.ports)-1].y
	y := (p.ports[0].y+max(last, p.y1))/2 - (lineStep*float64(len(lines))+t.markOver(p))/2 + t.markOver(p) + 0.8*letterSize
	if t.markOver(p) > 0 {
		t.revision(t.net.c.Parts[p.part].Name, t.change.mark, t.name+markWide(t.change.mark)/2, y-0.8*letterSize-2)
	}
	for i, line := range lines {
		class := ""
		if i < bold {
			class = "d-b"
		}
		t.text(class, line, t.name, y+lineStep*float64(i), begins)
	}
}

// between draws the symbol of a part of two terminals, from y0 down to y1. Symbols are those of the other drawings, turned.
func (t *tall) between(part *circuit.Part, x, y0, y1 float64) {
	mid := (y0 + y1) / 2
	half := 14.0
	wires := true
	switch part.Kind {
	case circuit.Pack:
		half = 11
		t.line("d-bold", x-9, mid-11, x+9, mid-11)
		t.line("d-bold", x-5, mid-5, x+5, mid-5)
		t.line("d-dots", x, mid-4, x, mid+4)
		t.line("d-bold", x-9, mid+5, x+9, mid+5)
		t.line("d-bold", x-5, mid+11, x+5, mid+11)
	case circuit.Fuse:
		t.rect("d-body", x-6, mid-14, x+6, mid+14)
		t.line("", x, mid-14, x, mid+14)
	case circuit.Shunt:
		t.rect("d-body", x-6, mid-14, x+6, mid+14)
		t.line("", x+6, mid-7, x+10, mid-7)
		t.line("", x+6, mid+7, x+10, mid+7)
	case circuit.Diode:
		half = 8
		t.shape("d-fill", x-8, mid-8, x+8, mid-8, x, mid+8)
		t.line("d-bold", x-8, mid+8, x+8, mid+8)
	case circuit.Motor:
		t.ring("d-body", x, mid, 14)
		t.text("d-b", "M", x, mid+0.35*letterSize, middle)
	case circuit.Lamp:
		half = 11
		t.ring("d-body", x, mid, half)
		d := half * math.Sqrt2 / 2
		t.line("", x-d, mid-d, x+d, mid+d)
		t.line("", x-d, mid+d, x+d, mid-d)
	case circuit.Horn:
		half = 11
		t.rect("d-body", x-4, mid-11, x+4, mid+11)
		t.shape("", x+4, mid-5, x+12, mid-11, x+12, mid+11, x+4, mid+5)
	case circuit.ChargerSocket:
		half = 12
		t.rect("d-body", x-10, mid-12, x+10, mid+12)
		t.arc("", x-3, mid-9, x-3, mid-1, false)
		t.arc("", x-3, mid+1, x-3, mid+9, false)
	case circuit.Switch, circuit.Breaker, circuit.EmergencyStop:
		wires = false
		t.blade(part, x, y0, y1, mid)
	default:
		t.rect("d-body", x-6, mid-14, x+6, mid+14)
	}
	if wires {
		t.line("", x, y0, x, mid-half)
		t.line("", x, mid+half, x, y1)
	}
}

// blade draws a contact, open or closed as it stands.
func (t *tall) blade(part *circuit.Part, x, y0, y1, mid float64) {
	a, b := mid-13, mid+13
	t.line("", x, y0, x, a)
	t.line("", x, b, x, y1)
	t.ring("d-dot", x, b, 1.6)
	if t.position(part) == circuit.Opened {
		t.line("d-blade", x, b, x-9, a+2)
	} else {
		t.line("d-blade", x, b, x-2.5, a)
		t.line("", x-3.5, a, x, a)
	}
	switch part.Kind {
	case circuit.Breaker:
		t.line("", x-3, a-3, x+3, a+3)
		t.line("", x+3, a-3, x-3, a+3)
	case circuit.EmergencyStop:
		t.line("d-link", x-2, mid, x-11, mid)
		t.line("d-bold", x-11, mid-7, x-11, mid+7)
	}
}
