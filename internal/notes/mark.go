package notes

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"voltwright/internal/finding"
)

// The kinds of the nodes that stand for words which were taken back.
var (
	KindMarked    = ast.NewNodeKind("Marked")
	KindMarkedEnd = ast.NewNodeKind("MarkedEnd")
)

// Marked holds a stretch of words that was taken back. A passage may be in several pieces, where emphasis or a link
// begins or ends within it.
type Marked struct {
	ast.BaseInline
	Of any // what took it back, as Mark was told
}

// Kind is KindMarked.
func (n *Marked) Kind() ast.NodeKind { return KindMarked }

// Dump prints the node for debugging.
func (n *Marked) Dump(source []byte, level int) { ast.DumpHelper(n, source, level, nil, nil) }

// MarkedEnd stands behind the last piece of a passage, outside every link.
type MarkedEnd struct {
	ast.BaseInline
	Of any
}

// Kind is KindMarkedEnd.
func (n *MarkedEnd) Kind() ast.NodeKind { return KindMarkedEnd }

// Dump prints the node for debugging.
func (n *MarkedEnd) Dump(source []byte, level int) { ast.DumpHelper(n, source, level, nil, nil) }

// opaque stands in a block's words for what has no words that could be marked: code, pictures, bare values.
const opaque = '\uFFFC'

// letter is one character of a block's words, its spaces single, and where it stands.
type letter struct {
	char rune
	node *ast.Text // nil for what is opaque and for the space of a line's end
	at   int       // in the body
}

// blockWords are the words of each paragraph, heading and cell of the body.
func (d *Document) blockWords() [][]letter {
	var out [][]letter
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n.Kind() {
		case ast.KindParagraph, ast.KindTextBlock, ast.KindHeading, east.KindTableCell:
			out = append(out, d.letters(n))
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
	return out
}

func (d *Document) letters(block ast.Node) []letter {
	var out []letter
	add := func(l letter) {
		if l.char == ' ' && (len(out) == 0 || out[len(out)-1].char == ' ') {
			return
		}
		out = append(out, l)
	}
	_ = ast.Walk(block, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			for i := n.Segment.Start; i < n.Segment.Stop; {
				r, size := utf8.DecodeRune(d.Source[i:n.Segment.Stop])
				if unicode.IsSpace(r) {
					r = ' '
				}
				add(letter{r, n, i})
				i += size
			}
			if n.SoftLineBreak() || n.HardLineBreak() {
				add(letter{char: ' '})
			}
		case *ast.CodeSpan, *ast.Image, *ast.AutoLink, *ast.RawHTML, *Marked, *east.FootnoteLink:
			add(letter{char: opaque})
			return ast.WalkSkipChildren, nil
		case *EmbedNode:
			if !n.HasChildren() {
				add(letter{char: opaque})
			}
		}
		return ast.WalkContinue, nil
	})
	return out
}

// Mark marks every place of the body that has the words, whatever its line ends and emphasis, as taken back by of. It
// gives the spans of the places, none if the words are not there.
func (d *Document) Mark(words string, of any) []finding.Span {
	want := []rune(strings.Join(strings.Fields(words), " "))
	if len(want) == 0 || d == nil || d.Root == nil {
		return nil
	}
	var spans []finding.Span
	for _, block := range d.blockWords() {
		var found []int
		for i := 0; i+len(want) <= len(block); i++ {
			if slices.EqualFunc(block[i:i+len(want)], want, func(l letter, r rune) bool { return l.char == r }) {
				found = append(found, i)
				i += len(want) - 1
			}
		}
		for _, at := range found {
			first, last := block[at], block[at+len(want)-1]
			spans = append(spans, d.span(first.at, last.at+utf8.RuneLen(d.runeAt(last.at))-first.at))
		}
		for _, at := range slices.Backward(found) { // the later first, so that the earlier stay where they are
			d.mark(block[at:at+len(want)], of)
		}
	}
	return spans
}

