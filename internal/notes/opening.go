package notes

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
)

// Opening is the first paragraph of the body; nil if the body begins with something else or is empty.
func (d *Document) Opening() ast.Node {
	if d == nil || d.Root == nil {
		return nil
	}
	if p, ok := d.Root.FirstChild().(*ast.Paragraph); ok {
		return p
	}
	return nil
}

// Plain is the text under a node as a reader says it, without emphasis and without addresses. say gives the words of an
// embed; those of a passage that was taken back are left out.
func (d *Document) Plain(n ast.Node, say func(*Embed) string) string {
	if n == nil {
		return ""
	}
	var b strings.Builder
	_ = ast.Walk(n, func(c ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch c := c.(type) {
		case *EmbedNode:
			b.WriteString(say(c.Embed))
			return ast.WalkSkipChildren, nil
		case *Marked, *east.FootnoteLink, *ast.Image:
			return ast.WalkSkipChildren, nil
		case *ast.Text:
			b.Write(c.Value(d.Source))
			if c.SoftLineBreak() || c.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(c.Value)
		case *ast.AutoLink:
			b.Write(c.Label(d.Source))
		}
		return ast.WalkContinue, nil
	})
	return unescaped.Replace(strings.Join(strings.Fields(b.String()), " "))
}

// unescaped takes the backslash from what Markdown lets a maker escape in running text.
var unescaped = strings.NewReplacer(`\*`, "*", `\_`, "_", `\[`, "[", `\]`, "]", `\<`, "<", `\>`, ">", "\\`", "`", `\\`, `\`, `\#`, "#", `\&`, "&", "&amp;", "&", "&lt;", "<", "&gt;", ">", "&nbsp;", "\u00a0")

// Sentences parts plain text after each full stop, question or exclamation mark that a space and a capital follow.
func Sentences(text string) []string {
	var out []string
	runes := []rune(text)
	start := 0
	for i := 0; i+2 < len(runes); i++ {
		if !strings.ContainsRune(".!?", runes[i]) || runes[i+1] != ' ' {
			continue
		}
		if next := string(runes[i+2]); strings.ToUpper(next) == next && strings.ToLower(next) != next || strings.ContainsAny(next, "0123456789“‘\"(") {
			out = append(out, string(runes[start:i+1]))
			start = i + 2
		}
	}
	if rest := strings.TrimSpace(string(runes[start:])); rest != "" {
		out = append(out, rest)
	}
	return out
}
