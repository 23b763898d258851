package site

import (
	"slices"

	"voltwright/internal/journal"
)

// successorView says what came after a version.
type successorView struct {
	Planned bool
	Next    link
	Date    *day
	Latest  *link // where that is another one
}

// successor is the version that took a version's place: of those that follow it by their own word, or else have a higher
// number and follow none, the first that is built, or else the first that is planned; nil for none.
func successor(v *journal.Version) *journal.Version {
	said := func(w *journal.Version) bool { return w.Before == v }
	higher := func(w *journal.Version) bool { return w.Before == nil && w.Number > v.Number }
	built := func(w *journal.Version) bool { return w.State.Value != journal.Planned }
	for _, follows := range []func(*journal.Version) bool{said, higher} {
		for _, wanted := range []func(*journal.Version) bool{built, func(*journal.Version) bool { return true }} {
			i := slices.IndexFunc(v.Vehicle.Versions, func(w *journal.Version) bool { return w != v && follows(w) && wanted(w) })
			if i >= 0 {
				return v.Vehicle.Versions[i]
			}
		}
	}
	return nil
}

// superseded is what the page of a version says at its top once another has taken its place; nil before that.
func (b *builder) superseded(s *sheet, v *journal.Version) *successorView {
	next := successor(v)
	if next == nil {
		return nil
	}
	view := &successorView{Planned: next.State.Value == journal.Planned, Next: link{Words: versionWords(next), Href: s.to(versionPage(next))}, Date: dayOf(next.Date)}
	latest := next
	for seen := map[*journal.Version]bool{v: true}; latest != nil && !seen[latest]; {
		seen[latest] = true
		w := successor(latest)
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