func (d *Document) runeAt(at int) rune {
	r, _ := utf8.DecodeRune(d.Source[at:])
	return r
}

// mark puts a passage into nodes of its own.
func (d *Document) mark(passage []letter, of any) {
	var last ast.Node
	for i := 0; i < len(passage); {
		node := passage[i].node
		if node == nil {
			i++
			continue
		}
		from, to := passage[i].at, passage[i].at
		for ; i < len(passage) && (passage[i].node == node || passage[i].node == nil); i++ {
			if passage[i].node == node {
				to = passage[i].at + utf8.RuneLen(d.runeAt(passage[i].at))
			}
		}
		piece := wrap(node, from, to, of)
		if last != nil && last.NextSibling() == piece { // one passage stays one piece where nothing parts it
			for c := piece.FirstChild(); c != nil; c = piece.FirstChild() {
				last.AppendChild(last, c)
			}
			piece.Parent().RemoveChild(piece.Parent(), piece)
			continue
		}
		last = piece
	}
	if last == nil {
		return
	}
	behind := last
	for n := last.Parent(); n != nil && n.Type() == ast.TypeInline; n = n.Parent() {
		switch n := n.(type) {
		case *EmbedNode:
			n.Embed.TakenBack = true
			behind = n
		case *ast.Link:
			behind = n
		}
	}
	p := behind.Parent()
	p.InsertAfter(p, behind, &MarkedEnd{Of: of})
}

// wrap puts a part of a text into a Marked of its own; what stands before it stays in the text, what stands after it
// comes into one behind it.
func wrap(n *ast.Text, from, to int, of any) ast.Node {
	p := n.Parent()
	marked, inside := &Marked{Of: of}, ast.NewTextSegment(text.NewSegment(from, to))
	marked.AppendChild(marked, inside)
	marked.SetPos(from)
	p.InsertAfter(p, n, marked)
	end := inside
	if to < n.Segment.Stop {
		end = ast.NewTextSegment(text.NewSegment(to, n.Segment.Stop))
		p.InsertAfter(p, marked, end)
	}
	end.SetSoftLineBreak(n.SoftLineBreak())
	end.SetHardLineBreak(n.HardLineBreak())
	n.SetSoftLineBreak(false)
	n.SetHardLineBreak(false)
	n.Segment = n.Segment.WithStop(from)
	if from == n.Segment.Start {
		p.RemoveChild(p, n)
	}
	for up := p; up != nil && up.Type() == ast.TypeInline; up = up.Parent() {
		if e, ok := up.(*EmbedNode); ok {
			e.Embed.TakenBack = true
		}
	}
	return marked
}

// HasTakenBack tells whether words under a node were taken back.
func (d *Document) HasTakenBack(n ast.Node) bool {
	found := false
	if n == nil {
		return false
	}
	_ = ast.Walk(n, func(c ast.Node, _ bool) (ast.WalkStatus, error) {
		if c.Kind() == KindMarked {
			found = true
			return ast.WalkStop, nil
		}
		return ast.WalkContinue, nil
	})
	return found
}

// Near is the stretch of the body that has most words in common with others that are not there; "" if none has half of
// them.
func (d *Document) Near(words string) string {
	want := strings.Fields(strings.ToLower(words))
	best, most := "", (len(want)+1)/2-1
	if d == nil || d.Root == nil || len(want) == 0 {
		return ""
	}
	for _, block := range d.blockWords() {
		var b strings.Builder
		for _, l := range block {
			if l.char == opaque {
				l.char = ' '
			}
			b.WriteRune(l.char)
		}
		have := strings.Fields(b.String())
		for i := range have {
			window := have[i:min(i+len(want), len(have))]
			common, left := 0, slices.Clone(want)
			for _, w := range window {
				if k := slices.Index(left, strings.ToLower(w)); k >= 0 {
					left = slices.Delete(left, k, k+1)
					common++
				}
			}
			if common > most {
				best, most = strings.Join(window, " "), common
			}
		}
	}
	return best
}
