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
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
)

// A ruleCase is a folder and a command of the program: testdata/rules/base.txtar with some changes.
//
//	base: wired                       the journal of testdata/rules that what follows changes; base where none is named
//	rule: absolute-link               the rule that this is about
//	fires: from the root              a folder for which the command's findings have it
//	  notes/a.md append "\n[x](/x)\n"
//	silent: from beside               the twin, just inside the limit or with the missing thing stated, for which they have not
//	  notes/a.md append "\n[x](x.md)\n"
//
// A change is FILE and one of: write "TEXT", append "TEXT", replace "OLD" "NEW" (which must be there),
// fill SIZE "TEXT" (text, then spaces up to so many bytes), grow SIZE (a hole up to so many bytes), link "TARGET".
// `command WORDS` runs something other than `inspect --format json .`; `.` is the folder.
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
		rule, base := "", "base"
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
					c.command = strings.Fields(words)
				} else {
					c.changes = append(c.changes, trimmed)
				}
			case head == "rule":
				rule = rest
			case head == "base":
				base = rest
			case head == "fires" || head == "silent":
				out = append(out, &ruleCase{place: place, rule: rule, base: base, words: rest, fires: head == "fires", command: []string{"inspect", "--format", "json", "."}})
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
		if err := errors.Join(os.CopyFS(filepath.Join(dir, "cells"), os.DirFS("../../testdata/journal-measured/cells-on-the-bench/5-iron-cell")),
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
	a, err := txtar.ParseFile(filepath.Join("testdata/rules", c.base+".txtar"))
	if err != nil {
		return err
	}
	for _, f := range a.Files {
		if err := put(filepath.Join(dir, filepath.FromSlash(f.Name)), f.Data); err != nil {
			return err
		}
	}
	return nil
}

func put(path string, data []byte) error {
	return errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, data, 0o644))
}

func applyTo(dir, change string) error {
	name, rest, _ := strings.Cut(change, " ")
	verb, rest, _ := strings.Cut(rest, " ")
	path := filepath.Join(dir, filepath.FromSlash(name))
	size := 0
	if verb == "fill" || verb == "grow" {
		number, after, _ := strings.Cut(rest, " ")
		n, err := strconv.Atoi(number)
		if err != nil {
			return err
		}
		size, rest = n, after
	}
	var texts []string
	for rest = strings.TrimSpace(rest); rest != ""; rest = strings.TrimSpace(rest) {
		quoted, err := strconv.QuotedPrefix(rest)
		if err != nil {
			return err
		}
		text, err := strconv.Unquote(quoted)
		if err != nil {
			return err
		}
		texts, rest = append(texts, text), rest[len(quoted):]
	}
	switch {
	case verb == "grow":
		return os.Truncate(path, int64(size))
	case len(texts) == 0:
		return errors.New("no text")
	case verb == "link":
		return errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.Symlink(texts[0], path))
	case verb == "write":
		return put(path, []byte(texts[0]))
	case verb == "fill":
		return put(path, append([]byte(texts[0]), bytes.Repeat([]byte(" "), size-len(texts[0]))...))
	}
	was, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	switch {
	case verb == "append":
		return put(path, append(was, texts[0]...))
	case verb == "replace" && len(texts) == 2:
		if !bytes.Contains(was, []byte(texts[0])) {
			return errors.New("these words are not there")
		}
		return put(path, bytes.Replace(was, []byte(texts[0]), []byte(texts[1]), 1))
	}
	return errors.New("no change")
}

// spoken runs a command of the program and gives the names of the rules in its findings, those that cannot judge left out.
func spoken(dir string, command []string) (map[string]bool, error) {
	args := slices.Clone(command)
	for i, a := range args {
		if a == "." || strings.HasPrefix(a, "./") {
			args[i] = filepath.Join(dir, filepath.FromSlash(a))
		}
	}
	var out, complaints bytes.Buffer
	status := Main(args, strings.NewReader(""), &out, &complaints)
	if status > int(Findings) && !strings.Contains(out.String()+complaints.String(), "[") {
		return nil, fmt.Errorf("status %d: %s", status, complaints.String())
	}
	said := map[string]bool{}
	var got struct {
		Findings []struct {
			Rule, Text string
			Unjudged   bool
		}
	}
	if json.Unmarshal(out.Bytes(), &got) == nil {
		for _, f := range got.Findings {
			if !f.Unjudged && !strings.HasPrefix(f.Text, "cannot judge") {
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
// does not, but for those in testdata/rules/without-a-folder, which a case here takes off the list, and those that TestEveryRuleOfSafetyFiresFromDisk asks of the corpus of safety.
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
	text, err := os.ReadFile("testdata/rules/without-a-folder")
	if err != nil {
		t.Fatal(err)
	}
	without := strings.Fields(string(text)) // rules that no folder here makes speak yet
	rules, both := 0, 0
	for _, d := range docs() {
		if d.Kind != finding.RuleDoc {
			continue
		}
		if ofSafety[d.Name] {
			delete(fired, d.Name)
			continue
		}
		rules++
		has := fired[d.Name] > 0 && silent[d.Name] > 0
		if has {
			both++
		}
		if listed := slices.Contains(without, d.Name); has == listed {
			t.Errorf("%s fires from %d folders and is silent for %d twins; in the list of those without: %t", d.Name, fired[d.Name], silent[d.Name], listed)
		}
		delete(fired, d.Name)
	}
	for name := range fired {
		t.Errorf("%s is no rule", name)
	}
	t.Logf("%d of %d rules fire from disk and have a silent twin, in %d folders; %d have none yet; %d rules of safety have theirs in the corpus", both, rules, len(cases), len(without), len(ofSafety))
}
