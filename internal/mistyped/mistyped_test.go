package mistyped

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// TestDistance holds the distance to its definition, the restricted one, by recursion.
func TestDistance(t *testing.T) {
	var naive func(a, b []rune) int
	naive = func(a, b []rune) int {
		if len(a) == 0 || len(b) == 0 {
			return len(a) + len(b)
		}
		change := naive(a[1:], b[1:])
		if a[0] != b[0] {
			change++
		}
		best := min(change, naive(a[1:], b)+1, naive(a, b[1:])+1)
		if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
			best = min(best, naive(a[2:], b[2:])+1)
		}
		return best
	}
	r := rand.New(rand.NewPCG(3, 4))
	word := func() string {
		var b strings.Builder
		for range r.IntN(6) {
			b.WriteRune([]rune("abΩ")[r.IntN(3)])
		}
		return b.String()
	}
	for range 500 {
		a, b := word(), word()
		if got, want := Distance(a, b), naive([]rune(a), []rune(b)); got != want {
			t.Fatalf("%q to %q takes %d, want %d", a, b, got, want)
		}
	}
}
