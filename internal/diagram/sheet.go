package diagram

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/svg"
)

const (
	margin   = 12.0   // around the drawing
	leastRow = 330.0  // width that legend and notes have at least
	asItIs   = 1000.0 // widest drawing that every desk's screen has room for
	fits     = 1500.0 // widest drawing that may be made a little smaller to fit a desk's screen
	capital  = 0.668  // height of a capital over the size: measured in the site's face
)

// finish draws what has been lettered: leads, parts, texts, legend, and the sheet
// around.
func (s *sheet) finish(description string) Drawing {
	if s.opt.Tall {
		return s.finishTall(description)
	}
	s.setDashes()
	for i := range s.labels { // leave room for the arrow
		if s.arrows[i] != 0 {
			s.labels[i][1] = "→ " + s.labels[i][1]
		}
	}
	s.left = margin
	s.measure()
	w := max(s.total(), leastRow)
	if len(s.key) > 0 {
		w = max(w, s.keyWidth()*float64(max(1, s.opt.keyColumns)))
	}
	if spare := w - s.total(); spare > 0 {
		s.left += spare / 2
		s.measure()
	}
	top, bottom := s.height()
	head := margin
	if s.opt.Standalone && s.opt.Paper == NoPaper {
		s.pen.ink, s.pen.of = Mark, "title"
		s.heading(s.title, margin, margin+letterSize, w)
		head += 2 * lineStep
	}
	s.top = head - top
	s.trace()
	s.leads(s.leadClass)
	s.symbols()
	s.letterLeads()
	y := head + bottom - top
	if len(s.key) > 0 {
		y = s.drawKey(margin, y+lineStep/2, w)
	}
	column := 760.0
	if s.net.narrow && s.opt.Paper == NoPaper {
		column = leastRow // what a telephone shows without scrolling
	}
	y = s.drawLegend(margin, y+lineStep/2, w, column)

	d := Drawing{Title: s.title, Description: description, Legend: s.legend, Width: w + 2*margin, Height: y + margin, Crossings: s.crossings}
	s.write(&d)
	d.Boxes = s.boxes
	return d
}

func (s *sheet) leadClass(lead int) string {
	if s.state == nil {
		return "d-lead"
	}
	return "d-lead " + s.state[lead]
}

func (s *sheet) symbols() {
	for g, ids := range s.columns {
		for _, id := range ids {
			it := s.items[id]
			if it.fig == nil {
				continue
			}
			p := &s.net.c.Parts[it.fig.part]
			sym := symbol{pen: &s.pen, fig: it.fig, part: p, x: s.middles[g], y: s.yOf(it.y), position: s.position(p)}
			if s.hot != nil {
				sym.live = map[string]bool{}
				for _, t := range p.Terminals() {
					sym.live[t.Name] = s.hot[circuit.Terminal{Part: p.Name, Name: t.Name}]
				}
			}
			s.out.WriteString(s.partGroup(it.fig.part))
			if s.partFate(it.fig.part) == marked {
				s.revision(p.Name, s.change.mark, sym.x, sym.y-it.fig.head()+markHigh)
			}
			sym.draw()
			s.out.WriteString("</g>\n")
		}
	}
}

// setDashes gives each colour its dashes for black and white, in the order in
// which they are first used; white is drawn open.
func (s *sheet) setDashes() {
	patterns := []string{"", "15 4", "9 3 2 3", "4 3", "15 3 2 3 2 3", "2 3", "20 6", "9 3 9 3 2 3", "6 6", "12 3 4 3", "4 3 2 3"}
	s.dashes = map[string]string{}
	n := 0
	for i := range s.net.c.Leads {
		c := s.net.c.Leads[i].Colour
		if _, has := s.dashes[c]; has || c == "white" || !s.net.leads[i] {
			continue
		}
		s.dashes[c] = patterns[n%len(patterns)]
		n++
	}
}

// heading writes a title, cut to the width of the drawing.
func (s *sheet) heading(text string, x, y, w float64) {
	s.text("d-b", fit(text, w/1.04), x, y, begins)
}

