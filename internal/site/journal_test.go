package site

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/circuit"
	"voltwright/internal/compare"
	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/measuredjournal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/runlog"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
	"voltwright/internal/study"
	"voltwright/internal/wiring"
)

// input reads and computes a journal as the program does, without the rules of safety and evidence.
func input(t testing.TB, dir string) reading.Input {
	t.Helper()
	folder, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	// It stays open as long as the pages do: they copy logs from it.
	var found finding.List
	j := journal.Load(folder, &found)
	results := &study.Results{Runs: map[journal.RunID]*runlog.Result{}}
	for _, run := range j.Runs() {
		r, list, err := measureRun(folder, run)
		if err != nil {
			t.Fatalf("%s: %v", run.ID(), err)
		}
		found.Add(list...)
		if r != nil {
			results.Runs[run.ID()] = r
		}
	}
	results.Predictions = predictions(dir, j, results)
	results.Circuits = map[string]*wiring.Analysis{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if w := study.Wiring(v, results); w != nil {
				results.Circuits[v.Path()] = w
			}
		}
	}
	results.Drives = map[string]*drivetrain.Performance{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if d := study.Performance(v, results); d != nil {
				results.Drives[v.Path()] = d
			}
		}
	}
	docs := slices.Concat(runlog.Docs(), notes.Docs(), journal.Docs(), battery.Docs(), circuit.Docs(), drive.Docs(), predict.Docs(), drivetrain.Docs(), compare.Docs())
	return reading.Input{Docs: docs, Journal: j, Results: results, Findings: found.Sorted(), Version: "test",
		Open: func(name string) (io.ReadCloser, error) { return folder.OpenFile(name) }}
}

// predicted holds the answers for the demo, which many tests lay out and none changes.
var predicted map[string]*predict.Prediction

// predictions computes the versions' answers, those of the demo once. The measured journal is laid out without: package
// app publishes it with its answers, which take long.
func predictions(dir string, j *journal.Journal, results *study.Results) map[string]*predict.Prediction {
	switch {
	case dir == measuredJournal:
		return nil
	case dir == demoJournal && predicted != nil:
		return predicted
	}
	out := map[string]*predict.Prediction{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if len(v.Packs) > 0 {
				out[v.Path()] = study.Predict(v, results, j.AsksRunTime(v))
			}
		}
	}
	if dir == demoJournal {
		predicted = out
	}
	return out
}

func measureRun(folder *notes.Folder, run *journal.Run) (*runlog.Result, []finding.Finding, error) {
	o := run.Options()
	switch {
	case run.Log != nil && run.Log.Path != "":
		f, err := folder.OpenFile(run.Log.Path)
		if err != nil {
			return nil, nil, err
		}
		r, list, err := runlog.Measure(finding.NewStream(run.Log.Path), f, o)
		return r, list, errors.Join(err, f.Close())
	case run.Readings != nil:
		r, list := runlog.FromReadings(run.Noted(), o)
		return r, list, nil
	case run.Stopwatch != nil:
		r, list := runlog.FromStopwatch(run.Timed(), o)
		return r, list, nil
	}
	return nil, nil, nil
}

// build lays a journal out and fails the test on an error.
func build(t testing.TB, in reading.Input) (*frame.Pages, []finding.Finding) {
	t.Helper()
	p, found, err := Build(in)
	if err != nil {
		t.Fatal(err)
	}
	return p, found
}

// The journals that tests lay out: the demo and the one made of measured logs, which stands somewhere while the tests run.
const demoJournal = "../../content"

var measuredJournal string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "voltwright-site-")
	if err != nil {
		panic(err)
	}
	measuredJournal = filepath.Join(dir, "journal-measured")
	if err := measuredjournal.LayOut(measuredJournal); err != nil {
		panic(err)
	}
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// written writes a journal to a folder of its own.
func written(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		target := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(target, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}
