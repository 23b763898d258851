package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// refuseTable says whether the rows are results, one to a cycle or one to a trip, and no samples of a run.
func (s *Scanner) refuseTable(a *assigner, span finding.Span) bool {
	summary := map[string]bool{}
	for i := range a.plan.heads {
		for _, w := range a.plan.heads[i].words {
			switch w {
			case "min", "max", "avg", "mean", "average", "minimum", "maximum", "start", "starting", "ending", "end", "total", "efficiency", "retention":
				summary[a.plan.names[i]] = true
			}
		}
	}
	charge, open := false, false
	for i := range a.plan.heads {
		h := &a.plan.heads[i]
		charge = charge || h.has("soc", "dod", "charge")
		open = open || h.has("ocv", "ocp") || h.has("open") && h.has("circuit")
	}
	each := a.countsRows(Cycle)
	var text string
	switch n := len(summary); {
	case charge && open && !a.has(Time) && !a.has(Current):
		text = "it has the open-circuit voltage against the state of charge"
	case each && (n >= 2 || len(a.window) >= 3 && !a.has(Current)):
		text = "every row is another cycle"
	case n >= 4 && 3*n >= len(a.plan.names) && !a.has(Current):
		text = fmt.Sprintf("%d of its %d columns are least, greatest, mean or total values", n, len(a.plan.names))
	default:
		return false
	}
	s.refuse("log-table-of-results", "this is a table of results and not the log of a run: "+text,
		"attach the log that the table was made from", span)
	return true
}

// countsRows says whether the channel's column rises by one in every row.
func (a *assigner) countsRows(c Channel) bool {
	for _, src := range a.plan.sources {
		if src.channel != c || len(a.window) < 3 {
			continue
		}
		for k := 1; k < len(a.window); k++ {
			d := a.window[k][src.index] - a.window[k-1][src.index]
			if !(math.Abs(d) >= 1) {
				return false
			}
		}
		return true
	}
	return false
}
