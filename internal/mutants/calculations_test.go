//go:build mutate

package mutants

import (
	"cmp"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// calculations are the packages that compute, and beside each the other packages whose tests may notice a change in it:
// those that hold its numbers to something outside.
var calculations = map[string][]string{
	"quantity":   {"runlog", "battery", "circuit", "drive", "evidence"},
	"compare":    {"runlog"},
	"battery":    {"predict", "safety", "app"},
	"circuit":    {"record", "safety", "app"},
	"drive":      {"drivetrain", "predict", "safety", "app"},
	"predict":    {"journal", "safety", "app"},
	"drivetrain": {"journal", "safety", "app"},
	"wiring":     {"record", "journal", "safety", "app"},
	"runlog":     {"journal", "safety", "app"},
	"evidence":   {"journal", "app"},
}

// TestEquivalentChangesExist: what is said to change nothing is a change that is still made.
func TestEquivalentChangesExist(t *testing.T) {
	var sources []*Source
	for _, name := range slices.Sorted(maps.Keys(calculations)) {
		sources = append(sources, &Source{Name: name, Dir: "../" + name, Kinds: All, Swaps: Opposites})
	}
	set, err := Read(sources...)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, e := range equivalent {
		if seen[e.mutant] {
			t.Errorf("listed twice: %s", e.mutant)
		}
		seen[e.mutant] = true
		if !slices.ContainsFunc(set.All, func(m *Mutant) bool { return strings.HasPrefix(m.String(), e.mutant) }) {
			t.Errorf("no such change is made any more: %s", e.mutant)
		}
	}
}

// TestCalculations changes the packages that compute one small thing at a time and asks whether a test notices.
//
//	go test -tags mutate -run TestCalculations -v -timeout 3h ./internal/mutants
//
// VOLTWRIGHT_MUTANTS_SAMPLE is how many are tried (60; 0: all), VOLTWRIGHT_MUTANTS_SEED which; VOLTWRIGHT_MUTANTS takes
// only changes whose name begins so (drive/,drivetrain/input), VOLTWRIGHT_MUTANTS_OWN asks a package's own tests alone, and of these
// VOLTWRIGHT_MUTANTS_TESTS only those whose name matches (a regular expression). A test that
// takes longer than VOLTWRIGHT_MUTANTS_SLOW seconds (40) is not asked, VOLTWRIGHT_MUTANTS_PATIENCE is how many seconds (60)
// may be spent on one change, VOLTWRIGHT_MUTANTS_GRACE how many seconds more than usual (10) a test may run on the clock until it
// counts as one that does not end, VOLTWRIGHT_MUTANTS_JOBS how many run side by side (2), VOLTWRIGHT_MUTANTS_LEAST how many in a
// hundred have to be killed (95).
func TestCalculations(t *testing.T) {
	began := time.Now()
	if os.Getenv("VOLTWRIGHT_MUTANTS_OWN") != "" {
		for name := range calculations {
			calculations[name] = nil
		}
	}
	var sources []*Source
	only := strings.FieldsFunc(os.Getenv("VOLTWRIGHT_MUTANTS"), func(r rune) bool { return r == ',' })
	for _, name := range slices.Sorted(maps.Keys(calculations)) {
		if len(only) > 0 && !slices.ContainsFunc(only, func(part string) bool { return strings.HasPrefix(part, name+"/") }) {
			continue
		}
		sources = append(sources, &Source{Name: name, Dir: "../" + name, Kinds: All, Swaps: Opposites})
	}
	set, err := Read(sources...)
	if err != nil {
		t.Fatal(err)
	}
	all := len(set.All)
	if len(only) > 0 {
		set.All = slices.DeleteFunc(set.All, func(m *Mutant) bool {
			return !slices.ContainsFunc(only, func(part string) bool { return strings.HasPrefix(m.String(), part) })
		})
	}
	seed := setting(t, "VOLTWRIGHT_MUTANTS_SEED", 1)
	sample := set.Sample(setting(t, "VOLTWRIGHT_MUTANTS_SAMPLE", 60), uint64(seed))
	dir := t.TempDir()
	overlay, err := set.Write(dir, sample)
	if err != nil {
		t.Fatal(err)
	}
	trial := &Trial{Grace: time.Duration(setting(t, "VOLTWRIGHT_MUTANTS_GRACE", 10)) * time.Second, Jobs: setting(t, "VOLTWRIGHT_MUTANTS_JOBS", 2), Slow: time.Duration(setting(t, "VOLTWRIGHT_MUTANTS_SLOW", 40)) * time.Second, Patience: time.Duration(setting(t, "VOLTWRIGHT_MUTANTS_PATIENCE", 60)) * time.Second}
	left, err := trial.Prepare(dir, overlay, suites(t, sample))
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d tests are asked, after %.0f s; too slow or failing by themselves: %s", len(trial.tests), time.Since(began).Seconds(), strings.Join(left, ", "))
	verdicts, err := trial.Ask(sample, func(m *Mutant) []string { return append([]string{m.Source.Name}, calculations[m.Source.Name]...) }, func(v *Verdict) { tell(t, v) })
	if err != nil {
		t.Fatal(err)
	}
	report(t, verdicts)
	t.Logf("of %d mutants, seed %d, in %.0f s", all, seed, time.Since(began).Seconds())
}

// suites are the tests that are asked about a sample.
func suites(t *testing.T, sample []*Mutant) []Suite {
	t.Helper()
	need := map[string]bool{}
	for _, m := range sample {
		need[m.Source.Name] = true
		for _, user := range calculations[m.Source.Name] {
			need[user] = true
		}
	}
	var out []Suite
	for _, name := range slices.Sorted(maps.Keys(need)) {
		s := Suite{Dir: "../" + name}
		if match := os.Getenv("VOLTWRIGHT_MUTANTS_TESTS"); match != "" {
			s.Only = regexp.MustCompile(match)
		}
		if name == "app" { // runs of the demo and of the measured journal as they were foreseen, and sentences made false
			s.Only = regexp.MustCompile("^Test(MeasuredJournal|EveryStatementCanBecomeFalse|NothingInTheDemoRestsOnNothing|DemoRunsAreForeseen|MeasuredRunsAreForeseen|OneSlipIsOneError|DemoWiring)$")
		}
		if name == "safety" { // its corpus holds what is computed to limits, just inside and just outside
			s.Only = regexp.MustCompile("^TestHazards$")
			files, err := filepath.Glob("../safety/testdata/hazards/*.txt")
			if err != nil || len(files) == 0 {
				t.Fatalf("the corpus of safety: %d files, %v", len(files), err)
			}
			s.Parts = map[string][]string{}
			for _, file := range files {
				s.Parts["TestHazards"] = append(s.Parts["TestHazards"], strings.TrimSuffix(filepath.Base(file), ".txt"))
			}
		}
		out = append(out, s)
	}
	return out
}

// tell says what became of a change that no test noticed; of the others only where it is asked for.
func tell(t *testing.T, v *Verdict) {
	switch why := reason(v.Mutant); {
	case v.Killer != "":
		if os.Getenv("VOLTWRIGHT_MUTANTS_KILLERS") != "" {
			t.Logf("%s notices %s", v.Killer, v)
		}
	case why != "":
		t.Logf("equivalent: %s: %s", v, why)
	case v.Tired:
		t.Logf("no test notices %s (%d come by, not all were asked)", v, v.Reached)
	default:
		t.Logf("no test notices %s (%d come by)", v, v.Reached)
	}
}

// report counts by package, and fails where too much is left.
func report(t *testing.T, verdicts []*Verdict) {
	type count struct{ tried, killed, elsewhere, equal int }
	by := map[string]*count{}
	total := &count{}
	by["all"] = total
	for _, v := range verdicts {
		if by[v.Source.Name] == nil {
			by[v.Source.Name] = &count{}
		}
		for _, c := range []*count{by[v.Source.Name], total} {
			c.tried++
			switch own, _, _ := strings.Cut(v.Killer, "."); {
			case v.Killer != "":
				c.killed++
				if own != v.Source.Name {
					c.elsewhere++
				}
			case reason(v.Mutant) != "":
				c.equal++
			}
		}
	}
	for _, name := range slices.SortedFunc(maps.Keys(by), func(a, b string) int { return cmp.Or(cmp.Compare(by[a].tried, by[b].tried), strings.Compare(a, b)) }) {
		c := by[name]
		t.Logf("%-8s %4d tried: %4d killed (%d by another package), %3d equivalent, %3d survived", name, c.tried, c.killed, c.elsewhere, c.equal, c.tried-c.killed-c.equal)
	}
	if least := setting(t, "VOLTWRIGHT_MUTANTS_LEAST", 95); 100*total.killed < least*(total.tried-total.equal) {
		t.Errorf("%d of %d mutants are killed, which is less than %d %%", total.killed, total.tried-total.equal, least)
	}
}

// reason is why a change changes nothing that could be told; "" where that is not known.
func reason(m *Mutant) string {
	for _, e := range equivalent {
		if strings.HasPrefix(m.String(), e.mutant) {
			return e.why
		}
	}
	return ""
}

func setting(t *testing.T, name string, without int) int {
	text := os.Getenv(name)
	if text == "" {
		return without
	}
	v, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(fmt.Errorf("%s: %w", name, err))
	}
	return v
}
