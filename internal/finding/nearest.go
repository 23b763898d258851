package finding

import "strings"

// Nearest finds the known word that a mistyped one most likely meant: the one
// with the smallest edit distance (insertion, deletion, substitution, swap of
// neighbours; Damerau 1964), if that is small for the word's length: one, or
// one more than a quarter of the characters where that is less than half of
// them. Letter case does not count. Of equally near words the first one wins.
func Nearest(word string, known []string) (string, bool) {
	limit := min(1+len(word)/4, max(1, (len(word)-1)/2))
	best, found := "", false
	for _, k := range known {
		d := distance(strings.ToLower(word), strings.ToLower(k))
		if d <= limit && (d < limit || !found) {
			best, found, limit = k, true, d
		}
	}
	return best, found
}

func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}
