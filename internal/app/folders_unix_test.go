//go:build unix

package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// otherFileSystem is a folder on another file system than the tests' own, "" where there is none.
func otherFileSystem(t *testing.T) string {
	dir, err := os.MkdirTemp("/dev/shm", "voltwright-test-")
	if err != nil {
		return ""
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

// A site's folder holds more than publish put there: whatever it is, it is afterwards what it was, the same file with the same bytes,
// rights and time; and what publish wrote is as in a folder of its own.
func TestStrangersInASitesFolder(t *testing.T) {
	for _, c := range []struct{ name, to string }{
		{"a folder", "site"}, {"a link to a folder", "link"}, {"a link to a folder on another file system", "far"},
	} {
		t.Run(c.name, func(t *testing.T) {
			parent := t.TempDir()
			journals := twoJournals(t, parent)
			var pages [2]tree
			for k, j := range journals {
				to := filepath.Join(parent, "pages-"+string(rune('0'+k)))
				took(t, parent, "publish", j, "--to", to)
				pages[k] = treeOf(t, to)
			}
			real, to := filepath.Join(parent, "real"), filepath.Join(parent, c.to)
			switch c.to {
			case "site":
				real = to
			case "far":
				if real = otherFileSystem(t); real == "" {
					t.Log("there is no other file system here")
					return
				}
				real = filepath.Join(real, "site")
				fallthrough
			default:
				if err := os.Mkdir(real, 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.Symlink(real, to); err != nil {
					t.Fatal(err)
				}
			}
			took(t, parent, "publish", journals[0], "--to", to)
			strangers := putStrangers(t, real)
			nodes := map[string]uint64{}
			times := map[string]int64{}
			for name := range strangers {
				info, err := os.Lstat(filepath.Join(real, name))
				if err != nil {
					t.Fatal(err)
				}
				if !info.IsDir() {
					nodes[name], times[name] = node(t, filepath.Join(real, name)), info.ModTime().UnixNano()
				}
			}
			for k := range 4 {
				e := child{dir: parent}.run(t, "publish", journals[(k+1)%2], "--to", to)
				if e.status != 0 || !strings.Contains(e.stdout, "Left as it was: 9 files") {
					t.Fatalf("status %d: %s", e.status, e.all())
				}
				if d := treeOf(t, real).differs(pages[(k+1)%2].with(strangers)); d != "" {
					t.Fatalf("after publish %d: %s", k, d)
				}
				for name, was := range nodes {
					info, err := os.Lstat(filepath.Join(real, name))
					if err != nil || node(t, filepath.Join(real, name)) != was || info.ModTime().UnixNano() != times[name] {
						t.Errorf("after publish %d %s is another file: %v", k, name, err)
					}
				}
			}
			if c.to != "site" {
				if to, err := os.Readlink(to); err != nil || to != real {
					t.Errorf("the link leads to %s: %v", to, err)
				}
			}
		})
	}
}

// A file of somebody else's that has the name of one that would be written stops the publish by its name; nothing is changed.
func TestStrangersOfTheSameNames(t *testing.T) {
	parent := t.TempDir()
	journals := twoJournals(t, parent)
	site := filepath.Join(parent, "site")
	took(t, parent, "publish", journals[1], "--to", site)
	for _, c := range []struct {
		name string
		put  func(at string) error
	}{
		{"notes/more/index.html", func(at string) error { return put(at, []byte("mine")) }}, // a page that the other journal has
		{"notes/more/index.html", func(at string) error { return os.MkdirAll(filepath.Join(at, "deeper"), 0o755) }},
		{"notes/more", func(at string) error { return put(at, []byte("mine")) }},
		{"notes/more", func(at string) error { return os.Symlink("/etc", at) }},
		{"notes/more/index.html", func(at string) error {
			if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
				return err
			}
			return os.Symlink("/etc/hostname", at)
		}},
		{"index.html", func(at string) error { return put(at, []byte("mended by hand")) }}, // its own, changed
	} {
		at := filepath.Join(site, filepath.FromSlash(c.name))
		_ = os.MkdirAll(filepath.Dir(at), 0o755) // it may be there
		if err := c.put(at); err != nil {
			t.Fatal(err)
		}
		before := treeOf(t, site)
		e := child{dir: parent}.run(t, "publish", journals[0], "--to", site)
		if e.status != int(Unreached) || !strings.Contains(e.stderr, c.name) {
			t.Errorf("%s: status %d: %s", c.name, e.status, e.all())
		}
		if d := treeOf(t, site).differs(before); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
		if c.name != "index.html" {
			if err := os.RemoveAll(filepath.Join(site, "notes", "more")); err != nil {
				t.Fatal(err)
			}
		}
	}
}
