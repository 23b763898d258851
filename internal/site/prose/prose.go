// Package prose renders what the maker wrote, with everything in it that is bound to evidence.
package prose

import (
	"bytes"
	"fmt"
	"html/template"
	"path"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"

	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Render renders a note's body for a page, as HTML that stands below a heading of the level above.
//
// Embeds become numbers, figures and tables; links to notes become links to their pages; pictures are re-encoded. An
// embed or a picture that cannot be had leaves a gap that a reader sees; inspection has already said why.
func Render(rd *reading.Reader, s *frame.Sheet, doc *notes.Document, above int) (template.HTML, error) {
	if doc == nil || doc.Root == nil {
		return "", nil
	}
	return body(rd, &writer{Reader: rd, sheet: s, doc: doc, above: above})
}

// body renders the whole body of a writer's note.
func body(rd *reading.Reader, w *writer) (template.HTML, error) {
	doc := w.doc
	if at, ok := rd.Journal.PlaceOf(doc.Note.Path); ok && w.sheet.Path == at.Address()+"index.html" {
		facts(rd, w.sheet, at)
	}
	md := goldmark.New(
		goldmark.WithExtensions(notes.Extensions()...),
		goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(w, 1))),
	)
	var out bytes.Buffer
	if err := md.Renderer().Render(&out, doc.Source, doc.Root); err != nil {
		return "", fmt.Errorf("%s: %w", doc.Note.Path, err)
	}
	return template.HTML(bytes.TrimSpace(out.Bytes())), nil
}

// writer renders what a page shows otherwise than plain Markdown does.
type writer struct {
	*reading.Reader
	sheet           *frame.Sheet
	doc             *notes.Document
	above           int
	left            ast.Node // a paragraph that is left out: it stands elsewhere on the page
	depth           int      // 1 within a correction that stands beside the words it puts right
	described, says string   // anchor and words of what the open statement rests on
	open            []int    // levels of the headings that the current one stands below, as written
}

// RegisterFuncs names the nodes that this writer renders.
func (w *writer) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(ast.KindHeading, w.heading)
	r.Register(ast.KindLink, w.link)
	r.Register(ast.KindImage, w.image)
	r.Register(ast.KindParagraph, w.paragraph)
	r.Register(ast.KindCodeBlock, w.code)
	r.Register(ast.KindFencedCodeBlock, w.code)
	r.Register(notes.KindEmbed, w.embed)
	r.Register(notes.KindEmbedBlock, w.embed)
	r.Register(notes.KindMarked, w.marked)
	r.Register(notes.KindMarkedEnd, w.markedEnd)
	r.Register(east.KindTable, w.table)
	r.Register(east.KindTableHeader, w.tableHead)
	r.Register(east.KindTableRow, w.tableRow)
	r.Register(east.KindTableCell, w.tableCell)
	r.Register(east.KindTaskCheckBox, w.taskBox)
}

var _ = extension.GFM // the nodes above are those of its tables and task lists

// heading keeps the order of levels without a step left out, whatever the maker wrote.
func (w *writer) heading(out util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Heading)
	if entering {
		for len(w.open) > 0 && w.open[len(w.open)-1] >= n.Level {
			w.open = w.open[:len(w.open)-1]
		}
		w.open = append(w.open, n.Level)
	}
	level := min(w.above+len(w.open), 6)
	if !entering {
		fmt.Fprintf(out, "</h%d>\n", level)
		return ast.WalkContinue, nil
	}
	id := ""
	if v, ok := n.AttributeString("id"); ok {
		if text, ok := v.([]byte); ok {
			id = address.HeadingAnchor(string(text))
		}
	}
	fmt.Fprintf(out, "<h%d id=\"%s\">", level, template.HTMLEscapeString(id))
	return ast.WalkContinue, nil
}

// paragraph leaves out the paragraph around a picture that is alone in it: a figure is no part of a paragraph.
func (w *writer) paragraph(out util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if node == w.left && node != nil {
		return ast.WalkSkipChildren, nil
	}
	if w.alone(node) {
		return ast.WalkContinue, nil
	}
	if entering {
		_, _ = out.WriteString("<p>")
	} else {
		_, _ = out.WriteString("</p>\n")
	}
	return ast.WalkContinue, nil
}

