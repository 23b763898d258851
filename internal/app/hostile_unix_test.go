//go:build unix

package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// A hostileCase is a folder that a stranger made and a command that is asked of it; testdata/hostile has them.
//
//	base: plain                          the journal of testdata/rules that what follows changes, or bare for an empty folder
//	command: inspect --format json .     what is asked of those that follow
//	case: an alias bomb
//	  notes/x.md write "TEXT"            a change, as at the head of everyrule_test.go, or one of
//	  FILE made "NAME"                   writes what hostileMade has under the name
//	  FILE pipe | socket | folder        makes one
//	  FILE closed                        takes every right away
//	  status 1                           the exit status; 0 where none is said
//	  wants RULE FILE[:LINE]             the findings have this one, and it says what to do
//	  says "TEXT"                        what is printed has this
//	  nowhere "TEXT"                     no page or file of the journal on the site has this, nor a name of one
//	  command WORDS                      asks something else in this one case
//
// Names with blanks or odd characters stand in quotes. `.` is the folder, `OUT` one that is not there.
type hostileCase struct {
	place, name, base string
	lines             [][]string
	command           []string
}

func readHostileCases(t *testing.T) []*hostileCase {
	t.Helper()
	files, err := filepath.Glob("testdata/hostile/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	var out []*hostileCase
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		base, command := "plain", "inspect --format json ."
		for n, line := range strings.Split(string(text), "\n") {
			trimmed := strings.TrimSpace(line)
			head, rest, _ := strings.Cut(trimmed, ":")
			rest = strings.TrimSpace(rest)
			place := fmt.Sprintf("%s:%d", file, n+1)
			switch {
			case trimmed == "" || strings.HasPrefix(line, "#"):
			case strings.HasPrefix(line, "  ") && len(out) > 0:
				c, words := out[len(out)-1], wordsOf(trimmed)
				if words[0] == "command" {
					c.command = words[1:]
				} else {
					c.lines = append(c.lines, words)
				}
			case head == "base":
				base = rest
			case head == "command":
				command = rest
			case head == "case":
				out = append(out, &hostileCase{place: place, name: rest, base: base, command: wordsOf(command)})
			default:
				t.Fatalf("%s: %q is no head", place, line)
			}
		}
	}
	return out
}

// change makes one change of the folder.
func (c *hostileCase) change(dir string, words []string) error {
	at := filepath.Join(dir, filepath.FromSlash(words[0]))
	if len(words) < 2 {
		return errNoChange
	}
	if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
		return err
	}
	switch words[1] {
	case "pipe":
		return syscall.Mkfifo(at, 0o644)
	case "socket":
		l, err := net.Listen("unix", at)
		if err != nil {
			return err
		}
		l.(*net.UnixListener).SetUnlinkOnClose(false)
		return l.Close()
	case "folder":
		return os.MkdirAll(at, 0o755)
	case "closed":
		return os.Chmod(at, 0)
	case "made":
		make, ok := hostileMade[words[2]]
		if !ok {
			return errNoChange
		}
		return make(at)
	}
	quoted := []string{words[0], words[1]}
	for i, w := range words[2:] {
		if _, err := strconv.Atoi(w); err != nil || i > 0 {
			w = strconv.Quote(w)
		}
		quoted = append(quoted, w)
	}
	if strings.ContainsAny(words[0], " \n") { // applyTo cuts at blanks
		switch words[1] {
		case "write":
			return put(at, []byte(words[2]))
		case "link":
			return os.Symlink(words[2], at)
		}
		return errNoChange
	}
	return applyTo(dir, strings.Join(quoted, " "))
}

// said is what a command prints as JSON, as far as a case asks for it.
type said struct {
	Findings   []saidFinding
	Inspection struct{ Findings []saidFinding }
}

type saidFinding struct {
	Rule, Level, Text, Remedy string
	Place                     struct {
		File string
		Line int
	}
}

