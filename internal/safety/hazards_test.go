package safety

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/ride"
	"voltwright/internal/runlog"
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
			if c.want == soundCase {
				sound++
			} else {
				hazards++
			}
			if signals[c.want] != "" {
				covered[c.rule] = true
			}
			t.Run(strings.TrimSuffix(filepath.Base(file), ".txt")+"/"+c.want+" "+c.words, func(t *testing.T) { c.check(t) })
		}
	}
	t.Logf("%d journals with a hazard, %d sound ones, %d rules", hazards, sound, len(covered))
	for _, r := range rules {
		if !covered[r.doc.Name] && !testedAlone[r.doc.Name] {
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

// testedAlone are the rules that rest on predictions alone, which have tests of their own with answers made for them.
var testedAlone = map[string]bool{"capacity-below-label": true}

const (
	soundCase    = "sound"
	unjudgedCase = "unjudged"
)

var signals = map[string]finding.Signal{
	"DANGER": finding.Danger, "WARNING": finding.SignalWarning, "CAUTION": finding.Caution, "NOTICE": finding.PropertyNotice,
}

// hazard is one case of the corpus.
type hazard struct {
	file, rule, base string
	want, words      string // soundCase, unjudgedCase or a signal word; what it is about
	changes          []string
	numbers          string
	says, also       []string
	predict          bool
}

func readHazards(t *testing.T, file string) []*hazard {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []*hazard
	var rule, base string
	var always []string
	var current *hazard
	inAlways := false
	for n, line := range strings.Split(string(text), "\n") {
		indented := strings.HasPrefix(line, "  ")
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if indented {
			switch head, rest, _ := strings.Cut(line, " "); {
			case inAlways:
				always = append(always, line)
			case current == nil:
				t.Fatalf("%s:%d: a change before a case", file, n+1)
			case head == "numbers":
				current.numbers = rest
			case head == "says":
				current.says = append(current.says, rest)
			case head == "also":
				current.also = append(current.also, rest)
			case line == "predict":
				current.predict = true
			default:
				current.changes = append(current.changes, line)
			}
			continue
		}
		head, rest, ok := strings.Cut(line, ":")
		rest = strings.TrimSpace(rest)
		inAlways = head == "always"
		switch {
		case !ok:
			t.Fatalf("%s:%d: %q is no head", file, n+1, line)
		case head == "rule":
			rule = rest
		case head == "base":
			base, always = rest, nil
		case inAlways:
			always = nil
		case head == soundCase || head == unjudgedCase || signals[head] != "":
			current = &hazard{file: file, rule: rule, base: base, want: head, words: rest, changes: slices.Clone(always)}
			out = append(out, current)
		default:
			t.Fatalf("%s:%d: %q is no head", file, n+1, head)
		}
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
				if counted, ok := count(words); ok && counted != number {
					wrong("%s: the gauge draws %g where it says %s", f.Rule, number, words)
				}
			}
		}
		switch {
		case f.Signal != "":
			spoke = append(spoke, f.Rule+" "+string(f.Signal))
		case f.Unjudged:
			unjudged = append(unjudged, f.Text)
		case f.Level == finding.Error:
			wrong("the journal itself is not sound: %s: %s [%s]", f.Span.Position(), f.Text, f.Rule)
		}
	}
	var want, got []string
	if signals[h.want] != "" {
		want = append(want, h.rule+" "+h.want)
	}
	for _, s := range spoke {
		if rule, _, _ := strings.Cut(s, " "); !slices.Contains(h.also, rule) && !slices.Contains(got, s) {
			got = append(got, s)
		}
	}
	if !slices.Equal(got, want) {
		wrong("callouts %q, want %q", got, want)
	}
	for _, rule := range h.also {
		if !slices.ContainsFunc(spoke, func(s string) bool { return strings.HasPrefix(s, rule+" ") }) {
			wrong("%s does not speak, among %q", rule, spoke)
		}
	}
	switch {
	case h.want == soundCase && len(unjudged) > 0:
		wrong("cannot judge: %q", unjudged)
	case h.want == unjudgedCase && len(unjudged) == 0:
		wrong("judges what cannot be judged")
	}
	var texts, numbers []string
	for _, f := range found {
		if f.Rule == h.rule && f.Signal != "" || h.want == unjudgedCase && f.Unjudged {
			text := f.Text + " " + f.Remedy
			if f.Gauge != nil {
				text += " " + f.Gauge.Source
			}
			texts, numbers = append(texts, text), append(numbers, f.Numbers)
		}
	}
	if h.numbers != "" && !slices.Contains(numbers, h.numbers) {
		wrong("numbers %q, want %q", numbers, h.numbers)
	}
	for _, s := range h.says {
		if !slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(text, s) }) {
			wrong("%q does not say %q", texts, s)
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
	a, err := txtar.ParseFile(filepath.Join("testdata/sound", h.base+".txtar"))
	if err != nil {
		return nil, err
	}
	for _, change := range h.changes {
		if err := apply(a, change); err != nil {
			return nil, fmt.Errorf("%s: %q: %w", h.file, change, err)
		}
	}
	for _, f := range a.Files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, f.Data, 0o644)); err != nil {
			return nil, err
		}
	}
	return inspected(dir, h.predict)
}

