package app

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/txtar"
)

// What a rule of safety says of what a version takes over is said of that version: in its own note, on its own page, and of the other as well.
func TestCalloutsOfWhatIsTakenOver(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/few-lines.txtar")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, f := range archive.Files {
		text := strings.Replace(string(f.Data), "volts: 58 V, breaking: 2 kA", "volts: 58 V, breaking: 1 kA", 1)
		if err := put(filepath.Join(dir, filepath.FromSlash(f.Name)), []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	said := run(t, 0, "inspect", dir)
	for _, line := range []string{"barrow/1-first/version.md:", "barrow/2-longer/version.md:6:"} {
		if !slices.ContainsFunc(strings.Split(said, "\n"), func(l string) bool {
			return strings.HasPrefix(l, line) && strings.Contains(l, "[fuse-cannot-interrupt]")
		}) {
			t.Errorf("nothing is said at %s:\n%s", line, said)
		}
	}
	if !strings.Contains(said, "taken over from here") {
		t.Errorf("where it stands is not told:\n%s", said)
	}
	to := filepath.Join(t.TempDir(), "site")
	run(t, 0, "publish", "--to", to, dir)
	for _, version := range []string{"1-first", "2-longer"} {
		page, err := os.ReadFile(filepath.Join(to, "barrow", version, "index.html"))
		if err != nil || !strings.Contains(string(page), "callout-fuse-cannot-interrupt") || !strings.Contains(string(page), ">WARNING<") {
			t.Errorf("%s: its page does not have the callout: %v", version, err)
		}
	}
}

// A complete version takes forty lines of its front matter and its change a dozen; both are drawn, have their cut list and are sound, and what is
// written out in full inspects the same.
func TestAVersionInFewLines(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/few-lines.txtar")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, f := range archive.Files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, f.Data, 0o600); err != nil {
			t.Fatal(err)
		}
		most := map[string]int{"barrow/1-first/version.md": 40, "barrow/2-longer/version.md": 12}[f.Name]
		if most == 0 {
			continue
		}
		lines := strings.Split(strings.Split(string(f.Data), "---\n")[1], "\n")
		if n := len(lines) - 1; n > most {
			t.Errorf("%s takes %d lines, at most %d", f.Name, n, most)
		}
		for _, line := range lines {
			if n := utf8.RuneCountInString(line); n > 100 {
				t.Errorf("%s: a line of %d characters: %s", f.Name, n, line)
			}
		}
	}
	if said := run(t, 0, "inspect", dir); !strings.Contains(said, "0 errors, 0 warnings") {
		t.Fatalf("inspect says\n%s", said)
	}
	to := filepath.Join(t.TempDir(), "site")
	run(t, 0, "publish", "--to", to, dir)
	for page, want := range map[string][]string{
		"barrow/1-first/index.html":         {"<svg", "motor fuse"},
		"barrow/1-first/wiring/index.html":  {"W6, motor fuse out to hub", "controller out- to hub -"},
		"barrow/2-longer/index.html":        {"<svg", "motor fuse", "Taken over from", "packs, cutout, controller"},
		"barrow/2-longer/wiring/index.html": {"W6, motor fuse out to hub", "10 mm²"},
	} {
		text, err := os.ReadFile(filepath.Join(to, filepath.FromSlash(page)))
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range want {
			if !strings.Contains(string(text), w) {
				t.Errorf("%s does not have %q", page, w)
			}
		}
	}
	full := run(t, 0, "inspect", "--written-out", "barrow/2-longer", dir)
	if strings.Contains(full, "like:") || strings.Contains(full, "paths:") || !strings.Contains(full, `{from: "box:+", to: "main fuse:in", colour: red, length: 120 mm, size: 10 mm²}`) {
		t.Fatalf("written out it is\n%s", full)
	}
	run(t, 0, "archive", "--journal", dir, "barrow/2-longer", "--to", filepath.Join(filepath.Dir(to), "bag"))
	bagged, err := os.ReadFile(filepath.Join(filepath.Dir(to), "bag", "data", "journal", "barrow", "2-longer", "version.md"))
	if err != nil || !strings.HasPrefix(string(bagged), full) || !strings.Contains(string(bagged), "the warmest") {
		t.Errorf("in a bag it is %v\n%s", err, bagged)
	}
	if err := os.WriteFile(filepath.Join(dir, "barrow", "2-longer", "version.md"), []byte(full), 0o600); err != nil {
		t.Fatal(err)
	}
	if again := run(t, 0, "inspect", dir); !strings.Contains(again, "0 errors, 0 warnings") {
		t.Errorf("written out it inspects as\n%s", again)
	}
	if said := run(t, int(Usage), "inspect", "--written-out", "barrow/2-longr", dir); !strings.Contains(said, "2-longer") {
		t.Errorf("of a version that is not there: %s", said)
	}
}
