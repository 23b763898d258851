package site

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
)

const correctionsPage = "corrections/index.html"

func correctionPage(n *journal.NotePage) string { return "corrections/" + n.Slug + "/index.html" }

// correctionView is the view of a correction's page.
type correctionView struct {
	Date    *day
	So      template.HTML
	Said    []saidRow
	Found   template.HTML
	Since   *day
	Touched []link
	Story   template.HTML
	Matters bool
	Struck  bool
}

type saidRow struct {
	Words string
	Page  link
}

// correctedLine is a line at the head of a page that a correction concerns.
type correctedLine struct {
	Correction link
	Date       *day
	Here       string // anchor of the words that were taken back on this page; "" where it is only touched
	Matters    bool
}

func (b *builder) correction(s *sheet, n *journal.NotePage) error {
	c := n.Correction
	v := correctionView{Date: dayOf(n.Date), Since: dayOf(c.Since),
		Matters: c.MattersForSafety.Value, Struck: c.Struck()}
	found := c.Found
	if len(found.Parts) == 0 {
		found.Text = sentence(found.Text)
	}
	var err error
	if v.Found, err = b.line(s, journal.Place{Page: n}, found); err != nil {
		return err
	}
	if v.So, err = b.opening(s, n.Document); err != nil {
		return err
	}
	if v.Story, err = b.rest(s, n.Document, 2); err != nil {
		return err
	}
	for i := range c.Said.List {
		said := &c.Said.List[i]
		if len(said.Spans) > 0 {
			to := b.placeLink(s, said.Place)
			to.Href += "#" + takenBackAnchor(n, said)
			v.Said = append(v.Said, saidRow{said.Words.Text, to})
		}
	}
	for _, p := range c.Touched {
		v.Touched = append(v.Touched, b.placeLink(s, p))
	}
	b.inspect(s, []string{n.Note.Path}, nil)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Correction", v.Date, "first issue"
	s.Linked = b.linkedCorrection(n)
	s.Body = v
	return nil
}

// placeLink leads to the page of a place.
func (b *builder) placeLink(s *sheet, p journal.Place) link {
	words := ""
	switch {
	case p.Page != nil:
		words = or(p.Page.Title.Text, p.Page.Slug)
	case p.Run != nil:
		words = fmt.Sprintf("%s: %s", runWords(p.Run), p.Run.Name.Text)
	case p.Version != nil:
		words = p.Vehicle.Name.Text + ", " + midSentence(versionWords(p.Version))
	case p.Vehicle != nil:
		words = p.Vehicle.Name.Text
	}
	return link{Words: words, Href: s.to(p.Address() + "index.html")}
}

// takenBackAnchor is where the words of one place stand on its page.
func takenBackAnchor(n *journal.NotePage, said *journal.Said) string {
	return fmt.Sprintf("taken-back-%s-%d", n.Slug, said.Number)
}

// corrected lists the corrections that concern a page.
func (b *builder) corrected(s *sheet) []correctedLine {
	at, ok := b.in.Journal.PlaceOf(s.note)
	if !ok || s.note == "" || s.note == notes.JournalFile {
		return nil
	}
	list := b.in.Journal.CorrectionsOf(at)
	if len(list) == 0 {
		return nil
	}
	var out []correctedLine
	for _, n := range list {
		line := correctedLine{Correction: link{Words: n.Title.Text, Href: s.to(correctionPage(n))}, Date: dayOf(n.Date), Matters: n.Correction.MattersForSafety.Value}
		for i := range n.Correction.Said.List {
			if said := &n.Correction.Said.List[i]; said.Place == at && len(said.Spans) > 0 && line.Here == "" {
				line.Here = takenBackAnchor(n, said)
			}
		}
		out = append(out, line)
	}
	if s.Linked == "" {
		s.Linked = b.linkedCorrected(s, list)
	}
	return out
}

// correctionsView is the view of the list of corrections.
type correctionsView struct {
	Lead string
	Rows []correctionRow
}

type correctionRow struct {
	Correction link
	Date       *day
	So         string
	Pages      []link
	Matters    bool
}

func (b *builder) correctionIndex(s *sheet) error {
	j := b.in.Journal
	v := correctionsView{Lead: fmt.Sprintf("%s, the newest first. What was wrong stays to be seen, with what is so beside it.", count(len(j.Corrections), "correction"))}
	var files []string
	var dates []notes.Date
	for _, n := range j.Corrections {
		row := correctionRow{Correction: link{Words: or(n.Title.Text, n.Slug), Href: s.to(correctionPage(n))}, Date: dayOf(n.Date), So: onPage(b.plainOpening(n)), Matters: n.Correction.MattersForSafety.Value}
		for _, p := range n.Correction.Places() {
			row.Pages = append(row.Pages, b.placeLink(s, p))
		}
		v.Rows = append(v.Rows, row)
		files, dates = append(files, n.Note.Path), append(dates, n.Date)
	}
	b.inspect(s, nil, files)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "List of corrections", dayOf(newest(dates...)), count(len(j.Corrections), "correction")
	s.Body = v
	return nil
}

// opening renders the first paragraph of a note without the paragraph around it.
func (b *builder) opening(s *sheet, doc *notes.Document) (template.HTML, error) {
	return b.openingAt(s, doc, 0)
}

func (b *builder) openingAt(s *sheet, doc *notes.Document, depth int) (template.HTML, error) {
	first := doc.Opening()
	if first == nil {
		return "", nil
	}
	w := &writer{builder: b, sheet: s, doc: doc, depth: depth}
	md := goldmark.New(goldmark.WithExtensions(notes.Extensions()...), goldmark.WithRendererOptions(renderer.WithNodeRenderers(util.Prioritized(w, 1))))
	var out bytes.Buffer
	for n := first.FirstChild(); n != nil; n = n.NextSibling() {
		if err := md.Renderer().Render(&out, doc.Source, n); err != nil {
			return "", fmt.Errorf("%s: %w", doc.Note.Path, err)
		}
	}
	return template.HTML(bytes.TrimSpace(out.Bytes())), nil
}

// rest renders a note's body without its first paragraph.
func (b *builder) rest(s *sheet, doc *notes.Document, above int) (template.HTML, error) {
	if doc == nil || doc.Root == nil {
		return "", nil
	}
	return b.body(&writer{builder: b, sheet: s, doc: doc, above: above, left: doc.Opening()})
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
	if wish := takenBackAnchor(t.By, t.Said); w.depth == 0 && !w.sheet.ids[wish] {
		fmt.Fprintf(out, `<del class="taken-back" id="%s">`, w.sheet.anchor(wish))
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
	if d := dayOf(t.By.Date); d != nil {
		said += " " + d.Long
	}
	so := template.HTML("")
	if w.depth == 0 {
		var err error
		if so, err = w.openingAt(w.sheet, t.By.Document, 1); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, ` <ins class="put-right"><b>%s:</b> %s <a href="%s">How it was found</a></ins>`, template.HTMLEscapeString(said), so, w.sheet.to(correctionPage(t.By)))
	return nil
}
