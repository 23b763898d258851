package version

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// successorView says what came after a version.
type successorView struct {
	Planned bool
	Next    frame.Link
	Date    *frame.Day
	Latest  *frame.Link // where that is another one
}

// superseded is what the page of a version says at its top once another has taken its place; nil before that.
func superseded(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *successorView {
	next := v.Successor()
	if next == nil {
		return nil
	}
	view := &successorView{Planned: next.State.Value == journal.Planned, Next: frame.Link{Words: reading.VersionWords(next), Href: s.To(address.Version(next))}, Date: frame.DayOf(next.Date)}
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
		view.Latest = &frame.Link{Words: reading.VersionWords(latest), Href: s.To(address.Version(latest))}
	}
	return view
}
