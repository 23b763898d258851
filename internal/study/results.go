package study

import (
	"voltwright/internal/drivetrain"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/runlog"
	"voltwright/internal/wiring"
)

// Results are what computing gave for the runs of a journal.
type Results struct {
	Runs        map[journal.RunID]*runlog.Result
	Predictions map[string]*predict.Prediction     // by the version's path; nil where nothing was predicted
	Drives      map[string]*drivetrain.Performance // by the version's path; nil where no drive is stated
	Circuits    map[string]*wiring.Analysis        // by the version's path; nil where no wiring is stated
}

// NewResults makes results that hold no run yet.
func NewResults() *Results { return &Results{Runs: map[journal.RunID]*runlog.Result{}} }

// Figure finds a figure of a run by its fixed name; false where the run was not
// computed or has no figure of that name.
func (r *Results) Figure(id journal.RunID, name string) (runlog.Figure, bool) {
	if r == nil || r.Runs[id] == nil {
		return runlog.Figure{}, false
	}
	for _, f := range r.Runs[id].Figures() {
		if f.Name == name {
			return f, true
		}
	}
	return runlog.Figure{}, false
}
