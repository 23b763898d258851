// Package study computes what a journal comes to, each result once and in order: its runs are measured, then it is told how
// long its versions run and charge, how they drive, and what their wiring does.
//
// It is the only place that orders the work. Each step is a pure function of what it takes; runs do not know of each other and
// are measured side by side, and so are versions, and what comes out is the same in any order. What a step came to is taken
// from the store where it was computed before from the same input by the same program.
package study

import (
	"crypto/sha256"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/progress"
	"voltwright/internal/store"
	"voltwright/internal/wiring"
)

// Study is a journal and its results as far as they are computed.
type Study struct {
	Journal *journal.Journal
	Results *Results
	Told    progress.Report // hears how far it is

	folder *notes.Folder
	store  *store.Store
	rests  func() ([sha256.Size]byte, bool) // see Rests
}

// New is the study of a journal of which nothing is computed yet. A nil store computes everything.
func New(folder *notes.Folder, j *journal.Journal, s *store.Store) *Study {
	of := &Study{Journal: j, Results: NewResults(), folder: folder, store: s}
	of.rests = sync.OnceValues(of.restsOf)
	return of
}

// Measure measures every run. A run whose evidence cannot be read as it was meant has no result, and a finding: what it came
// to would be held against sentences that may be right.
func (s *Study) Measure(findings *finding.List) {
	runs := s.Journal.Runs()
	if s.store == nil {
		s.measureAll(runs, findings)
		return
	}
	sum, ok := s.Rests()
	if !ok {
		s.measureAll(runs, findings)
		return
	}
	if key := store.KeyOf("runs", sum[:]); !s.measuredBefore(key, runs, findings) {
		s.keepRuns(key, runs, s.measureAll(runs, findings))
	}
}

// MeasureOf measures the runs of one version alone.
func (s *Study) MeasureOf(v *journal.Version, findings *finding.List) { s.measureAll(v.Runs, findings) }

// measuredRun is a run and why it could not be read.
type measuredRun struct {
	run
	err error
}

func (s *Study) measureAll(runs []*journal.Run, findings *finding.List) []measuredRun {
	all := make([]measuredRun, len(runs))
	read := s.Told.Begin(progress.Measuring, s.bytesOf(runs))
	each(len(runs), func(i int) {
		all[i].result, all[i].found, all[i].err = s.one(runs[i], read)
	})
	for i, m := range all {
		s.note(runs[i], m, findings)
	}
	return all
}

// note notes what a run came to, and what was found of it.
func (s *Study) note(r *journal.Run, m measuredRun, findings *finding.List) {
	findings.Add(m.found...)
	if m.err != nil {
		findings.Add(unreadable(r, m.err))
	} else if m.result != nil && !slices.ContainsFunc(m.found, func(f finding.Finding) bool { return f.Level == finding.Error }) {
		s.Results.Runs[r.ID()] = m.result
	}
}

// Answer computes how long every version runs and charges that states a pack. The runs must be measured. amend, where it is not nil, is
// told of each answer, and may change it.
func (s *Study) Answer(amend func(*journal.Version, *predict.Prediction)) {
	versions := s.answerable()
	answers := make([]*predict.Prediction, len(versions))
	done := s.Told.Begin(progress.Answering, int64(len(versions)))
	each(len(versions), func(i int) {
		answers[i] = s.answer(versions[i], amend)
		done(1)
	})
	s.Results.Predictions = map[string]*predict.Prediction{}
	for i, v := range versions {
		s.Results.Predictions[v.Path()] = answers[i]
	}
}

// AnswerLater is Answer that computes each answer when it is first asked for, as is best where little will be asked.
func (s *Study) AnswerLater(amend func(*journal.Version, *predict.Prediction)) {
	s.Results.Predictions = map[string]*predict.Prediction{}
	for _, v := range s.answerable() {
		later(&s.Results.predictions, v.Path(), func() *predict.Prediction { return s.answer(v, amend) })
	}
}

func (s *Study) answerable() []*journal.Version {
	return slices.DeleteFunc(s.versions(), func(v *journal.Version) bool { return len(v.Packs) == 0 })
}

func (s *Study) answer(v *journal.Version, amend func(*journal.Version, *predict.Prediction)) *predict.Prediction {
	a := s.Ask(v, predict.Options{Stated: StatedLoads(v), Grid: s.Journal.AsksRunTime(v)})
	if amend != nil && a != nil {
		amend(v, a)
	}
	return a
}

