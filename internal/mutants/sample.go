package mutants

import (
	"math/rand/v2"
	"slices"
)

// Sample takes so many of the changes at random, of each package its share and two at least; the same seed takes the same
// of the same code.
func (s *Set) Sample(size int, seed uint64) []*Mutant {
	if size <= 0 || size >= len(s.All) {
		return s.All
	}
	by := map[*Source][]*Mutant{}
	for _, m := range s.All {
		by[m.Source] = append(by[m.Source], m)
	}
	r := rand.New(rand.NewPCG(seed, seed))
	var out []*Mutant
	for _, src := range s.sources {
		of := by[src]
		r.Shuffle(len(of), func(i, j int) { of[i], of[j] = of[j], of[i] })
		out = append(out, of[:min(len(of), max(2, (size*len(of)+len(s.All)/2)/len(s.All)))]...)
	}
	slices.SortFunc(out, func(a, b *Mutant) int { return a.Number - b.Number })
	return out
}
