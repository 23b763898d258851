package notes

import "voltwright/internal/finding"

// Note is one file that a maker writes by hand: a Markdown note, or
// journal.yaml, which is front matter and nothing else.
type Note struct {
	Path       string          // slash-separated, inside the journal
	Source     *finding.Source // its text without a byte order mark
	Text       []byte          // the same text
	Kind       string          // of the front matter's `kind`, "" if it has none
	KindSpan   finding.Span
	Front      *Node  // nil if there is none that could be read
	Body       []byte // what follows the front matter
	BodyOffset int    // of Body in Text
	Broken     bool   // it could not be read as a note; a finding says why, unless it is Bare
	Bare       bool   // it has no front matter, which is for the caller to report
}

// Whole is the span that stands for the whole file.
func (n *Note) Whole() finding.Span { return finding.Span{Source: n.Source} }

// at is the span of length size at an offset of the text, kept inside it.
func (n *Note) at(offset, size int) finding.Span {
	offset = min(max(offset, 0), len(n.Text))
	size = min(max(size, 0), len(n.Text)-offset)
	return n.Source.At(int64(offset), size)
}

// NoFrontMatter is the finding about a Bare note that should be none.
func (n *Note) NoFrontMatter() finding.Finding {
	return finding.Finding{Rule: RuleNoFrontMatter, Level: finding.Error, Span: n.Whole(), Text: "the note has no front matter",
		Remedy: "begin it with a line `---`, then its keys such as `kind: note`, then a line `---`."}
}
