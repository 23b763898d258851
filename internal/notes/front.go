package notes

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/adrg/frontmatter"

	"voltwright/internal/finding"
)

// maxDepth is how deep front matter and Markdown may be nested.
const maxDepth = 100

var bom = []byte("\xef\xbb\xbf")

// ParseNote reads one note from its text. Its path decides what it is: a
// Markdown file is front matter and a body, anything else is front matter only.
// A byte order mark is taken off; both line ends are fine. A note without front
// matter is Bare, which is for the caller to judge: a folder may hold a README.
func ParseNote(rel string, text []byte, findings *finding.List) *Note {
	text = bytes.TrimPrefix(text, bom)
	n := &Note{Path: rel, Source: finding.NewSource(rel, text), text: text}
	if at := firstBad(text); at >= 0 {
		n.Broken = true
		what := fmt.Sprintf("the byte 0x%02X is not UTF-8", text[at])
		remedy := "save the file as UTF-8 in your text editor, and look whether the letters are still right."
		switch r, _ := utf8.DecodeRune(text[at:]); {
		case r == 0:
			what = "the text has a NUL byte"
		case r != utf8.RuneError:
			what = fmt.Sprintf("the text has the control character %U, which no page can show", r)
			remedy = "delete it; an editor may show nothing at this place."
		}
		findings.Add(finding.Finding{Rule: RuleNotUTF8, Level: finding.Error, Span: n.at(at, 1), Text: what, Remedy: remedy})
		return n
	}
	if strings.HasSuffix(rel, ".md") {
		n.split(findings)
	} else {
		n.BodyOffset = len(text)
		n.body = text[len(text):]
		n.front(text, 0, findings)
	}
	if kind, ok := n.Front.Lookup("kind"); ok && kind.Kind == Scalar {
		n.Kind, n.KindSpan = kind.Text, kind.Span
	}
	return n
}

// noText says whether a character has no place in a text: a control character other than a tab, a line's end or a page's.
func noText(r rune) bool { return unicode.IsControl(r) && !strings.ContainsRune("\t\n\r\f", r) }

// firstBad finds the first byte that is not UTF-8 or begins a character that has no place in a text, else -1.
func firstBad(text []byte) int {
	if utf8.Valid(text) && !bytes.ContainsFunc(text, noText) {
		return -1
	}
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRune(text[i:])
		if noText(r) || r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// split cuts a Markdown note into its front matter and its body.
func (n *Note) split(findings *finding.List) {
	var raw []byte
	found := false
	capture := frontmatter.NewFormat("---", "---", func(data []byte, _ any) error {
		raw, found = bytes.Clone(data), true
		return nil
	})
	body, err := frontmatter.Parse(bytes.NewReader(n.text), &struct{}{}, capture)
	if err != nil { // reading from memory: cannot happen but for a fault of the reader
		n.Broken = true
		findings.Add(finding.Finding{Rule: RuleYAMLSyntax, Level: finding.Error, Span: n.Whole(), Text: "the front matter cannot be read: " + err.Error()})
		return
	}
	n.BodyOffset = len(n.text) - len(body)
	n.body = n.text[n.BodyOffset:]
	fence, start := n.openingFence()
	if !found {
		n.Broken = true
		if fence < 0 {
			n.Bare = true
			return
		}
		findings.Add(finding.Finding{Rule: RuleFrontFence, Level: finding.Error, Span: n.at(fence, 3), Text: "the front matter does not end: there is no second `---` line",
			Remedy: "write a line `---` after the last key."})
		return
	}
	closing := n.text[start+len(raw) : n.BodyOffset]
	if len(closing) > 0 && closing[0] != '-' {
		findings.Add(finding.Finding{Rule: RuleFrontFence, Level: finding.Error, Span: n.at(start+len(raw), len(bytes.TrimRight(closing, "\r\n"))),
			Text: "an indented `---` ends the front matter here", Remedy: "write the closing `---` at the start of its line, and no line of dashes inside the front matter."})
	}
	n.front(raw, start, findings)
}

// openingFence finds the first line that is not blank. If it is a fence, it
// returns its offset and that of the line after it, else -1.
func (n *Note) openingFence() (fence, after int) {
	for at := 0; at < len(n.text); {
		end := at + bytes.IndexByte(n.text[at:], '\n') + 1
		if end == at {
			end = len(n.text)
		}
		line := bytes.TrimSpace(n.text[at:end])
		if string(line) == "---" {
			return at + bytes.IndexByte(n.text[at:end], '-'), end
		}
		if len(line) > 0 {
			break
		}
		at = end
	}
	return -1, 0
}
