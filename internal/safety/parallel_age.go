package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// parallelAge asks whether packs side by side are of unlike age.
var parallelAge = &rule{each: eachVersion, judge: judgeParallelAge, doc: finding.Doc{
	Name: "parallel-age", Signal: finding.PropertyNotice,
	Title:   "Parallel packs of unlike age",
	What:    "Compares the dates on which packs were made that are joined without diodes. It speaks if they are more than a year apart.",
	Why:     "The older pack has less capacity and more resistance than its label; the newer one carries more of the load and of the charge.",
	Needs:   "`made` of each pack",
	Source:  "A year: common practice, no source",
	Example: "  made: 2025-11-20",
}}

const aYear = 365.25 // days

func judgeParallelAge(s *subject) []verdict {
	joined, diodes := s.several()
	if !joined || diodes {
		return nil
	}
	found := s.pairs(func(first, other *journal.Pack) []verdict {
		if !first.Made.Set || !other.Made.Set {
			return nil
		}
		days := first.Made.Time().Sub(other.Made.Time()).Hours() / 24
		apart := quantity.Number(max(days, -days) / aYear)
		g := most("difference of age", apart, 1, "")
		if !exceeds(g) {
			return nil
		}
		g.Written, g.Bound = fmt.Sprintf("%.1f years", float64(apart)), "1 year"
		return said(verdict{signal: finding.PropertyNotice, at: other.Made.Span, gauge: g,
			text:   fmt.Sprintf("%s were made on %s and on %s: the older gives less than its label says, and the newer carries more", s.both(first, other), first.Made, other.Made),
			remedy: "run each one down by itself once, and go by what each gives."})
	})
	if len(found) == 0 && !s.every(func(p *journal.Pack) bool { return p.Made.Set }) {
		return cannotPacks(s, "whether the packs are of one age", "`made` is not stated for every pack", "state the day on the pack's label, or on which it was bought.")
	}
	return found
}

// every says whether something holds of all packs.
func (s *subject) every(holds func(*journal.Pack) bool) bool {
	for i := range s.version.Packs {
		if !holds(&s.version.Packs[i]) {
			return false
		}
	}
	return true
}

// cannotPacks says that a key of the packs is wanted.
func cannotPacks(s *subject, question, because, remedy string) []verdict {
	return cannot(s.version.Packs[0].Span, question, because, remedy)
}
