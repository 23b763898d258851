//go:build unix

package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"voltwright/internal/begin"
)

// twoStarters are journals of a version with runs, which differ in what its pack holds.
func twoStarters(t *testing.T, parent string) [2]string {
	t.Helper()
	out := [2]string{filepath.Join(parent, "journal"), filepath.Join(parent, "journal-1")}
	for _, dir := range out {
		if _, err := begin.Journal(dir); err != nil {
			t.Fatal(err)
		}
	}
	alter(t, out[1], "trolley/1-first-pack/version.md", setting("capacity: ", " Ah", "11"))
	return out
}

// keptIn are the entries of the store of commands that run in a folder.
func keptIn(t *testing.T, parent string) []string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(parent, "cache", "voltwright", "*", "*-[ad]"))
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// halfKept counts the entries that were not written to their end: the name of what is kept is its checksum.
func halfKept(t *testing.T, parent string) (n int) {
	t.Helper()
	for _, name := range keptIn(t, parent) {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(text)
		if strings.HasSuffix(name, "-d") && filepath.Base(name) != hex.EncodeToString(sum[:])+"-d" || len(text) == 0 {
			n++
		}
	}
	return n
}

// A publish that is killed while it keeps what it computed leaves entries that are whole or that nobody takes, which stay until they
// are trimmed: the next one, with what is left, writes what one writes that keeps nothing. Three kills come one after the other, of which the first finds an
// empty store and the others what was left.
func TestKilledWhileItKeeps(t *testing.T) {
	parent := t.TempDir()
	journal := twoStarters(t, parent)[0]
	site, plain := filepath.Join(parent, "site"), filepath.Join(parent, "plain")
	took(t, parent, "publish", journal, "--no-store", "--to", plain)
	want := treeOf(t, plain)
	took(t, parent, "publish", journal, "--to", site)
	all := len(keptIn(t, parent))
	if all < 10 {
		t.Fatalf("only %d entries are kept", all)
	}
	random, cut, half, partly := rand.New(rand.NewPCG(13, 5)), 0, 0, 0
	for k := range kills(t) {
		if k%3 == 0 {
			if err := os.RemoveAll(filepath.Join(parent, "cache")); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.RemoveAll(site); err != nil {
			t.Fatal(err)
		}
		from := len(keptIn(t, parent))
		cmd := child{dir: parent}.command(context.Background(), "publish", journal, "--to", site)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		over := false
		for wanted := from + random.IntN(max(all-from, 1)); !over && len(keptIn(t, parent)) <= wanted; {
			select {
			case <-ended:
				over = true
			case <-time.After(time.Millisecond / 2):
			}
		}
		if !over {
			if err := cmd.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
				t.Fatal(err)
			}
			<-ended
		}
		if cmd.ProcessState.ExitCode() < 0 {
			cut++
		}
		if n := len(keptIn(t, parent)); n > 0 && n < all {
			partly++
		}
		half += halfKept(t, parent)
		if k%3 < 2 {
			continue
		}
		took(t, parent, "publish", journal, "--to", site)
		if d := treeOf(t, site).differs(want); d != "" {
			t.Fatalf("after kill %d: %s", k, d)
		}
	}
	if cut == 0 || partly == 0 {
		t.Errorf("%d kills came before the end, %d with a part of the store", cut, partly)
	}
	t.Logf("%d of %d kills came before the end, %d with a part of the %d entries, %d entries not written to their end", cut, kills(t), partly, all, half)
}

// storeDamages are what may become of a store, by what is done to it.
var storeDamages = []struct {
	words string
	entry func(name, next string) error // done to every entry; next is another one of its kind
}{
	{"cut", func(name, _ string) error {
		return rewrite(name, func(b []byte) []byte { return b[:len(b)/2] })
	}},
	{"without their last byte", func(name, _ string) error {
		return rewrite(name, func(b []byte) []byte { return b[:len(b)-1] })
	}},
	{"flipped", func(name, _ string) error {
		return rewrite(name, func(b []byte) []byte { b[len(b)/2] ^= 1; return b })
	}},
	{"empty", func(name, _ string) error { return os.Truncate(name, 0) }},
	{"zeros", func(name, _ string) error {
		return rewrite(name, func(b []byte) []byte { return make([]byte, len(b)) })
	}},
	{"another's", func(name, next string) error {
		return rewrite(name, func([]byte) []byte { b, _ := os.ReadFile(next); return b })
	}},
	{"what is kept gone, and its index left", func(name, _ string) error {
		if strings.HasSuffix(name, "-a") {
			return nil
		}
		return os.Remove(name)
	}},
	{"a folder instead", func(name, _ string) error { return errors.Join(os.Remove(name), os.Mkdir(name, 0o755)) }},
	{"on a disc that is full", func(name, _ string) error {
		if _, err := os.Stat("/dev/full"); err != nil {
			return nil // the system has no such device
		}
		return errors.Join(os.Remove(name), os.Symlink("/dev/full", name))
	}},
}

