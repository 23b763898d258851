package safety

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/study"
	"voltwright/internal/wiring"
)

// variation is how a number of a spec may be changed, and stay as sound as it was: by a factor between two.
type variation struct {
	number    *regexp.Regexp // one group: the number
	low, high float64
}

var variations = []variation{
	{regexp.MustCompile(`length: ([\d.]+) mm`), 0.8, 1},
	{regexp.MustCompile(`payload: ([\d.]+) kg`), 0.8, 1},
	{regexp.MustCompile(`ambient: ([\d.]+) °C`), 0.6, 1},
	{regexp.MustCompile(`(?m)^charger: .*current: ([\d.]+) A`), 0.6, 1},
	{regexp.MustCompile(`no-load-speed: ([\d.]+) rpm`), 0.95, 1},
	{regexp.MustCompile(`no-load-current: ([\d.]+) A`), 0.9, 1.1},
	{regexp.MustCompile(`deceleration: ([\d.]+) m/s²`), 1, 1.05},
	{regexp.MustCompile(`(?m)^    mass: ([\d.]+) kg`), 0.9, 1.1},
	{regexp.MustCompile(`resistance: ([\d.]+) mΩ}`), 0.7, 1.2},
}

// soundStatements are lines that say of a thing that it is as it should be; each variation has some of them.
var soundStatements = []string{
	"throttle: {broken-wire: stops, rest-check: yes}",
	"converters: [{name: for the lamps, window: 10 V to 72 V, highest: 80 V, fuse: 3 A}]",
}

// Two hundred sound variations of the demo's versions, drawn by a fixed seed: what a version does not say of itself today,
// no variation says of it as a WARNING or a DANGER. Versions that have one of their own are told with it.
func TestSoundVariationsOfTheDemo(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	results := study.NewResults()
	j := reread(t, dir, results)
	random := rand.New(rand.NewPCG(17, 2026))
	clean := 0
	var drawn []string
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if len(v.Packs) > 0 {
				drawn = append(drawn, v.Path())
			}
		}
	}
	own := map[string]map[string]bool{}
	for _, path := range drawn {
		own[path] = gravest(j, results, path)
		if len(own[path]) == 0 {
			clean++
		}
	}
	if clean < 2 || len(drawn) < 4 {
		t.Fatalf("%d versions of the demo, %d of them without a WARNING: too few to vary", len(drawn), clean)
	}
	const wanted = 200
	changed := 0
	for n := range wanted {
		path := drawn[n%len(drawn)]
		file := filepath.Join(dir, filepath.FromSlash(path), "version.md")
		before, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		after := vary(string(before), random)
		if after != string(before) {
			changed++
		}
		if err := os.WriteFile(file, []byte(after), 0o600); err != nil {
			t.Fatal(err)
		}
		varied := reread(t, dir, results)
		for rule := range gravest(varied, results, path) {
			if !own[path][rule] {
				t.Errorf("variation %d of %s: %s speaks of what is sound:\n%s", n, path, rule, after[:strings.Index(after[4:], "---")])
			}
		}
		if err := os.WriteFile(file, before, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	// What is not sound is noticed in the same way.
	file := filepath.Join(dir, filepath.FromSlash(drawn[0]), "version.md")
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	after := strings.Replace(string(before), "residual-current-device: yes", "residual-current-device: yes, as-found: [wet]", 1)
	if err := os.WriteFile(file, []byte(after), 0o600); err != nil {
		t.Fatal(err)
	}
	if !gravest(reread(t, dir, results), results, drawn[0])["found-wet"] {
		t.Errorf("a wet charger of %s is not noticed", drawn[0])
	}
	if changed < wanted {
		t.Errorf("%d of %d variations change something", changed, wanted)
	}
	t.Logf("%d variations of %d versions, %d of which have no WARNING of their own", wanted, len(drawn), clean)
}

// vary changes the numbers of a spec, and adds what is sound to say.
func vary(text string, random *rand.Rand) string {
	for _, v := range variations {
		text = v.number.ReplaceAllStringFunc(text, func(found string) string {
			at := v.number.FindStringSubmatchIndex(found)
			value, err := strconv.ParseFloat(found[at[2]:at[3]], 64)
			if err != nil {
				return found
			}
			value *= v.low + (v.high-v.low)*random.Float64()
			return found[:at[2]] + fmt.Sprintf("%.4g", value) + found[at[3]:]
		})
	}
	for _, line := range soundStatements {
		if random.IntN(2) == 0 {
			text = strings.Replace(text, "\ncharger: ", "\n"+line+"\ncharger: ", 1)
		}
	}
	if random.IntN(2) == 0 {
		text = strings.Replace(text, "residual-current-device: yes", "residual-current-device: yes, interlock: yes", 1)
	}
	if random.IntN(2) == 0 {
		text = strings.Replace(text, "\nwiring:\n", "\nwiring:\n  frame: apart\n", 1)
	}
	return text
}

// reread loads a journal; its runs are measured once.
func reread(t *testing.T, dir string, results *study.Results) *journal.Journal {
	t.Helper()
	folder, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	var list finding.List
	j := journal.Load(folder, &list)
	for _, f := range list.Sorted() {
		if f.Level == finding.Error {
			t.Fatalf("%s [%s]", f.Text, f.Rule)
		}
	}
	for _, run := range j.Runs() {
		if results.Runs[run.ID()] != nil {
			continue
		}
		switch {
		case run.Log != nil && run.Log.Path != "":
			file, err := folder.OpenFile(run.Log.Path)
			if err != nil {
				t.Fatal(err)
			}
			results.Runs[run.ID()], _, err = runlog.Measure(finding.NewStream(run.Log.Path), file, run.Options())
			file.Close()
			if err != nil {
				t.Fatal(err)
			}
		case len(run.Readings) > 0:
			results.Runs[run.ID()], _ = runlog.FromReadings(run.Noted(), run.Options())
		case run.Stopwatch != nil:
			results.Runs[run.ID()], _ = runlog.FromStopwatch(run.Timed(), run.Options())
		}
	}
	return j
}

// gravest are the rules that speak with a WARNING or a DANGER of a version's spec.
func gravest(j *journal.Journal, measured *study.Results, path string) map[string]bool {
	out := map[string]bool{}
	for _, f := range calloutsOf(j, measured, path) {
		if f.Signal == finding.SignalWarning || f.Signal == finding.Danger {
			out[f.Rule] = true
		}
	}
	return out
}

// calloutsOf are the callouts of a version and its runs.
func calloutsOf(j *journal.Journal, measured *study.Results, path string) (out []finding.Finding) {
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if v.Path() != path {
				continue
			}
			results := study.NewResults()
			results.Runs = measured.Runs
			results.Drives, results.Circuits = map[string]*drivetrain.Performance{}, map[string]*wiring.Analysis{}
			if d := study.Performance(v, results); d != nil {
				results.Drives[path] = d
			}
			if w := study.Wiring(v, results); w != nil {
				results.Circuits[path] = w
			}
			for _, f := range judgeVersion(subject{journal: j, results: results, version: v}) {
				if f.Signal != "" {
					out = append(out, f)
				}
			}
		}
	}
	return out
}
