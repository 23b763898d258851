//go:build unix

package app

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// together runs commands at one time.
func together(t *testing.T, dir string, commands ...[]string) []ended {
	t.Helper()
	out := make([]ended, len(commands))
	var all sync.WaitGroup
	for k, args := range commands {
		all.Go(func() { out[k] = child{dir: dir}.run(t, args...) })
	}
	all.Wait()
	return out
}

// Two publishes into one folder, a publish and an archive of one journal, and two begins of one folder go one after the other, or
// one of them is refused; what stands then is the work of one of them, whole.
func TestCommandsAtOnce(t *testing.T) {
	parent := t.TempDir()
	journals := twoJournals(t, parent)
	site, bag, begun := filepath.Join(parent, "site"), filepath.Join(parent, "bag"), filepath.Join(parent, "begun")
	var pages [2]tree
	for k, j := range journals {
		to := filepath.Join(parent, "pages", string(rune('0'+k)))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			t.Fatal(err)
		}
		took(t, parent, "publish", j, "--to", to)
		pages[k] = treeOf(t, to)
	}
	took(t, parent, "archive", "cart/1-first", "--journal", journals[0], "--to", bag)
	wantBag := treeOf(t, bag)
	took(t, parent, "begin", begun)
	wantBegun := treeOf(t, begun)
	took(t, parent, "publish", journals[0], "--to", site)
	strangers := putStrangers(t, site)
	before := namesIn(t, parent)
	for round := range 4 {
		if err := errors.Join(os.RemoveAll(bag), os.RemoveAll(begun)); err != nil {
			t.Fatal(err)
		}
		made := [][]string{
			{"publish", journals[0], "--to", site}, {"publish", journals[1], "--to", site},
			{"archive", "cart/1-first", "--journal", journals[0], "--to", bag}, {"archive", "cart/1-first", "--journal", journals[0], "--to", bag},
			{"begin", begun}, {"begin", begun},
		}
		e := together(t, parent, made...)
		for k := range 2 {
			if e[k].status != 0 {
				t.Errorf("round %d: a publish ended with %d: %s", round, e[k].status, e[k].all())
			}
		}
		for k := 2; k < len(made); k += 2 {
			one, other := e[k], e[k+1]
			if one.status != 0 {
				one, other = other, one
			}
			if one.status != 0 || other.status != int(Unreached) || !strings.Contains(other.stderr, "is there already") {
				t.Errorf("round %d: %s ended with %d and %d: %s", round, made[k][0], e[k].status, e[k+1].status, other.all())
			}
		}
		now := treeOf(t, site)
		if a, b := now.differs(pages[0].with(strangers)), now.differs(pages[1].with(strangers)); a != "" && b != "" {
			t.Errorf("round %d: neither site: %s\n%s", round, a, b)
		}
		if d := treeOf(t, bag).differs(wantBag); d != "" {
			t.Errorf("round %d: the bag: %s", round, d)
		}
		if d := treeOf(t, begun).differs(wantBegun); d != "" {
			t.Errorf("round %d: what was begun: %s", round, d)
		}
		if got := namesIn(t, parent); got != before {
			t.Errorf("round %d: there stand %s, want %s", round, got, before)
		}
	}
}

// A trial print and a publish of one journal do not disturb each other.
func TestProofWhilePublished(t *testing.T) {
	parent := t.TempDir()
	journal := twoJournals(t, parent)[0]
	site := filepath.Join(parent, "site")
	took(t, parent, "publish", journal, "--to", site)
	want := treeOf(t, site)
	ctx, stop := context.WithCancel(context.Background())
	desk := child{dir: parent}.command(ctx, "proof", journal, "--port", "0")
	var said strings.Builder
	desk.Stderr = &said
	if err := desk.Start(); err != nil {
		t.Fatal(err)
	}
	for range 3 {
		took(t, parent, "publish", journal, "--to", site)
	}
	stop()
	_ = desk.Wait() // that it was stopped
	if d := treeOf(t, site).differs(want); d != "" || strings.Contains(said.String(), "panic") {
		t.Errorf("%s\n%s", d, said.String())
	}
}

// nobody is a user who owns nothing, where the test may become another; else the rights of a folder bind already.
func nobody() (limits string, id int) {
	if os.Getuid() == 0 {
		return "user=65534", 65534
	}
	return "", os.Getuid()
}

