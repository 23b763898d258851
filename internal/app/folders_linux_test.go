package app

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A disc that fills leaves the old site as it was, and says so.
func TestDiscThatFills(t *testing.T) {
	parent := t.TempDir()
	journals := twoJournals(t, parent)
	disc := filepath.Join(parent, "disc")
	if err := os.Mkdir(disc, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mount("disc", disc, "tmpfs", 0, "size=6m"); err != nil {
		t.Logf("no small disc can be had here (%v); TestFileThatCannotBeWrittenToItsEnd asks the same of single files", err)
		return
	}
	t.Cleanup(func() { _ = syscall.Unmount(disc, syscall.MNT_DETACH) })
	site := filepath.Join(disc, "site")
	took(t, parent, "publish", journals[0], "--to", site)
	putStrangers(t, site)
	before, names := treeOf(t, site), namesIn(t, disc)
	var free syscall.Statfs_t
	if err := syscall.Statfs(disc, &free); err != nil {
		t.Fatal(err)
	}
	most := int(free.Bavail) * int(free.Bsize)
	for _, room := range []int{0, 4 << 10, 60 << 10, 200 << 10} {
		if err := put(filepath.Join(disc, "ballast"), make([]byte, most-room)); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{{"publish", journals[1], "--to", site}, {"archive", "cart/1-first", "--journal", journals[0], "--to", filepath.Join(disc, "bag")}, {"begin", filepath.Join(disc, "begun")}} {
			if args[0] == "begin" && room >= 60<<10 {
				continue // it is enough
			}
			e := child{dir: parent}.run(t, args...)
			if e.status != int(Unreached) || !strings.Contains(e.stderr, "no space left") {
				t.Errorf("%d kB: %q: status %d: %s", room>>10, args, e.status, e.all())
			}
			if d := treeOf(t, site).differs(before); d != "" {
				t.Errorf("%d kB: %q: %s", room>>10, args, d)
			}
			if got := namesIn(t, disc); got != "ballast "+names {
				t.Errorf("%d kB: %q: there stand %s, want %s", room>>10, args, got, names)
			}
		}
	}
	if err := os.Remove(filepath.Join(disc, "ballast")); err != nil {
		t.Fatal(err)
	}
	took(t, parent, "publish", journals[1], "--to", site)
}

// On a disc that can only be read nothing is written, and that is said; a site that is as it is to be needs no writing.
func TestDiscThatIsReadOnly(t *testing.T) {
	parent := t.TempDir()
	journals := twoJournals(t, parent)
	journal := journals[0]
	disc := filepath.Join(parent, "disc")
	if err := os.Mkdir(disc, 0o755); err != nil {
		t.Fatal(err)
	}
	took(t, parent, "publish", journal, "--to", filepath.Join(disc, "site"))
	if err := syscall.Mount(disc, disc, "", syscall.MS_BIND, ""); err != nil {
		t.Logf("no disc can be had here (%v); TestFolderThatTurnsReadOnly asks the same of a folder", err)
		return
	}
	t.Cleanup(func() { _ = syscall.Unmount(disc, syscall.MNT_DETACH) })
	if err := syscall.Mount(disc, disc, "", syscall.MS_BIND|syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	before := treeOf(t, disc)
	took(t, parent, "publish", journal, "--to", filepath.Join(disc, "site"))
	for _, args := range [][]string{{"publish", journals[1], "--to", filepath.Join(disc, "site")}, {"archive", "cart/1-first", "--journal", journal, "--to", filepath.Join(disc, "bag")}, {"begin", filepath.Join(disc, "begun")}} {
		e := child{dir: parent}.run(t, args...)
		if e.status != int(Unreached) || !strings.Contains(e.stderr, "read-only") {
			t.Errorf("%q: status %d: %s", args, e.status, e.all())
		}
		if d := treeOf(t, disc).differs(before); d != "" {
			t.Errorf("%q: %s", args, d)
		}
	}
}
