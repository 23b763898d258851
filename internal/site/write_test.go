package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// childSite names, to this test's own binary run again, the folder that it writes sites to until it is killed.
const childSite = "VOLTWRIGHT_TEST_CHILD_SITE"

// childWithout tells it to do so as on a system that cannot exchange two folders.
const childWithout = "VOLTWRIGHT_TEST_CHILD_WITHOUT_EXCHANGE"

func TestMain(m *testing.M) {
	dir := os.Getenv(childSite)
	if dir == "" {
		os.Exit(m.Run())
	}
	swap := exchange
	if os.Getenv(childWithout) != "" {
		swap = noExchange
	}
	for n := 0; ; n++ {
		if err := write(dir, numbered(n%2), swap); err != nil {
			fmt.Println("failed:", err)
			os.Exit(1)
		}
		fmt.Println("wrote", n)
	}
}

// kills is how often a child is killed, each time a little later.
const kills = 20

func noExchange(a, b string) (bool, error) { return false, nil }

// numbered is a site of which every file says its number.
func numbered(n int) *Pages {
	p := newPages(nil)
	for i := range 40 {
		name := fmt.Sprintf("%d/%d/page.html", i%4, i)
		if err := p.put(name, bytes.Repeat([]byte(fmt.Sprintf("site %d, file %d\n", n, i)), 200)); err != nil {
			panic(err)
		}
	}
	return p
}

// state is the hash of a folder's files, "" where there is no folder.
func state(t *testing.T, dir string) string {
	t.Helper()
	h := sha256.New()
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(name)
		fmt.Fprintf(h, "%s %d\n", strings.TrimPrefix(name, dir), len(data))
		h.Write(data)
		return err
	})
	if errors.Is(err, fs.ErrNotExist) {
		return ""
	}
	if err != nil {
		t.Fatal(err)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// A Write that is killed leaves the old site or the new one, whole, and the next Write clears up after it.
func TestKilledWriteLeavesAWholeSite(t *testing.T) {
	whole := map[string]int{}
	for n := range 2 {
		dir := filepath.Join(t.TempDir(), "site")
		if err := Write(dir, numbered(n)); err != nil {
			t.Fatal(err)
		}
		whole[state(t, dir)] = n
	}
	for _, c := range []struct {
		name, without string
		mayBeAbsent   bool // between two renames there is no site; the next Write puts the old one back
	}{{"exchange", "", false}, {"two renames", "1", true}} {
		t.Run(c.name, func(t *testing.T) {
			parent := t.TempDir()
			dir := filepath.Join(parent, "site")
			if err := Write(dir, numbered(0)); err != nil {
				t.Fatal(err)
			}
			left := map[string]int{}
			for kill := range kills {
				child := exec.Command(os.Args[0])
				child.Env = append(os.Environ(), childSite+"="+dir, childWithout+"="+c.without)
				var said bytes.Buffer
				child.Stdout = &said
				if err := child.Start(); err != nil {
					t.Fatal(err)
				}
				time.Sleep(time.Duration(20+7*kill) * time.Millisecond)
				if err := child.Process.Kill(); err != nil {
					t.Fatal(err)
				}
				_ = child.Wait()
				if strings.Contains(said.String(), "failed") {
					t.Fatal(said.String())
				}
				now := state(t, dir)
				if _, ok := whole[now]; !ok && (now != "" || !c.mayBeAbsent) {
					t.Fatalf("kill %d left a site that is neither the old one nor the new one", kill)
				}
				left[strings.Join(names(t, parent), " ")]++
			}
			if left["site"] == kills {
				t.Error("no kill came while a site was being written")
			}
			if err := write(dir, numbered(1), exchange); err != nil {
				t.Fatal(err)
			}
			if n, ok := whole[state(t, dir)]; !ok || n != 1 {
				t.Error("the Write after the kills did not write its site")
			}
			if got := names(t, parent); len(got) != 1 {
				t.Errorf("left beside the site: %v", got)
			}
		})
	}
}

// What a kill between the two renames leaves is put back before anything else.
func TestOldSiteIsPutBack(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "site")
	if err := Write(dir, numbered(0)); err != nil {
		t.Fatal(err)
	}
	before := state(t, dir)
	p, err := newStand(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(dir, p.last); err != nil {
		t.Fatal(err)
	}
	broken := newPages(nil)
	if err := broken.copyFrom("log.csv", "log.csv"); err != nil { // cannot be opened
		t.Fatal(err)
	}
	if err := Write(dir, broken); err == nil {
		t.Fatal("a site with a file that cannot be read was written")
	}
	if state(t, dir) != before {
		t.Error("the old site is not back")
	}
	if got := names(t, parent); len(got) != 1 {
		t.Errorf("left beside the site: %v", got)
	}
}

func TestWriteReplacesOnlySites(t *testing.T) {
	for _, c := range []struct {
		name  string
		files map[string]string
		ok    bool
	}{
		{"empty", nil, true},
		{"a site", map[string]string{MarkerFile: markerText, "index.html": "x"}, true},
		{"another format", map[string]string{MarkerFile: "Voltwright site, format 99\n", "index.html": "x"}, false},
		{"somebody's files", map[string]string{"thesis.txt": "do not lose"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			if err := os.Mkdir(dir, 0o755); err != nil {
				t.Fatal(err)
			}
			for name, text := range c.files {
				if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			before := state(t, dir)
			err := Write(dir, numbered(1))
			if c.ok != (err == nil) || !c.ok && !errors.Is(err, ErrNotOurs) {
				t.Fatalf("error %v", err)
			}
			if !c.ok && state(t, dir) != before {
				t.Error("the folder was changed")
			}
			if c.ok && state(t, dir) == before {
				t.Error("nothing was written")
			}
		})
	}
	t.Run("a file", func(t *testing.T) {
		dir := filepath.Join(t.TempDir(), "site")
		if err := os.WriteFile(dir, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := Write(dir, numbered(0)); err == nil {
			t.Error("a file was replaced by a site")
		}
	})
	t.Run("no folder above", func(t *testing.T) {
		if err := Write(filepath.Join(t.TempDir(), "not", "here"), numbered(0)); err == nil {
			t.Error("a folder above the site was made")
		}
	})
	t.Run("a link to a site", func(t *testing.T) {
		parent := t.TempDir()
		real, link := filepath.Join(parent, "real"), filepath.Join(parent, "link")
		if err := Write(real, numbered(0)); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(real, link); err != nil {
			t.Skip("no symbolic links here")
		}
		if err := Write(link, numbered(1)); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
			t.Error("the link was replaced by a folder")
		}
	})
}
