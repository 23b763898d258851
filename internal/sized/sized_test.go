package sized

import (
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A journal has what was asked for, and the same bytes each time; that it inspects without an error is asked where the program is.
func TestWrite(t *testing.T) {
	size := Size{Notes: 3, Versions: 12, Logs: 13, Rows: 50, Statements: 8, Parts: 4, Seed: 7}
	var made [2]map[string]string
	for k := range made {
		dir := filepath.Join(t.TempDir(), "journal")
		if err := Write(dir, size); err != nil {
			t.Fatal(err)
		}
		made[k] = map[string]string{}
		err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := os.ReadFile(filepath.Join(dir, name))
			made[k][name] = string(text)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		if err := Write(dir, size); err == nil {
			t.Error("it is written over another")
		}
	}
	counts := map[string]int{}
	for name, text := range made[0] {
		if made[1][name] != text {
			t.Errorf("%s is another the second time", name)
		}
		switch base := filepath.Base(name); {
		case strings.HasSuffix(name, ".csv"):
			counts["logs"]++
			if rows := strings.Count(text, "\n") - 1; rows != size.Rows {
				t.Errorf("%s has %d rows", name, rows)
			}
		case base == "version.md":
			counts["versions"]++
			if parts := strings.Count(text, "an invented counter"); parts != size.Parts {
				t.Errorf("%s has %d parts", name, parts)
			}
		case strings.HasPrefix(name, "notes/"):
			counts["notes"]++
			counts["statements"] += strings.Count(text, "](value:")
		}
	}
	if counts["logs"] != size.Logs || counts["versions"] != size.Versions || counts["notes"] != size.Notes || counts["statements"] != size.Statements {
		t.Errorf("it holds %v, want %+v", counts, size)
	}
	if err := Write(filepath.Join(t.TempDir(), "journal"), Size{Logs: 1}); err == nil {
		t.Error("a log belongs to no version")
	}
}

// A log runs down a pack of about 20 Ah to a tenth, however many rows it has.
func TestDrawLog(t *testing.T) {
	for _, rows := range []int{500, 5000, 36000} {
		for seed := range uint64(5) {
			if _, charge := drawLog(rand.New(rand.NewPCG(seed, 1)), rows); charge < 15 || charge > 19.6 {
				t.Errorf("%d rows, seed %d: %.2f Ah are taken", rows, seed, charge)
			}
		}
	}
}
