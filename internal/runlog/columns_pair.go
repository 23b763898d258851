package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// Two columns that hold one current are joined; our own choice.
const (
	pairIdle  = 0.02 // part of a column's greatest value up to which it counts as nothing
	pairOften = 0.02 // part of the rows in which both may flow
)

// pair finds two columns of which one holds the current that goes in and the other the one that comes out, and takes them
// for one current. The second one stands in plan.back.
func (a *assigner) pair() {
	if a.has(Current) {
		return
	}
	in, out := -1, -1
	for i := range a.plan.heads {
		if a.taken[i] || a.kind(i) != kindNumber {
			continue
		}
		h := &a.plan.heads[i]
		c, score := h.channel()
		if c != Current || score < leastScore {
			continue
		}
		back, forth := h.hasAny(returned), h.hasAny(drawn)
		switch {
		case back && !forth && in < 0:
			in = i
		case forth && !back && out < 0:
			out = i
		default:
			return // a current of both, or more than two
		}
	}
	if in < 0 || out < 0 || a.bothFlow(in, out) {
		return
	}
	a.take(Current, out, fmt.Sprintf("what comes out; what goes in from %s", PublicHead(a.describe(in))))
	a.take(Current, in, "what goes in")
	n := len(a.plan.sources) - 1
	a.plan.back, a.plan.sources = &a.plan.sources[n], a.plan.sources[:n:n]
	a.report.add(finding.Finding{Rule: "log-columns-joined", Level: finding.Note, Span: a.headSpan,
		Text:   fmt.Sprintf("%s and %s are read as one current, what goes in taken from what comes out", a.describe(out), a.describe(in)),
		Remedy: "if they are two currents, name the one that is meant: `columns: {current: HEAD}`"})
}

// bothFlow says whether both columns hold a current in one row too often to be one that goes one way or the other.
func (a *assigner) bothFlow(i, j int) bool {
	var top [2]float64
	for _, row := range a.window {
		top[0] = max(top[0], absOr0(row[i]))
		top[1] = max(top[1], absOr0(row[j]))
	}
	both := 0
	for _, row := range a.window {
		if absOr0(row[i]) > pairIdle*top[0] && absOr0(row[j]) > pairIdle*top[1] {
			both++
		}
	}
	return float64(both) > pairOften*float64(len(a.window))
}

func absOr0(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return math.Abs(x)
}

// join gives a row the current of its two columns.
func (t *rowTime) join(s *Sample) {
	if t.way > 0 {
		s.Values[Current] = absOr0(s.Values[Current]) - math.Abs(t.back)
	} else if i := s.Values[Current]; !math.IsNaN(i) {
		s.Values[Current] = math.Abs(i)
	}
}