// A folder that nobody may write to leaves the old site as it was, and says so.
func TestFolderThatTurnsReadOnly(t *testing.T) {
	parent := openFolder(t)
	journal := twoJournals(t, parent)[0]
	limits, id := nobody()
	user := filepath.Join(parent, "user")
	if err := errors.Join(os.Mkdir(user, 0o755), os.Chown(user, id, -1)); err != nil {
		t.Fatal(err)
	}
	site := filepath.Join(user, "site")
	c := child{dir: user, limits: limits}
	if e := c.run(t, "publish", journal, "--to", site); e.status != 0 {
		t.Fatalf("status %d: %s", e.status, e.all())
	}
	before := treeOf(t, site)
	if err := put(filepath.Join(journal, "notes", "new.md"), []byte("---\nkind: note\ntitle: New\n---\n")); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{user, site} {
		if err := os.Chmod(name, 0o555); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{{"publish", journal, "--to", site}, {"archive", "cart/1-first", "--journal", journal, "--to", filepath.Join(name, "bag")}, {"begin", filepath.Join(name, "begun")}} {
			if name == site && args[0] == "publish" {
				continue // it is replaced, not written to
			}
			e := c.run(t, args...)
			if e.status != int(Unreached) || !strings.Contains(e.stderr, "permission denied") {
				t.Errorf("%q: status %d: %s", args, e.status, e.all())
			}
			if d := treeOf(t, site).differs(before); d != "" {
				t.Errorf("%q: %s", args, d)
			}
		}
		if err := os.Chmod(name, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if got := namesIn(t, user); got != "site" {
		t.Errorf("there stand %s", got)
	}
	if e := c.run(t, "publish", journal, "--to", site); e.status != 0 || treeOf(t, site)["notes/new/index.html"] == "" {
		t.Errorf("with its rights back: status %d: %s", e.status, e.all())
	}
}

// A file that cannot be written to its end, as on a disc that is full, leaves the old site as it was, and says so.
func TestFileThatCannotBeWrittenToItsEnd(t *testing.T) {
	parent := t.TempDir()
	journals := twoJournals(t, parent)
	site, bag, begun := filepath.Join(parent, "site"), filepath.Join(parent, "bag"), filepath.Join(parent, "begun")
	took(t, parent, "publish", journals[0], "--to", site)
	strangers := putStrangers(t, site)
	before, names := treeOf(t, site), namesIn(t, parent)
	for _, most := range []string{"file=1000", "file=20000", "file=100000"} {
		for _, args := range [][]string{{"publish", journals[1], "--to", site}, {"archive", "cart/1-first", "--journal", journals[0], "--to", bag}, {"begin", begun}} {
			if args[0] == "begin" && most != "file=1000" {
				continue // its files are smaller
			}
			e := child{dir: parent, limits: most}.run(t, args...)
			if e.status != int(Unreached) || !strings.Contains(e.stderr, "file too large") {
				t.Errorf("%q: status %d: %s", args, e.status, e.all())
			}
			if d := treeOf(t, site).differs(before); d != "" {
				t.Errorf("%q: %s", args, d)
			}
			if got := namesIn(t, parent); got != names {
				t.Errorf("%q: there stand %s, want %s", args, got, names)
			}
		}
	}
	if len(strangers) == 0 {
		t.Error("nothing foreign was there")
	}
}

// A log that somebody writes to while it is read stops the command; the old site stays. Whether a change falls into the reading is
// for the system to say, so each is tried until one has; where none did, the command has read the log as it is.
func TestFileThatChangesWhileItIsRead(t *testing.T) {
	parent := t.TempDir()
	journal := twoJournals(t, parent)[0]
	site := filepath.Join(parent, "site")
	took(t, parent, "publish", journal, "--to", site)
	before := treeOf(t, site)
	logs, err := filepath.Glob(filepath.Join(journal, "cart/1-first/*.csv"))
	if err != nil || len(logs) == 0 {
		t.Fatalf("no log: %v", err)
	}
	sound, err := os.ReadFile(logs[0])
	if err != nil {
		t.Fatal(err)
	}
	const tries = 20
	for name, change := range map[string]func() error{
		"grows": func() error {
			f, err := os.OpenFile(logs[0], os.O_APPEND|os.O_WRONLY, 0)
			if err != nil {
				return err
			}
			_, err = f.WriteString("\n")
			return errors.Join(err, f.Close())
		},
		"is replaced": func() error {
			return errors.Join(put(logs[0]+".new", sound), os.Rename(logs[0]+".new", logs[0]))
		},
		"comes and goes": func() error {
			err := os.Remove(logs[0])
			time.Sleep(5 * time.Millisecond)
			return errors.Join(err, put(logs[0], sound))
		},
	} {
		for _, command := range []string{"publish", "archive"} {
			met := false
			for try := 0; try < tries && !met; try++ {
				args := []string{"publish", journal, "--to", site, "--no-store"}
				if command == "archive" {
					args = []string{"archive", "cart/1-first", "--journal", journal, "--to", filepath.Join(parent, fmt.Sprintf("bag-%s-%d", name, try)), "--no-store"}
				}
				e := whileChanging(t, change, func() ended { return child{dir: parent}.run(t, args...) })
				// Where it comes and goes it may be away when the folder is read, which is a finding.
				stopped := e.status == int(Unreached) || name == "comes and goes" && e.status == int(Findings)
				met = stopped && strings.Contains(e.all(), filepath.Base(logs[0]))
				if !met && e.status != int(Clean) {
					t.Errorf("%s: %s: status %d: %s", name, command, e.status, e.all())
				}
				if d := treeOf(t, site).differs(before); met && d != "" {
					t.Errorf("%s: %s: %s", name, command, d)
				}
				if err := put(logs[0], sound); err != nil {
					t.Fatal(err)
				}
				took(t, parent, "publish", journal, "--to", site)
			}
			if !met {
				t.Errorf("%s: %s took no notice in %d tries", name, command, tries)
			}
		}
	}
}

// whileChanging runs a command while something is changed again and again.
func whileChanging(t *testing.T, change func() error, command func() ended) ended {
	t.Helper()
	stop := make(chan struct{})
	var changing sync.WaitGroup
	changing.Go(func() {
		for {
			select {
			case <-stop:
				return
			case <-time.After(5 * time.Millisecond):
				if err := change(); err != nil {
					t.Error(err)
					return
				}
			}
		}
	})
	e := command()
	close(stop)
	changing.Wait()
	return e
}
