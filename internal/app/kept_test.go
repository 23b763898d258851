package app

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"voltwright/themes"
)

// edits are what is done to a journal between two prints.
var edits = []struct {
	words string
	do    func(t *testing.T, dir string, random *rand.Rand)
}{
	{"a sentence", func(t *testing.T, dir string, random *rand.Rand) {
		alter(t, dir, "trolley/1-first-pack/version.md", func(s string) string { return s + fmt.Sprintf("\nAnd once more, %d.\n", random.IntN(1e6)) })
	}},
	{"a capacity", func(t *testing.T, dir string, random *rand.Rand) {
		alter(t, dir, "trolley/1-first-pack/version.md", setting("capacity: ", " Ah", strconv.Itoa(9+random.IntN(3))))
	}},
	{"a payload", func(t *testing.T, dir string, random *rand.Rand) {
		alter(t, dir, "trolley/1-first-pack/version.md", setting("payload: ", " kg", strconv.Itoa(20+random.IntN(200))))
	}},
	{"the temperature of a run", func(t *testing.T, dir string, random *rand.Rand) {
		alter(t, dir, "trolley/1-first-pack/field-1.md", setting("temperature: ", " °C", strconv.Itoa(random.IntN(30))))
	}},
	{"a stop rule", func(t *testing.T, dir string, random *rand.Rand) {
		alter(t, dir, "trolley/1-first-pack/field-1.md", setting("pause-after: ", " s", strconv.Itoa(5+random.IntN(90))))
	}},
	{"a row of a log", func(t *testing.T, dir string, random *rand.Rand) {
		alter(t, dir, "trolley/1-first-pack/field-1.csv", func(s string) string {
			rows := strings.Split(s, "\n")
			at := 2 + random.IntN(len(rows)-4)
			cells := strings.Split(rows[at], ",")
			cells[2] = fmt.Sprintf("%.2f", 4+4*random.Float64())
			rows[at] = strings.Join(cells, ",")
			return strings.Join(rows, "\n")
		})
	}},
	{"a log with another's time", func(t *testing.T, dir string, _ *rand.Rand) { // the bytes count, not the time of the file
		name := filepath.Join(dir, "trolley", "1-first-pack", "field-1.csv")
		alter(t, dir, "trolley/1-first-pack/field-1.csv", func(s string) string { return strings.Replace(s, "13.", "13.0", 1) })
		if err := os.Chtimes(name, time.Unix(1e9, 0), time.Unix(1e9, 0)); err != nil {
			t.Fatal(err)
		}
	}},
	{"a run renamed", func(t *testing.T, dir string, random *rand.Rand) {
		at := filepath.Join(dir, "trolley", "1-first-pack")
		found, err := filepath.Glob(filepath.Join(at, "bench-*.md"))
		if err != nil || len(found) != 1 {
			t.Fatal(found, err)
		}
		to := fmt.Sprintf("bench-2026-01-%02d", 10+random.IntN(20))
		was := strings.TrimSuffix(filepath.Base(found[0]), ".md")
		for _, end := range []string{".md", ".csv"} {
			if err := os.Rename(filepath.Join(at, was+end), filepath.Join(at, to+end)); err != nil {
				t.Fatal(err)
			}
		}
		for _, name := range []string{"trolley/1-first-pack/" + to + ".md", "trolley/1-first-pack/version.md"} {
			alter(t, dir, name, func(s string) string { return strings.ReplaceAll(s, was, to) })
		}
	}},
	{"a run taken away or brought back", func(t *testing.T, dir string, _ *rand.Rand) {
		name := filepath.Join(dir, "trolley", "1-first-pack", "field-1.md")
		aside := filepath.Join(filepath.Dir(dir), "aside.md")
		from, to := name, aside
		if _, err := os.Stat(name); err != nil {
			from, to = aside, name
		}
		if err := os.Rename(from, to); err != nil {
			t.Fatal(err)
		}
	}},
	{"a template that a page is made by", func(t *testing.T, dir string, random *rand.Rand) {
		name := filepath.Join(dir, "themes", "workshop", "note.html")
		if err := os.RemoveAll(name); err != nil {
			t.Fatal(err)
		}
		text, err := themes.FS.ReadFile("workshop/note.html")
		if err != nil {
			t.Fatal(err)
		}
		if more := []string{"", "{{define `more`}}{{end}}", "{{.Body.Nothing}}"}[random.IntN(3)]; more != "" {
			if err := errors.Join(os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, []byte(strings.Replace(string(text), "}}", "}}"+more, 1)), 0o644)); err != nil {
				t.Fatal(err)
			}
		}
	}},
	{"a title", func(t *testing.T, dir string, random *rand.Rand) {
		alter(t, dir, "journal.yaml", func(s string) string {
			_, rest, _ := strings.Cut(s[strings.Index(s, "title:"):], "\n")
			return fmt.Sprintf("title: The book %d\n%s%s", random.IntN(100), s[:strings.Index(s, "title:")], rest)
		})
	}},
	{"a link to a file", func(t *testing.T, dir string, random *rand.Rand) {
		name := filepath.Join(dir, "trolley", "1-first-pack", "said.txt")
		if err := os.WriteFile(name, fmt.Appendf(nil, "Said %d.\n", random.IntN(100)), 0o644); err != nil {
			t.Fatal(err)
		}
		alter(t, dir, "trolley/1-first-pack/version.md", func(s string) string { return s + "\nSee [what was said](said.txt).\n" })
	}},
	{"a template", func(t *testing.T, dir string, random *rand.Rand) {
		name := filepath.Join(dir, "themes", "workshop", "own.css")
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, fmt.Appendf(nil, "body { margin: %dpx }\n", random.IntN(40)), 0o644); err != nil {
			t.Fatal(err)
		}
	}},
}

