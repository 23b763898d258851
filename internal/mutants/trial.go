package mutants

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"voltwright/internal/mutants/chosen"
)

// Suite is the tests of a package that are asked.
type Suite struct {
	Dir  string         // of the package
	Only *regexp.Regexp // the tests that are asked; nil: all
	// Parts are tests that are asked part by part, as each part is quick and the whole is not: the names of their subtests.
	Parts map[string][]string
}

// Trial asks tests whether they notice changes: the quickest first of those that come by.
type Trial struct {
	Jobs     int           // how many tests run side by side
	Slow     time.Duration // a test that takes longer is not asked
	Patience time.Duration // how long the tests may run for one change, all in all
	Grace    time.Duration // how much longer than eight times what it took a test may run before it is ended, on the clock: more where the machine is busy

	dir   string
	tests []*test
}

// test is one test of a binary.
type test struct {
	suite, binary, name string
	part, dir           string // part: of its subtests, "" for all
	took                time.Duration
	reaches             map[string]bool // numbers of changes and names of embedded files
	fails               string          // what it says without a change, where it fails then
}

// Prepare builds the suites with an overlay and has each of their tests run by itself once, without a change switched on,
// to learn how long it takes and what it comes by. It gives those that are not asked: they are too slow, or fail by
// themselves, as a test does that counts what the code allocates or that fails anyway.
func (t *Trial) Prepare(dir, overlay string, suites []Suite) (left []string, err error) {
	t.dir = dir
	args := []string{"test", "-c", "-vet=off", "-overlay", overlay, "-o", dir + string(filepath.Separator)}
	for _, s := range suites {
		abs, err := filepath.Abs(s.Dir)
		if err != nil {
			return nil, err
		}
		args = append(args, abs)
	}
	if out, err := exec.Command("go", args...).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the changes do not compile: %w\n%s", err, out)
	}
	for _, s := range suites {
		name := path.Base(filepath.ToSlash(s.Dir))
		binary := filepath.Join(dir, name+".test")
		if _, err := os.Stat(binary); errors.Is(err, os.ErrNotExist) {
			continue // a package without tests has none to ask
		}
		list := exec.Command(binary, "-test.list", "^(Test|Example|Fuzz)")
		list.Dir = s.Dir
		out, err := list.Output()
		if err != nil {
			return nil, fmt.Errorf("the tests of %s: %w", name, err)
		}
		for _, n := range strings.Fields(string(out)) {
			if s.Only != nil && !s.Only.MatchString(n) {
				continue
			}
			parts := []string{""}
			if s.Parts[n] != nil {
				parts = s.Parts[n]
			}
			for _, part := range parts {
				t.tests = append(t.tests, &test{suite: name, binary: binary, name: n, part: part, dir: s.Dir})
			}
		}
	}
	faults := each(t.Jobs, t.tests, func(x *test) error { return x.learn(t.Slow, t.Grace) })
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	t.tests = slices.DeleteFunc(t.tests, func(x *test) bool {
		switch {
		case x.fails != "":
			left = append(left, x.suite+"."+x.name+" (fails)")
		case x.reaches == nil:
			left = append(left, x.suite+"."+x.name)
		}
		return x.reaches == nil
	})
	slices.SortStableFunc(t.tests, func(a, b *test) int { return cmp.Compare(a.took, b.took) })
	return left, nil
}

// learn runs a test without a change; one that takes longer than it may stays without what it reaches.
func (x *test) learn(slow, grace time.Duration) error {
	record := filepath.Join(filepath.Dir(x.binary), x.suite+"."+x.name+"."+x.part+".reach")
	out, took, err := run(x.binary, x.dir, []*test{x}, 3*slow+grace, chosen.ReachVariable+"="+record) // the machine may have more to do
	x.took = took
	if errors.Is(err, context.DeadlineExceeded) || took > slow {
		return nil
	}
	if exit := (*exec.ExitError)(nil); errors.As(err, &exit) {
		x.fails = out
		return nil
	}
	if err != nil {
		return err
	}
	x.reaches = map[string]bool{}
	text, err := os.ReadFile(record)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	for _, what := range strings.Fields(string(text)) {
		x.reaches[what] = true
	}
	return nil
}

// Verdict is what the tests said to a change.
type Verdict struct {
	*Mutant
	Killer  string // the test that noticed; "" where none did
	Reached int    // how many tests came by
	Tired   bool   // the patience ended before all were asked
}

