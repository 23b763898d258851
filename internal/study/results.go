package study

import (
	"sync"

	"voltwright/internal/drivetrain"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/runlog"
	"voltwright/internal/wiring"
)

// Results are what computing gave for the runs of a journal. They are asked for by Run, Prediction, Drive and Circuit: what was computed
// before may be there only then.
type Results struct {
	Runs        map[journal.RunID]*runlog.Result
	Predictions map[string]*predict.Prediction     // by the version's path; nil where nothing was predicted
	Drives      map[string]*drivetrain.Performance // by the version's path; nil where no drive is stated
	Circuits    map[string]*wiring.Analysis        // by the version's path; nil where no wiring is stated

	runs        map[journal.RunID]func() *runlog.Result
	predictions map[string]func() *predict.Prediction
	drives      map[string]func() *drivetrain.Performance
	circuits    map[string]func() *wiring.Analysis
}

// NewResults makes results that hold no run yet.
func NewResults() *Results { return &Results{Runs: map[journal.RunID]*runlog.Result{}} }

// later puts off what is computed until it is first asked for.
func later[K comparable, T any](of *map[K]func() T, key K, compute func() T) {
	if *of == nil {
		*of = map[K]func() T{}
	}
	(*of)[key] = sync.OnceValue(compute)
}

// found is what there is of a key, or what is computed of it now.
func found[K comparable, T any](there map[K]T, later map[K]func() T, key K) T {
	if compute, put := later[key]; put {
		return compute()
	}
	return there[key]
}

// Run is what a run came to; nil where it was not computed.
func (r *Results) Run(id journal.RunID) *runlog.Result { return found(r.Runs, r.runs, id) }

// Prediction is how long a version, by its path, runs and charges; nil where nothing was predicted.
func (r *Results) Prediction(version string) *predict.Prediction {
	return found(r.Predictions, r.predictions, version)
}

// Drive is how a version, by its path, drives; nil where it states nothing of a drive.
func (r *Results) Drive(version string) *drivetrain.Performance {
	return found(r.Drives, r.drives, version)
}

// Circuit is the wiring of a version, by its path; nil where it states none.
func (r *Results) Circuit(version string) *wiring.Analysis {
	return found(r.Circuits, r.circuits, version)
}

// Answered says whether the versions were answered for.
func (r *Results) Answered() bool { return r.Predictions != nil }

// Figure finds a figure of a run by its fixed name; false where the run was not
// computed or has no figure of that name.
func (r *Results) Figure(id journal.RunID, name string) (runlog.Figure, bool) {
	if r == nil {
		return runlog.Figure{}, false
	}
	run := r.Run(id)
	if run == nil {
		return runlog.Figure{}, false
	}
	for _, f := range run.Figures() {
		if f.Name == name {
			return f, true
		}
	}
	return runlog.Figure{}, false
}
