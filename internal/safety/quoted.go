package safety

import (
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// quote is a bound number of a text and the run that it is bound to.
type quote struct {
	embed  *notes.Embed
	target journal.Target
}

// quotes lists the figures of runs that a text quotes.
func (s *subject) quotes() []quote {
	var out []quote
	for _, e := range s.place.Bound() {
		if e.Scheme != notes.ValueScheme {
			continue
		}
		if t, broken := s.journal.Target(s.place, e); broken == nil && t.Run != nil {
			out = append(out, quote{e, t})
		}
	}
	return out
}

// driven are the figures that depend on what a run moved, and where.
var driven = []string{"running-time", "elapsed-time", "distance", "energy-per-distance", "mean-current", "p95-current", "top-speed", "mean-speed"}
