package frame

import (
	"voltwright/internal/finding"
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

// Concern notes which files a page is made from.
func (p *Pages) Concern(page string, own, also []string) {
	if p.making != nil {
		p.making.Concerns = append(p.making.Concerns, concern{page, own, also})
	}
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

// Show notes where a finding is shown. The first place is kept.
func (p *Pages) Show(f finding.Finding, page, anchor string) {
	p.show(keyOf(f), shownAt{page, anchor})
}

func (p *Pages) show(f findingKey, at shownAt) {
	if p.making != nil {
		p.making.Shown = append(p.making.Shown, shown{f.file, f.rule, f.text, f.start, at.page, at.anchor})
	}
	if _, ok := p.shown[f]; !ok {
		p.shown[f] = at
	}
}
