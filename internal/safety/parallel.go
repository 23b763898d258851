package safety

import (
	"fmt"

	"voltwright/internal/journal"
)

// several says whether the version has packs that are joined, and whether each
// goes through a diode so that none charges another.
func (s *subject) several() (joined, diodes bool) {
	if len(s.version.Packs) < 2 {
		return false, false
	}
	for i := range s.version.Packs {
		if s.version.Packs[i].Joined.Value != journal.ThroughDiode {
			return true, false
		}
	}
	return true, true
}

// named is what a pack of several is called.
func (s *subject) named(p *journal.Pack) string {
	own := *s
	own.pack = p
	return own.packName()
}

// pairs calls do with the first pack and each other one.
func (s *subject) pairs(do func(first, other *journal.Pack) []verdict) []verdict {
	var out []verdict
	for i := 1; i < len(s.version.Packs); i++ {
		out = append(out, do(&s.version.Packs[0], &s.version.Packs[i])...)
	}
	return out
}

// both names a pair for a sentence.
func (s *subject) both(first, other *journal.Pack) string {
	return fmt.Sprintf("`%s` and `%s`", s.named(first), s.named(other))
}
