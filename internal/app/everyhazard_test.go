package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/safety/safetytest"
)

// Every rule of safety fires from a folder on disk, through the command, with its signal word, and has a twin folder for
// which it is silent. The folders are those of the corpus, internal/safety/testdata/hazards: of each rule the firing case
// and the silent one that differ least. With VOLTWRIGHT_HAZARDS=all the command is asked of every case of the corpus:
//
//	VOLTWRIGHT_HAZARDS=all go test -run TestEveryRuleOfSafetyFiresFromDisk -v -timeout 60m ./internal/app
func TestEveryRuleOfSafetyFiresFromDisk(t *testing.T) {
	whole := os.Getenv("VOLTWRIGHT_HAZARDS") == "all"
	var cases []*safetytest.Case
	corpus := hazards(t)
	for _, file := range slices.Sorted(maps.Keys(corpus)) {
		all := corpus[file]
		if !whole {
			fires, silent, ok := nearest(all)
			if !ok {
				t.Errorf("%s has no case that fires with a silent twin of the same base", file)
				continue
			}
			all = []*safetytest.Case{fires, silent}
		}
		cases = append(cases, all...)
	}
	var mu sync.Mutex
	wanted, asked, rules := map[string]int{}, map[string]int{}, map[string]bool{}
	t.Run("cases", func(t *testing.T) {
		for _, c := range cases {
			wanted[c.Want]++
			rules[c.Rule] = true
			t.Run(c.Rule+"/"+c.Want+" "+c.Words, func(t *testing.T) {
				t.Parallel()
				problems, err := askedOf(c, t.TempDir())
				if err != nil {
					t.Fatal(err)
				}
				for _, p := range problems {
					t.Errorf("%s: %s", c.File, p)
				}
				if len(problems) == 0 {
					mu.Lock()
					defer mu.Unlock()
					asked[c.Want]++
				}
			})
		}
	})
	var words []string
	for _, want := range slices.Sorted(maps.Keys(wanted)) {
		words = append(words, fmt.Sprintf("%s %d of %d", want, asked[want], wanted[want]))
	}
	t.Logf("%d rules of safety through the command, in %d folders; as wanted: %s", len(rules), len(cases), strings.Join(words, ", "))
}

// hazards are the cases of the corpus of safety, by file.
func hazards(t *testing.T) map[string][]*safetytest.Case {
	t.Helper()
	files, err := filepath.Glob("../safety/testdata/hazards/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no corpus: %v", err)
	}
	out := map[string][]*safetytest.Case{}
	for _, file := range files {
		if out[file], err = safetytest.Read(file); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// askedOf says in what the findings of the command are not what the case wants of its rule.
func askedOf(c *safetytest.Case, dir string) (problems []string, err error) {
	if err := c.Write(dir, "../safety/testdata/sound"); err != nil {
		return nil, err
	}
	var out, complaints bytes.Buffer
	status := Main([]string{"inspect", dir, "--format", "json"}, strings.NewReader(""), &out, &complaints)
	var got struct {
		Findings []struct {
			Rule, Text string
			Level      string
			Signal     finding.Signal
			NotJudged  bool
		}
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		return nil, fmt.Errorf("status %d: %s: %w", status, complaints.String(), err)
	}
	want, spoke, open := safetytest.Signals[c.Want], finding.Signal(""), false
	var others []string
	for _, f := range got.Findings {
		switch {
		case f.Rule == c.Rule && f.Signal != "":
			spoke = f.Signal
			if spoke != want {
				problems = append(problems, fmt.Sprintf("it says %s, want %q: %s", spoke, want, f.Text))
			}
		case f.Signal != "":
			others = append(others, f.Rule)
		case f.Level == finding.Error.String():
			problems = append(problems, fmt.Sprintf("the journal itself is not sound: %s [%s]", f.Text, f.Rule))
		}
		open = open || f.NotJudged
	}
	if want != "" && spoke == "" {
		problems = append(problems, fmt.Sprintf("it is silent, want %s; what spoke: %q", want, others))
	}
	if c.Want == safetytest.Unjudged && !open {
		problems = append(problems, "it judges what cannot be judged")
	}
	return problems, nil
}

// nearest are, of the cases of one rule, one that fires and one that is sound, of the same base, with the fewest changes
// between them and the numbers of these nearest to each other; where nothing is sound, one that cannot judge for want of something.
func nearest(cases []*safetytest.Case) (fires, silent *safetytest.Case, ok bool) {
	for _, want := range []string{safetytest.Sound, safetytest.Unjudged} {
		least := math.Inf(1)
		for _, f := range cases {
			for _, s := range cases {
				if safetytest.Signals[f.Want] == "" || s.Want != want || f.Base != s.Base {
					continue
				}
				if d := distance(f, s); d < least {
					least, fires, silent, ok = d, f, s, true
				}
			}
		}
		if ok {
			return fires, silent, true
		}
	}
	return nil, nil, false
}

// distance is how far two cases stand from each other: 10 for each place that only one of them changes, and the distance of
// the numbers, as a part of the larger, where both change it; 1 where words differ.
func distance(a, b *safetytest.Case) float64 {
	of := func(c *safetytest.Case) map[string]string {
		m := map[string]string{}
		for _, change := range c.Changes {
			path, value, _ := strings.Cut(change, " = ")
			m[path] = value
		}
		return m
	}
	one, other := of(a), of(b)
	sum := 0.0
	for path, v := range one {
		if w, ok := other[path]; !ok {
			sum += 10
		} else if v != w {
			sum += between(v, w)
		}
	}
	for path := range other {
		if _, ok := one[path]; !ok {
			sum += 10
		}
	}
	return sum
}

var number = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`)

// between is the largest difference of two values' numbers, as a part of the larger one, where all else is alike.
func between(v, w string) float64 {
	if number.ReplaceAllString(v, "#") != number.ReplaceAllString(w, "#") {
		return 1
	}
	most, ns := 0.0, number.FindAllString(w, -1)
	for i, text := range number.FindAllString(v, -1) {
		x, _ := strconv.ParseFloat(text, 64)
		y, _ := strconv.ParseFloat(ns[i], 64)
		if x != y {
			most = max(most, math.Abs(x-y)/max(math.Abs(x), math.Abs(y)))
		}
	}
	return most
}