// Ask computes the answers for a version of the journal, or one made from it, that are asked for.
func (s *Study) Ask(v *journal.Version, o predict.Options) *predict.Prediction {
	masses := Masses(v)
	o.Masses = &masses
	bank, trials := Bank(v), PredictRuns(v, s.Results)
	packs := store.KeyOf("packs", bank, trials)
	asked := packs.With(o)
	o.PackCache, o.RequestCache = s.keep(packs), s.keep(asked)
	return predict.Compute(bank, trials, o)
}

// Matrix tries every choice of a version's runs that teach.
func (s *Study) Matrix(v *journal.Version) *predict.Matrix {
	bank, trials := Bank(v), PredictRuns(v, s.Results)
	return predict.ComputeMatrix(bank, trials, predict.Options{PackCache: s.keep(store.KeyOf("packs", bank, trials))}, func(total int64) func(int64) {
		return s.Told.Begin(progress.Trying, total)
	})
}

// keep keeps the steps of what a key stands for.
func (s *Study) keep(k store.Key) predict.Cache {
	if s.store == nil {
		return nil
	}
	return func(step string, out any, compute func() error) error {
		return s.step(k.Of(step), out, compute)
	}
}

// step takes what a key stands for from the store, or computes and keeps it.
func (s *Study) step(k store.Key, out any, compute func() error) error {
	if s.store.Get(k, out) {
		return nil
	}
	if err := compute(); err != nil {
		return err
	}
	s.store.Put(k, out)
	return nil
}

// Keep is for steps of those who judge and lay out. It fills the value that out points to, of which exported fields alone are kept:
// with what the step came to before from the same values by the same program, else by compute, whose error is handed on and keeps
// nothing. The name of a step is its own in the whole program, and of is all that it rests on.
func (s *Study) Keep(step string, out any, compute func() error, of ...any) error {
	if s.store == nil {
		return compute()
	}
	return s.step(store.KeyOf(step, of...), out, compute)
}

// Keeps tells whether anything is kept.
func (s *Study) Keeps() bool { return s.store != nil }

// Find fills the value that out points to with what Set kept of a step for the same values by the same program; false: nothing is kept.
func (s *Study) Find(step string, out any, of ...any) bool {
	return s.store != nil && s.store.Get(store.KeyOf(step, of...), out)
}

// Set keeps a value for Find, in place of what was kept there before.
func (s *Study) Set(step string, value any, of ...any) {
	if s.store != nil {
		s.store.Put(store.KeyOf(step, of...), value)
	}
}

// Hold keeps a file of which the sum is the SHA-256.
func (s *Study) Hold(sum [sha256.Size]byte, data []byte) { s.store.PutBytes(heldAs(sum), data) }

// Holds tells whether a file of that sum is kept.
func (s *Study) Holds(sum [sha256.Size]byte) bool { return s.store.Has(heldAs(sum)) }

// Held is the file of a sum; false: it is not kept, or damaged.
func (s *Study) Held(sum [sha256.Size]byte) ([]byte, bool) { return s.store.Bytes(heldAs(sum)) }

func heldAs(sum [sha256.Size]byte) store.Key { return store.KeyOf("file", sum[:]) }

// Wire computes how every version drives that states anything of a drive, and the wiring, whose currents rest on that, of
// every version that states one, each when it is first asked for. The versions must be answered for, as far as they can be: their runs may
// have taught what the packs hold and resist.
func (s *Study) Wire() {
	s.Results.Drives, s.Results.Circuits = map[string]*drivetrain.Performance{}, map[string]*wiring.Analysis{}
	for _, v := range s.versions() {
		later(&s.Results.drives, v.Path(), func() *drivetrain.Performance { return Performance(v, s.Results) })
		later(&s.Results.circuits, v.Path(), func() *wiring.Analysis { return Wiring(v, s.Results) })
	}
}

func (s *Study) versions() (out []*journal.Version) {
	for _, vehicle := range s.Journal.Vehicles {
		out = append(out, vehicle.Versions...)
	}
	return out
}

// each does something for each of n, side by side, as many at once as there are processors.
func each(n int, do func(int)) {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		g.Go(func() error { do(i); return nil })
	}
	_ = g.Wait() // none returns an error
}

// unreadable is said of a log that is there and could not be read to its end.
func unreadable(run *journal.Run, err error) finding.Finding {
	f, ok := notes.Trouble(run.Log.Path, err, run.EvidenceSpan())
	if !ok { // taken away since the journal was read
		f.Rule, f.Text, f.Remedy = journal.RuleMissingLog, fmt.Sprintf("`%s` is no longer there", run.Log.Path), "put it back, or point the run to one that is there."
	}
	return f
}