// inspected takes a journal the way that the program takes it, as far as rules of safety need it.
func inspected(dir string, predict bool) ([]finding.Finding, error) {
	folder, err := notes.Open(dir)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	var list finding.List
	j := journal.Load(folder, &list)
	results := journal.NewResults()
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
	if predict {
		results.Predictions = map[string]*ride.Answers{}
		for _, vehicle := range j.Vehicles {
			for _, v := range vehicle.Versions {
				results.Predictions[v.Path()] = v.Predict(results, false)
			}
		}
	}
	results.Drives, results.Circuits = map[string]*ride.Driven{}, map[string]*ride.Wired{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if d := v.Driving(results); d != nil {
				results.Drives[v.Path()] = d
			}
			if w := v.Wire(results); w != nil {
				results.Circuits[v.Path()] = w
			}
		}
	}
	Judge(j, results, &list)
	return list.Sorted(), nil
}

var changePattern = regexp.MustCompile(`^(?:([a-z0-9/-]+): )?(?:(drop) (\S+)|(\S+) = (.*))$`)

// apply makes one change to the notes of an archive.
func apply(a *txtar.Archive, change string) error {
	m := changePattern.FindStringSubmatch(change)
	if m == nil {
		return errors.New("no change: write PATH = VALUE or drop PATH")
	}
	note := m[1]
	if note == "" {
		note = "version"
	}
	i := slices.IndexFunc(a.Files, func(f txtar.File) bool {
		return strings.HasSuffix("/"+f.Name, "/"+note+".md") && (strings.Contains(note, "/") || note == "vehicle" || strings.Contains(f.Name, "/2-"))
	})
	if i < 0 {
		return fmt.Errorf("there is no note %s", note)
	}
	parts := strings.SplitN(string(a.Files[i].Data), "---\n", 3)
	if len(parts) != 3 {
		return errors.New("the note has no front matter")
	}
	if m[4] == "text" {
		a.Files[i].Data = append(slices.Clone(a.Files[i].Data), []byte("\n"+m[5]+"\n")...)
		return nil
	}
	var front any
	if err := yaml.UnmarshalWithOptions([]byte(parts[1]), &front, yaml.UseOrderedMap()); err != nil {
		return err
	}
	var value any
	path := m[3]
	if m[2] == "" {
		path = m[4]
		if err := yaml.UnmarshalWithOptions([]byte(m[5]), &value, yaml.UseOrderedMap()); err != nil {
			return err
		}
	}
	front, err := set(front, strings.Split(path, "."), value, m[2] != "")
	if err != nil {
		return err
	}
	text, err := yaml.Marshal(front)
	if err != nil {
		return err
	}
	a.Files[i].Data = []byte("---\n" + string(text) + "---\n" + parts[2])
	return nil
}

// set puts a value at the end of a path, or drops what stands there.
func set(tree any, path []string, value any, drop bool) (any, error) {
	if len(path) == 0 {
		return value, nil
	}
	switch node := tree.(type) {
	case yaml.MapSlice:
		i := slices.IndexFunc(node, func(m yaml.MapItem) bool { return m.Key == path[0] })
		switch {
		case i < 0 && drop:
			return nil, fmt.Errorf("nothing stands at %s", path[0])
		case i < 0 && len(path) > 1:
			node = append(node, yaml.MapItem{Key: path[0], Value: yaml.MapSlice{}})
			i = len(node) - 1
		case i < 0:
			return append(node, yaml.MapItem{Key: path[0], Value: value}), nil
		case drop && len(path) == 1:
			return slices.Delete(node, i, i+1), nil
		}
		inner, err := set(node[i].Value, path[1:], value, drop)
		node[i].Value = inner
		return node, err
	case []any:
		var i int
		if _, err := fmt.Sscanf(path[0], "%d", &i); err != nil || i < 1 || i > len(node)+1 {
			return nil, fmt.Errorf("%s is no item of %d", path[0], len(node))
		}
		if i == len(node)+1 {
			return append(node, value), nil
		}
		if drop && len(path) == 1 {
			return slices.Delete(node, i-1, i), nil
		}
		inner, err := set(node[i-1], path[1:], value, drop)
		node[i-1] = inner
		return node, err
	default:
		return nil, fmt.Errorf("nothing stands under %s", path[0])
	}
}

// count reads what is counted in whole ones: "2 runs", "3 years".
func count(words string) (float64, bool) {
	number, unit, _ := strings.Cut(words, " ")
	n, err := strconv.Atoi(number)
	return float64(n), err == nil && slices.Contains([]string{"run", "runs", "year", "years"}, unit)
}
