package safety

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/runlog"
	"voltwright/internal/safety/safetytest"
	"voltwright/internal/study"
	"voltwright/internal/wiring"
)

// The corpus: every file of testdata/hazards is about one rule. It takes sound
// journals from testdata/sound and says what to change in them, so that each case
// is a whole small journal with one hazard, read and computed as any other.
//
//	rule: charge-cold                 the rule that must fire
//	base: cart                        a journal of testdata/sound; what follows up to the next base is about it
//	always:                           changes to the base that are sound by themselves
//	  packs.1.capacity = 20 Ah
//	sound: a hundredth above          a case in which nothing is said, and nothing cannot be judged
//	  charge: conditions.temperature = 0.1 °C
//	WARNING: below freezing           a case in which the rule speaks with this signal word, and no other rule speaks
//	  charge: conditions.temperature = -0.1 °C
//	  numbers -0.1 °C, at least 0 °C  what an answer would have to repeat
//	  says lithium plates out         words of its sentence or remedy
//	  omits burn                      words that neither has
//	  also run-in-frost               another rule that speaks
//	unjudged: no temperature          a case in which the rule cannot judge
//	  charge: drop conditions.temperature
//
// A change is PATH = VALUE in the front matter of the version, or of another
// note that is named before a colon: a run, `vehicle`, or VERSION/RUN. Items of
// lists go by their number from 1. `text = WORDS` adds a paragraph to the note.
// `predict` lets the version's answers be computed first.
func TestHazards(t *testing.T) {
	files := hazardFiles(t)
	hazards, sound, covered := 0, 0, map[string]bool{}
	for _, file := range files {
		for _, c := range readHazards(t, file) {
			if c.Want == soundCase {
				sound++
			} else {
				hazards++
			}
			if signals[c.Want] != "" {
				covered[c.Rule] = true
			}
			t.Run(strings.TrimSuffix(filepath.Base(file), ".txt")+"/"+c.Want+" "+c.Words, func(t *testing.T) { c.check(t) })
		}
	}
	t.Logf("%d journals with a hazard, %d sound ones, %d rules", hazards, sound, len(covered))
	for _, r := range rules {
		if !covered[r.doc.Name] {
			t.Errorf("no journal of the corpus lets %s speak", r.doc.Name)
		}
	}
}

func hazardFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("testdata/hazards/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no corpus: %v", err)
	}
	return files
}

const (
	soundCase    = safetytest.Sound
	unjudgedCase = safetytest.Unjudged
)

var signals = safetytest.Signals

// hazard is one case of the corpus.
type hazard struct{ *safetytest.Case }

func readHazards(t *testing.T, file string) []*hazard {
	t.Helper()
	cases, err := safetytest.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []*hazard
	for _, c := range cases {
		out = append(out, &hazard{c})
	}
	return out
}