// Ask tries every change and gives the verdicts in the order of the changes; each is told as soon as it stands.
// A program that could not be started is an error.
func (t *Trial) Ask(mutants []*Mutant, suitesOf func(*Mutant) []string, told func(*Verdict)) ([]*Verdict, error) {
	verdicts := make([]*Verdict, len(mutants))
	index := make([]int, len(mutants))
	for i := range index {
		index[i] = i
	}
	faults := each(t.Jobs, index, func(i int) error {
		var err error
		if verdicts[i], err = t.ask(mutants[i], suitesOf(mutants[i])); err == nil {
			told(verdicts[i])
		}
		return err
	})
	return verdicts, errors.Join(faults...)
}

// ask has the tests that come by a change run, a handful at a time: the quick ones together, the slow ones alone.
func (t *Trial) ask(m *Mutant, suites []string) (*Verdict, error) {
	v := &Verdict{Mutant: m}
	key, env := strconv.Itoa(m.Number), chosen.NumberVariable+"="+strconv.Itoa(m.Number)
	if m.data != nil {
		key = m.Source.prefix() + m.File
		file := filepath.Join(t.dir, "data-"+strconv.Itoa(m.Number))
		if err := os.WriteFile(file, m.data, 0o644); err != nil {
			return nil, err
		}
		env = chosen.DataVariable + "=" + key + "=" + file
	}
	var left []*test
	for _, x := range t.tests {
		if x.reaches[key] && slices.Contains(suites, x.suite) {
			left = append(left, x)
		}
	}
	v.Reached = len(left)
	var spent time.Duration
	for handful := time.Second / 4; len(left) > 0; handful *= 2 {
		if spent > t.Patience {
			v.Tired = true
			return v, nil
		}
		var now []*test
		for sum := time.Duration(0); len(left) > 0 && (len(now) == 0 || sum+left[0].took < handful); left = left[1:] {
			sum += left[0].took
			now = append(now, left[0])
		}
		for _, asked := range groups(now) {
			longest := t.Grace // for an endless loop
			for _, x := range asked {
				longest += 8 * x.took
			}
			out, took, err := run(asked[0].binary, asked[0].dir, asked, longest, env)
			spent += took
			if errors.Is(err, context.DeadlineExceeded) {
				v.Killer = asked[0].suite + ".out of time"
				return v, nil
			}
			if exit := (*exec.ExitError)(nil); err != nil && !errors.As(err, &exit) {
				return nil, err
			}
			if err != nil {
				v.Killer = asked[0].suite + "." + failed(out)
				return v, nil
			}
		}
	}
	return v, nil
}

func failed(out string) string {
	if m := regexp.MustCompile(`(?m)^--- FAIL: (\S+)`).FindStringSubmatch(out); m != nil {
		return m[1]
	}
	return "panic"
}

// groups parts tests into those that one run can ask: whole tests of a suite, and parts of one test.
func groups(tests []*test) [][]*test {
	var out [][]*test
	at := map[string]int{}
	for _, x := range tests {
		key := x.suite
		if x.part != "" {
			key += "." + x.name
		}
		if _, is := at[key]; !is {
			at[key] = len(out)
			out = append(out, nil)
		}
		out[at[key]] = append(out[at[key]], x)
	}
	return out
}

// run runs tests of one binary, for a time; what runs longer is ended, which is a context.DeadlineExceeded.
func run(binary, dir string, tests []*test, longest time.Duration, env ...string) (string, time.Duration, error) {
	var names, parts []string
	for _, x := range tests {
		names = append(names, x.name)
		if x.part != "" {
			parts = append(parts, regexp.QuoteMeta(x.part))
		}
	}
	slices.Sort(names)
	pattern := "^(" + strings.Join(slices.Compact(names), "|") + ")$"
	if len(parts) > 0 {
		pattern += "/^(" + strings.Join(parts, "|") + ")$"
	}
	ctx, cancel := context.WithTimeout(context.Background(), longest)
	defer cancel()
	// What loops and asks for memory all the while is ended before the machine is.
	c := exec.CommandContext(ctx, "sh", "-c", `ulimit -v 8000000; exec "$0" "$@"`, binary, "-test.run", pattern, "-test.failfast", "-test.timeout", "60m")
	c.Dir = dir
	c.Env = append(os.Environ(), env...)
	c.WaitDelay = time.Second
	out, err := c.CombinedOutput()
	took := c.ProcessState.UserTime() + c.ProcessState.SystemTime()
	if ctx.Err() != nil {
		err = ctx.Err()
	}
	return string(out), took, err
}

// each does something with every element, some side by side.
func each[T any](jobs int, all []T, do func(T) error) []error {
	faults := make([]error, len(all))
	next := make(chan int)
	var wait sync.WaitGroup
	for range max(1, jobs) {
		wait.Go(func() {
			for i := range next {
				faults[i] = do(all[i])
			}
		})
	}
	for i := range all {
		next <- i
	}
	close(next)
	wait.Wait()
	return faults
}
