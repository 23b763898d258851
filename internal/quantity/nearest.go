package quantity

import (
	"strings"
	"unicode/utf8"

	"voltwright/internal/mistyped"
)

// nearestUnit is the known unit whose spelling is nearest to name, first among
// those of the wanted dimension; "" if none is near enough to be worth naming.
func nearestUnit(name string, want Dimension) string {
	if name == "" || utf8.RuneCountInString(name) > 24 {
		return ""
	}
	if want != anyDimension {
		if found := nearestAmong(name, func(d Dimension) bool { return d == want }); found != "" {
			return found
		}
	}
	return nearestAmong(name, func(Dimension) bool { return true })
}

func nearestAmong(name string, eligible func(Dimension) bool) string {
	lower := strings.ToLower(name)
	// A change of more than half the letters is another word, not a slip.
	best, found := min(2, utf8.RuneCountInString(name)/2)+1, ""
	for _, s := range scales {
		if s.symbol == "" || !eligible(s.dimension) {
			continue
		}
		for _, known := range append([]string{s.symbol}, s.aliases...) {
			if d := mistyped.Distance(lower, strings.ToLower(known)); d < best {
				best, found = d, s.symbol
			}
		}
	}
	return found
}
