//go:build unix

package app

import (
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"voltwright/internal/archive"
)

// kills is how many kills each command takes: a sample, or as many as VOLTWRIGHT_KILLS says.
func kills(t *testing.T) int {
	n := 12
	if asked := os.Getenv("VOLTWRIGHT_KILLS"); asked != "" {
		var err error
		if n, err = strconv.Atoi(asked); err != nil {
			t.Fatal(err)
		}
	}
	return n
}

// workIn is what stands in a folder under a name with `voltwright` in it, which is where a command writes what isn't whole yet.
func workIn(t *testing.T, dir string) map[string]os.FileInfo {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	work := map[string]os.FileInfo{}
	for _, e := range entries {
		if !strings.Contains(e.Name(), "voltwright") {
			continue
		}
		if info, err := e.Info(); err == nil { // else it has gone since
			work[e.Name()] = info
		}
	}
	return work
}

// begunSince tells whether something stands now that did not: what an earlier command left behind isn't taken for work that has begun.
func begunSince(was, now map[string]os.FileInfo) bool {
	for name, info := range now {
		if old, there := was[name]; !there || !os.SameFile(old, info) {
			return true
		}
	}
	return false
}

// killed starts a command and kills it. At every other time the moment is drawn from all that the command takes, at the others from
// what follows once it has begun to write. It tells whether the kill came before the end. The commands keep nothing in the store,
// so that each takes as long as the one that was timed.
func killed(t *testing.T, dir string, random *rand.Rand, whole time.Duration, k int, args ...string) bool {
	t.Helper()
	was := workIn(t, dir)
	cmd := child{dir: dir}.command(context.Background(), args...)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if k%2 == 0 {
		time.Sleep(time.Duration(random.Int64N(int64(whole))))
	} else {
		for begun := time.Now(); time.Since(begun) < 2*whole && !begunSince(was, workIn(t, dir)); time.Sleep(time.Millisecond) {
		}
		time.Sleep(time.Duration(random.Int64N(int64(whole) / 4)))
	}
	if err := cmd.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
		t.Fatal(err)
	}
	_ = cmd.Wait() // that it was killed
	return cmd.ProcessState.ExitCode() < 0
}

// took is how long a command takes that goes well.
func took(t *testing.T, dir string, args ...string) time.Duration {
	t.Helper()
	e := child{dir: dir}.run(t, args...)
	if e.status != 0 {
		t.Fatalf("%q: status %d: %s", args, e.status, e.all())
	}
	return e.took
}

// A publish that is killed leaves the old site or the new one, whole, and all that others put there; the next one goes well and
// leaves nothing beside it.
func TestKilledPublish(t *testing.T) {
	parent := t.TempDir()
	journals := twoJournals(t, parent)
	site := filepath.Join(parent, "site")
	var pages [2]tree
	var whole time.Duration
	for k, j := range journals {
		whole = max(whole, took(t, parent, "publish", j, "--no-store", "--to", filepath.Join(parent, "pages-"+strconv.Itoa(k))))
		pages[k] = treeOf(t, filepath.Join(parent, "pages-"+strconv.Itoa(k)))
	}
	took(t, parent, "publish", journals[0], "--to", site)
	strangers := putStrangers(t, site)
	photo := node(t, filepath.Join(site, "photos/shed.jpg"))
	before := namesIn(t, parent)
	random, cut, became, left := rand.New(rand.NewPCG(13, 1)), 0, [2]int{}, 0
	for k := range kills(t) {
		if killed(t, parent, random, whole, k, "publish", journals[(k/2+1)%2], "--no-store", "--to", site) {
			cut++
		}
		if namesIn(t, parent) != before {
			left++
		}
		now := treeOf(t, site)
		switch old, next := now.differs(pages[0].with(strangers)), now.differs(pages[1].with(strangers)); {
		case old == "":
			became[0]++
		case next == "":
			became[1]++
		default:
			t.Fatalf("kill %d left neither site: %s\n%s", k, old, next)
		}
	}
	took(t, parent, "publish", journals[1], "--to", site)
	if d := treeOf(t, site).differs(pages[1].with(strangers)); d != "" {
		t.Errorf("after the kills: %s", d)
	}
	if node(t, filepath.Join(site, "photos/shed.jpg")) != photo {
		t.Error("the photo is another file")
	}
	if got := namesIn(t, parent); got != before {
		t.Errorf("there stand %s, want %s", got, before)
	}
	if cut == 0 || left == 0 {
		t.Errorf("%d kills came before the end, %d while the site was written", cut, left)
	}
	t.Logf("%d of %d kills came before the end, %d while the site was written; %v sites of each journal stood", cut, kills(t), left, became)
}

