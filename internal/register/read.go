package register

import (
	"bytes"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// Read takes the title, the other titles and the places of a sheet from its page. What lies outside the main element is
// the same on all sheets and is not taken.
func (s *Sheet) Read(page []byte) error {
	root, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		return err
	}
	r := &reader{sheet: s}
	for n := range root.Descendants() {
		if n.DataAtom == atom.Main {
			r.open(opened{})
			r.inside(n)
			r.flush()
			r.close()
			break
		}
	}
	for _, p := range r.places {
		if !p.void {
			s.Places = append(s.Places, p.Place)
		}
	}
	return nil
}

// reader walks a page. The places in which it is at the time are a stack of indices into places, which has them in the
// order of the page.
type reader struct {
	sheet  *Sheet
	places []opened
	stack  []int
	piece  line
}

// opened is a place with what only its reading needs to know.
type opened struct {
	Place
	void      bool // it says nothing
	captioned bool // a table or figure: what lies in it is under the heading above it
}

func (r *reader) open(p opened) {
	r.flush()
	r.stack, r.places = append(r.stack, len(r.places)), append(r.places, p)
}

// close ends a place. One that says nothing and has no other in it is none, but for the opening, by which the sheet's title
// is found.
func (r *reader) close() {
	r.flush()
	i := r.stack[len(r.stack)-1]
	p := &r.places[i]
	p.void = i > 0 && i == len(r.places)-1 && len(p.Texts) == 0 && len(p.Heads) == 0
	r.stack = r.stack[:len(r.stack)-1]
}

func (r *reader) at() *Place { return &r.places[r.stack[len(r.stack)-1]].Place }

// flush ends a piece of text.
func (r *reader) flush() {
	if text := r.piece.words(); text != "" {
		p := r.at()
		p.Texts = append(p.Texts, text)
	}
	r.piece = line{}
}

func (r *reader) inside(n *html.Node) {
	for c := range n.ChildNodes() {
		r.node(c)
	}
}

func (r *reader) node(n *html.Node) {
	switch {
	case n.Type == html.TextNode:
		r.piece.add(n.Data)
		return
	case n.Type != html.ElementNode || silent(n):
		return
	case n.DataAtom == atom.H1:
		r.sheet.Title = plain(n)
		return
	case n.DataAtom == atom.Summary && has(n.Parent, "leaf"): // told with what folds under it
		return
	case heading(n):
		r.head(n)
		return
	case n.DataAtom == atom.Ul && has(n, "asked"):
		for c := range n.ChildNodes() {
			if text := plain(c); text != "" {
				r.sheet.Also = append(r.sheet.Also, text)
			}
		}
		return
	case (n.DataAtom == atom.Li || n.DataAtom == atom.P) && leadsAbout(n):
		return
	case n.DataAtom == atom.Dt: // a pair is one piece: "Capacity: 20 Ah"
		r.piece.add(" " + plain(n) + ": ")
		return
	case n.DataAtom == atom.Br:
		r.piece.add(" ")
		return
	}
	place := opens(n)
	if place {
		r.open(opened{Place: Place{Anchor: attribute(n, "id"), Heading: own(n), Under: r.under()}, captioned: n.DataAtom == atom.Table || n.DataAtom == atom.Figure})
	}
	if place && has(n.Parent, "leaf") {
		r.piece.add(face(n.Parent))
		r.flush()
	}
	switch {
	case n.DataAtom == atom.Tr:
		r.row(n)
	case block(n):
		r.flush()
		r.inside(n)
		r.flush()
	default:
		r.piece.edge = r.piece.edge || label(n)
		r.inside(n)
		r.piece.edge = label(n)
	}
	if place {
		r.close()
	}
}

// under is the heading of the nearest place that has one.
func (r *reader) under() string {
	for i := len(r.stack) - 1; i >= 0; i-- {
		if p := r.places[r.stack[i]]; p.Heading != "" && !p.captioned {
			return p.Heading
		}
	}
	return ""
}

