package notes

import (
	"github.com/yuin/goldmark/ast"

	"voltwright/internal/finding"
)

// Scheme is the word before the colon of an embed.
type Scheme string

// The schemes.
const (
	ValueScheme   Scheme = "value"   // a value of the evidence, in the sentence
	PlotScheme    Scheme = "plot"    // a chart
	TableScheme   Scheme = "table"   // a computed table
	DiagramScheme Scheme = "diagram" // a drawing made from the spec
	SourceScheme  Scheme = "source"  // words quoted from outside the journal
)

// EmbedSchemes lists the schemes.
var EmbedSchemes = []Scheme{ValueScheme, PlotScheme, TableScheme, DiagramScheme, SourceScheme}

// Embed is a place in a note's body that is bound to evidence or to something
// computed: `[47 min](value:field-2/running-time)`, `![Voltage](plot:field-2/voltage)`.
type Embed struct {
	Scheme Scheme
	Target string // what stands after the colon
	Words  string // the plain text in the square brackets, "" if there is none
	Image  bool   // it was written with an exclamation mark
	Span   finding.Span

	// Before and After are the plain text of the same sentence on either side, as far as nothing else is bound in it.
	Before, After string

	TakenBack bool // a correction has taken its words back: see Document.Mark
}

// The kinds of the nodes that stand for embeds in a document's tree.
var (
	KindEmbed      = ast.NewNodeKind("Embed")
	KindEmbedBlock = ast.NewNodeKind("EmbedBlock")
)

// EmbedNode is an embed within a line of text. Its children are its words, with
// their emphasis.
type EmbedNode struct {
	ast.BaseInline
	Embed *Embed
}

// Kind is KindEmbed.
func (n *EmbedNode) Kind() ast.NodeKind { return KindEmbed }

// Dump prints the node for debugging.
func (n *EmbedNode) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Target": string(n.Embed.Scheme) + ":" + n.Embed.Target}, nil)
}

// EmbedBlock is an embed that has a paragraph to itself: a figure. Its children
// are its words, for the caption.
type EmbedBlock struct {
	ast.BaseBlock
	Embed *Embed
}

// Kind is KindEmbedBlock.
func (n *EmbedBlock) Kind() ast.NodeKind { return KindEmbedBlock }

// Dump prints the node for debugging.
func (n *EmbedBlock) Dump(source []byte, level int) {
	ast.DumpHelper(n, source, level, map[string]string{"Target": string(n.Embed.Scheme) + ":" + n.Embed.Target}, nil)
}

// replaceByEmbed puts the embed's own node in the place of a link or picture. A
// picture alone in its paragraph takes the paragraph's place.
func replaceByEmbed(n ast.Node, e *Embed) {
	var made ast.Node
	old := n
	p, alone := n.Parent().(*ast.Paragraph)
	if e.Image && alone && p.ChildCount() == 1 && p.Parent() != nil {
		made, old = &EmbedBlock{Embed: e}, p
	} else {
		made = &EmbedNode{Embed: e}
	}
	for c := n.FirstChild(); c != nil; {
		next := c.NextSibling()
		made.AppendChild(made, c)
		c = next
	}
	made.(interface{ SetPos(int) }).SetPos(n.Pos())
	old.Parent().ReplaceChild(old.Parent(), old, made)
}
