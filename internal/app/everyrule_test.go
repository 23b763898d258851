package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/measuredjournal"
)

// A ruleCase is a folder and a command of the program: testdata/rules/base.txtar with some changes.
//
//	base: wired                       the journal of testdata/rules that what follows changes; base where none is named
//	command: measure ./bench.csv      what is asked in what follows; inspect --format json . where none is named
//	rule: absolute-link               the rule that this is about
//	fires: from the root              a folder for which the command's findings have it
//	  notes/a.md append "\n[x](/x)\n"
//	silent: from beside               the twin, just inside the limit or with the missing thing stated, for which they have not
//	  notes/a.md append "\n[x](x.md)\n"
//
// A change is FILE and one of: write "TEXT", append "TEXT", replace "OLD" "NEW" (which must be there; replace-all: wherever it is),
// repeat N "TEXT" (at its end), fill SIZE "TEXT" (text, then spaces up to so many bytes), grow SIZE (a hole up to so many bytes), link "TARGET", move "TO", remove,
// made "NAME" (a log of everyrule_steps_test.go) or rows FROM TO HOW (which damages it there).
// `command WORDS` asks something else in this one case; `.` is the folder. `run WORDS` runs a command before it.
type ruleCase struct {
	place, rule, words string
	base               string
	fires              bool
	changes            []string
	command            []string
}

func readRuleCases(t *testing.T) []*ruleCase {
	t.Helper()
	files, err := filepath.Glob("testdata/rules/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	var out []*ruleCase
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		rule, base, command := "", "base", "inspect --format json ."
		for n, line := range strings.Split(string(text), "\n") {
			place := fmt.Sprintf("%s:%d", file, n+1)
			trimmed := strings.TrimSpace(line)
			head, rest, _ := strings.Cut(trimmed, ":")
			rest = strings.TrimSpace(rest)
			switch {
			case trimmed == "" || strings.HasPrefix(trimmed, "#"):
			case strings.HasPrefix(line, "  ") && len(out) > 0:
				c := out[len(out)-1]
				if words, ok := strings.CutPrefix(trimmed, "command "); ok {
					c.command = wordsOf(words)
				} else {
					c.changes = append(c.changes, trimmed)
				}
			case head == "rule":
				rule = rest
			case head == "base":
				base = rest
			case head == "command":
				command = rest
			case head == "fires" || head == "silent":
				out = append(out, &ruleCase{place: place, rule: rule, base: base, words: rest, fires: head == "fires", command: wordsOf(command)})
			default:
				t.Fatalf("%s: %q is no head", place, line)
			}
		}
	}
	return out
}

// write lays the case's folder out.
func (c *ruleCase) write(dir string) error {
	if c.base == measuredBase {
		whole := dir + "-measured"
		defer os.RemoveAll(whole)
		if err := errors.Join(measuredjournal.LayOut(whole), os.MkdirAll(dir, 0o755), os.Rename(filepath.Join(whole, "cells-on-the-bench/5-iron-cell"), filepath.Join(dir, "cells")),
			put(filepath.Join(dir, "journal.yaml"), []byte("title: Measured\nmaker: {name: A test}\n")),
			os.MkdirAll(filepath.Join(dir, "cart"), 0o755), os.Rename(filepath.Join(dir, "cells"), filepath.Join(dir, "cart/5-iron-cell")),
			put(filepath.Join(dir, "cart/vehicle.md"), []byte("---\nkind: vehicle\nname: A cell\n---\n"))); err != nil {
			return err
		}
	} else if err := c.writeBase(dir); err != nil {
		return err
	}
	for _, change := range c.changes {
		if err := applyTo(dir, change); err != nil {
			return fmt.Errorf("%s: %s: %w", c.place, change, err)
		}
	}
	return nil
}

// measuredBase is a base of its own: the version of the measured journal whose cell was run down twice.
const measuredBase = "measured"

