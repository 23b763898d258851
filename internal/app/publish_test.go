package app

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"voltwright/internal/begin"
	"voltwright/internal/site"
	"voltwright/internal/sized"
)

// publish --list tells on standard output which files of the site became others and nothing else; those that it does not tell of
// keep their bytes and their times.
func TestPublishListsWhatChanged(t *testing.T) {
	parent := t.TempDir()
	dir, to := filepath.Join(parent, "journal"), filepath.Join(parent, "site")
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	before := map[string]string{}
	for _, tt := range []struct {
		name   string
		edit   func() error
		status Status
		holds  []string // lines that there must be
		says   string   // on standard error
	}{
		{"at first", nil, Clean, []string{"added index.html", "added " + site.MarkerFile}, "Wrote "},
		{"nothing changed", nil, Clean, nil, "Nothing has changed of the "},
		{"a new note", func() error {
			return os.WriteFile(filepath.Join(dir, "notes", "more.md"), []byte("---\nkind: note\ntitle: More\n---\nWords of it.\n"), 0o644)
		}, Clean, []string{"added notes/more/index.html", "changed index.html", "changed " + site.MarkerFile}, " new, "},
		{"another word", func() error {
			return os.WriteFile(filepath.Join(dir, "notes", "more.md"), []byte("---\nkind: note\ntitle: More\n---\nSentences of it.\n"), 0o644)
		}, Clean, []string{"changed notes/more/index.html", "changed " + site.MarkerFile}, "(0 files new, "},
		{"an error", func() error {
			return os.WriteFile(filepath.Join(dir, "notes", "wrong.md"), []byte("---\nkind: note\ntitel: Wrong\n---\nNot like this.\n"), 0o644)
		}, Findings, nil, "Nothing was written"},
		{"the error taken away", func() error {
			return os.RemoveAll(filepath.Join(dir, "notes", "wrong.md"))
		}, Clean, nil, "Nothing has changed of the "},
		{"a note taken away", func() error {
			return os.Remove(filepath.Join(dir, "notes", "more.md"))
		}, Clean, []string{"removed notes/more/index.html", "changed index.html"}, " removed, "},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if err := os.MkdirAll(filepath.Join(dir, "notes"), 0o755); err != nil {
				t.Fatal(err)
			}
			if tt.edit != nil {
				if err := tt.edit(); err != nil {
					t.Fatal(err)
				}
			}
			old := time.Date(2001, 2, 3, 4, 5, 6, 0, time.UTC)
			for name := range before {
				if err := os.Chtimes(filepath.Join(to, name), old, old); err != nil {
					t.Fatal(err)
				}
			}
			var out, said bytes.Buffer
			if got := Main([]string{"publish", dir, "--to", to, "--list"}, nil, &out, &said); Status(got) != tt.status || !strings.Contains(said.String(), tt.says) {
				t.Fatalf("status %d, saying %s", got, said.String())
			}
			now := filesOf(t, to)
			var want []string
			for name, text := range now {
				name = filepath.ToSlash(name)
				was, there := before[name]
				switch {
				case !there:
					want = append(want, "added "+name[1:])
				case was != text:
					want = append(want, "changed "+name[1:])
				default:
					if info, err := os.Stat(filepath.Join(to, name)); err != nil || !info.ModTime().Equal(old) {
						t.Errorf("%s is as it was, and its time is not: %v", name, err)
					}
				}
			}
			for name := range before {
				if _, there := now[name]; !there {
					want = append(want, "removed "+name[1:])
				}
			}
			path := func(line string) string { _, name, _ := strings.Cut(line, " "); return name }
			slices.SortFunc(want, func(a, b string) int { return strings.Compare(path(a), path(b)) })
			got := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
			if out.Len() == 0 {
				got = nil
			}
			if !slices.Equal(got, want) {
				t.Errorf("it lists\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
			for _, line := range tt.holds {
				if !slices.Contains(got, line) {
					t.Errorf("it does not list %q", line)
				}
			}
			before = now
		})
	}
}

// A journal of package sized is published as it is, whatever its seed.
func TestSizedJournalIsSound(t *testing.T) {
	for seed := range uint64(3) {
		dir := filepath.Join(t.TempDir(), "journal")
		if err := sized.Write(dir, sized.Size{Notes: 5, Versions: 2, Logs: 3, Rows: 900, Statements: 40, Parts: 6, Seed: seed}); err != nil {
			t.Fatal(err)
		}
		var out, said bytes.Buffer
		if got := Main([]string{"inspect", dir}, nil, &out, &said); Status(got) != Clean || !strings.Contains(out.String(), "1 vehicle, 2 versions, 3 runs: 0 errors") {
			t.Errorf("seed %d: status %d: %s%s", seed, got, said.String(), out.String())
		}
	}
}