// fit cuts a text to a width.
func fit(text string, w float64) string {
	if width(text) <= w {
		return text
	}
	r := []rune(text)
	for len(r) > 0 && width(string(r)+"…") > w {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// drawLegend writes the legend, first the colours and then the remarks, in as
// many columns of the given width as there is room for, and gives the y under it.
func (s *sheet) drawLegend(x, y, w, column float64) float64 {
	column = min(column, w)
	columns := max(1, int((w+legendGap)/(column+legendGap)))
	bottom := s.drawColours(x, y, column)
	var remarks [][]string
	left := 0
	for _, l := range s.legend {
		if l.Colour == "" && l.Sign == NoSign {
			remarks = append(remarks, svg.Wrap(l.Words, letterSize, column*0.96))
			left += len(remarks[len(remarks)-1])
		}
	}
	at := bottom // where the next line of this column stands
	if bottom > y {
		at += 6
	}
	each := (at - y + lineStep*float64(left)) / float64(columns) // the height of columns of one length
	lowest := at
	for _, lines := range remarks {
		if columns > 1 && at-y > 0 && at-y+lineStep*float64(len(lines))/2 > each {
			columns--
			x, at = x+column+legendGap, y
		}
		for _, line := range lines {
			at += lineStep
			s.text("", fit(line, column), x, at, begins)
		}
		lowest = max(lowest, at)
	}
	return lowest
}

// legendGap is between two columns of the legend.
const legendGap = 26.0

// drawColours writes the colours of the legend in rows.
func (s *sheet) drawColours(x, y, w float64) float64 {
	const sample = 34.0
	s.pen.ink, s.pen.of = Mark, "legend"
	at := x
	begun := false
	for _, l := range s.legend {
		if l.Colour == "" && l.Sign == NoSign {
			continue
		}
		if !begun {
			y += lineStep
			begun = true
		}
		text := strings.TrimSpace(l.Code + " " + l.Words)
		need := sample + 8 + width(text) + 22
		if at+need > x+w && at > x {
			at, y = x, y+lineStep+4
		}
		text = fit(text, w-sample-8)
		mid := y - 4.5
		s.sample(l, at, mid, sample)
		s.text("", text, at+sample+8, y, begins)
		at += need
	}
	return y
}

// sample draws what stands before a line of the legend.
func (s *sheet) sample(l LegendLine, x, y, w float64) {
	if l.Sign == RevisionSign {
		s.revision("legend", s.change.mark, x+w/2, y+markHigh/2)
		return
	}
	d := "M" + num(x) + " " + num(y) + "H" + num(x+w)
	s.out.WriteString(`<g class="d-lead">`)
	if l.Sign == OutSign {
		s.outline(d)
	} else {
		s.coat(l.Colour, l.Stripe, d, 5.6, 3.4)
	}
	s.out.WriteString("</g>\n")
	s.took(x, y, x+w, y, 3)
}

// drawKey writes the list of leads in as many columns as the width allows.
func (s *sheet) drawKey(x, y, w float64) float64 {
	const gap = 14.0
	cells := make([]float64, len(s.key[0]))
	for _, row := range s.key {
		for k, text := range row {
			cells[k] = max(cells[k], boldWidth(text))
		}
	}
	one := 0.0
	for _, c := range cells {
		one += c + gap
	}
	columns := max(1, int((w+0.5)/one))
	rows := (len(s.key) - 1 + columns - 1) / columns
	s.pen.ink, s.pen.of = Mark, "key"
	y += lineStep
	for k := range columns {
		if k*rows >= len(s.key)-1 {
			break
		}
		left := x + float64(k)*w/float64(columns)
		line := func(row []string, class string, y float64) {
			at := left
			for c, text := range row {
				s.text(class, text, at, y, begins)
				at += cells[c] + gap
			}
		}
		line(s.key[0], "d-b", y)
		s.line("d-hair", left, y+5.5, left+min(one-gap, w), y+5.5)
		for r := range rows {
			if i := 1 + k*rows + r; i < len(s.key) {
				line(s.key[i], "", y+6+lineStep*float64(r+1))
			}
		}
	}
	return y + 6 + lineStep*float64(rows)
}

// keyWidth is what the key takes at least.
func (s *sheet) keyWidth() float64 {
	w := 0.0
	for k := range s.key[0] {
		cell := 0.0
		for _, row := range s.key {
			cell = max(cell, boldWidth(row[k]))
		}
		w += cell + 14
	}
	return w
}

// keyRows lists the leads: number, ends, letters, size, length, and the current
// and drop of a solution. The first row is the head.
func (s *sheet) keyRows(sol *circuit.Solution) [][]string {
	rows := [][]string{{"Lead", "From", "To", "Size", "Length"}}
	if sol != nil {
		rows[0] = append(rows[0], "Current", "Drop")
	}
	or := func(known bool, text string) string {
		if known {
			return text
		}
		return "—"
	}
	for i := range s.net.c.Leads {
		l := &s.net.c.Leads[i]
		if !s.net.leads[i] {
			continue
		}
		row := []string{fit(s.number(i), 160), fit(spoken(l.From), 190), fit(spoken(l.To), 190),
			or(l.Size.Area > 0, l.Size.String()), or(l.Length > 0, quantity.Brief(l.Length))}
		if sol != nil {
			arrow := ""
			if sign(float64(sol.Leads[i].Current)) < 0 {
				arrow = "← "
			}
			row = append(row, arrow+quantity.Brief(rounded(sol.Leads[i].Current)), quantity.Brief(rounded(sol.Leads[i].Drop)))
		}
		rows = append(rows, row)
	}
	if len(rows) == 1 {
		return nil
	}
	return rows
}

// paperSize is a sheet in millimetres, lying.
func (p Paper) size() (w, h float64, name string) {
	if p == Letter {
		return 279.4, 215.9, "Letter"
	}
	return 297, 210, "A4"
}

// write puts the drawing into its svg element, on paper within a frame and with
// a title block.
func (s *sheet) write(d *Drawing) {
	id := s.opt.ID
	if id == "" {
		id = "drawing"
	}
	size := fmt.Sprintf(`width="%s" height="%s" viewBox="0 0 %s %s"`, num(d.Width), num(d.Height), num(d.Width), num(d.Height))
	if s.opt.Paper != NoPaper {
		size = s.onPaper(d)
	}
	class := "drawing"
	if s.opt.Monochrome {
		class += " d-mono"
	}
	if s.opt.Paper == NoPaper && !s.net.narrow && d.Width > asItIs && d.Width <= fits {
		class += " d-fits"
	}
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" class="%s" role="img" aria-labelledby="%s-title %s-desc" %s font-family="'Atkinson Hyperlegible Next', Verdana, sans-serif" font-size="%s">`+"\n", class, escape(id), escape(id), size, num(letterSize))
	fmt.Fprintf(&out, "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", escape(id), escape(d.Title), escape(id), escape(d.Description))
	if s.opt.Standalone {
		style := Style
		if s.opt.Paper != NoPaper || s.opt.Monochrome {
			style = paperStyle(style)
		}
		fmt.Fprintf(&out, "<style>\n%s</style>\n<rect class=\"d-ground\" width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n", style)
	}
	out.WriteString(`<g fill="none" stroke="currentColor" stroke-width="1.5">` + "\n")
	out.Write(s.out.Bytes())
	out.WriteString("</g>\n" + `<g class="d-letters" fill="currentColor" stroke="none">` + "\n")
	out.Write(s.letters.Bytes())
	out.WriteString("</g>\n</svg>\n")
	d.SVG = []byte(out.String())
}

// onPaper draws frame and title block around the drawing and gives the size of
// the sheet. The drawing keeps its units; the sheet is as many units wide as it
// has to be, and the height of its letters follows.
func (s *sheet) onPaper(d *Drawing) string {
	const frame = 10.0 // mm, from the edge of the sheet
	pw, ph, name := s.opt.Paper.size()
	blockW, lines := s.titleBlock(name, "2.0 mm")
	blockH := 8 + lineStep*float64(len(lines))
	beside := 0.0 // the title block stands beside what is written lowest, if there is room
	for _, b := range s.boxes {
		if b.X1 > d.Width-blockW-margin {
			beside = max(beside, b.Y1)
		}
	}
	needW, needH := max(d.Width, blockW+2*margin), max(d.Height, beside+blockH+margin)
	mm := min((pw-2*frame)/needW, (ph-2*frame)/needH) // millimetres to the unit
	mm = min(mm, 3.5/(letterSize*capital))
	cap := letterSize * capital * mm
	d.CapHeight = quantity.Metres(cap / 1000)
	_, lines = s.titleBlock(name, fmt.Sprintf("%.1f mm", cap))
	w, h := pw/mm, ph/mm
	f := frame / mm
	s.shift((w-d.Width)/2, f+max(0, (h-2*f-needH)/2))
	s.pen.ink, s.pen.of = Mark, "frame"
	s.rect("d-frame", f, f, w-f, h-f)
	x, y := w-f-blockW, h-f-blockH
	s.line("d-frame", x, h-f, x, y, w-f, y)
	for i, line := range lines {
		class := ""
		if i == 0 {
			class = "d-b"
		}
		s.text(class, line, x+8, y+4+lineStep*float64(i)+letterSize*0.9, begins)
	}
	d.Width, d.Height = w, h
	return fmt.Sprintf(`width="%smm" height="%smm" viewBox="0 0 %s %s"`, num(pw), num(ph), num(w), num(h))
}

// titleBlock is what stands in the title block, and how wide it is.
func (s *sheet) titleBlock(paper, lettering string) (w float64, lines []string) {
	lines = append([]string{fit(s.title, 420)}, s.opt.Issue...)
	for i := range lines {
		lines[i] = fit(lines[i], 420)
	}
	small := ""
	if lettering < "2.0" {
		small = ", too small for this sheet"
	}
	lines = append(lines, "Not to scale · "+paper+" · sheet 1 of 1", "Capitals "+lettering+small)
	for _, l := range lines {
		w = max(w, boldWidth(l))
	}
	return math.Ceil(max(w, width("Capitals 0.0 mm, too small for this sheet")) + 16), lines
}

// shift moves all that has been drawn.
func (s *sheet) shift(dx, dy float64) {
	for i := range s.boxes {
		b := &s.boxes[i]
		b.X0, b.X1, b.Y0, b.Y1 = b.X0+dx, b.X1+dx, b.Y0+dy, b.Y1+dy
	}
	move := fmt.Sprintf(`<g transform="translate(%s %s)">`, num(dx), num(dy))
	body, letters := s.out.String(), s.letters.String()
	s.out.Reset()
	s.letters.Reset()
	s.out.WriteString(move + "\n" + body + "</g>\n")
	s.letters.WriteString(move + "\n" + letters + "</g>\n")
}

func escape(text string) string { return svg.Escape(clean(text)) }
