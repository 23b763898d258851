package notes

import "voltwright/internal/finding"

// Note is one file that a maker writes by hand: a Markdown note, or
// journal.yaml, which is front matter and nothing else.
type Note struct {
	Path       string          // slash-separated, inside the journal
	Source     *finding.Source // its text without a byte order mark
	Kind       string          // of the front matter's `kind`, "" if it has none
	KindSpan   finding.Span
	Front      *Node // nil if there is none that could be read
	BodyOffset int   // of Body in Text
	Broken     bool  // it could not be read as a note; a finding says why, unless it is Bare
	Bare       bool  // it has no front matter, which is for the caller to report

	text    []byte
	body    []byte
	hearing *hearing // nil: nobody hears what is read of it
}

// hearing is who hears of which notes the text is read.
type hearing struct{ hear func(path string) }

// Hear has somebody told each time the text of a note is asked for, by its path, until the next Hear; nil: nobody. While somebody hears, one
// goroutine alone may read.
func (f *Folder) Hear(hear func(path string)) { f.hearing.hear = hear }

// Tell tells who hears that the text of the note is read, by whatever was made of it.
func (n *Note) Tell() {
	if n.hearing != nil && n.hearing.hear != nil {
		n.hearing.hear(n.Path)
	}
}

// Text is the note's text without a byte order mark.
func (n *Note) Text() []byte {
	n.Tell()
	return n.text
}

// Body is what follows the front matter.
func (n *Note) Body() []byte {
	n.Tell()
	return n.body
}

// Whole is the span that stands for the whole file.
func (n *Note) Whole() finding.Span { return finding.Span{Source: n.Source} }

// at is the span of length size at an offset of the text, kept inside it.
func (n *Note) at(offset, size int) finding.Span {
	offset = min(max(offset, 0), len(n.text))
	size = min(max(size, 0), len(n.text)-offset)
	return n.Source.At(int64(offset), size)
}

// NoFrontMatter is the finding about a Bare note that should be none.
func (n *Note) NoFrontMatter() finding.Finding {
	return finding.Finding{Rule: RuleNoFrontMatter, Level: finding.Error, Span: n.Whole(), Text: "the note has no front matter",
		Remedy: "begin it with a line `---`, then its keys such as `kind: note`, then a line `---`."}
}
