package safety

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/study"
)

// mostCallouts is how many callouts a sound, ordinary build carries at most.
const mostCallouts = 3

// variationsOf is how many variations of the builds are tried; VOLTWRIGHT_VARIATIONS asks for another number.
var variationsOf = numberAsked("VOLTWRIGHT_VARIATIONS", 60)

// heeded is a version of the demo and what its maker writes who heeds what is called out of it: what stood, and what stands then, in pairs.
// No margin is below a tenth then, every pack is fused and guarded, and what is asked for is stated.
type heeded struct {
	path  string
	pairs []string
}

var demoHeeded = []heeded{
	{"shunter/2-lifepo4", []string{
		"opens: 24.0 V, reset-threshold: 0.9 V, delay: 2 s, current: 40 A", "opens: 24.0 V, reset-threshold: 3 V, delay: 2 s, current: 80 A",
		"fuse-kind: large-blade, resistance: 1.3 mΩ", "breaking: 2.5 kA, fuse-kind: large-blade, resistance: 1.3 mΩ",
		"kind: cutout, peak: 60 A", "kind: cutout, peak: 120 A",
		"payload: 470 kg", "payload: 370 kg",
		"length: 720 mm, colour: white", "length: 720 mm, colour: red",
	}},
	{"shunter/3-second-pack", nil},
	{"barrow/1-li-ion", []string{
		"protection: none", "protection: {opens: 33 V, current: 35 A, charge-stops: 42.4 V, tested: 2-larger-pack/opened}",
		"power: 350 W, ", "", "rated-current: 12.4 A", "rated-current: 34 A",
		"top-speed: 5 km/h}", "top-speed: 5 km/h, braking: {deceleration: 1.5 m/s², reaction: 1 s ± 0.4 s}}",
		"length: 260 mm", "length: 120 mm",
		"place: outdoors", "place: workshop",
		"rider: nobody", "rider: nobody, wet: yes",
		"    - {name: controller, kind", "    - {name: stop, kind: emergency-stop, current: 60 A, volts: 60 V}\n    - {name: controller, kind",
		`{from: "connector:out-1", to: "controller:in+"`, `{from: "connector:out-1", to: "stop:in", length: 200 mm, colour: red, ends: crimp}` + "\n    - " + `{from: "stop:out", to: "controller:in+"`,
	}},
	{"barrow/2-larger-pack", []string{
		"power: 350 W, ", "", "rated-current: 12.1 A", "rated-current: 34 A",
		"opens: 29.5 V, current: 35 A, charge-stops: 42.4 V", "opens: 33 V, current: 35 A, charge-stops: 42.4 V, tested: opened",
		"rider: nobody", "rider: nobody, wet: yes",
	}},
}

// seenToOpen is the run that their packs' protection was tested in.
var seenToOpen = map[string]string{
	"opened.md":  "---\nkind: run\ntype: bench\nname: Down to the protection\ndate: 2026-05-20\nconditions: {temperature: 18 °C, surface: wheels-up}\nlog: {file: opened.csv, columns: {time: t, voltage: U, current: I}, time: seconds, discharge: positive}\n---\n",
	"opened.csv": "t,U,I\n0,40.7,0.0\n600,38.6,9.8\n1200,36.5,9.9\n1800,34.9,9.8\n2395,33.1,9.7\n2400,32.9,9.8\n2405,35.2,0.0\n2460,35.8,0.0\n2600,36.0,0.0\n3600,36.2,0.0\n4600,36.2,0.0\n",
}

// answersOf are the answers of a note's front matter.
var answersOf = regexp.MustCompile(`(?m)^answers:\n(  .*\n)+`)

// Sound, ordinary builds carry few callouts, none of them a WARNING, and none of them twice of one cause: the demo's versions after what is
// called out of them was heeded, as they stand and in variations.
func TestSoundBuildsCarryFewCallouts(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	results := study.NewResults()
	before := reread(t, dir, results)
	were := map[string]int{}
	for _, h := range demoHeeded {
		were[h.path] = len(calloutsOf(before, results, h.path))
		rewrite(t, h.file(dir), func(text string) string {
			for k := 0; k < len(h.pairs); k += 2 {
				if !strings.Contains(text, h.pairs[k]) {
					t.Fatalf("%s does not say %q", h.path, h.pairs[k])
				}
				text = strings.ReplaceAll(text, h.pairs[k], h.pairs[k+1])
			}
			// What the maker answered is not called out any more.
			return answersOf.ReplaceAllString(text, "")
		})
	}
	for name, text := range seenToOpen {
		if err := os.WriteFile(filepath.Join(dir, "barrow", "2-larger-pack", name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	random := rand.New(rand.NewPCG(3, 10))
	counted := map[int]int{}
	check := func(j *journal.Journal, path, what string) {
		var said, rulesOf []string
		for _, f := range calloutsOf(j, results, path) {
			said, rulesOf = append(said, string(f.Signal)+" "+f.Rule+": "+f.Text), append(rulesOf, f.Rule)
			if f.Signal == finding.SignalWarning || f.Signal == finding.Danger {
				t.Errorf("%s of %s: %s %s of what is sound: %s", what, path, f.Signal, f.Rule, f.Text)
			}
		}
		counted[len(said)]++
		if len(said) > mostCallouts {
			t.Errorf("%s of %s has %d callouts, at most %d:\n%s", what, path, len(said), mostCallouts, strings.Join(said, "\n"))
		}
		if len(slices.Compact(slices.Sorted(slices.Values(rulesOf)))) != len(rulesOf) {
			t.Errorf("%s of %s is told twice by one rule:\n%s", what, path, strings.Join(said, "\n"))
		}
	}
	now := reread(t, dir, results)
	driven := 0
	for _, h := range demoHeeded {
		check(now, h.path, "the version")
		if isDriven(now, results, h.path) {
			driven++
		}
		t.Logf("%s: %d callouts before they were heeded", h.path, were[h.path])
	}
	if driven != len(demoHeeded) {
		t.Errorf("the drive of %d of %d versions is computed: the rules of the others have nothing to judge", driven, len(demoHeeded))
	}
	for n := range variationsOf {
		h := demoHeeded[n%len(demoHeeded)]
		kept, err := os.ReadFile(h.file(dir))
		if err != nil {
			t.Fatal(err)
		}
		rewrite(t, h.file(dir), func(text string) string { return vary(text, random) })
		check(reread(t, dir, results), h.path, "a variation")
		if err := os.WriteFile(h.file(dir), kept, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("versions and variations by their callouts: %v", counted)
	if were["barrow/1-li-ion"] <= mostCallouts {
		t.Errorf("the barrow's first version, which is not sound, has %d callouts: too few to tell anything", were["barrow/1-li-ion"])
	}
}

// numberAsked is a number of the environment, or the usual one.
func numberAsked(name string, usual int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return n
	}
	return usual
}

func (h *heeded) file(dir string) string {
	return filepath.Join(dir, filepath.FromSlash(h.path), "version.md")
}

// isDriven tells whether the drive of a version can be computed.
func isDriven(j *journal.Journal, measured *study.Results, path string) bool {
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if v.Path() == path {
				d := study.Performance(v, measured)
				return d != nil && d.Cruise.HasSpeed()
			}
		}
	}
	return false
}

func rewrite(t *testing.T, file string, change func(string) string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(change(string(text))), 0o600); err != nil {
		t.Fatal(err)
	}
}
