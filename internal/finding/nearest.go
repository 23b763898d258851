package finding

import (
	"strings"

	"voltwright/internal/mistyped"
)

// Nearest finds the known word that a mistyped one most likely meant: the one
// with the smallest edit distance (insertion, deletion, substitution, swap of
// neighbours; Damerau 1964), if that is small for the word's length: one, or
// one more than a quarter of the characters where that is less than half of
// them. Letter case does not count. Of equally near words the first one wins.
func Nearest(word string, known []string) (string, bool) {
	limit := min(1+len(word)/4, max(1, (len(word)-1)/2))
	best, found := "", false
	for _, k := range known {
		d := mistyped.Distance(strings.ToLower(word), strings.ToLower(k))
		if d <= limit && (d < limit || !found) {
			best, found, limit = k, true, d
		}
	}
	return best, found
}
