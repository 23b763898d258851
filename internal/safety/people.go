package safety

import "voltwright/internal/journal"

// aboutRiders is what cannot be judged where nothing is said of who rides.
const aboutRiders = "whether it suits those who ride it"

// child says whether a child rides; stated is false where nothing says who rides.
func (s *subject) child() (is, stated bool) {
	u := s.version.Use
	if u == nil {
		return false, false
	}
	return u.Rider.Value == journal.Child, u.Rider.Set
}

// cannotRider says that a key about the rider is wanted.
func cannotRider(s *subject, question, key string) []verdict {
	if len(s.version.Packs) == 0 {
		return nil // a version of which nothing is stated is a story, not a vehicle
	}
	if u := s.version.Use; u != nil {
		return cannot(u.Span, question, "`"+key+"` is not stated in `use`", "state it; `voltwright explain use` says how.")
	}
	return cannot(s.version.Note.KindSpan, question, "`use` does not say who rides", "state `use` with `as` and `rider`.")
}