func rewrite(name string, change func([]byte) []byte) error {
	text, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	return os.WriteFile(name, change(text), 0o644)
}

// Whatever became of a store, a publish says and writes what one says and writes that keeps nothing.
func TestDamagedStore(t *testing.T) {
	parent := t.TempDir()
	journal := twoStarters(t, parent)[0]
	site := filepath.Join(parent, "site")
	plain := child{dir: parent}.run(t, "publish", journal, "--no-store", "--to", site)
	want := treeOf(t, site)
	cache, sound := filepath.Join(parent, "cache"), filepath.Join(parent, "sound")
	if err := os.RemoveAll(site); err != nil {
		t.Fatal(err)
	}
	if e := (child{dir: parent}).run(t, "publish", journal, "--to", site); e.all() != plain.all() {
		t.Errorf("cold: %s\nwant %s", e.all(), plain.all())
	}
	if err := os.Rename(cache, sound); err != nil {
		t.Fatal(err)
	}
	for _, d := range storeDamages {
		if err := errors.Join(os.RemoveAll(site), os.RemoveAll(cache), os.CopyFS(cache, os.DirFS(sound))); err != nil {
			t.Fatal(err)
		}
		entries := keptIn(t, parent)
		slices.SortFunc(entries, func(a, b string) int { return strings.Compare(a[len(a)-1:]+a, b[len(b)-1:]+b) })
		for k, name := range entries {
			if err := d.entry(name, entries[(k+1)%len(entries)]); err != nil {
				t.Fatal(err)
			}
		}
		if len(entries) < 10 {
			t.Fatalf("only %d entries", len(entries))
		}
		if e := (child{dir: parent}).run(t, "publish", journal, "--to", site); e.status != 0 || e.all() != plain.all() {
			t.Errorf("%s: status %d, %s\nwant %s", d.words, e.status, e.all(), plain.all())
		}
		if d, words := treeOf(t, site).differs(want), d.words; d != "" {
			t.Errorf("%s: %s", words, d)
		}
	}
}

// A store in a folder that may be read alone is read, and one that may not be entered costs time: the site is the same.
func TestStoreThatTurnsReadOnly(t *testing.T) {
	parent := openFolder(t)
	journals := twoStarters(t, parent)
	limits, id := nobody()
	user := filepath.Join(parent, "user")
	if err := errors.Join(os.Mkdir(user, 0o755), os.Chown(user, id, -1)); err != nil {
		t.Fatal(err)
	}
	c, site := child{dir: user, limits: limits}, filepath.Join(user, "site")
	var want [2]tree
	for k, j := range journals {
		if e := c.run(t, "publish", j, "--no-store", "--to", site); e.status != 0 {
			t.Fatal(e.all())
		}
		want[k] = treeOf(t, site)
	}
	if e := c.run(t, "publish", journals[0], "--to", site); e.status != 0 {
		t.Fatal(e.all())
	}
	kept := filepath.Join(user, "cache", "voltwright")
	t.Cleanup(func() { givingRights(t, kept, 0o755) })
	for _, rights := range []fs.FileMode{0o555, 0} {
		givingRights(t, kept, rights)
		for k, j := range journals { // the second one has other entries, which have no place
			if e := c.run(t, "publish", j, "--to", site); e.status != 0 {
				t.Errorf("%v: status %d: %s", rights, e.status, e.all())
			}
			if d := treeOf(t, site).differs(want[k]); d != "" {
				t.Errorf("%v: %s", rights, d)
			}
		}
	}
}

// givingRights gives a folder and those in it the same rights.
func givingRights(t *testing.T, dir string, rights fs.FileMode) {
	t.Helper()
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	inside, err := filepath.Glob(filepath.Join(dir, "*", "."))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(inside, dir) {
		if err := os.Chmod(name, rights); err != nil {
			t.Fatal(err)
		}
	}
}
