//go:build unix

package app

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// A tree is what stands in a folder: of each file and folder its kind, rights and bytes, and of a link where it leads.
type tree map[string]string

// treeOf looks at a folder; nothing is a folder that is not there.
func treeOf(t *testing.T, dir string) tree {
	t.Helper()
	out := tree{}
	err := filepath.WalkDir(dir, func(at string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		name, _ := filepath.Rel(dir, at) // at begins with dir
		switch {
		case name == ".":
		case d.Type()&fs.ModeSymlink != 0:
			to, err := os.Readlink(at)
			out[name] = "link to " + to
			return err
		case d.Type().IsRegular():
			text, err := os.ReadFile(at)
			out[name] = fmt.Sprintf("%v %x", info.Mode(), sha256.Sum256(text))
			return err
		default:
			out[name] = info.Mode().String()
		}
		return nil
	})
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return out
}

// with is a tree and what stands in it besides.
func (a tree) with(b tree) tree {
	out := maps.Clone(a)
	maps.Copy(out, b)
	return out
}

// differs says what of a tree is another than it should be; "" where nothing is.
func (a tree) differs(want tree) string {
	var out []string
	for name := range a.with(want) {
		if a[name] != want[name] {
			out = append(out, fmt.Sprintf("%s is %q, want %q", name, a[name], want[name]))
		}
	}
	slices.Sort(out)
	return strings.Join(out[:min(len(out), 5)], "\n")
}

// node is the system's own number of a file, which another file of the same name and bytes does not have.
func node(t *testing.T, name string) uint64 {
	t.Helper()
	info, err := os.Lstat(name)
	if err != nil {
		t.Fatal(err)
	}
	return uint64(info.Sys().(*syscall.Stat_t).Ino)
}

// namesIn lists a folder.
func namesIn(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		if e.Name() != "cache" { // the child's own store
			out = append(out, e.Name())
		}
	}
	return strings.Join(out, " ")
}

// strangers are files that a host or a maker puts into a site's folder.
func putStrangers(t *testing.T, dir string) tree {
	t.Helper()
	for name, text := range map[string]string{".git/HEAD": "ref\n", ".git/objects/ab/cdef": "x", "host-settings": "kept\n", "photos/shed.jpg": "a photo", "cart/notes.txt": "mine", "CNAME": "example.org"} {
		if err := put(filepath.Join(dir, name), []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	for _, err := range []error{
		os.Chmod(filepath.Join(dir, "host-settings"), 0o640), os.Mkdir(filepath.Join(dir, "empty"), 0o750), os.Symlink("../elsewhere", filepath.Join(dir, "link")),
		os.Symlink("/etc", filepath.Join(dir, "photos", "etc")), syscall.Mkfifo(filepath.Join(dir, "pipe"), 0o600),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return only(treeOf(t, dir), ".git", ".git/HEAD", ".git/objects", ".git/objects/ab", ".git/objects/ab/cdef", "host-settings", "photos", "photos/shed.jpg", "photos/etc", "cart/notes.txt", "CNAME", "empty", "link", "pipe")
}

func only(t tree, names ...string) tree {
	out := tree{}
	for _, name := range names {
		out[name] = t[name]
	}
	return out
}

// twoJournals are a journal and the same with another title and a page less.
func twoJournals(t *testing.T, parent string) [2]string {
	t.Helper()
	var out [2]string
	for k := range out {
		out[k] = filepath.Join(parent, fmt.Sprintf("journal-%d", k))
		if err := unpack("small", out[k]); err != nil {
			t.Fatal(err)
		}
	}
	if err := applyTo(out[1], `journal.yaml replace "title: " "title: Another and "`); err != nil {
		t.Fatal(err)
	}
	if err := put(filepath.Join(out[0], "notes", "more.md"), []byte("---\nkind: note\ntitle: More\n---\nWords.\n")); err != nil {
		t.Fatal(err)
	}
	return out
}