// head takes a heading: of the place whose first it is, of a place of its own where it has an anchor, or one more of
// the place.
func (r *reader) head(n *html.Node) {
	r.flush()
	text := plain(n)
	switch id := attribute(n, "id"); {
	case text == "":
	case r.at().Heading == "" && r.at().Anchor != "":
		r.at().Heading = text
	case id != "": // what follows until the place ends stands under it
		under := r.under()
		r.places = append(r.places, opened{Place: Place{Anchor: id, Heading: text, Under: under}})
		r.stack[len(r.stack)-1] = len(r.places) - 1
	default:
		r.at().Heads = append(r.at().Heads, text)
	}
}

// row takes a row of a table as one piece: "Top speed: 6.27 ± 0.35 km/h", "W1: from first pack, length 120 mm". What is
// remarked in its cells stands at the end.
func (r *reader) row(n *html.Node) {
	r.flush()
	var b strings.Builder
	var remarks []string
	after := ""
	for c := range n.ChildNodes() {
		if c.DataAtom != atom.Td && c.DataAtom != atom.Th || silent(c) {
			continue
		}
		for d := range c.Descendants() {
			if d.Type == html.ElementNode && has(d, "why") {
				remarks = append(remarks, plain(d))
			}
		}
		text := plainBut(c, "why")
		if text == "" {
			continue
		}
		text = named(attribute(c, "data-is"), text)
		if has(c, "pmq") || has(c, "u") {
			after = " "
		}
		if b.Len() > 0 {
			b.WriteString(or(after, ", "))
		}
		b.WriteString(text)
		after = ""
		if c.DataAtom == atom.Th && attribute(c, "scope") == "row" {
			after = ": "
		}
	}
	text := b.String()
	for _, remark := range remarks {
		switch {
		case text == "":
			text = remark
		case strings.HasSuffix(text, "."):
			text += " " + remark
		default:
			text += "; " + remark
		}
	}
	r.piece.add(text)
	r.flush()
}

// named puts the name of a column to a cell: "length 120 mm" for "length, mm", "Both packs, 40 Ah: 2 h 35 min".
func named(column, text string) string {
	name, unit, found := strings.Cut(column, ", ")
	switch {
	case column == "":
		return text
	case !found:
		return column + " " + text
	case strings.Contains(unit, " "):
		return column + ": " + text
	}
	return name + " " + text + " " + unit
}

// opens tells whether an element is a place of its own.
func opens(n *html.Node) bool {
	if attribute(n, "id") == "" {
		return false
	}
	switch n.DataAtom {
	case atom.Section, atom.Article, atom.Figure, atom.Table, atom.Tr, atom.Li, atom.Div, atom.Details:
		return true
	}
	return false
}

// own is the heading of a place that does not stand in a heading: the caption of a figure or table, the head of a row,
// the term of a pair.
func own(n *html.Node) string {
	var kind atom.Atom
	switch n.DataAtom {
	case atom.Tr:
		kind = atom.Th
	case atom.Div:
		kind = atom.Dt
	case atom.Details:
		kind = atom.Summary
	case atom.Table:
		kind = atom.Caption
	case atom.Figure:
		kind = atom.Figcaption
	case atom.Section:
		if !has(n.Parent, "leaf") {
			return ""
		}
		for d := range n.Parent.Descendants() {
			if heading(d) {
				return plain(d)
			}
		}
		return ""
	default:
		return ""
	}
	for d := range n.Descendants() {
		if d.DataAtom != kind {
			continue
		}
		if kind == atom.Caption || kind == atom.Figcaption {
			for c := range d.ChildNodes() {
				if c.DataAtom == atom.B { // "Table 1."
					return strings.TrimSuffix(plain(c), ".")
				}
			}
		}
		return plainBut(d, "why")
	}
	return ""
}

