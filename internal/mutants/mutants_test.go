package mutants

import (
	"slices"
	"strings"
	"testing"
	"time"
)

func small(t *testing.T, kinds Kind) *Set {
	t.Helper()
	set, err := Read(&Source{Name: "small", Dir: "testdata/small", Kinds: kinds, Swaps: Opposites})
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// TestWhatIsChanged names the changes of a small package. What only makes a message, a slack, a
// text in a table, a nought beside false or an error and what would not compile are left alone.
func TestWhatIsChanged(t *testing.T) {
	var got []string
	for _, m := range small(t, All).All {
		got = append(got, strings.TrimPrefix(m.String(), "small/"))
	}
	for _, w := range []string{
		"small.go: `x < 0` as `x >= 0` in Root", "small.go: `x < 0` as `x <= 0` in Root", "small.go: `return 0, errNegative` as `nothing` in Root", "small.go: `x + slack` as `x - slack` in Root", "small.go: `2 * (x + slack)` as `2 / (x + slack)` in Root", "small.go: `2 * (x + slack)` as `(x + slack)` in Root",
		"small.go: `2` as `2 * 1.05` in Root", "small.go: `x >= 1-1e-9` as `x < 1-1e-9` in Whole", "small.go: `x-1 < slack` as `x-1 >= slack` in Whole", "small.go: `i <= n` as `i > n` in Sum", "small.go: `i <= n` as `i < n` in Sum", "small.go: `sum += i` as `sum -= i` in Sum", "small.go: `sum += i` as `nothing` in Sum", "small.go: `i++` as `nothing` in Sum",
		"small.go: `err != nil` as `err == nil` in First", "tables/numbers.csv: `40` as `42` in line 2", "tables/numbers.csv: `0.5` as `0.525` in line 2",
	} {
		if !slices.Contains(got, w) {
			t.Errorf("%s is missing", w)
		}
	}
	for _, g := range got {
		for _, never := range []string{"`64`", "slack *", "panic", "errors.New", "seven", "`0` as `0 + 1` in Half", "as `x > 1-1e-9`", "as `x-1 <= slack`"} {
			if strings.Contains(g, never) {
				t.Errorf("%s is among the changes", g)
			}
		}
	}
	rules := small(t, Turned|Dropped|Moved|Swapped)
	for _, m := range rules.All {
		if m.To == "nothing" || m.data != nil {
			t.Errorf("%s was not asked for", m)
		}
	}
}

// TestSampleIsSeeded: the same seed takes the same, another one others, of each package some.
func TestSampleIsSeeded(t *testing.T) {
	names := func(all []*Mutant) string {
		var b strings.Builder
		for _, m := range all {
			b.WriteString(m.String() + "\n")
		}
		return b.String()
	}
	first, again, other := small(t, All).Sample(8, 1), small(t, All).Sample(8, 1), small(t, All).Sample(8, 2)
	if len(first) != 8 || names(first) != names(again) || names(first) == names(other) {
		t.Errorf("%d are taken:\n%s\n%s", len(first), names(first), names(other))
	}
	if set := small(t, All); len(set.Sample(0, 1)) != len(set.All) || len(set.Sample(1, 1)) != 2 {
		t.Error("all, and two at least")
	}
}

// TestChangesKeepTheirNumbers: each change by itself is the one that it was among all.
func TestChangesKeepTheirNumbers(t *testing.T) {
	set := small(t, All)
	for _, m := range set.All {
		if _, err := set.Write(t.TempDir(), []*Mutant{m}); err != nil {
			t.Fatal(err)
		}
	}
}

// TestTrialTellsThemApart: tests that hold a change to something notice it, a loop without end is ended, a changed table is
// read, and what no test comes to stays.
func TestTrialTellsThemApart(t *testing.T) {
	set := small(t, All)
	dir := t.TempDir()
	overlay, err := set.Write(dir, set.All)
	if err != nil {
		t.Fatal(err)
	}
	trial := &Trial{Jobs: 2, Slow: 20 * time.Second, Patience: time.Minute, Grace: 2 * time.Second}
	if left, err := trial.Prepare(dir, overlay, []Suite{{Dir: "testdata/small"}}); err != nil || len(left) > 0 {
		t.Fatal(left, err)
	}
	told := 0
	verdicts, err := trial.Ask(set.All, func(*Mutant) []string { return []string{"small"} }, func(*Verdict) { told++ })
	if err != nil || told != len(set.All) {
		t.Fatalf("%d of %d are told: %v", told, len(set.All), err)
	}
	want := map[string]string{
		"small/small.go: `x < 0` as `x >= 0` in Root": "small.TestRoot", "small/small.go: `x < 0` as `x <= 0` in Root": "", "small/small.go: `i <= n` as `i < n` in Sum": "small.TestSum", "small/small.go: `i++` as `nothing` in Sum": "small.out of time",
		"small/tables/numbers.csv: `40` as `42` in line 2": "small.TestFirst", "small/tables/numbers.csv: `0.5` as `0.525` in line 2": "", "small/small.go: `x + slack` as `x - slack` in Root": "",
	}
	for _, v := range verdicts {
		if killer, ok := want[v.String()]; ok {
			if v.Killer != killer {
				t.Errorf("%s: %q notices, want %q", v, v.Killer, killer)
			}
			delete(want, v.String())
		}
	}
	for name := range want {
		t.Errorf("%s was not tried", name)
	}
}