func (w *writer) alone(paragraph ast.Node) bool {
	if paragraph == nil || paragraph.ChildCount() != 1 {
		return false
	}
	_, image := paragraph.FirstChild().(*ast.Image)
	return image
}

func (w *writer) link(out util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Link)
	href, ok := w.linkTarget(n)
	switch {
	case entering && !ok:
		_, _ = out.WriteString(`<span class="gap">`)
	case entering:
		fmt.Fprintf(out, `<a href="%s"`, template.HTMLEscapeString(href))
		if len(n.Title) > 0 {
			fmt.Fprintf(out, ` title="%s"`, template.HTMLEscapeString(string(n.Title)))
		}
		_, _ = out.WriteString(">")
	case ok:
		_, _ = out.WriteString("</a>")
	default:
		_, _ = out.WriteString("</span>")
		if l, local := w.doc.LinkOf(n); local && l.Path != "" {
			_, _ = out.WriteString(" (not published)")
		}
	}
	return ast.WalkContinue, nil
}

// linkTarget is where a link of the prose leads on the site; false where it leads nowhere.
func (w *writer) linkTarget(n *ast.Link) (string, bool) {
	l, local := w.doc.LinkOf(n)
	if !local {
		dest := string(util.URLEscape(n.Destination, true))
		scheme, _, found := strings.Cut(dest, ":")
		switch strings.ToLower(scheme) {
		case "http", "https", "mailto":
			return dest, found
		}
		return "", false
	}
	fragment := ""
	if l.Fragment != "" {
		fragment = "#" + address.HeadingAnchor(l.Fragment)
	}
	if l.Path == "" {
		return fragment, fragment != "" && !l.Outside
	}
	if page, ok := w.PageOf[strings.TrimSuffix(l.Path, "/")]; ok {
		return w.sheet.To(page + fragment), true
	}
	if target, ok := w.Attach(l.Path); ok {
		return address.Escape(w.sheet.To(target)), true
	}
	return "", false
}

func (w *writer) image(out util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	n := node.(*ast.Image)
	l, local := w.doc.LinkOf(n)
	if !local {
		writeGap(out, "a picture that is not part of this journal")
		return ast.WalkSkipChildren, nil
	}
	pic, ok := w.Picture(l.Path, l.Span)
	if !ok {
		writeGap(out, "a picture that could not be shown: "+l.Words)
		return ast.WalkSkipChildren, nil
	}
	shown := w.Image(w.sheet, pic, l.Words)
	img := fmt.Sprintf(`<picture><source type="image/webp" srcset="%s" sizes="%s"><img src="%s" alt="%s" width="%d" height="%d" loading="lazy"></picture>`,
		template.HTMLEscapeString(string(shown.Set)), shown.Sizes, template.HTMLEscapeString(shown.Href), template.HTMLEscapeString(shown.Alt), shown.Width, shown.Height)
	if !w.alone(node.Parent()) {
		_, _ = out.WriteString(img)
		return ast.WalkSkipChildren, nil
	}
	c := w.sheet.Figure(notes.Slug(stem(pic.Target)))
	text := string(n.Title)
	if text == "" {
		text = numeral.Sentence(l.Words)
	}
	fmt.Fprintf(out, "<figure class=\"picture\" id=\"%s\">%s<figcaption><b>%s.</b> %s&nbsp;%s</figcaption></figure>\n",
		c.Anchor, img, c.Label, template.HTMLEscapeString(text), quoteLink(c))
	return ast.WalkSkipChildren, nil
}

// quoteLink is the visible link by which a figure or table can be quoted.
func quoteLink(c frame.Caption) string {
	return fmt.Sprintf(`<a class="here" href="#%s" aria-label="Link to %s">§</a>`, c.Anchor, strings.ToLower(c.Label[:1])+c.Label[1:])
}

func writeGap(out util.BufWriter, words string) {
	fmt.Fprintf(out, `<span class="gap">[%s]</span>`, template.HTMLEscapeString(words))
}