// An archive that is killed leaves no bag, or a whole one; a begin that is killed no journal, or a whole one. The next clears up.
func TestKilledArchiveAndBegin(t *testing.T) {
	parent := t.TempDir()
	journal := twoJournals(t, parent)[0]
	for _, c := range []struct {
		name string
		args []string
	}{
		{"archive", []string{"archive", "cart/1-first", "--journal", journal, "--no-store", "--to"}},
		{"begin", []string{"begin"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			to := filepath.Join(parent, c.name+"-made")
			args := append(c.args, to)
			before := namesIn(t, parent)
			whole := took(t, parent, args...)
			want := treeOf(t, to)
			random, cut, left, made := rand.New(rand.NewPCG(13, 2)), 0, 0, 0
			for k := range kills(t) {
				if err := os.RemoveAll(to); err != nil {
					t.Fatal(err)
				}
				if killed(t, parent, random, whole, k, args...) {
					cut++
				}
				now := treeOf(t, to)
				if len(now) > 0 {
					made++
					if d := now.differs(want); d != "" {
						t.Fatalf("kill %d left a half: %s", k, d)
					}
				}
				if got := strings.ReplaceAll(" "+namesIn(t, parent), " "+filepath.Base(to), ""); strings.TrimSpace(got) != before {
					left++
				}
			}
			if err := os.RemoveAll(to); err != nil {
				t.Fatal(err)
			}
			took(t, parent, args...)
			if d := treeOf(t, to).differs(want); d != "" {
				t.Errorf("after the kills: %s", d)
			}
			if c.name == "archive" {
				if _, found, err := archive.Verify(to, nil); err != nil || len(found) > 0 {
					t.Errorf("the bag is not sound: %v %v", found, err)
				}
			}
			if err := os.RemoveAll(to); err != nil {
				t.Fatal(err)
			}
			if got := namesIn(t, parent); got != before {
				t.Errorf("there stand %s, want %s", got, before)
			}
			if cut == 0 {
				t.Error("no kill came before the end")
			}
			t.Logf("%d of %d kills came before the end, %d left something beside, %d times all was there", cut, kills(t), left, made)
		})
	}
}

// A begin of the next run that is killed leaves no note, or a whole one, and nothing beside it.
func TestKilledBeginOfARun(t *testing.T) {
	parent := t.TempDir()
	journal := twoJournals(t, parent)[0]
	dir := filepath.Join(journal, "cart/1-first")
	args := []string{"begin", journal, "--run", "cart/1-first", "--date", "2026-05-09", "--name", "Another"}
	before := treeOf(t, dir)
	whole := took(t, parent, args...)
	want := treeOf(t, dir)
	if len(want) != len(before)+1 {
		t.Fatalf("%d files became %d", len(before), len(want))
	}
	random, made := rand.New(rand.NewPCG(13, 4)), 0
	for k := range kills(t) {
		for name := range want {
			if before[name] == "" {
				if err := os.Remove(filepath.Join(dir, name)); err != nil && !errors.Is(err, os.ErrNotExist) {
					t.Fatal(err)
				}
			}
		}
		killed(t, parent, random, whole, 2*k, args...)
		now := treeOf(t, dir)
		if len(now) == len(want) {
			made++
		}
		if old, next := now.differs(before), now.differs(want); old != "" && next != "" {
			t.Fatalf("kill %d: %s\n%s", k, old, next)
		}
	}
	t.Logf("%d of %d times the note was there", made, kills(t))
}