func (h *hazard) check(t *testing.T) {
	t.Helper()
	problems, err := h.problems(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range problems {
		t.Error(p)
	}
}

// problems says in what the findings of the case's journal, written to a folder, are not those that it names.
func (h *hazard) problems(dir string) (problems []string, err error) {
	found, err := h.inspect(dir)
	if err != nil {
		return nil, err
	}
	wrong := func(form string, args ...any) { problems = append(problems, fmt.Sprintf(form, args...)) }
	var spoke, unjudged []string
	for _, f := range found {
		if g := f.Gauge; g != nil && (g.Least && g.Value > g.Limit || !g.Least && g.Value < g.Limit) {
			wrong("%s: the number of the gauge is not beyond its limit: %s", f.Rule, g)
		}
		if g := f.Gauge; g != nil {
			for words, number := range map[string]float64{g.Written: g.Value, g.Bound: g.Limit} {
				if counted, ok := count(words); ok && counted != number && !(strings.HasSuffix(words, " days") && counted == math.Round(number)) {
					wrong("%s: the gauge draws %g where it says %s", f.Rule, number, words)
				}
			}
		}
		switch {
		case f.Signal != "":
			if p := lineProblem(f); p != "" {
				wrong("%s: %s", f.Rule, p)
			}
			spoke = append(spoke, f.Rule+" "+string(f.Signal))
		case f.Unjudged:
			unjudged = append(unjudged, f.Text)
		case f.Level == finding.Error:
			wrong("the journal itself is not sound: %s: %s [%s]", f.Span.Position(), f.Text, f.Rule)
		}
	}
	var want, got []string
	if signals[h.Want] != "" {
		want = append(want, h.Rule+" "+h.Want)
	}
	for _, s := range spoke {
		if rule, _, _ := strings.Cut(s, " "); !slices.Contains(h.Also, rule) && !slices.Contains(got, s) {
			got = append(got, s)
		}
	}
	if !slices.Equal(got, want) {
		wrong("callouts %q, want %q", got, want)
	}
	for _, rule := range h.Also {
		if !slices.ContainsFunc(spoke, func(s string) bool { return strings.HasPrefix(s, rule+" ") }) {
			wrong("%s does not speak, among %q", rule, spoke)
		}
	}
	switch {
	case h.Want == soundCase && len(unjudged) > 0:
		wrong("cannot judge: %q", unjudged)
	case h.Want == unjudgedCase && len(unjudged) == 0:
		wrong("judges what cannot be judged")
	}
	var texts, numbers []string
	for _, f := range found {
		if f.Rule == h.Rule && f.Signal != "" || h.Want == unjudgedCase && f.Unjudged {
			text := f.Text + " " + f.Remedy
			if f.Gauge != nil {
				text += " " + f.Gauge.Source
			}
			texts, numbers = append(texts, text), append(numbers, f.Numbers)
		}
	}
	if h.Numbers != "" && !slices.Contains(numbers, h.Numbers) {
		wrong("numbers %q, want %q", numbers, h.Numbers)
	}
	for _, s := range h.Says {
		if !slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(text, s) }) {
			wrong("%q does not say %q", texts, s)
		}
	}
	for _, s := range h.Omits {
		if slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(text, s) }) {
			wrong("%q says %q", texts, s)
		}
	}
	return problems, nil
}

// findings are those of the case's journal.
func (h *hazard) findings(t *testing.T) []finding.Finding {
	t.Helper()
	found, err := h.inspect(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// inspect writes the case's journal to a folder, then reads, computes and judges it.
func (h *hazard) inspect(dir string) ([]finding.Finding, error) {
	if err := h.Write(dir, "testdata/sound"); err != nil {
		return nil, err
	}
	return inspected(dir, h.Predict)
}

// inspected takes a journal the way that the program takes it, as far as rules of safety need it.
func inspected(dir string, predicted bool) ([]finding.Finding, error) {
	folder, err := notes.Open(dir)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	var list finding.List
	j := journal.Load(folder, &list)
	results := study.NewResults()
	for _, run := range j.Runs() {
		switch {
		case run.Log != nil && run.Log.Path != "":
			file, err := folder.OpenFile(run.Log.Path)
			if err != nil {
				return nil, err
			}
			result, _, err := runlog.Measure(finding.NewStream(run.Log.Path), file, run.Options())
			if err := errors.Join(err, file.Close()); err != nil {
				return nil, err
			}
			results.Runs[run.ID()] = result
		case len(run.Readings) > 0:
			results.Runs[run.ID()], _ = runlog.FromReadings(run.Noted(), run.Options())
		case run.Stopwatch != nil:
			results.Runs[run.ID()], _ = runlog.FromStopwatch(run.Timed(), run.Options())
		}
	}
	if predicted {
		results.Predictions = map[string]*predict.Prediction{}
		for _, vehicle := range j.Vehicles {
			for _, v := range vehicle.Versions {
				results.Predictions[v.Path()] = study.Predict(v, results, false)
			}
		}
	}
	results.Drives, results.Circuits = map[string]*drivetrain.Performance{}, map[string]*wiring.Analysis{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if d := study.Performance(v, results); d != nil {
				results.Drives[v.Path()] = d
			}
			if w := study.Wiring(v, results); w != nil {
				results.Circuits[v.Path()] = w
			}
		}
	}
	Judge(j, results, &list)
	return list.Sorted(), nil
}

// count reads what is counted in whole ones: "2 runs", "3 years", "29 days"; days are rounded to them.
func count(words string) (float64, bool) {
	number, unit, _ := strings.Cut(words, " ")
	n, err := strconv.Atoi(number)
	return float64(n), err == nil && slices.Contains([]string{"run", "runs", "year", "years", "days"}, unit)
}
