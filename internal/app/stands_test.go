package app

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"voltwright/internal/begin"
	"voltwright/internal/store"
)

// standing are what happens between two publishes to the same folder: to the journal, or to the site.
var standing = []struct {
	words string
	do    func(t *testing.T, journal, site string, random *rand.Rand) error
}{
	{"nothing", func(*testing.T, string, string, *rand.Rand) error { return nil }},
	{"nothing, once more", func(*testing.T, string, string, *rand.Rand) error { return nil }},
	{"a sentence", func(t *testing.T, journal, _ string, random *rand.Rand) error {
		alter(t, journal, "trolley/1-first-pack/version.md", func(s string) string {
			head, _, _ := strings.Cut(s, "\n\nOnce more, ")
			return fmt.Sprintf("%s\n\nOnce more, %d.\n", head, random.IntN(2))
		})
		return nil
	}},
	{"a cell of a log, of the same length and time", func(t *testing.T, journal, _ string, _ *rand.Rand) error {
		at := filepath.Join(journal, "trolley/1-first-pack/bench-2026-01-17.csv")
		info, err := os.Stat(at)
		if err != nil {
			return err
		}
		alter(t, journal, "trolley/1-first-pack/bench-2026-01-17.csv", func(s string) string {
			return strings.NewReplacer("13.8", "13.9", "13.9", "13.8").Replace(s)
		})
		return os.Chtimes(at, info.ModTime(), info.ModTime())
	}},
	{"a file of the theme, or none", func(_ *testing.T, journal, _ string, random *rand.Rand) error {
		at := filepath.Join(journal, "themes/workshop/sheet.css")
		if random.IntN(2) == 0 {
			return os.RemoveAll(filepath.Dir(filepath.Dir(at)))
		}
		return errors.Join(os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, []byte("body { margin: 0 }\n"), 0o644))
	}},
	{"a file that nothing names, or none", func(_ *testing.T, journal, _ string, random *rand.Rand) error {
		at := filepath.Join(journal, "trolley/unused.txt")
		if random.IntN(2) == 0 {
			return os.RemoveAll(at)
		}
		return os.WriteFile(at, []byte("Unused."), 0o644)
	}},
	{"what is hidden behind a link, and linked to", func(t *testing.T, journal, _ string, random *rand.Rand) error {
		alter(t, journal, "trolley/vehicle.md", func(s string) string {
			return strings.Replace(s, "\n\nSee [it](../behind/said.txt).\n", "", 1) + "\n\nSee [it](../behind/said.txt).\n"
		})
		hidden := filepath.Join(journal, ".hidden")
		_ = os.Symlink(".hidden", filepath.Join(journal, "behind")) // it may be there
		return errors.Join(os.MkdirAll(hidden, 0o755), os.WriteFile(filepath.Join(hidden, "said.txt"), fmt.Appendf(nil, "Said %d.\n", random.IntN(3)), 0o644))
	}},
	{"nothing is hidden", func(t *testing.T, journal, _ string, _ *rand.Rand) error {
		alter(t, journal, "trolley/vehicle.md", func(s string) string { return strings.Replace(s, "\n\nSee [it](../behind/said.txt).\n", "", 1) })
		return os.RemoveAll(filepath.Join(journal, "behind"))
	}},
	{"an error, or none", func(_ *testing.T, journal, _ string, random *rand.Rand) error {
		at := filepath.Join(journal, "notes/wrong.md")
		if random.IntN(3) > 0 {
			return os.RemoveAll(at)
		}
		return errors.Join(os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, []byte("---\nkind: note\ntitel: Wrong\n---\nNot so.\n"), 0o644))
	}},
	{"the site: a page altered and put back", func(_ *testing.T, _, site string, random *rand.Rand) error {
		at := filepath.Join(site, "method/index.html")
		text, err := os.ReadFile(at)
		if err != nil {
			return nil // there is no site yet
		}
		before, _, _ := strings.Cut(string(text), "<!-- mine -->")
		if random.IntN(2) == 0 {
			before += "<!-- mine -->"
		}
		return os.WriteFile(at, []byte(before), 0o644)
	}},
	{"the site: a page gone", func(_ *testing.T, _, site string, _ *rand.Rand) error {
		return os.RemoveAll(filepath.Join(site, "method"))
	}},
	{"the site: a file of somebody, or none", func(_ *testing.T, _, site string, random *rand.Rand) error {
		at := filepath.Join(site, "mine.txt")
		if _, err := os.Stat(site); err != nil || random.IntN(2) == 0 {
			return os.RemoveAll(at)
		}
		return os.WriteFile(at, []byte("Mine."), 0o644)
	}},
	{"the site: a version of somebody, or none", func(_ *testing.T, _, site string, random *rand.Rand) error {
		at := filepath.Join(site, "trolley/9-other/index.html")
		if _, err := os.Stat(site); err != nil || random.IntN(3) > 0 {
			return os.RemoveAll(filepath.Dir(at))
		}
		return errors.Join(os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, []byte("Mine."), 0o644))
	}},
	{"the site: no list", func(_ *testing.T, _, site string, _ *rand.Rand) error {
		return os.RemoveAll(filepath.Join(site, "voltwright-site.txt"))
	}},
	{"the site: gone", func(_ *testing.T, _, site string, _ *rand.Rand) error { return os.RemoveAll(site) }},
}

