package notes

import (
	"strings"

	"github.com/yuin/goldmark/ast"

	"voltwright/internal/finding"
)

// Bound stands in a Passage for words that are bound to something.
const Bound = '\ufffc'

// Passage is the plain text of one paragraph, heading or cell of a table, with a
// [Bound] in the place of every embed and of every stretch of code.
type Passage struct {
	Text string
	at   []int // offset of every byte of Text in what it was taken from
	// place is a stretch of that as a place in the note
	place func(at, size int) finding.Span
}

// Span is the place in the note of a stretch of the passage.
func (p Passage) Span(from, to int) finding.Span {
	if from < 0 || from >= len(p.at) || to <= from {
		return p.place(-1, 0)
	}
	start, end := p.at[from], p.at[min(to, len(p.at))-1]
	if start < 0 || end < start {
		return p.place(-1, 0)
	}
	return p.place(start, end+1-start)
}

// Passages lists the prose of the document, captions of figures left out.
func (d *Document) Passages() []Passage {
	var out []Passage
	d.eachPassage(nil, func(p Passage) {
		if strings.TrimSpace(p.Text) != "" {
			out = append(out, p)
		}
	})
	return out
}

// eachPassage goes through the paragraphs, headings and cells.
func (d *Document) eachPassage(met func(e *Embed, at int), do func(Passage)) {
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		if n.Kind() == KindEmbedBlock {
			return ast.WalkSkipChildren, nil
		}
		if n.Type() != ast.TypeBlock || n.FirstChild() == nil || n.FirstChild().Type() != ast.TypeInline {
			return ast.WalkContinue, nil
		}
		do(d.passage(n, met))
		return ast.WalkSkipChildren, nil
	})
}

// surround tells every embed within a line what stands on either side of it.
func (d *Document) surround() {
	type found struct {
		embed *Embed
		at    int
	}
	var here []found
	d.eachPassage(func(e *Embed, at int) { here = append(here, found{e, at}) }, func(p Passage) {
		for _, f := range here {
			f.embed.Before = sentenceTail(p.Text[:f.at])
			f.embed.After = sentenceHead(p.Text[f.at+len(string(Bound)):])
		}
		here = here[:0]
	})
}

// sentenceTail is the end of a text from its last sentence or bound words on.
func sentenceTail(text string) string {
	if i := strings.LastIndex(text, string(Bound)); i >= 0 {
		text = text[i+len(string(Bound)):]
	}
	for _, mark := range []string{". ", "? ", "! ", "; "} {
		if i := strings.LastIndex(text, mark); i >= 0 && !strings.HasSuffix(text[:i+1], "approx.") && !strings.HasSuffix(text[:i+1], "ca.") && !strings.HasSuffix(text[:i+1], " c.") {
			text = text[i+len(mark):]
		}
	}
	return text
}

// sentenceHead is the beginning of a text up to the end of its sentence or the next bound words.
func sentenceHead(text string) string {
	if i := strings.Index(text, string(Bound)); i >= 0 {
		text = text[:i]
	}
	for _, mark := range []string{". ", "? ", "! ", "; "} {
		if i := strings.Index(text, mark); i >= 0 {
			text = text[:i+1]
		}
	}
	return text
}

// passage gives the text of a block, and says where in it each embed stands.
func (d *Document) passage(block ast.Node, met func(e *Embed, at int)) Passage {
	p := Passage{place: func(at, size int) finding.Span {
		if at < 0 {
			return d.Note.Whole()
		}
		return d.span(at, size)
	}}
	var b strings.Builder
	put := func(text string, at int, steps bool) {
		b.WriteString(text)
		for i := range len(text) {
			if steps {
				p.at = append(p.at, at+i)
			} else {
				p.at = append(p.at, at)
			}
		}
	}
	last := block.Pos()
	_ = ast.Walk(block, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *EmbedNode, *ast.CodeSpan, *Marked:
			if e, is := n.(*EmbedNode); is && met != nil {
				met(e.Embed, b.Len())
			}
			put(string(Bound), last, false)
			return ast.WalkSkipChildren, nil
		case *ast.Image:
			return ast.WalkSkipChildren, nil
		case *ast.Text:
			put(string(n.Segment.Value(d.Source)), n.Segment.Start, true)
			last = n.Segment.Stop
			if n.SoftLineBreak() || n.HardLineBreak() {
				put(" ", max(last-1, 0), false)
			}
		case *ast.String:
			put(string(n.Value), last, false)
		}
		return ast.WalkContinue, nil
	})
	p.Text = b.String()
	return p
}
