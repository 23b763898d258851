package whole

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

// carryOver brings a copy of a folder to its new state by what Replace says of it, as a program that uploads a site would.
func carryOver(t *testing.T, from, to string, done Replaced) {
	t.Helper()
	for _, name := range done.Removed {
		if err := os.Remove(filepath.Join(to, name)); err != nil {
			t.Fatal(err)
		}
		for dir := filepath.Dir(filepath.Join(to, name)); dir != to && os.Remove(dir) == nil; dir = filepath.Dir(dir) {
		}
	}
	for _, name := range append(slices.Clone(done.Added), done.Changed...) {
		text, err := os.ReadFile(filepath.Join(from, name))
		if err != nil {
			t.Fatal(err)
		}
		_, there := os.Lstat(filepath.Join(to, name))
		if slices.Contains(done.Added, name) != errors.Is(there, os.ErrNotExist) {
			t.Errorf("%s is said to be added, or changed, and the copy says %v", name, there)
		}
		at := filepath.Join(to, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, text, 0o644)); err != nil {
			t.Fatal(err)
		}
	}
}

// A copy of the folder that takes over what is said to be added, changed and removed is the folder; what did not change keeps
// its time, and where nothing did the folders do as well.
func TestReplaceSaysWhatChanged(t *testing.T) {
	for name, sys := range map[string]system{"exchange": {exchange, link}, "two renames and no links": poor} {
		t.Run(name, func(t *testing.T) {
			dir, other := filepath.Join(t.TempDir(), "site"), t.TempDir()
			random, now := rand.New(rand.NewPCG(14, 1)), contents{"0/0.txt": "first"}
			quiet := 0
			for round := range 60 {
				before := both(now, nil)
				for range random.IntN(3) * random.IntN(3) {
					name := fmt.Sprintf("%d/%d.txt", random.IntN(3), random.IntN(6))
					switch random.IntN(3) {
					case 0:
						delete(now, name)
					default:
						now[name] = fmt.Sprint("text ", random.IntN(3))
					}
				}
				old, nodes := time.Date(2001, 2, 3, 4, 5, round, 0, time.UTC), map[string]os.FileInfo{}
				for name := range before {
					if at := filepath.Join(dir, name); round > 0 {
						if err := os.Chtimes(at, old, old); err != nil {
							t.Fatal(err)
						}
					}
				}
				_ = os.Chtimes(dir, old, old) // there is none in the first round
				for _, name := range []string{"", testOwned.List} {
					nodes[name], _ = os.Stat(filepath.Join(dir, name))
				}
				stood, stands := Stands(dir, testOwned, sumsOf(now), nil)
				done, err := replace(dir, testOwned, now.files(), sys)
				if err != nil {
					t.Fatal(err)
				}
				if nothing := len(done.Added)+len(done.Changed)+len(done.Removed) == 0; stands != nothing || stands && !reflect.DeepEqual(stood, done) {
					t.Errorf("round %d: it is said to stand: %v, %+v; and replacing says %+v", round, stands, stood, done)
				}
				if _, stands := Stands(dir, testOwned, done.Sums, nil); !stands || !maps.Equal(done.Sums, sumsOf(now)) {
					t.Errorf("round %d: what was written does not stand there, or has other sums", round)
				}
				carryOver(t, dir, other, done)
				differ(t, fmt.Sprint("the copy after round ", round), read(t, other), now)
				if here, there := readList(t, dir), readList(t, other); here != there {
					t.Fatalf("round %d: the list of the copy is\n%s\nand not\n%s", round, there, here)
				}
				same := 0
				for name, text := range now {
					info, err := os.Stat(filepath.Join(dir, name))
					stayed := round > 0 && before[name] == text
					if err != nil || info.ModTime().Equal(old) != stayed {
						t.Errorf("round %d: %s: the same as before: %v, its time: %v, %v", round, name, stayed, info.ModTime(), err)
					}
					if stayed {
						same++
					}
				}
				if done.Same != same {
					t.Errorf("round %d: %d files are said to be the same, want %d", round, done.Same, same)
				}
				if round > 0 && len(done.Added)+len(done.Changed)+len(done.Removed) == 0 {
					quiet++
					for name, was := range nodes {
						if is, err := os.Stat(filepath.Join(dir, name)); err != nil || !os.SameFile(was, is) || !was.ModTime().Equal(is.ModTime()) {
							t.Errorf("round %d: nothing changed, and %q is another, or of another time: %v", round, name, err)
						}
					}
				}
				if got := names(t, filepath.Dir(dir)); got != "site" {
					t.Errorf("left beside it: %s", got)
				}
			}
			if quiet < 5 {
				t.Errorf("in %d rounds nothing changed: the test shows little", quiet)
			}
		})
	}
}

