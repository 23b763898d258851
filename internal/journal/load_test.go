package journal

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// The fixtures are whole journals, one a txtar archive. What inspection has to
// say is written where it has to say it:
//
//	capacity: 9.6      # want missing-unit: has no unit
//	<b>bold</b>        <!-- want raw-html: left out -->
//
// and, where the file has no room for it, in the archive's head, together with
// what an archive cannot hold:
//
//	want PATH RULE: part of the text           the whole file
//	want PATH:LINE RULE: part of the text
//	link PATH TARGET                           a symbolic link
//	size PATH BYTES                            a sparse file
//	raw PATH "Go string"                       bytes that are no text

var (
	markPattern = regexp.MustCompile(`want ([a-z0-9-]+): (.*?)\s*(?:-->|# want|<!-- want|$)`)
	headPattern = regexp.MustCompile(`^want (.+?)(?::(\d+))? ([a-z0-9-]+): (.*)$`)
)

type want struct {
	file       string
	line       int
	rule, text string
	seen       bool
}

func marksOf(file, text string) []*want {
	var out []*want
	for i, line := range strings.Split(text, "\n") {
		for at := strings.Index(line, "want "); at >= 0; {
			m := markPattern.FindStringSubmatch(line[at:])
			if m == nil {
				break
			}
			out = append(out, &want{file: file, line: i + 1, rule: m[1], text: m[2]})
			next := strings.Index(line[at+5:], "want ")
			if next < 0 {
				break
			}
			at += 5 + next
		}
	}
	return out
}

// unpack writes an archive's journal into a new folder.
func unpack(t *testing.T, archive *txtar.Archive) (dir string, wants []*want) {
	t.Helper()
	top := t.TempDir()
	dir = filepath.Join(top, "journal")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(top, "outside.csv"), []byte("t,U\n0,25\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	write := func(name string, data []byte) string {
		p := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, f := range archive.Files {
		write(f.Name, f.Data)
		wants = append(wants, marksOf(f.Name, string(f.Data))...)
	}
	for line := range strings.Lines(string(archive.Comment)) {
		line = strings.TrimSpace(line)
		word, rest, _ := strings.Cut(line, " ")
		name, arg, _ := strings.Cut(rest, " ")
		switch word {
		case "want":
			m := headPattern.FindStringSubmatch(line)
			if m == nil {
				t.Fatalf("bad line %q", line)
			}
			n, _ := strconv.Atoi(m[2])
			wants = append(wants, &want{file: m[1], line: n, rule: m[3], text: m[4]})
		case "link":
			p := write(name, nil)
			os.Remove(p)
			if err := os.Symlink(arg, p); err != nil {
				t.Skip("no symbolic links here: ", err)
			}
		case "size":
			n, err := strconv.ParseInt(arg, 10, 64)
			if err == nil {
				err = os.Truncate(write(name, nil), n)
			}
			if err != nil {
				t.Fatal(err)
			}
		case "raw":
			text, err := strconv.Unquote(arg)
			if err != nil {
				t.Fatal(err)
			}
			write(name, []byte(text))
		}
	}
	return dir, wants
}

func load(t *testing.T, dir string) (*Journal, *finding.List) {
	t.Helper()
	f, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	var list finding.List
	return Load(f, &list), &list
}

func TestFindings(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no fixtures: ", err)
	}
	reported := map[string]bool{}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			dir, wants := unpack(t, archive)
			j, list := load(t, dir)
			whole(t, j)
			for _, f := range list.Sorted() {
				reported[f.Rule] = true
				p := f.Span.Position()
				if p.File == "" {
					t.Errorf("%s has no place: %s", f.Rule, f.Text)
				}
				if f.Level == finding.Error && f.Remedy == "" {
					t.Errorf("%s%s [%s] has no remedy", p, f.Text, f.Rule)
				}
				if !matched(wants, f, p) {
					t.Errorf("not wanted: %s%s: %s [%s]\n    remedy: %s", p, f.Level, f.Text, f.Rule, f.Remedy)
				}
			}
			for _, w := range wants {
				if !w.seen {
					t.Errorf("wanted and not reported: %s:%d %s: %s", w.file, w.line, w.rule, w.text)
				}
			}
		})
	}
	if t.Failed() {
		return
	}
	for _, d := range slices.Concat(Docs(), notes.Docs(), wiringFaults()) {
		if !reported[d.Name] && d.Name != notes.RuleJournalTooLarge { // it takes megabytes, which internal/app makes
			t.Errorf("no fixture shows the rule %s", d.Name)
		}
	}
	known := map[string]bool{}
	for _, d := range slices.Concat(Docs(), notes.Docs(), circuit.Docs()) {
		known[d.Name] = true
	}
	for rule := range reported {
		if !known[rule] {
			t.Errorf("the rule %s has no doc", rule)
		}
	}
}

