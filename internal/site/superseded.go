package site

import "voltwright/internal/journal"

// successorView says what came after a version.
type successorView struct {
	Planned bool
	Next    link
	Date    *day
	Latest  *link // where that is another one
}

// superseded is what the page of a version says at its top once another has taken its place; nil before that.
func (b *builder) superseded(s *sheet, v *journal.Version) *successorView {
	next := v.Successor()
	if next == nil {
		return nil
	}
	view := &successorView{Planned: next.State.Value == journal.Planned, Next: link{Words: versionWords(next), Href: s.to(versionPage(next))}, Date: dayOf(next.Date)}
	latest := next
	for seen := map[*journal.Version]bool{v: true}; latest != nil && !seen[latest]; {
		seen[latest] = true
		w := latest.Successor()
		if w == nil || w.State.Value == journal.Planned || seen[w] {
			break
		}
		latest = w
	}
	if latest != next {
		view.Latest = &link{Words: versionWords(latest), Href: s.to(versionPage(latest))}
	}
	return view
}
