package chart

import (
	"math"

	"voltwright/internal/svg"
)

// box is a rectangle on the drawing, y downwards.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) overlaps(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }

func (b box) within(c box) bool { return b.x0 >= c.x0 && b.y0 >= c.y0 && b.x1 <= c.x1 && b.y1 <= c.y1 }

func (b box) grown(d float64) box { return box{b.x0 - d, b.y0 - d, b.x1 + d, b.y1 + d} }

// anchor is the point of its baseline by which a text is hung up: where it begins, its middle, or where it ends.
type anchor float64

const (
	begins anchor = 0
	middle anchor = 0.5
	ends   anchor = 1
)

// spot is a place proposed for a label, and how little it is liked.
type spot struct {
	x, y float64 // of the anchor
	hung anchor
	cost float64
}

// placer puts labels where they cover neither each other nor, as far as it can be helped, what is drawn.
type placer struct {
	taken []box
	cell  float64
	ink   map[[2]int]bool // cells that a line runs through
}

func newPlacer() *placer { return &placer{cell: 4, ink: map[[2]int]bool{}} }

// draw notes the line from (x0, y0) to (x1, y1).
func (p *placer) draw(x0, y0, x1, y1 float64) {
	steps := int(max(math.Abs(x1-x0), math.Abs(y1-y0))/p.cell*2) + 1
	for i := 0; i <= steps; i++ {
		t := float64(i) / float64(steps)
		p.ink[p.cellOf(x0+float64(t*(x1-x0)), y0+float64(t*(y1-y0)))] = true
	}
}

func (p *placer) cellOf(x, y float64) [2]int {
	return [2]int{int(math.Floor(x / p.cell)), int(math.Floor(y / p.cell))}
}

// covered counts the inked cells under b.
func (p *placer) covered(b box) int {
	from, to := p.cellOf(b.x0, b.y0), p.cellOf(b.x1, b.y1)
	n := 0
	for i := from[0]; i <= to[0]; i++ {
		for j := from[1]; j <= to[1]; j++ {
			if p.ink[[2]int{i, j}] {
				n++
			}
		}
	}
	return n
}

// reserve keeps labels off b.
func (p *placer) reserve(b box) { p.taken = append(p.taken, b) }

// textBox is the box of a text that is hung up at (x, y).
func textBox(text string, size, x, y float64, hung anchor) box {
	width := svg.TextWidth(text, size)
	left := x - float64(float64(hung)*width)
	return box{left, y - float64(svg.Ascent*size), left + width, y + float64(svg.Descent*size)}
}

// coverCost is what one inked cell under a label costs, in the unit of spot.cost (about one unit of distance).
const coverCost = 7

// place takes the best of the spots for a text and keeps it; ok is false if every one would cover another label,
// leave the area, or cost limit or more.
func (p *placer) place(text string, size float64, area box, spots []spot, limit float64) (best spot, ok bool) {
	least := limit
	for _, s := range spots {
		b := textBox(text, size, s.x, s.y, s.hung)
		if s.cost >= least || !b.within(area) || p.hits(b.grown(2)) {
			continue
		}
		if cost := s.cost + coverCost*float64(p.covered(b)); cost < least {
			best, least, ok = s, cost, true
		}
	}
	if ok {
		p.reserve(textBox(text, size, best.x, best.y, best.hung))
	}
	return best, ok
}

func (p *placer) hits(b box) bool {
	for _, t := range p.taken {
		if b.overlaps(t) {
			return true
		}
	}
	return false
}
