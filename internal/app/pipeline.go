package app

import (
	"errors"
	"fmt"
	"slices"

	"voltwright/internal/evidence"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/safety"
)

// inspected is a journal that has been read, resolved, computed and inspected.
type inspected struct {
	dir      string // as the command was given it
	folder   *notes.Folder
	journal  *journal.Journal
	results  *journal.Results
	findings finding.List
}

// read takes a journal through the pipeline up to its results. The error says
// that the folder could not be read at all; whatever is wrong inside it is a
// finding.
func read(dir string) (*inspected, error) {
	folder, err := openJournal(dir)
	if err != nil {
		return nil, err
	}
	in := &inspected{dir: dir, folder: folder}
	in.journal = journal.Load(folder, &in.findings)
	unusedThemeFiles(folder, &in.findings)
	in.results = measureRuns(folder, in.journal, &in.findings)
	driveVersions(in.journal, in.results)
	return in, nil
}

// judge predicts what a journal without errors lets it predict and solves the
// wiring, then asks the rules of safety, some of which rest on either, and holds every
// sentence against the lot.
func judge(in *inspected) {
	compute(in)
	safety.Judge(in.journal, in.results, &in.findings) // first: a false sentence takes no value from a rule
	evidence.Judge(in.journal, in.results, &in.findings)
}

// compute predicts the versions of a journal without errors and solves their wiring.
func compute(in *inspected) {
	if in.findings.Count(finding.Error) == 0 {
		predictVersions(in.journal, in.results)
	}
	wireVersions(in.journal, in.results)
}

// measureRuns computes every run of the journal. A run whose evidence cannot
// be read as it was meant has no result, and a finding: what it came to would be held against sentences that may be right.
func measureRuns(folder *notes.Folder, j *journal.Journal, findings *finding.List) *journal.Results {
	results := journal.NewResults()
	for _, run := range j.Runs() {
		result, found, err := measureRun(folder, run)
		findings.Add(found...)
		if err != nil {
			findings.Add(unreadable(run, err))
			continue
		}
		if result != nil && !slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Level == finding.Error }) {
			results.Runs[run.ID()] = result
		}
	}
	return results
}

// unreadable is said of a log that is there and could not be read to its end.
func unreadable(run *journal.Run, err error) finding.Finding {
	f, ok := notes.Trouble(run.Log.Path, err, run.EvidenceSpan())
	if !ok { // taken away since the journal was read
		f.Rule, f.Text, f.Remedy = journal.RuleMissingLog, fmt.Sprintf("`%s` is no longer there", run.Log.Path), "put it back, or point the run to one that is there."
	}
	return f
}

func measureRun(folder *notes.Folder, run *journal.Run) (*runlog.Result, []finding.Finding, error) {
	options := run.Options()
	switch {
	case run.Log != nil:
		if run.Log.Path == "" {
			return nil, nil, nil // that it cannot be used is a finding already
		}
		file, err := folder.OpenFile(run.Log.Path)
		if err != nil {
			return nil, nil, err
		}
		result, found, err := runlog.Measure(finding.NewStream(run.Log.Path), file, options)
		return result, found, errors.Join(err, file.Close())
	case len(run.Readings) > 0:
		result, found := runlog.FromReadings(run.Noted(), options)
		return result, place(found, run.EvidenceSpan()), nil
	case run.Stopwatch != nil:
		result, found := runlog.FromStopwatch(run.Timed(), options)
		return result, place(found, run.EvidenceSpan()), nil
	}
	return nil, nil, nil
}

// place gives findings without one the place of the evidence.
func place(found []finding.Finding, at finding.Span) []finding.Finding {
	for i := range found {
		if found[i].Span.Source == nil {
			found[i].Span = at
		}
	}
	return found
}

func ownDocs() []finding.Doc { return []finding.Doc{addressDoc, themeFileDoc, themeScriptDoc} }

// close is for commands that are done with the folder.
func (in *inspected) close() { _ = in.folder.Close() }
