package prose

import (
	"bytes"
	"fmt"
	"html/template"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Opening renders the first paragraph of a note without the paragraph around it.
func Opening(rd *reading.Reader, s *frame.Sheet, doc *notes.Document) (template.HTML, error) {
	return openingAt(rd, s, doc, 0)
}

func openingAt(rd *reading.Reader, s *frame.Sheet, doc *notes.Document, depth int) (template.HTML, error) {
	first := doc.Opening()
	if first == nil {
		return "", nil
	}
	w := &writer{Reader: rd, sheet: s, doc: doc, depth: depth}
	md := goldmark.New(goldmark.WithExtensions(notes.Extensions()...), goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(w, 1))))
	var out bytes.Buffer
	for n := first.FirstChild(); n != nil; n = n.NextSibling() {
		if err := md.Renderer().Render(&out, doc.Source, n); err != nil {
			return "", fmt.Errorf("%s: %w", doc.Note.Path, err)
		}
	}
	return template.HTML(bytes.TrimSpace(out.Bytes())), nil
}

// Rest renders a note's body without its first paragraph.
func Rest(rd *reading.Reader, s *frame.Sheet, doc *notes.Document, above int) (template.HTML, error) {
	if doc == nil || doc.Root == nil {
		return "", nil
	}
	return body(rd, &writer{Reader: rd, sheet: s, doc: doc, above: above, left: doc.Opening()})
}

// marked strikes words out that were taken back, or leaves them out where the maker does not keep them.
func (w *writer) marked(out util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	t, ok := node.(*notes.Marked).Of.(*journal.TakenBack)
	if !ok {
		return ast.WalkContinue, nil
	}
	struck := t.By.Correction.Struck()
	if entering {
		if w.struck(out, t); !struck {
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	}
	if struck {
		_, _ = out.WriteString("</del>")
	}
	return ast.WalkContinue, nil
}

// struck begins words that were taken back; where the maker does not keep them, it ends there.
func (w *writer) struck(out util.BufWriter, t *journal.TakenBack) {
	if wish := address.TakenBackAnchor(t.By, t.Said); w.depth == 0 && !w.sheet.Taken(wish) {
		fmt.Fprintf(out, `<del class="taken-back" id="%s">`, w.sheet.Anchor(wish))
	} else {
		_, _ = out.WriteString(`<del class="taken-back">`)
	}
	if !t.By.Correction.Struck() {
		_, _ = out.WriteString(`<span class="gap">[words taken back]</span></del>`)
	}
}

// markedEnd puts the correction beside the words.
func (w *writer) markedEnd(out util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	t, ok := node.(*notes.MarkedEnd).Of.(*journal.TakenBack)
	if !entering || !ok {
		return ast.WalkContinue, nil
	}
	if err := w.putRight(out, t); err != nil {
		return ast.WalkStop, err
	}
	return ast.WalkContinue, nil
}

// putRight writes the correction behind the words that it takes back.
func (w *writer) putRight(out util.BufWriter, t *journal.TakenBack) error {
	said := "Corrected"
	if d := frame.DayOf(t.By.Date); d != nil {
		said += " " + d.Long
	}
	so := template.HTML("")
	if w.depth == 0 {
		var err error
		if so, err = openingAt(w.Reader, w.sheet, t.By.Document(), 1); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, ` <ins class="put-right"><b>%s:</b> %s <a href="%s">How it was found</a></ins>`, template.HTMLEscapeString(said), so, w.sheet.To(address.Correction(t.By)))
	return nil
}
