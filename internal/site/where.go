package site

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// findingKey tells one finding from another.
type findingKey struct {
	file, rule, text string
	start            int64
}

func keyOf(f finding.Finding) findingKey {
	return findingKey{file: f.Span.File(), rule: f.Rule, text: f.Text, start: f.Span.Start}
}

// shownAt is a place of the site that shows a finding.
type shownAt struct{ page, anchor string }

// Where tells which page shows a finding, and under which anchor of it: the callout itself, the words that are at fault,
// the list of what inspection said; "" stands for the page as a whole. A finding that no page shows is on the page of
// its file; ok is false where its file has none.
func (p *Pages) Where(f finding.Finding) (page, anchor string, ok bool) {
	if at, ok := p.shown[keyOf(f)]; ok {
		return at.page, at.anchor, true
	}
	page, ok = p.madeFrom[f.Span.File()]
	return page, "", ok
}

// About lists the files of the journal that a page is made from: those whose findings are its own, else those whose
// callouts it repeats. The front page, which speaks of all of them, has none.
func (p *Pages) About(page string) []string { return p.about[page] }

// concern notes which files a page is made from.
func (p *Pages) concern(page string, own, also []string) {
	for _, file := range own {
		if _, ok := p.madeFrom[file]; !ok {
			p.madeFrom[file] = page
		}
	}
	p.about[page] = own
	if len(own) == 0 {
		p.about[page] = also
	}
}

// show notes where a finding is shown. The first place is kept.
func (p *Pages) show(f finding.Finding, page, anchor string) {
	if _, ok := p.shown[keyOf(f)]; !ok {
		p.shown[keyOf(f)] = shownAt{page, anchor}
	}
}

// fault marks the words of an embed that an error stands against, so that a trial print can lead to them: a class and an
// anchor, or "" twice. No page that is published has any.
func (w *writer) fault(e *notes.Embed) (class, id string) {
	for _, f := range w.in.Findings {
		if f.Level != finding.Error || f.Span.File() != e.Span.File() || f.Span.Start != e.Span.Start || f.Span.End != e.Span.End {
			continue
		}
		if id == "" {
			anchor := w.sheet.anchor("at-fault")
			class, id = " at-fault", fmt.Sprintf(` id="%s"`, anchor)
			if w.pageOf[f.Span.File()] == w.sheet.path {
				w.pages.show(f, w.sheet.path, anchor)
			}
		}
	}
	return class, id
}