func (c *ruleCase) writeBase(dir string) error {
	switch c.base {
	case "bare": // a log alone
		return nil
	case "bag":
		made, err := theBag()
		return errors.Join(err, os.CopyFS(dir, made))
	}
	return unpack(c.base, dir)
}

// spoken runs a command of the program and gives the names of the rules in its findings, those that cannot judge left out.
func spoken(dir string, command []string) (map[string]bool, error) {
	var out, complaints bytes.Buffer
	status := Main(inFolder(dir, command), strings.NewReader(""), &out, &complaints)
	if status > int(Findings) && !strings.Contains(out.String()+complaints.String(), "[") {
		return nil, fmt.Errorf("status %d: %s", status, complaints.String())
	}
	said := map[string]bool{}
	type list []struct {
		Rule, Text string
		Unjudged   bool
	}
	var got struct {
		Findings   *list
		Inspection *struct{ Findings *list }
	}
	if json.Unmarshal(out.Bytes(), &got) == nil {
		if got.Findings == nil && got.Inspection != nil {
			got.Findings = got.Inspection.Findings
		}
		if got.Findings == nil {
			return nil, errors.New("the answer has no list of findings")
		}
		for _, f := range *got.Findings {
			if !f.Unjudged && (!strings.HasPrefix(f.Text, "cannot judge") || f.Rule == "statement-not-judged") {
				said[f.Rule] = true
			}
		}
		return said, nil
	}
	for line := range strings.Lines(out.String() + complaints.String()) {
		line = strings.TrimSpace(line)
		if from := strings.LastIndexByte(line, '['); from >= 0 && strings.HasSuffix(line, "]") {
			said[line[from+1:len(line)-1]] = true
		}
	}
	return said, nil
}

// Every rule that the program explains fires from a folder on disk, through the command, and has a twin folder in which it
// does not; those of safety are asked of their corpus by TestEveryRuleOfSafetyFiresFromDisk.
func TestEveryRuleFiresFromDisk(t *testing.T) {
	cases := readRuleCases(t)
	ofSafety := map[string]bool{} // those that have their folders in the corpus, for TestEveryRuleOfSafetyFiresFromDisk
	for _, all := range hazards(t) {
		ofSafety[all[0].Rule] = true
	}
	var mu sync.Mutex
	fired, silent := map[string]int{}, map[string]int{}
	t.Run("cases", func(t *testing.T) {
		for _, c := range cases {
			t.Run(c.rule+"/"+c.words, func(t *testing.T) {
				t.Parallel()
				dir := t.TempDir()
				if err := c.write(dir); err != nil {
					t.Fatal(err)
				}
				said, err := spoken(dir, c.command)
				if err != nil {
					t.Fatalf("%s: %v", c.place, err)
				}
				if said[c.rule] != c.fires {
					t.Errorf("%s: %s: fires %t, want %t; what spoke: %q", c.place, c.rule, !c.fires, c.fires, slices.Sorted(maps.Keys(said)))
					return
				}
				mu.Lock()
				defer mu.Unlock()
				if c.fires {
					fired[c.rule]++
				} else {
					silent[c.rule]++
				}
			})
		}
	})
	asked, rules := 0, map[string]bool{}
	for _, d := range docs() {
		if d.Kind != finding.RuleDoc {
			continue
		}
		rules[d.Name] = true
		if ofSafety[d.Name] {
			continue
		}
		asked++
		if fired[d.Name] == 0 || silent[d.Name] == 0 {
			t.Errorf("%s fires from %d folders and is silent for %d twins; each rule needs one of both", d.Name, fired[d.Name], silent[d.Name])
		}
	}
	folders, twins := 0, 0
	for _, c := range cases {
		if !rules[c.rule] {
			t.Errorf("%s: %s is no rule", c.place, c.rule)
		}
		if c.fires {
			folders++
		} else {
			twins++
		}
	}
	t.Logf("%d rules fire from disk, in %d folders, and are silent for %d twins; %d rules of safety have theirs in the corpus", asked, folders, twins, len(ofSafety))
}