// alter changes a file of a journal; one that is not there just now stays away.
func alter(t *testing.T, dir, name string, change func(string) string) {
	t.Helper()
	name = filepath.Join(dir, filepath.FromSlash(name))
	text, err := os.ReadFile(name)
	if os.IsNotExist(err) {
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(change(string(text))), 0o644); err != nil {
		t.Fatal(err)
	}
}

// setting puts another number between two words, the first time that they stand so.
func setting(before, after, number string) func(string) string {
	return func(s string) string {
		from := strings.Index(s, before) + len(before)
		to := from + strings.Index(s[from:], after)
		return s[:from] + number + s[to:]
	}
}

// What comes from the store is what comes from computing, byte for byte, after any edits: the site, or, where an error stands in
// its way, what is said. VOLTWRIGHT_EDITS is how many edits are made (6), VOLTWRIGHT_EDITS_SEED which.
func TestStoreGivesWhatComputingGives(t *testing.T) {
	n, seed := 6, 1
	for name, into := range map[string]*int{"VOLTWRIGHT_EDITS": &n, "VOLTWRIGHT_EDITS_SEED": &seed} {
		if v, err := strconv.Atoi(os.Getenv(name)); err == nil {
			*into = v
		}
	}
	random := rand.New(rand.NewPCG(uint64(seed), 14))
	dir := stating(t, draw{payload: 80, setting: 60, temperature: 18, capacity: 10})
	if err := os.RemoveAll(filepath.Join(dir, "questions")); err != nil { // what a question asks of a run that is gone stops a site
		t.Fatal(err)
	}
	published := 0
	for i := range n {
		e := edits[random.IntN(len(edits))]
		e.do(t, dir, random)
		var said [2]string
		var sites [2]map[string]string
		for k, more := range [][]string{nil, {"--no-store"}} {
			to := filepath.Join(t.TempDir(), "site")
			var out, errs bytes.Buffer
			status := Main(append([]string{"publish", dir, "--to", to}, more...), nil, &out, &errs)
			said[k] = fmt.Sprintf("%d %s %s", status, strings.ReplaceAll(out.String(), to, "site"), strings.ReplaceAll(errs.String(), to, "site"))
			sites[k] = filesOf(t, to)
		}
		if said[0] != said[1] {
			t.Errorf("edit %d, %s: from the store\n%s\nand computed\n%s", i, e.words, said[0], said[1])
		}
		for _, name := range slices.Sorted(maps.Keys(sites[1])) {
			if sites[0][name] != sites[1][name] {
				t.Errorf("edit %d, %s: %s differs", i, e.words, name)
			}
		}
		if len(sites[0]) != len(sites[1]) {
			t.Errorf("edit %d, %s: %d files, and computed %d", i, e.words, len(sites[0]), len(sites[1]))
		}
		if len(sites[1]) > 0 {
			published++
		}
	}
	t.Logf("%d edits, %d sites", n, published)
	if published < n/2 {
		t.Errorf("only %d of %d edits gave a site", published, n)
	}
}

// filesOf are all files of a folder by their names; none where there is no folder.
func filesOf(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if os.IsNotExist(err) {
			return nil
		}
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(name)
		out[name[len(dir):]] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