// face is what the closed face of a leaf says under its title.
func face(leaf *html.Node) string {
	for d := range leaf.Descendants() {
		if d.Type == html.ElementNode && has(d, "face") {
			return plain(d)
		}
	}
	return ""
}

// silent tells what is not taken: what is not shown, what only leads about, fields, and the drawings and data of charts.
func silent(n *html.Node) bool {
	switch n.DataAtom {
	case atom.Script, atom.Style, atom.Template, atom.Svg, atom.Nav, atom.Button, atom.Input, atom.Select, atom.Textarea:
		return true
	case atom.Details:
		return n.Parent != nil && within(n, atom.Figure)
	}
	if attribute(n, "aria-hidden") == "true" || has(n, "here") || has(n, "says") || has(n, "chart-table") || has(n, "corrected") {
		return true
	}
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "hidden" })
}

// leadsAbout tells of an item or paragraph that is nothing but a link to a place of the same page.
func leadsAbout(n *html.Node) bool {
	first := n.FirstChild
	return first != nil && first == n.LastChild && first.DataAtom == atom.A && strings.HasPrefix(attribute(first, "href"), "#")
}

func within(n *html.Node, kind atom.Atom) bool {
	for a := range n.Ancestors() {
		if a.DataAtom == kind {
			return true
		}
	}
	return false
}

func heading(n *html.Node) bool {
	switch n.DataAtom {
	case atom.H2, atom.H3, atom.H4, atom.H5, atom.H6:
		return true
	}
	return false
}

// block tells whether an element begins and ends a piece of text.
func block(n *html.Node) bool {
	switch n.DataAtom {
	case atom.A, atom.Abbr, atom.B, atom.Bdi, atom.Cite, atom.Code, atom.Dfn, atom.Em, atom.I, atom.Kbd, atom.Label, atom.Mark, atom.Q,
		atom.S, atom.Samp, atom.Small, atom.Span, atom.Strong, atom.Sub, atom.Sup, atom.Time, atom.Var, atom.Del, atom.Br,
		atom.Dd, atom.Pre:
		return has(n, "why") || has(n, "line")
	}
	return true
}

// plain is the text of an element on one line, without what is silent in it.
func plain(n *html.Node) string { return plainBut(n, "") }

// plainBut is plain without the elements of a class.
func plainBut(n *html.Node, class string) string {
	var l line
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		for c := range n.ChildNodes() {
			switch {
			case c.Type == html.TextNode:
				l.add(c.Data)
			case c.Type == html.ElementNode && !silent(c) && (class == "" || !has(c, class)):
				if block(c) || c.DataAtom == atom.Br {
					l.add(" ")
					walk(c)
					l.add(" ")
					continue
				}
				l.edge = l.edge || label(c)
				walk(c)
				l.edge = label(c)
			}
		}
	}
	walk(n)
	return l.words()
}

// line is a text on one line, as it grows.
type line struct {
	text strings.Builder
	last rune
	edge bool // where a label begins or ends, which may be set apart by nothing but the style sheet
}

func (l *line) add(text string) {
	if text == "" {
		return
	}
	first, _ := utf8.DecodeRuneInString(text)
	if l.edge && (unicode.IsLetter(first) && unicode.IsDigit(l.last) || unicode.IsLetter(l.last) && (unicode.IsLetter(first) || unicode.IsDigit(first))) {
		l.text.WriteByte(' ')
	}
	l.text.WriteString(text)
	l.last, _ = utf8.DecodeLastRuneInString(text)
	l.edge = false
}

// words sets single spaces between the words of the line.
func (l *line) words() string { return strings.Join(strings.Fields(l.text.String()), " ") }

// label tells of the elements by which templates set a word apart; prose has others for stress.
func label(n *html.Node) bool { return n.DataAtom == atom.B || n.DataAtom == atom.A }

func has(n *html.Node, class string) bool {
	return slices.Contains(strings.Fields(attribute(n, "class")), class)
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func or(text, other string) string {
	if text == "" {
		return other
	}
	return text
}
