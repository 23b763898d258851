package whole

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

var testOwned = Owned{List: "list.txt", Head: "A folder, format 2", Listless: "A folder, format 1", Text: "What is listed was written by a test."}

// contents are the files of a folder by their paths.
type contents map[string]string

func (c contents) paths() []string { return slices.Sorted(maps.Keys(c)) }

func (c contents) open(name string) (io.ReadCloser, error) {
	text, ok := c[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return io.NopCloser(strings.NewReader(text)), nil
}

func (c contents) files() Files { return Files{Paths: c.paths(), Open: c.open} }

func (c contents) replace(dir string) (Replaced, error) {
	return Replace(dir, testOwned, c.files())
}

// numbered is a folder of which every file but one says its number.
func numbered(n int) contents {
	c := contents{"same.txt": "the same\n", fmt.Sprintf("only-%d/page.txt", n): "one of the two\n"}
	for i := range 40 {
		c[fmt.Sprintf("%d/%d/page.txt", i%4, i)] = strings.Repeat(fmt.Sprintf("folder %d, file %d\n", n, i), 200)
	}
	return c
}

// put writes files by hand. A path that ends in a slash is an empty folder, a text that begins with -> a symbolic link.
func put(t *testing.T, dir string, files contents) {
	t.Helper()
	for _, name := range files.paths() {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		var err error
		switch to, isLink := strings.CutPrefix(files[name], "->"); {
		case strings.HasSuffix(name, "/"):
			err = os.MkdirAll(at, 0o755)
		case isLink:
			err = os.Symlink(to, at)
		default:
			err = os.WriteFile(at, []byte(files[name]), 0o640)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// read gives all of a folder but its list, in the form that put takes; nil where there is none.
func read(t *testing.T, dir string) contents {
	t.Helper()
	out := contents{}
	err := filepath.WalkDir(dir, func(at string, d fs.DirEntry, err error) error {
		if err != nil || at == dir {
			return err
		}
		rel, _ := filepath.Rel(dir, at)
		name := filepath.ToSlash(rel)
		switch {
		case d.Type()&fs.ModeSymlink != 0:
			to, err := os.Readlink(at)
			out[name] = "->" + to
			return err
		case d.IsDir():
			if entries, err := os.ReadDir(at); err == nil && len(entries) == 0 {
				out[name+"/"] = ""
			}
			return nil
		case name == testOwned.List:
			return nil
		}
		text, err := os.ReadFile(at)
		out[name] = string(text)
		return err
	})
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func differ(t *testing.T, what string, got, want contents) {
	t.Helper()
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if text, ok := got[name]; !ok {
			t.Errorf("%s: %s is gone", what, name)
		} else if text != want[name] {
			t.Errorf("%s: %s is another", what, name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(got)) {
		if _, ok := want[name]; !ok {
			t.Errorf("%s: %s is left", what, name)
		}
	}
}

func both(a, b contents) contents {
	c := contents{}
	maps.Copy(c, a)
	maps.Copy(c, b)
	return c
}

// foreign is what somebody else may keep beside a site: a history of versions, settings of a host, photos, links.
var foreign = contents{
	".versions/objects/aa/bb": "a packed object", ".versions/HEAD": "ref\n", ".versions/empty/": "",
	"host-settings": "name: garden.example\n", "0/photo.jpg": "a photo beside a page", "0/1/deep/er.txt": "deep in ours",
	"link": "->0/photo.jpg", "0/up": "->..", "nowhere": "->not/there", "empty/": "",
	"a name\nof two lines": "odd", `"quoted"`: "odd as well", "naïve é.txt": "beyond ASCII",
}

func TestReplaceKeepsWhatIsForeign(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	if _, err := numbered(0).replace(dir); err != nil {
		t.Fatal(err)
	}
	put(t, dir, foreign)
	old := time.Date(2001, 2, 3, 4, 5, 6, 0, time.UTC)
	if err := errors.Join(os.Chtimes(filepath.Join(dir, "host-settings"), old, old), os.Chmod(filepath.Join(dir, ".versions"), 0o700),
		os.Chtimes(filepath.Join(dir, "same.txt"), old, old)); err != nil {
		t.Fatal(err)
	}
	before := map[string]fs.FileInfo{}
	for name := range foreign {
		before[name], _ = os.Lstat(filepath.Join(dir, name))
	}
	kept, err := numbered(1).replace(dir)
	if err != nil {
		t.Fatal(err)
	}
	differ(t, "after", read(t, dir), both(numbered(1), foreign))
	files := slices.DeleteFunc(foreign.paths(), func(name string) bool { return strings.HasSuffix(name, "/") })
	if !slices.Equal(kept.Foreign, files) {
		t.Errorf("kept %q, want %q", kept.Foreign, files)
	}
	if kept.Same != 1 {
		t.Errorf("%d files are said to be the same, want 1", kept.Same)
	}
	for name, was := range before {
		now, err := os.Lstat(filepath.Join(dir, name))
		if err != nil {
			continue // it was told already
		}
		if was.Mode().IsRegular() && !os.SameFile(was, now) {
			t.Errorf("%s is a copy of what it was", name)
		}
		if was.Mode() != now.Mode() || was.Mode().IsRegular() && !was.ModTime().Equal(now.ModTime()) {
			t.Errorf("%s was %v of %v, is %v of %v", name, was.Mode(), was.ModTime(), now.Mode(), now.ModTime())
		}
	}
	if info, err := os.Stat(filepath.Join(dir, ".versions")); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("a foreign folder has other rights: %v, %v", info.Mode(), err)
	}
	if info, err := os.Stat(filepath.Join(dir, "same.txt")); err != nil || !info.ModTime().Equal(old) {
		t.Errorf("a file that did not change has another time: %v", err)
	}
	if got := names(t, filepath.Dir(dir)); got != "site" {
		t.Errorf("left beside it: %s", got)
	}
}

// Whatever stands under a name that would be written, and was not written by Replace or was changed since, stops it.
func TestReplaceRefusesForeignNames(t *testing.T) {
	next := contents{"index.txt": "new", "a/b/page.txt": "new", "c.txt": "new"}
	for _, tt := range []struct {
		name   string
		before contents // written by Replace; nil: none
		hand   contents
		says   string // "": it is written
	}{
		{"nothing of ours", nil, contents{"thesis.txt": "do not lose", "letters/": ""}, "letters, thesis.txt;"},
		{"hidden files alone", nil, contents{".versions/HEAD": "ref", ".settings": "theirs"}, ""},
		{"a page of somebody's", contents{}, contents{"index.txt": "theirs"}, "index.txt;"},
		{"two of them", contents{}, contents{"index.txt": "theirs", "c.txt": "theirs"}, "c.txt, index.txt;"},
		{"the same bytes as ours would have", contents{}, contents{"index.txt": "new"}, "index.txt;"},
		{"a new name that was taken meanwhile", contents{"index.txt": "old"}, contents{"c.txt": "theirs"}, "c.txt;"},
		{"ours, changed by hand", contents{"index.txt": "old"}, contents{"index.txt": "mended by hand"}, "index.txt;"},
		{"ours, changed by hand, and to be removed", contents{"gone.txt": "old"}, contents{"gone.txt": "mended by hand"}, ""},
		{"a file where a folder goes", contents{}, contents{"a": "theirs"}, "a;"},
		{"a link where a folder goes", contents{}, contents{"a/b": "->/etc"}, "a/b;"},
		{"a link where a file goes", contents{}, contents{"c.txt": "->elsewhere"}, "c.txt;"},
		{"a folder where a file goes", contents{}, contents{"c.txt/": ""}, "c.txt/;"},
		{"a full folder where a file goes", contents{}, contents{"c.txt/x": "theirs"}, "c.txt/;"},
		{"a folder of ours where a file goes", contents{"c.txt/x": "old"}, nil, ""},
		{"a file of ours where a folder goes", contents{"a": "old"}, nil, ""},
		{"seven of them", contents{}, contents{"index.txt": "t", "c.txt": "t", "a/b/page.txt": "t"}, "a/b/page.txt, c.txt, index.txt;"},
		{"a list of another kind", nil, contents{testOwned.List: "A folder, format 99\n"}, "format 99"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			if tt.before != nil {
				if _, err := tt.before.replace(dir); err != nil {
					t.Fatal(err)
				}
			}
			put(t, dir, tt.hand)
			before := read(t, dir)
			_, err := next.replace(dir)
			after := read(t, dir)
			if got := names(t, filepath.Dir(dir)); got != "site" {
				t.Errorf("left beside it: %s", got)
			}
			if tt.says == "" {
				if err != nil {
					t.Fatal(err)
				}
				want := both(tt.hand, next)
				differ(t, "after", after, want)
				return
			}
			if !errors.Is(err, ErrForeign) || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("error %v, want one that names %s", err, tt.says)
			}
			differ(t, "after", after, before)
		})
	}
}

// A folder of former times has a list that names nothing: what is written again is taken for ours, the rest stays.
func TestReplaceOfFormerTimes(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	put(t, dir, contents{"same.txt": "as it was", "host-settings": "kept"})
	if err := os.WriteFile(filepath.Join(dir, testOwned.List), []byte(testOwned.Listless+"\n\nreplaced whole\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for n := range 2 {
		if _, err := numbered(n).replace(dir); err != nil {
			t.Fatal(err)
		}
		differ(t, "after", read(t, dir), both(numbered(n), contents{"host-settings": "kept"}))
	}
}

// Where the system can neither exchange two folders nor link a file, what is foreign is moved.
var poor = system{
	exchange: func(a, b string) (bool, error) { return false, nil },
	link:     func(from, to string) error { return fs.ErrPermission },
}

func TestReplaceWithoutLinks(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	for n := range 3 {
		if n == 1 {
			put(t, dir, foreign)
		}
		c := numbered(n % 2)
		if _, err := replace(dir, testOwned, c.files(), poor); err != nil {
			t.Fatal(err)
		}
	}
	differ(t, "after", read(t, dir), both(numbered(0), foreign))
	if got := names(t, filepath.Dir(dir)); got != "site" {
		t.Errorf("left beside it: %s", got)
	}
}

// What comes into the folder, or is changed in it, while the new one is written is not lost.
func TestReplaceWhileOthersWrite(t *testing.T) {
	for _, sys := range []system{{exchange, link}, poor} {
		dir := filepath.Join(t.TempDir(), "site")
		if _, err := numbered(0).replace(dir); err != nil {
			t.Fatal(err)
		}
		put(t, dir, contents{"log.txt": "one\n"})
		c := numbered(1)
		_, err := replace(dir, testOwned, Files{Paths: c.paths(), Open: func(name string) (io.ReadCloser, error) {
			if name == "same.txt" { // the last of them
				put(t, dir, contents{"new.txt": "just now", "log.txt": "one\ntwo\n", "0/new.txt": "just now"})
			}
			return c.open(name)
		}}, sys)
		if err != nil {
			t.Fatal(err)
		}
		differ(t, "after", read(t, dir), both(c, contents{"new.txt": "just now", "log.txt": "one\ntwo\n", "0/new.txt": "just now"}))
	}
}

// A file of ours that somebody changes in the very moment of the exchange is kept, and its place said.
func TestReplaceOfAFileChangedMeanwhile(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "site")
	if _, err := numbered(0).replace(dir); err != nil {
		t.Fatal(err)
	}
	c := numbered(1)
	_, err := replace(dir, testOwned, c.files(), system{link: link, exchange: func(a, b string) (bool, error) {
		put(t, dir, contents{"0/0/page.txt": "mended by hand"})
		return exchange(a, b)
	}})
	if err == nil || !strings.Contains(err.Error(), "0/0/page.txt") {
		t.Errorf("error %v", err)
	}
	differ(t, "after", read(t, dir), c)
	found := false
	for _, name := range strings.Fields(names(t, parent)) {
		text, err := os.ReadFile(filepath.Join(parent, name, "0/0/page.txt"))
		found = found || err == nil && string(text) == "mended by hand"
	}
	if !found {
		t.Error("what was changed is gone")
	}
}

func TestReplaceThatFailsChangesNothing(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "site")
	if _, err := numbered(0).replace(dir); err != nil {
		t.Fatal(err)
	}
	put(t, dir, foreign)
	before := read(t, dir)
	broken := errors.New("broken")
	for _, tt := range []struct {
		name string
		open func(string) (io.ReadCloser, error)
		sys  system
	}{
		{"a file that cannot be opened", func(name string) (io.ReadCloser, error) { return nil, broken }, system{exchange, link}},
		{"a file that breaks off", func(name string) (io.ReadCloser, error) {
			return io.NopCloser(io.MultiReader(strings.NewReader("half"), failing{broken})), nil
		}, system{exchange, link}},
		{"no exchange", numbered(1).open, system{func(a, b string) (bool, error) { return false, broken }, link}},
	} {
		if _, err := replace(dir, testOwned, Files{Paths: numbered(1).paths(), Open: tt.open}, tt.sys); !errors.Is(err, broken) {
			t.Errorf("%s: %v", tt.name, err)
		}
		differ(t, tt.name, read(t, dir), before)
		if got := names(t, parent); got != "site" {
			t.Errorf("%s: left beside it: %s", tt.name, got)
		}
	}
	for _, bad := range []string{"../out.txt", "/out.txt", "a//b", ".", testOwned.List} {
		if _, err := Replace(dir, testOwned, contents{bad: "x"}.files()); err == nil {
			t.Errorf("%q was written", bad)
		}
	}
	differ(t, "bad names", read(t, dir), before)
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// What Replace did not write beside the folder is not cleared away, whatever it is called.
func TestForeignTreeBesideStays(t *testing.T) {
	parent := t.TempDir()
	beside := filepath.Join(parent, ".site.voltwright-next")
	put(t, beside, contents{"thesis.txt": "ten years of work"})
	if _, err := numbered(0).replace(filepath.Join(parent, "site")); !errors.Is(err, ErrForeign) {
		t.Errorf("gave %v", err)
	}
	differ(t, "beside", read(t, beside), contents{"thesis.txt": "ten years of work"})
}

// childReplace names, to this test's own binary run again, the folder that it replaces until it is killed.
const childReplace = "VOLTWRIGHT_TEST_CHILD_REPLACE"

// childPoor tells it to do so as on a system that can neither exchange folders nor link files.
const childPoor = "VOLTWRIGHT_TEST_CHILD_POOR"

func replaceUntilKilled(dir string) {
	sys := system{exchange, link}
	if os.Getenv(childPoor) != "" {
		sys = poor
	}
	for n := 0; ; n++ {
		c := numbered(n % 2)
		if _, err := replace(dir, testOwned, c.files(), sys); err != nil {
			fmt.Println("failed:", err)
			os.Exit(1)
		}
	}
}

// killCount is how many kills a test of them makes: a sample, or as many as VOLTWRIGHT_KILLS says.
func killCount(t *testing.T, sample int) int {
	if asked := os.Getenv("VOLTWRIGHT_KILLS"); asked != "" {
		n, err := strconv.Atoi(asked)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	return sample
}

// A Replace that is killed leaves the old folder or the new one, whole, with all that is foreign, and the next one clears up
// after it. The moments are drawn, with a fixed seed, from twice the time that one Replace takes.
func TestKilledReplaceLoses(t *testing.T) {
	for _, c := range []struct {
		name, poor string
		displaced  bool // between two renames there is no folder, and behind them foreign files may still be beside it
	}{{"exchange", "", false}, {"two renames and no links", "1", true}} {
		t.Run(c.name, func(t *testing.T) {
			parent := t.TempDir()
			dir := filepath.Join(parent, "site")
			begun := time.Now()
			if _, err := numbered(0).replace(dir); err != nil {
				t.Fatal(err)
			}
			span := 4*time.Since(begun) + 20*time.Millisecond
			put(t, dir, foreign)
			random := rand.New(rand.NewPCG(1, 2))
			left := map[string]int{}
			kills := killCount(t, 12)
			for kill := range kills {
				child := exec.Command(os.Args[0])
				child.Env = append(os.Environ(), childReplace+"="+dir, childPoor+"="+c.poor)
				var said bytes.Buffer
				child.Stdout = &said
				if err := child.Start(); err != nil {
					t.Fatal(err)
				}
				time.Sleep(time.Duration(random.Int64N(int64(span))))
				if err := child.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
					t.Fatal(err)
				}
				_ = child.Wait()
				if strings.Contains(said.String(), "failed") {
					t.Fatal(said.String())
				}
				left[names(t, parent)]++
				now := read(t, dir)
				if c.displaced { // the next Replace puts it right
					continue
				}
				n := 0
				if _, ok := now["only-1/page.txt"]; ok {
					n = 1
				}
				differ(t, fmt.Sprintf("kill %d", kill), now, both(numbered(n), foreign))
				if t.Failed() {
					return
				}
			}
			if _, err := numbered(1).replace(dir); err != nil {
				t.Fatal(err)
			}
			differ(t, "after the kills", read(t, dir), both(numbered(1), foreign))
			if got := names(t, parent); got != "site" {
				t.Errorf("left beside it: %s", got)
			}
			if left["site"] == kills {
				t.Error("no kill came while a folder was being written")
			}
			t.Logf("%d kills left %v", kills, left)
		})
	}
}