// wiringFaults are the rules of package circuit that a note can break.
func wiringFaults() []finding.Doc {
	return slices.DeleteFunc(circuit.Docs(), func(d finding.Doc) bool {
		return d.Kind != finding.RuleDoc
	})
}

func matched(wants []*want, f finding.Finding, p finding.Position) bool {
	for _, w := range wants {
		if !w.seen && w.file == p.File && w.line == p.Line && w.rule == f.Rule && strings.Contains(f.Text, w.text) {
			w.seen = true
			return true
		}
	}
	return false
}

// whole holds what Load promises of a journal however bad its folder.
func whole(t *testing.T, j *Journal) {
	t.Helper()
	if j.Note == nil || j.Folder == nil {
		t.Error("the journal has no note or no folder")
	}
	for _, p := range j.Places() {
		d := p.Document()
		switch {
		case d == nil || d.Root == nil || d.Note == nil || d.Note.Source == nil:
			t.Errorf("%s has no document", p.Address())
		case p.Vehicle == nil && p.Page == nil:
			t.Errorf("%s belongs to nothing", p.Address())
		case p.Version != nil && p.Version.Vehicle != p.Vehicle:
			t.Errorf("%s: the version is another vehicle's", p.Address())
		}
	}
	for _, r := range j.Runs() {
		_ = r.Options() // must not panic
	}
}

func TestOpenSaysWhatToDo(t *testing.T) {
	dir := t.TempDir()
	_, err := notes.Open(dir)
	if err == nil || !strings.Contains(err.Error(), "is no journal") || !strings.Contains(err.Error(), "journal.yaml") {
		t.Errorf("an empty folder gives %v", err)
	}
	if _, err := notes.Open(filepath.Join(dir, "none")); err == nil || !os.IsNotExist(err) {
		t.Errorf("a missing folder gives %v", err)
	}
}

// One folder with very many faults gives all of them.
func TestManyFindingsInOneGo(t *testing.T) {
	archive := &txtar.Archive{Files: []txtar.File{{Name: "journal.yaml", Data: []byte("title: T\nmaker: {name: M}\n")}, {Name: "shunter/vehicle.md", Data: []byte("---\nkind: vehicle\nname: S\n---\n")}}}
	const versions = 60
	for i := 1; i <= versions; i++ {
		text := "---\nkind: version\nname: V\ndate: 2026-13-40\npacks:\n  - {chemistry: lpf, series: 8, capacity: 9}\nextra: 1\ncutout: {opens: 4 A}\n---\n<b>x</b> [a](nowhere.md) ![p](plot:none/voltage)\n"
		archive.Files = append(archive.Files, txtar.File{Name: fmt.Sprintf("shunter/%d-v/version.md", i), Data: []byte(text)})
	}
	dir, _ := unpack(t, archive)
	_, list := load(t, dir)
	count := map[string]int{}
	for _, f := range list.Sorted() {
		count[f.Rule]++
	}
	for rule, want := range map[string]int{"not-a-date": 1, "unknown-word": 1, "missing-unit": 1, "unknown-key": 1, "wrong-dimension": 1, "raw-html": 2, "broken-link": 1, "unknown-target": 1} {
		if count[rule] != want*versions {
			t.Errorf("%s: %d findings, want %d", rule, count[rule], want*versions)
		}
	}
}
