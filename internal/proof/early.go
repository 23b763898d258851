package proof

import (
	"bytes"
	"maps"
	"slices"
)

// watched counts a page that is told of prints, until it is no more.
func (d *Server) watched(page string) (leave func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.open == nil {
		d.open = map[string]int{}
	}
	d.open[page]++
	return func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		if d.open[page]--; d.open[page] == 0 {
			delete(d.open, page)
		}
	}
}

// openPages are the pages that are open in some window.
func (d *Server) openPages() []string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return slices.Sorted(maps.Keys(d.open))
}

// showEarly shows a page of a print that is not yet set.
func (d *Server) showEarly(to, before pulled, p Print, page string) {
	now := pulled{number: to.number, Print: p, site: p.Site, shown: to.number, early: to.early}
	if before.number > 0 {
		_, _ = news(before, now.Print) // marks what is new
	}
	to.early[page] = nil // so that the page bears the name of one that was shown early
	f, err := p.Site.Open(page)
	if err != nil {
		delete(to.early, page)
		return
	}
	text, err := d.trial(f, now, page)
	if _ = f.Close(); err != nil { // of bytes in memory
		delete(to.early, page)
		return
	}
	to.early[page] = text
	d.mu.Lock()
	defer d.mu.Unlock()
	d.ahead = maps.Clone(to.early)
	d.tell()
}

// stillSo are the pages that a print shows to the letter as they were shown before it was set: they are not shown anew.
func (d *Server) stillSo(p pulled, early map[string][]byte) map[string][]byte {
	p.early = early
	still := map[string][]byte{}
	for page, shown := range early {
		f, err := p.site.Open(page)
		if err != nil {
			continue
		}
		text, err := d.trial(f, p, page)
		if _ = f.Close(); err == nil && bytes.Equal(text, shown) {
			still[page] = nil
		}
	}
	return still
}

// shownAhead is a page of the print that is being set.
func (d *Server) shownAhead(page string) ([]byte, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	text, ok := d.ahead[page]
	return text, ok
}