// code writes empty lines as character references, which no later tidying takes away.
func (w *writer) code(out util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	var text bytes.Buffer
	for i := range node.Lines().Len() {
		line := node.Lines().At(i)
		text.Write(line.Value(source))
	}
	fmt.Fprintf(out, "<pre tabindex=\"0\"><code>%s</code></pre>\n", Preformatted(text.String()))
	return ast.WalkSkipChildren, nil
}

// Preformatted keeps the lines of a text as they are, its empty ones too.
func Preformatted(text string) template.HTML {
	var b strings.Builder
	for line := range strings.Lines(text) {
		if strings.TrimSpace(line) == "" {
			b.WriteString("&#10;")
			continue
		}
		b.WriteString(template.HTMLEscapeString(line))
	}
	return template.HTML(strings.TrimRight(b.String(), "\n"))
}

func (w *writer) table(out util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = out.WriteString("<div class=\"wide\" role=\"region\" aria-label=\"Table\" tabindex=\"0\"><table>\n")
	} else {
		_, _ = out.WriteString("</tbody></table></div>\n")
	}
	return ast.WalkContinue, nil
}

func (w *writer) tableHead(out util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = out.WriteString("<thead><tr>")
	} else {
		_, _ = out.WriteString("</tr></thead>\n<tbody>\n")
	}
	return ast.WalkContinue, nil
}

func (w *writer) tableRow(out util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = out.WriteString("<tr>")
	} else {
		_, _ = out.WriteString("</tr>\n")
	}
	return ast.WalkContinue, nil
}

func (w *writer) tableCell(out util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*east.TableCell)
	tag, scope, class := "td", "", ""
	if n.Parent().Kind() == east.KindTableHeader {
		tag, scope = "th", ` scope="col"`
	}
	if n.Alignment == east.AlignRight {
		class = ` class="q"`
	}
	if entering {
		fmt.Fprintf(out, "<%s%s%s>", tag, scope, class)
	} else {
		fmt.Fprintf(out, "</%s>", tag)
	}
	return ast.WalkContinue, nil
}

func (w *writer) taskBox(out util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	if node.(*east.TaskCheckBox).IsChecked {
		_, _ = out.WriteString("[done] ")
	} else {
		_, _ = out.WriteString("[to do] ")
	}
	return ast.WalkContinue, nil
}

// embed puts what is bound to evidence in its place.
func (w *writer) embed(out util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	var e *notes.Embed
	block := false
	switch n := node.(type) {
	case *notes.EmbedNode:
		e = n.Embed
	case *notes.EmbedBlock:
		e, block = n.Embed, true
	}
	switch {
	case e == nil:
		return ast.WalkSkipChildren, nil
	case e.Scheme == notes.ValueScheme:
		return w.value(out, e, entering)
	case e.Scheme == notes.SourceScheme:
		return w.quotation(out, e, entering)
	case !entering:
		return ast.WalkContinue, nil
	}
	var html template.HTML
	ok := false
	var err error
	switch {
	case !block:
		w.NotShown(e, fmt.Sprintf("a %s cannot stand within a line", e.Scheme), "give it a paragraph to itself, with an exclamation mark before its bracket.")
	case e.Scheme == notes.PlotScheme:
		html, ok, err = w.plotEmbed(e)
	case e.Scheme == notes.TableScheme:
		html, ok, err = w.tableEmbed(e)
	default:
		html, ok, err = w.diagramEmbed(e)
	}
	if err != nil {
		return ast.WalkStop, err
	}
	if ok {
		_, _ = out.WriteString(string(html))
		return ast.WalkSkipChildren, nil
	}
	if block {
		_, _ = out.WriteString("<p>")
	}
	writeGap(out, fmt.Sprintf("not here yet: %s (%s:%s)", e.Words, e.Scheme, e.Target))
	if block {
		_, _ = out.WriteString("</p>\n")
	}
	return ast.WalkSkipChildren, nil
}

func stem(file string) string { return strings.TrimSuffix(path.Base(file), path.Ext(file)) }
