package quantity

import (
	"slices"
	"strings"
	"unicode/utf8"
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
			if d := editDistance(lower, strings.ToLower(known)); d < best {
				best, found = d, s.symbol
			}
		}
	}
	return found
}

// editDistance counts the insertions, deletions and substitutions of a rune and
// the swaps of two neighbours between a and b, no rune touched twice (the
// restricted distance of Damerau and Levenshtein).
func editDistance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	var before []int // the row before the last
	for i, r := range from {
		diagonal := row[0]
		last := slices.Clone(row)
		row[0] = i + 1
		for j, c := range to {
			change := diagonal
			if r != c {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
			if i > 0 && j > 0 && r == to[j-1] && from[i-1] == c {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before = last
	}
	return row[len(to)]
}
