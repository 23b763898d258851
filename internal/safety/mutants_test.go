//go:build mutate

package safety

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/mutants"
	"voltwright/internal/mutants/chosen"
)

// TestMutants changes the rules one small thing at a time and asks whether a
// test notices: a comparison is turned round or moved over its boundary, a
// factor or a divisor is dropped, a threshold or any other number is moved by a
// twentieth, a sum becomes a difference, `and` becomes `or`, a signal word
// becomes another.
//
//	go test -tags mutate -run Mutants -timeout 60m ./internal/safety
//
// All changes are compiled into one test binary, each behind a number that the
// environment chooses. The rule's own cases of the corpus are asked first, then the
// tests in Go, then all other cases that come by the change. A mutant that no test notices
// and that is not among the equivalent ones fails. What stands in a table outside
// the functions is settled when the binary starts, so each change there has a run
// of its own.
func TestMutants(t *testing.T) {
	dir := t.TempDir()
	set, err := mutants.Read(&mutants.Source{
		Dir:   ".",
		Kinds: mutants.Turned | mutants.Dropped | mutants.Moved | mutants.Swapped,
		Skip: func(file string) bool { // the engine, not the rules
			return slices.Contains([]string{"safety.go", "answered.go", "unjudged.go", "rules.go"}, file)
		},
		Swaps: map[string]string{"above": "below", "below": "above", "min": "max", "max": "min"},
		Imports: map[string]string{
			"finding.Danger": "finding.SignalWarning", "finding.SignalWarning": "finding.Caution", "finding.Caution": "finding.SignalWarning", "finding.PropertyNotice": "finding.Caution",
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	m := &asked{set.All}
	overlay, err := set.Write(dir, set.All)
	if err != nil {
		t.Fatal(err)
	}
	binary := filepath.Join(dir, "mutants.test")
	build := exec.Command("go", "test", "-c", "-vet=off", "-tags", "mutate", "-overlay", overlay, "-o", binary, ".")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("the mutants do not compile: %v\n%s", err, out)
	}
	if out, err := run(binary, 0, "."); err != nil {
		t.Fatalf("without a mutant the tests fail: %v\n%s", err, out)
	}
	t.Logf("%d mutants", len(m.mutants))
	only := strings.Split(os.Getenv("VOLTWRIGHT_MUTANTS"), ",") // parts of files' names, to look at some
	var left []int
	for k, mu := range m.mutants {
		if slices.ContainsFunc(only, func(part string) bool { return strings.Contains(mu.File, part) }) {
			left = append(left, k)
		}
	}
	all := len(left)
	// The quickest first: the rule's own cases, then the tests in Go, then whatever else of the corpus comes by.
	left = m.survive(t, dir, binary, left, "own")
	left = slices.DeleteFunc(left, func(k int) bool {
		mu := m.mutants[k]
		if mu.Early {
			if _, err := run(binary, mu.Number, "TestHazards/"+ruleOf(mu)); err != nil {
				return true
			}
		}
		_, err := run(binary, mu.Number, "Test[^H]")
		return err != nil
	})
	t.Logf("%d are left by the tests in Go", len(left))
	left = m.survive(t, dir, binary, left, "all")
	equal, survived := 0, 0
	for _, k := range left {
		mu := m.mutants[k].String()
		if slices.ContainsFunc(equivalent, func(e string) bool { return strings.HasPrefix(mu, e) }) {
			equal++
			continue
		}
		survived++
		t.Errorf("no test notices %s", mu)
	}
	t.Logf("%d mutants: %d killed, %d equivalent, %d survived", all, all-equal-survived, equal, survived)
}

// asked are the changes that are tried.
type asked struct{ mutants []*mutants.Mutant }

// ruleOf is the name of the rule that a change's file would hold.
func ruleOf(m *mutants.Mutant) string {
	return strings.ReplaceAll(strings.TrimSuffix(m.File, ".go"), "_", "-")
}

// survive asks the corpus, of each rule its own cases or all, and gives the mutants that it does not notice.
func (m *asked) survive(t *testing.T, dir, binary string, tried []int, cases string) []int {
	t.Helper()
	var plan strings.Builder
	for _, k := range tried {
		fmt.Fprintf(&plan, "%d %s\n", m.mutants[k].Number, ruleOf(m.mutants[k]))
	}
	file := filepath.Join(dir, "plan")
	if err := os.WriteFile(file, []byte(plan.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := run(binary, 0, "TestCorpusOfMutants", planVariable+"="+file, casesVariable+"="+cases)
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	noticed := strings.Fields(out)
	left := slices.DeleteFunc(tried, func(k int) bool { return slices.Contains(noticed, strconv.Itoa(m.mutants[k].Number)) })
	t.Logf("%d are left by the corpus (%s)", len(left), cases)
	return left
}

// TestCorpusOfMutants runs inside the binary of the mutants: it switches one after the other on, asks the corpus of the
// rule, and prints the numbers of those that it notices.
func TestCorpusOfMutants(t *testing.T) {
	plan, err := os.ReadFile(os.Getenv(planVariable))
	if err != nil {
		return // not in the binary of the mutants
	}
	cases := map[string][]*hazard{}
	var all []*hazard
	for _, file := range hazardFiles(t) {
		own := readHazards(t, file)
		cases[strings.TrimSuffix(filepath.Base(file), ".txt")] = own
		all = append(all, own...)
	}
	comesBy := map[*hazard]map[int]bool{}
	come := func(h *hazard) map[int]bool {
		if comesBy[h] == nil {
			chosen.Number = 0
			chosen.Record()
			if noticed(h) {
				t.Fatalf("without a mutant, %s is noticed", h.Words)
			}
			comesBy[h] = chosen.Recorded()
		}
		return comesBy[h]
	}
	for line := range strings.Lines(string(plan)) {
		number, rule, _ := strings.Cut(strings.TrimSpace(line), " ")
		k, _ := strconv.Atoi(number)
		asked := cases[rule]
		if os.Getenv(casesVariable) == "all" {
			asked = all
		}
		if slices.ContainsFunc(asked, func(h *hazard) bool {
			if !come(h)[k] {
				return false
			}
			chosen.Number = k
			return noticed(h)
		}) {
			fmt.Println(number)
		}
	}
	chosen.Number = 0
}

// noticed says whether a case comes out otherwise than it should.
func noticed(h *hazard) (yes bool) {
	dir, err := os.MkdirTemp("", "mutant")
	if err != nil {
		return false
	}
	defer os.RemoveAll(dir)
	defer func() {
		if recover() != nil {
			yes = true
		}
	}()
	problems, err := h.problems(dir)
	return err != nil || len(problems) > 0
}

// equivalent are mutants that change nothing that could be told, by the reason.
var equivalent = slices.Concat(
	// A value that is not known is NaN, which is neither above nor below anything, and an unknown chemistry stops at its error.
	[]string{
		"charge_cool_fast.go: `!known || !amps.Known()` as `!known && ", "charge_cool_fast.go: `!known || !amps.Known() || !capacity.Known()` as",
		"charge_log_current_high.go: `!ok || !amps.Known()` as", "charge_voltage_high.go: `!ok || !set.Known()` as",
		"discharge_below_conservative_floor.go: `!ok || !opens.Known()` as", "discharge_below_data_sheet.go: `!ok || !opens.Known()` as",
		"log_gap_charge.go: `r == nil || !r.Charge.Out.Known()` as", "parallel_capacity.go: `!a.Known() || !b.Known()` as",
		"parallel_chemistry.go: `!okA || !okB` as", "parallel_joining_current.go: `!ok || !fuller.JoinedAt.Known()", "parallel_series.go: `!first.Series.Set || !other.Series.Set` as",
		"unlike_conditions.go: `p.Known() && q.Known()` as",
	},
	// One pack alone has no other one to be held against, and no second pack to be missing.
	[]string{
		"parallel_chemistry.go: `!joined || diodes` as", "parallel_series.go: `!joined || diodes` as", "parallel_protection_apart.go: `!joined || !alike` as",
		"parallel_share.go: `!joined || run == nil", "discharge_rate.go: `len(s.version.Packs) > 0` as `len(s.version.Packs) >= 0`",
	},
	// Every chemistry that may plate lithium is charged at once its capacity at the most.
	[]string{"charge_cool_fast.go: `float64(rate) * float64(capacity.Value)` as `float64(capacity.Value)`", "parallel_joining_current.go: `float64(rate) * float64(holds)` as `float64(holds)`"},
	// Two numbers that are the very same, which both ways give the same.
	[]string{
		"cutout_did_not_open.go: `u > margin` as", "cutout_did_not_open.go: `r.Series.Current[k] > idle` as", "measured.go: `i.Value > most.Value` as", "measured.go: `1` as `1 + 1` in extremes",
		"parallel_joining_current.go: `fuller.JoinedAt.Value < emptier.JoinedAt.Value` as", "reset_margin.go: `far.Margin.Value < margin.Margin.Value` as",
		"standing_drain.go: `amps.Value > 0` as", "standing_drain.go: `days > drainWithin` as", "log_gap_charge.go: `counted > 0` as", "limits.go: `float64(value)",
		"reset_margin.go: `quantity.Volts(tenths)/10 < v-1e-9` as", "driving.go: `full.Value > out.Value` as", "drop_large.go: `l.Share > worst.Share` as", "stop_far.go: `stop.Distance.Value > worst` as",
	},
	// An infinity goes by its sign alone; one that is written is written as no value, as what is no number is; nothing over a resistance is nothing.
	[]string{"wiring.go: `1` as `1 + 1` in excess", "wiring.go: `0` as `0 + 1` in inDigits", "wiring.go: `p.Full > 0` as `p.Full >= 0` in short"},
	// A line anywhere between a load and nothing, and a slack anywhere between the last binary digits and what a meter shows.
	[]string{"cutout_did_not_open.go: `20` as", "cutout_did_not_open.go: `1` as", "limits.go: `slack` as", "limits.go: `1` as `1 * ", "reset_margin.go: `1e-9` as"},
	// Only which of a note's own places the callout points to.
	[]string{"parallel_age.go: `0` as", "parallel_one_alone.go: `0` as", "parallel_full_voltage.go: `!other.Full.Set` as"},
)

// run runs the tests that a pattern names with one mutant switched on, 0 for none.
func run(binary string, number int, pattern string, env ...string) (string, error) {
	c := exec.Command(binary, "-test.run", pattern, "-test.skip", "TestMutants|TestTextsAreCalm|TestAnswers|TestFactsOfTheTrade|TestEveryRule", "-test.failfast", "-test.timeout", "60m")
	c.Env = append(os.Environ(), chosen.NumberVariable+"="+strconv.Itoa(number))
	c.Env = append(c.Env, env...)
	out, err := c.CombinedOutput()
	if exit, ok := errors.AsType[*exec.ExitError](err); err != nil && !ok {
		return string(out), fmt.Errorf("not run: %w, %v", err, exit)
	}
	return string(out), err
}

const (
	planVariable  = "VOLTWRIGHT_MUTANT_PLAN"
	casesVariable = "VOLTWRIGHT_MUTANT_CASES"
)
