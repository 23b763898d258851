package app

import (
	"voltwright/internal/evidence"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/progress"
	"voltwright/internal/safety"
	"voltwright/internal/study"
	"voltwright/internal/value"
)

// inspected is a journal that has been read, resolved, computed and inspected.
type inspected struct {
	dir      string // as the command was given it
	folder   *notes.Folder
	study    *study.Study
	journal  *journal.Journal // the study's
	results  *study.Results   // the study's
	values   *value.Index     // of both; nil until it is computed
	findings finding.List
	held     journal.Withheld // what was taken out of it because it is held back
	told     progress.Report  // hears how far it is
}

// readJournal takes a journal through the pipeline up to its results. The error says
// that the folder could not be read at all; whatever is wrong inside it is a
// finding.
func readJournal(dir string, m means) (*inspected, error) { return readJournalBy(dir, m, readFolder) }

// readJournalOnline is readJournal of what publish puts online.
func readJournalOnline(dir string, m means) (*inspected, error) {
	return readJournalBy(dir, m, readOnline)
}

func readJournalBy(dir string, m means, read func(dir string, folder *notes.Folder, m means) *inspected) (*inspected, error) {
	m.told().Begin(progress.Reading, 0)
	folder, err := openJournal(dir)
	if err != nil {
		return nil, err
	}
	defer remember(folder, dir, m).Keep()
	return read(dir, folder, m), nil
}

// readFolder is readJournal of a folder that is open, which the journal then holds.
func readFolder(dir string, folder *notes.Folder, m means) *inspected {
	return readWith(dir, folder, m, func(*inspected) {})
}

// readWith is readFolder that has something done when the journal is resolved and nothing is computed yet.
func readWith(dir string, folder *notes.Folder, m means, resolved func(in *inspected)) *inspected {
	in := &inspected{dir: dir, folder: folder, told: m.told()}
	in.journal = journal.Load(folder, &in.findings)
	resolved(in)
	unusedThemeFiles(folder, in.journal.Theme.Value, &in.findings)
	in.study = study.New(folder, in.journal, m.store)
	in.study.Told = in.told
	in.results = in.study.Results
	in.study.Measure(&in.findings)
	return in
}

// judge predicts what a journal without errors lets it predict and solves the
// wiring, then asks the rules of safety, some of which rest on either, and holds every
// sentence against the lot.
func judge(in *inspected) {
	j := newJudging(in)
	computeFor(in, j.before())
	in.told.Begin(progress.Judging, 0)
	safety.Add(&in.findings, j.ask(safety.Inquiries(in.journal, in.results))) // first: a false sentence takes no value from a rule
	in.findings.Add(j.ask(evidence.Inquiries(in.values))...)
	j.keep()
}

// compute predicts the versions of a journal without errors, tells how they drive, solves their wiring and indexes what there
// is then.
func compute(in *inspected) { computeFor(in, false) }

// computeFor is compute that puts the predictions off until they are asked for, where little will be asked.
func computeFor(in *inspected, little bool) {
	switch {
	case in.findings.Count(finding.Error) > 0:
	case little:
		in.study.AnswerLater(refuseCharger)
	default:
		in.study.Answer(refuseCharger)
	}
	in.study.Wire()
	in.values = value.New(in.journal, in.results)
	if in.study.Keeps() && in.results.Answered() {
		if rests, ok := in.study.Rests(); ok {
			in.values.KeepWith(func(step string, out any, compute func() error) error {
				return in.study.Keep(step, out, compute, rests[:])
			})
		}
	}
}

// refuseCharger takes the time with a version's own charger out of its answers where a rule speaks against that charger:
// nobody is told, by whatever way they ask, how long to charge with what does harm.
func refuseCharger(v *journal.Version, a *predict.Prediction) {
	if rule := safety.AgainstCharger(v); rule != "" {
		a.Refuse(rule)
	}
}

func ownDocs() []finding.Doc { return []finding.Doc{addressDoc, heldDoc, themeFileDoc, themeScriptDoc} }

// close is for commands that are done with the folder.
func (in *inspected) close() { _ = in.folder.Close() }