// A publish that finds what an earlier one came to says and does what one does that keeps nothing, whatever happened to the journal and to
// the site in between. VOLTWRIGHT_EDITS is how often something happens (16), VOLTWRIGHT_EDITS_SEED what.
func TestPublishAgain(t *testing.T) {
	n, seed := 16, 1
	for name, into := range map[string]*int{"VOLTWRIGHT_EDITS": &n, "VOLTWRIGHT_EDITS_SEED": &seed} {
		if v, err := strconv.Atoi(os.Getenv(name)); err == nil {
			*into = v
		}
	}
	random := rand.New(rand.NewPCG(uint64(seed), 15))
	parent := t.TempDir()
	journal := filepath.Join(parent, "journal")
	if _, err := begin.Journal(journal); err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(filepath.Join(journal, "questions")); err != nil {
		t.Fatal(err)
	}
	kept, plain := filepath.Join(parent, "kept", "site"), filepath.Join(parent, "plain", "site")
	for _, to := range []string{kept, plain} {
		if err := os.Mkdir(filepath.Dir(to), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	again, written := 0, 0
	for i := range n {
		e := standing[random.IntN(len(standing))]
		if err := errors.Join(e.do(t, journal, kept, random), os.RemoveAll(plain)); err != nil {
			t.Fatalf("%s: %v", e.words, err)
		}
		if _, err := os.Stat(kept); err == nil {
			copyOf(t, kept, plain)
		}
		more := [][]string{nil, {"--list"}}[random.IntN(2)]
		if foundAgain(t, journal, kept) {
			again++
		}
		var said [2]string
		for k, to := range []string{kept, plain} {
			var out, errs bytes.Buffer
			args := append([]string{"publish", journal, "--to", to}, more...)
			if to == plain {
				args = append(args, "--no-store")
			}
			status := Main(args, nil, &out, &errs)
			said[k] = strings.ReplaceAll(fmt.Sprintf("%d\n%s\n%s", status, &out, &errs), to, "SITE")
			if status == 0 {
				written++
			}
		}
		if said[0] != said[1] {
			t.Fatalf("%d, %s: it says\n%s\nand where nothing is kept\n%s", i, e.words, said[0], said[1])
		}
		if a, b := filesOf(t, kept), filesOf(t, plain); !maps.Equal(a, b) {
			t.Fatalf("%d, %s: %d files stand there, and where nothing is kept %d, or others", i, e.words, len(a), len(b))
		}
	}
	t.Logf("%d publishes, %d wrote a site, %d found that it stands", n, written/2, again)
	if again < n/8 || written/2 < n/2 {
		t.Errorf("only %d of %d publishes found that their site stands, and %d wrote one", again, n, written/2)
	}
}

// foundAgain tells whether a publish would find what an earlier one came to, and its site.
func foundAgain(t *testing.T, journal, to string) bool {
	t.Helper()
	folder, err := openJournal(journal)
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	m := means{store: store.Default()}
	done, err := publishing{dir: journal, to: to}.again(stateKey(folder, m).Of("published"), nil, io.Discard, io.Discard, m)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

// copyOf copies a folder with its times.
func copyOf(t *testing.T, from, to string) {
	t.Helper()
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	for name := range filesOf(t, from) {
		if err := os.Chtimes(filepath.Join(to, name), time.Time{}, time.Unix(1e9, 0)); err != nil {
			t.Fatal(err)
		}
	}
}

// What inspect says of a journal that it has inspected before is what it says where nothing is kept, in every form; and what is
// unlike is unlike.
func TestInspectAgain(t *testing.T) {
	journal := filepath.Join(t.TempDir(), "journal")
	if _, err := begin.Journal(journal); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, wrong := range []bool{false, true} {
		text := "---\nkind: note\ntitle: Right\n---\nIt is so, and runs for 3 h.\n"
		if wrong {
			text = strings.Replace(text, "title", "titel", 1)
		}
		at := filepath.Join(journal, "notes", "more.md")
		if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
		for _, form := range [][]string{nil, {"--format", "json"}, {"--format", "sarif"}, {"--unbound"}, {"--outgoing"}, {"--outgoing", "--format", "json"}} {
			var said []string
			for _, more := range [][]string{{"--no-store"}, nil, nil} {
				var out, errs bytes.Buffer
				status := Main(slices.Concat([]string{"inspect", journal}, form, more), nil, &out, &errs)
				said = append(said, fmt.Sprintf("%d\n%s\n%s", status, &out, &errs))
			}
			if said[0] != said[1] || said[1] != said[2] {
				t.Errorf("%q, with an error %v: it says\n%s\nand\n%s\nwhere nothing is kept\n%s", form, wrong, said[1], said[2], said[0])
			}
			seen[said[0]] = true
		}
	}
	if len(seen) < 9 {
		t.Errorf("only %d answers were unlike each other", len(seen))
	}
}
