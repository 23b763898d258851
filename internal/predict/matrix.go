package predict

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Matrix is which runs teach and which are held against what they teach, tried in every way that is small enough.
type Matrix struct {
	Why    string         // why there is none, a sentence; all else is empty then
	Level  string         // the voltage of the answer, as battery names it
	Name   string         // in words: "the cutout"
	Volts  quantity.Volts // of the pack
	Left   int            // older runs that were not tried
	Checks []Validation   // CalibratedOn tells by which runs; by the choice, then by the run
}

const (
	mostMatrixRuns = 12 // runs that are tried, the newest: 24 calibrations
	mostPairedRuns = 5  // with more, not every pair is tried
)

// CheckAt is the check at the voltage of the answer; false: the run did not come down to it.
func (m *Matrix) CheckAt(c Validation) (LevelCheck, bool) {
	i := slices.IndexFunc(c.Checks, func(l LevelCheck) bool { return l.Level == m.Level })
	if i < 0 {
		return LevelCheck{}, false
	}
	return c.Checks[i], true
}

// choices are the sets of n that teach, as small as they are told apart: each alone, all but each, and of few each pair.
func choices(n int) [][]int {
	var out [][]int
	add := func(set []int) {
		if len(set) > 0 && len(set) < n && !slices.ContainsFunc(out, func(o []int) bool { return slices.Equal(o, set) }) {
			out = append(out, set)
		}
	}
	for i := range n {
		add([]int{i})
	}
	for i := 0; i < n && n <= mostPairedRuns; i++ {
		for j := i + 1; j < n; j++ {
			add([]int{i, j})
		}
	}
	for i := range n {
		var others []int
		for j := range n {
			if j != i {
				others = append(others, j)
			}
		}
		add(others)
	}
	return out
}

// ComputeMatrix tries every choice of the runs that can teach, whichever of them were chosen. begin is told of how many calibrations there
// are and gives what is told of each; nil hears nothing. Only Options' PackCache is looked at.
func ComputeMatrix(b Bank, runs []Run, o Options, begin func(total int64) (add func(int64))) *Matrix {
	if err := b.Check(); err != nil {
		return &Matrix{Why: finding.SentenceOf(err)}
	}
	plain, err := typical(b, !b.insisted(), o.PackCache)
	if err != nil {
		return &Matrix{Why: finding.SentenceOf(err)}
	}
	m := &Matrix{}
	var can []int
	for i, l := range calibrationRuns(plain, runs) {
		if l.log != nil {
			can = append(can, i)
		}
	}
	if len(can) < 2 {
		m.Why = fmt.Sprintf("It takes two runs that can teach to hold one against the other; the version has %d.", len(can))
		return m
	}
	m.Left = max(0, len(can)-mostMatrixRuns)
	can = can[m.Left:]
	at := plain.levels()[0]
	m.Level, m.Name, m.Volts = at.Name, plain.nameOf(at.Name), at.Volts
	all := choices(len(can))
	done := func(int64) {}
	if begin != nil {
		done = begin(int64(len(all)))
	}
	for _, set := range all {
		m.Checks = append(m.Checks, split(b, runs, can, set, o.PackCache)...)
		done(1)
	}
	return m
}

// split lets the runs of a choice teach and predicts the others of those that can.
func split(b Bank, runs []Run, can, set []int, keep Cache) []Validation {
	chosen := slices.Clone(runs)
	for i := range chosen {
		chosen[i].OnlyChecked = true
	}
	var names []string
	for _, i := range set {
		chosen[can[i]].OnlyChecked = false
		names = append(names, chosen[can[i]].ID)
	}
	keep = keep.under("taught by " + strings.Join(names, " ") + ":")
	var out []Validation
	keep.sure("checks", &out, func() {
		k, _, basis, err := calibrate(b, chosen, keep)
		if err != nil { // there is no row for what cannot be told of its packs
			return
		}
		var by []string
		for _, l := range basis.Runs {
			if l.Taught {
				by = append(by, l.Run)
			}
		}
		for n, i := range can {
			l := basis.Runs[i].log
			if slices.Contains(set, n) || l == nil {
				continue
			}
			c, err := validate(k, l)
			if err != nil {
				c.Why = "It could not be predicted: " + finding.SentenceOf(err)
			}
			c.CalibratedOn = by
			out = append(out, c)
		}
	})
	return out
}