func (c *hostileCase) run(t *testing.T) {
	parent := openFolder(t)
	dir, to := filepath.Join(parent, "journal"), filepath.Join(parent, "out")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	from := ruleCase{place: c.place, base: c.base}
	if err := from.write(dir); err != nil {
		t.Fatal(err)
	}
	var asked [][]string
	status, process := "0", child{dir: parent}
	for _, words := range c.lines {
		switch words[0] {
		case "wants", "says", "nowhere":
			asked = append(asked, words)
		case "status":
			status = words[1]
		default:
			if len(words) > 1 && words[1] == "closed" && os.Getuid() == 0 {
				process.limits = "user=65534"
			}
			if err := c.change(dir, words); err != nil {
				t.Fatalf("%s: %q: %v", c.place, words, err)
			}
		}
	}
	t.Cleanup(func() { reopen(dir) })
	args := inFolder(dir, c.command)
	for i, a := range args {
		if a == "OUT" {
			args[i] = to
		}
	}
	if process.limits != "" {
		if err := os.Chmod(parent, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	e := process.run(t, args...)
	if fmt.Sprint(e.status) != status {
		t.Errorf("%s: status %d, want %s; it said %s", c.place, e.status, status, clippedTo(e.all(), 1500))
	}
	for _, words := range asked {
		c.hold(t, e, to, words)
	}
	t.Logf("%4d MiB, %v", e.peak>>20, e.took.Round(1e7))
}

// hold holds what came of the command against one line of the case.
func (c *hostileCase) hold(t *testing.T, e ended, to string, words []string) {
	switch words[0] {
	case "says":
		if !strings.Contains(e.all(), words[1]) {
			t.Errorf("%s: it does not say %q: %s", c.place, words[1], clippedTo(e.all(), 1500))
		}
	case "nowhere":
		wrote := 0
		err := filepath.WalkDir(to, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				if d != nil && (d.Name() == "assets" || d.Name() == "search") { // the theme's own, and words that are data
					return fs.SkipDir
				}
				return err
			}
			wrote++
			text, err := os.ReadFile(name)
			if strings.Contains(name, words[1]) || bytes.Contains(text, []byte(words[1])) {
				t.Errorf("%s: %s has %q", c.place, name, words[1])
			}
			return err
		})
		if err != nil || wrote == 0 {
			t.Errorf("%s: %d files were written: %v", c.place, wrote, err)
		}
	case "wants":
		if words = append(words, ""); words[2] != "" {
			words = words[:3]
		}
		rule := words[1]
		file, line, _ := strings.Cut(words[2], ":")
		var got said
		lines := ""
		if json.Unmarshal([]byte(e.stdout), &got) != nil { // a command that prints them for people
			lines = e.all()
			want := words[2] + ":"
			if line == "" && file != "" {
				want = file + ":"
			}
			for l := range strings.Lines(lines) {
				if strings.HasPrefix(l, strings.TrimSuffix(want, ":")) && strings.HasSuffix(strings.TrimSpace(l), "["+rule+"]") {
					return
				}
			}
			t.Errorf("%s: no finding %s at %s: %s", c.place, rule, words[2], clippedTo(lines, 1500))
			return
		}
		near := ""
		for _, f := range append(got.Findings, got.Inspection.Findings...) {
			at := f.Place.File
			if line != "" {
				at += fmt.Sprintf(":%d", f.Place.Line)
			}
			if f.Rule == rule && (at == words[2] || words[2] != "" && strings.HasSuffix(at, "/"+words[2])) {
				if f.Remedy == "" && f.Level != "note" {
					t.Errorf("%s: %s at %s says not what to do: %s", c.place, rule, at, f.Text)
				}
				return
			}
			near += fmt.Sprintf("\n%s:%d %s: %s", f.Place.File, f.Place.Line, f.Rule, f.Text)
		}
		t.Errorf("%s: no finding %s at %s; there are%s", c.place, rule, words[2], clippedTo(near, 1500))
	}
}

func clippedTo(text string, most int) string {
	if len(text) > most {
		return text[:most] + "…"
	}
	return text
}

// openFolder is a folder of the test's own to which every user comes.
func openFolder(t *testing.T) string {
	dir := t.TempDir()
	for at := dir; at != os.TempDir() && len(at) > 1; at = filepath.Dir(at) {
		_ = os.Chmod(at, 0o755) // of those that are not ours, what may be done is done
	}
	return dir
}

// reopen gives the rights back, so that the folder can be taken away.
func reopen(dir string) {
	_ = filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if d != nil && d.IsDir() {
			_ = os.Chmod(name, 0o755)
		}
		return nil
	})
}

// A journal, a log, a bag or a theme of a stranger gives a finding with its place and a remedy, whatever is in it: no command
// falls over it, goes on without end, or takes more memory than there is.
func TestHostileJournals(t *testing.T) {
	cases := readHostileCases(t)
	names := map[string]bool{}
	for _, c := range cases {
		if names[c.name] {
			t.Errorf("%s: two cases of one name", c.place)
		}
		names[c.name] = true
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.run(t)
		})
	}
	if len(cases) < 100 {
		t.Errorf("there are %d cases", len(cases))
	}
}
