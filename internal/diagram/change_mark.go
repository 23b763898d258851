package diagram

import (
	"fmt"

	"voltwright/internal/svg"
)

// Sign is the sample before a line of the legend that is of no colour.
type Sign uint8

// Signs.
const (
	NoSign       Sign = iota
	RevisionSign      // the triangle with the number of the issue
	OutSign           // the dashes of what is taken out
)

// Revision is the Ink of a revision's mark; its Box is Of the part or the lead that it marks.
const Revision Ink = "revision"

// markHigh is the height of a revision's triangle. The number stands on its base, and the triangle is as wide as that needs.
const markHigh = 18.0

// markWide is the width of a triangle for a number: it has room for it up to its capitals' height and a little over.
func markWide(number string) float64 {
	return (boldWidth(number) + 1.5) / (1 - (capital*letterSize+1.5)/markHigh)
}

// markRoom is what a mark takes of the room for a lead's text, with the space after it.
func (s *sheet) markRoom(lead int) float64 {
	if s.leadFate(lead) != marked {
		return 0
	}
	return markWide(s.change.mark) + 5
}

func (s *sheet) leadFate(lead int) fate {
	if s.change == nil {
		return stays
	}
	return s.change.leads[lead]
}

func (s *sheet) partFate(part int) fate {
	if s.change == nil {
		return stays
	}
	return s.change.parts[part]
}

// revision draws a mark about x, standing on y.
func (p *pen) revision(of, number string, x, y float64) {
	half := markWide(number) / 2
	fmt.Fprintf(&p.letters, `<path class="d-revision" fill="#fff" stroke="currentColor" stroke-width="1.4" d="M%s %sH%sL%s %sZ"/>`, num(x-half), num(y), num(x+half), num(x), num(y-markHigh))
	fmt.Fprintf(&p.letters, `<text class="d-b" x="%s" y="%s" text-anchor="middle">%s</text>`+"\n", num(x), num(y-1.5), svg.Escape(number))
	p.boxes = append(p.boxes, Box{Revision, of, x - half, y - markHigh, x + half, y})
}

// markOnLead is how far a mark on a lead reaches under it.
const markOnLead = 5.0

// outline draws a lead that is taken out, or a sample of it: thin dashes without its colour.
func (p *pen) outline(d string) {
	fmt.Fprintf(&p.out, `<path class="d-out" d="%s" stroke-width="1.4" stroke-dasharray="5 4" opacity=".65"/>`, d)
}

// partGroup begins the group of a part.
func (s *sheet) partGroup(part int) string {
	if s.partFate(part) == gone {
		return `<g class="d-part d-out" stroke-dasharray="3 2.5" opacity=".65">`
	}
	return `<g class="d-part">`
}
