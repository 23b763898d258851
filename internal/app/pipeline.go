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
	told     progress.Report // hears how far it is
}

// readJournal takes a journal through the pipeline up to its results. The error says
// that the folder could not be read at all; whatever is wrong inside it is a
// finding.
func readJournal(dir string, m means) (*inspected, error) {
	m.told().Begin(progress.Reading, 0)
	folder, err := openJournal(dir)
	if err != nil {
		return nil, err
	}
	return readFolder(dir, folder, m), nil
}

// readFolder is readJournal of a folder that is open, which the journal then holds.
func readFolder(dir string, folder *notes.Folder, m means) *inspected {
	in := &inspected{dir: dir, folder: folder, told: m.told()}
	in.journal = journal.Load(folder, &in.findings)
	unusedThemeFiles(folder, &in.findings)
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
	compute(in)
	in.told.Begin(progress.Judging, 0)
	safety.Judge(in.journal, in.results, &in.findings) // first: a false sentence takes no value from a rule
	evidence.Judge(in.values, &in.findings)
}

// compute predicts the versions of a journal without errors, tells how they drive, solves their wiring and indexes what there
// is then.
func compute(in *inspected) {
	if in.findings.Count(finding.Error) == 0 {
		answer(in)
	}
	in.study.Wire()
	in.values = value.New(in.journal, in.results)
}

// answer predicts the versions.
func answer(in *inspected) {
	in.study.Answer()
	for _, vehicle := range in.journal.Vehicles {
		for _, v := range vehicle.Versions {
			if a := in.results.Predictions[v.Path()]; a != nil {
				refuseCharger(v, a)
			}
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

func ownDocs() []finding.Doc { return []finding.Doc{addressDoc, themeFileDoc, themeScriptDoc} }

// close is for commands that are done with the folder.
func (in *inspected) close() { _ = in.folder.Close() }
