//go:build mutate

package safety

import (
	"errors"
	"fmt"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
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
	m := &mutator{fset: token.NewFileSet()}
	overlay := m.mutate(t, dir)
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
		if slices.ContainsFunc(only, func(part string) bool { return strings.Contains(mu.file, part) }) {
			left = append(left, k)
		}
	}
	all := len(left)
	// The quickest first: the rule's own cases, then the tests in Go, then whatever else of the corpus comes by.
	left = m.survive(t, dir, binary, left, "own")
	left = slices.DeleteFunc(left, func(k int) bool {
		mu := m.mutants[k]
		if mu.early {
			if _, err := run(binary, k+1, "TestHazards/"+mu.rule()); err != nil {
				return true
			}
		}
		_, err := run(binary, k+1, "Test[^H]")
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

// survive asks the corpus, of each rule its own cases or all, and gives the mutants that it does not notice.
func (m *mutator) survive(t *testing.T, dir, binary string, mutants []int, cases string) []int {
	t.Helper()
	var plan strings.Builder
	for _, k := range mutants {
		fmt.Fprintf(&plan, "%d %s\n", k+1, m.mutants[k].rule())
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
	left := slices.DeleteFunc(mutants, func(k int) bool { return slices.Contains(noticed, strconv.Itoa(k+1)) })
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
			mutant, reached = 0, map[int]bool{}
			if noticed(h) {
				t.Fatalf("without a mutant, %s is noticed", h.words)
			}
			comesBy[h], reached = reached, nil
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
			mutant = k
			return noticed(h)
		}) {
			fmt.Println(number)
		}
	}
	mutant = 0
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
	[]string{"charge_cool_fast.go: `float64(rate) * float64(capacity.Value)` as `float64(capacity.Value)`", "parallel_joining_current.go: `float64(rate) * float64(emptier.Capacity.Value)` as `float64(emptier.Capacity.Value)`"},
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
	c.Env = append(os.Environ(), mutantVariable+"="+strconv.Itoa(number))
	c.Env = append(c.Env, env...)
	out, err := c.CombinedOutput()
	if exit, ok := errors.AsType[*exec.ExitError](err); err != nil && !ok {
		return string(out), fmt.Errorf("not run: %w, %v", err, exit)
	}
	return string(out), err
}

const (
	mutantVariable = "VOLTWRIGHT_MUTANT"
	planVariable   = "VOLTWRIGHT_MUTANT_PLAN"
	casesVariable  = "VOLTWRIGHT_MUTANT_CASES"
)

// mutant is the number of the change that is switched on; 0: none.
var mutant, _ = strconv.Atoi(os.Getenv(mutantVariable))

// reached are the changes that were come by, while that is asked; else nil.
var reached map[int]bool

// on says whether a change is switched on, where the change would be.
func on(k int) bool {
	if reached != nil {
		reached[k] = true
	}
	return mutant == k
}

var turned = map[token.Token][]token.Token{
	token.LSS: {token.GEQ, token.LEQ}, token.LEQ: {token.GTR, token.LSS}, token.GTR: {token.LEQ, token.GEQ}, token.GEQ: {token.LSS, token.GTR},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL}, token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL},
}