func sumsOf(files contents) map[string]string {
	out := map[string]string{}
	for name, text := range files {
		out[name] = fmt.Sprintf("%x", sha256.Sum256([]byte(text)))
	}
	return out
}

// What somebody did to a folder is seen, whatever it was: it no longer stands, or Replace would leave it alone as well.
func TestStandsSeesWhatWasDone(t *testing.T) {
	now := contents{"0/0.txt": "first", "1/1.txt": "second"}
	for name, do := range map[string]func(dir string) error{
		"nothing":            func(string) error { return nil },
		"a file altered":     func(dir string) error { return os.WriteFile(filepath.Join(dir, "0/0.txt"), []byte("FIRST"), 0o644) },
		"a file gone":        func(dir string) error { return os.Remove(filepath.Join(dir, "0/0.txt")) },
		"a folder gone":      func(dir string) error { return os.RemoveAll(filepath.Join(dir, "1")) },
		"all of it gone":     os.RemoveAll,
		"a file of somebody": func(dir string) error { return os.WriteFile(filepath.Join(dir, "mine.txt"), nil, 0o644) },
		"a folder instead": func(dir string) error {
			at := filepath.Join(dir, "0/0.txt")
			return errors.Join(os.Remove(at), os.Mkdir(at, 0o755))
		},
		"a link instead": func(dir string) error {
			at := filepath.Join(dir, "0/0.txt")
			return errors.Join(os.Remove(at), os.Symlink("../1/1.txt", at))
		},
		"the list altered": func(dir string) error {
			return os.WriteFile(filepath.Join(dir, testOwned.List), []byte(testOwned.Head+"\n"), 0o644)
		},
		"the list gone": func(dir string) error { return os.Remove(filepath.Join(dir, testOwned.List)) },
		"the list of another": func(dir string) error {
			return os.WriteFile(filepath.Join(dir, testOwned.List), []byte("Papers\n"), 0o644)
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			if _, err := Replace(dir, testOwned, now.files()); err != nil {
				t.Fatal(err)
			}
			if err := do(dir); err != nil {
				t.Fatal(err)
			}
			_, stands := Stands(dir, testOwned, sumsOf(now), nil)
			done, err := Replace(dir, testOwned, now.files())
			if left := err == nil && len(done.Added)+len(done.Changed)+len(done.Removed) == 0; stands != left {
				t.Errorf("it stands: %v, and replacing leaves it alone: %v (%v)", stands, left, err)
			}
		})
	}
}

func readList(t *testing.T, dir string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, testOwned.List))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// What is said is in order, has the list in its place, and leaves out what is foreign.
func TestReplacedIsInOrder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	done, err := contents{"a.txt": "1", "z.txt": "1", "m.txt": "1"}.replace(dir)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(done.Added, " "); got != "a.txt list.txt m.txt z.txt" || len(done.Changed)+len(done.Removed) != 0 {
		t.Errorf("at first: added %s, changed %s, removed %s", got, done.Changed, done.Removed)
	}
	put(t, dir, contents{"theirs.txt": "theirs", "m.txt": "mended by hand"})
	done, err = contents{"b.txt": "1", "z.txt": "2"}.replace(dir)
	if err != nil {
		t.Fatal(err)
	}
	got := fmt.Sprint(done.Added, done.Changed, done.Removed, done.Foreign)
	if want := "[b.txt] [list.txt z.txt] [a.txt] [m.txt theirs.txt]"; got != want {
		t.Errorf("then: %s, want %s", got, want)
	}
}

// A file of which the sum is known is not read to be told that it stayed as it was; one that changed is.
func TestReplaceAsksForSums(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	c, asked := numbered(0), map[string]int{}
	files := c.files()
	files.Open = func(name string) (io.ReadCloser, error) {
		asked[name]++
		return c.open(name)
	}
	files.Sum = func(name string) ([]byte, bool) {
		sum := sha256.Sum256([]byte(c[name]))
		return sum[:], name != "same.txt"
	}
	if _, err := Replace(dir, testOwned, files); err != nil || len(asked) != len(c) {
		t.Fatalf("%d files were read of %d that were new: %v", len(asked), len(c), err)
	}
	asked = map[string]int{}
	if done, err := Replace(dir, testOwned, files); err != nil || done.Same != len(c) || len(asked) != 1 || asked["same.txt"] != 1 {
		t.Errorf("read %v of %d files that stayed, of which one sum is not known: %v", asked, done.Same, err)
	}
	asked = map[string]int{}
	c["0/0/page.txt"] = "another"
	if done, err := Replace(dir, testOwned, files); err != nil || done.Same != len(c)-1 || asked["0/0/page.txt"] != 1 {
		t.Errorf("read %v, %d stayed: %v", asked, done.Same, err)
	}
	differ(t, "after", read(t, dir), c)
}
