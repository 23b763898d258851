//go:build unix

package app

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/notes"
)

// bombs are journals just under and just over each limit, and the largest that a journal may be, with what the command says of them.
// All are asked where VOLTWRIGHT_BOMBS is `all`; else those that are marked.
var bombs = []struct {
	name   string
	sample bool
	make   func(dir string) error
	status int
	rule   string // of the finding, "" where there is none
}{
	{"a note of 100000 lines of headings", false, text("# a\n", notes.MaxMarks/2), 0, ""},
	{"a note of 100000 marks", true, text("*a ", notes.MaxMarks-10), 0, ""},
	{"and of more", true, text("*a ", notes.MaxMarks+1), 1, "file-too-large"},
	{"three notes of as many", false, manyTexts(3), 0, ""},
	{"and four", true, manyTexts(4), 1, "journal-too-large"},
	{"front matter of 64 KiB in a list", false, front(notes.MaxFront - 100), 1, "wrong-kind"},
	{"and of more", true, front(notes.MaxFront + 100), 1, "file-too-large"},
	{"5000 notes", false, manyNotes(notes.MaxNotes - 1), 0, ""},
	{"and 5001", false, manyNotes(notes.MaxNotes), 1, "journal-too-large"},
	{"a parts list of 2000 lines", false, partsList(notes.MaxParts), 0, ""},
	{"and of 2001", true, partsList(notes.MaxParts + 1), 1, "file-too-large"},
	{"100000 files that nothing names", false, manyFiles(100_000), 0, "unused-file"},
	{"2000 of them", true, manyFiles(2_000), 0, "unused-file"},
	{"100000 links to nowhere", false, manyLinks(100_000), 1, "unreadable-file"},
	{"a folder in a folder, 1000 deep", true, deepFolder(1000), 1, "wrong-place"},
	{"a log of 512 MiB", false, longLog(notes.MaxFile), 0, ""},
	{"and of a byte more", true, longLog(notes.MaxFile + 1), 1, "file-too-large"},
	{"100 MB of logs, 200 runs, 1000 notes", false, largeJournal(1000, 200, 20_000), 0, ""},
	{"2000 runs of 20 rows", false, largeJournal(0, notes.MaxRuns, 20), 0, ""},
	{"and 2001", true, largeJournal(0, notes.MaxRuns+1, 0), 1, "journal-too-large"},
	{"300 versions with packs and wiring", false, manyVersions(notes.MaxVersions), 0, ""},
	{"and 301", true, manyVersions(notes.MaxVersions + 1), 1, "journal-too-large"},
	{"as many, each like the one before, of a long list of leads", true, likeOneAnother(notes.MaxVersions), 1, "journal-too-large"},
	{"a path through one block 28000 times", true, longPath(28_000), 1, "terminal"},
	{"a picture of 100 megapixels, 24 bits", false, pictures(1, 10_000, 8, 2, 24), 1, "unreadable-picture"},
	{"a picture of 64 bits a pixel, just below 256 MiB", false, pictures(1, 5792, 16, 6, 64), 0, ""},
	{"and just above", true, pictures(1, 5793, 16, 6, 64), 1, "unreadable-picture"},
	{"60 photos of 12 megapixels", false, photos(60), 0, ""},
	{"6 MB of logs, 12 runs, 60 notes", true, largeJournal(60, 12, 20_000), 0, ""},
	{"just under all of it at once", false, allOf(largeJournal(1200, notes.MaxRuns, 20), manyVersions(notes.MaxVersions-notes.MaxRuns/20), manyTexts(2), photos(20)), 0, ""},
}

func bombNote(dir, name, body string) error {
	return put(filepath.Join(dir, "notes", name+".md"), []byte("---\nkind: note\ntitle: "+name+"\n---\n"+body))
}

func text(unit string, n int) func(string) error {
	return func(dir string) error { return bombNote(dir, "a", strings.Repeat(unit, n)) }
}

func manyTexts(n int) func(string) error {
	return func(dir string) error {
		for k := range n {
			if err := bombNote(dir, fmt.Sprint("a", k), strings.Repeat("*a ", notes.MaxMarks-100)); err != nil {
				return err
			}
		}
		return nil
	}
}

func front(size int) func(string) error {
	return func(dir string) error {
		return put(filepath.Join(dir, "cart/1-first/version.md"), []byte("---\nkind: version\nname: x\ndate: 2026-01-11\nstate: planned\npacks: ["+strings.Repeat("a,", (size-70)/2)+"a]\n---\n"))
	}
}

func manyNotes(n int) func(string) error {
	return func(dir string) error {
		for k := range n {
			if err := bombNote(dir, fmt.Sprint("a", k), "Words of one line.\n"); err != nil {
				return err
			}
		}
		return nil
	}
}

func partsList(n int) func(string) error {
	return func(dir string) error {
		var b strings.Builder
		b.WriteString("name,quantity,price,currency\n")
		for k := range n {
			fmt.Fprintf(&b, "part %d,1,1.50,GBP\n", k)
		}
		return put(filepath.Join(dir, "cart/1-first/parts.csv"), []byte(b.String()))
	}
}

func manyFiles(n int) func(string) error {
	return func(dir string) error {
		for k := range n {
			if err := put(filepath.Join(dir, "photos", fmt.Sprint(k/1000), fmt.Sprintf("%d.txt", k)), []byte("x")); err != nil {
				return err
			}
		}
		return nil
	}
}

func manyLinks(n int) func(string) error {
	return func(dir string) error {
		if err := os.Mkdir(filepath.Join(dir, "photos"), 0o755); err != nil {
			return err
		}
		for k := range n {
			if err := os.Symlink(fmt.Sprint(k+1), filepath.Join(dir, "photos", fmt.Sprint(k))); err != nil {
				return err
			}
		}
		return nil
	}
}

func deepFolder(n int) func(string) error {
	return func(dir string) error {
		return put(filepath.Join(dir, strings.Repeat("a/", n), "x.md"), []byte("---\nkind: note\ntitle: x\n---\n"))
	}
}

// manyVersions are copies of a version with everything that one states.
func manyVersions(n int) func(string) error {
	return func(dir string) error {
		a, err := txtar.ParseFile("testdata/rules/wired.txtar")
		if err != nil {
			return err
		}
		var text []byte
		for _, f := range a.Files {
			if path.Base(f.Name) == "version.md" && bytes.Contains(f.Data, []byte("wiring:")) {
				text = f.Data
			}
		}
		if text == nil {
			return errNoChange
		}
		for k := range n {
			at := fmt.Sprintf("cart-%d/%d-pack/version.md", k/20, k%20+1)
			if err := errors.Join(put(filepath.Join(dir, at), text), put(filepath.Join(dir, fmt.Sprintf("cart-%d/vehicle.md", k/20)), []byte("---\nkind: vehicle\nname: A cart\n---\n"))); err != nil {
				return err
			}
		}
		return nil
	}
}

// pictures are square PNGs of nothing that a note shows.
func pictures(n int, side uint32, depth, colour byte, bits int64) func(string) error {
	return func(dir string) error {
		return shownIn(dir, n, ".png", func(int) ([]byte, error) { return pngOf(side, side, depth, colour, bits, true), nil })
	}
}

// photos are JPEGs of 4000 by 3000 that hardly pack, as photos do not.
func photos(n int) func(string) error {
	return func(dir string) error {
		m := image.NewYCbCr(image.Rect(0, 0, 4000, 3000), image.YCbCrSubsampleRatio420)
		random := rand.New(rand.NewPCG(13, 3))
		return shownIn(dir, n, ".jpg", func(int) ([]byte, error) {
			for k := range m.Y {
				m.Y[k] = byte(k/4000) + byte(random.UintN(24))
			}
			var b bytes.Buffer
			err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 60})
			return b.Bytes(), err
		})
	}
}

// allOf are the bombs of several limits in one journal.
func allOf(all ...func(string) error) func(string) error {
	return func(dir string) error {
		for _, make := range all {
			if err := make(dir); err != nil {
				return err
			}
		}
		return nil
	}
}

func shownIn(dir string, n int, ending string, make func(int) ([]byte, error)) error {
	body := ""
	for k := range n {
		data, err := make(k)
		if err != nil {
			return err
		}
		name := fmt.Sprint("picture-", k, ending)
		if err := put(filepath.Join(dir, "notes", name), data); err != nil {
			return err
		}
		body += "![A picture](" + name + ")\n\n"
	}
	return bombNote(dir, "a", body)
}

// cart is a vehicle with a version in the folder of a name.
func cart(dir, version string) error {
	if err := put(filepath.Join(dir, "cart/vehicle.md"), []byte("---\nkind: vehicle\nname: A cart\n---\n")); err != nil {
		return err
	}
	return put(filepath.Join(dir, "cart", version, "version.md"), []byte(`---
kind: version
name: A pack
date: 2026-01-11
state: planned
packs:
  - {name: pack, chemistry: nmc, series: 7, parallel: 4, capacity: 12 Ah, resistance: 56 mΩ, full: 29.4 V, discharge: 40 A, fuse: 30 A, protection: {opens: 19.6 V, current: 80 A, charge-stops: 29.7 V}}
cutout: {opens: 22.4 V, reset-threshold: 3.4 V, delay: 2 s, current: 60 A}
masses: {vehicle: 45 kg, payload: 60 kg}
---
`))
}

// likeOneAnother are versions of a few lines, of which the first has a front matter as long as it may be and each other takes it over.
func likeOneAnother(n int) func(dir string) error {
	return func(dir string) error {
		spec := "wiring:\n  leads:\n"
		for k := 0; len(spec) < notes.MaxFront-200; k++ {
			spec += fmt.Sprintf("    - {from: \"a%d:1\", to: \"b:1\"}\n", k)
		}
		for k := 1; k <= n; k++ {
			text := fmt.Sprintf("---\nkind: version\nname: V\ndate: 2026-01-01\n%s---\n", spec)
			spec = fmt.Sprintf("like: %d-v\n", k)
			if err := put(filepath.Join(dir, "cart", fmt.Sprintf("%d-v", k), "version.md"), []byte(text)); err != nil {
				return err
			}
		}
		return put(filepath.Join(dir, "cart", "vehicle.md"), []byte("---\nkind: vehicle\nname: Cart\n---\n"))
	}
}

// longPath is a version of which the wiring is one path, through one terminal block again and again.
func longPath(stops int) func(dir string) error {
	return func(dir string) error {
		text := "---\nkind: version\nname: V\ndate: 2026-01-01\nwiring:\n  parts: [{name: b, kind: terminal-block, ways: 3}]\n  paths: [{through: [b" + strings.Repeat(",b", stops) + "]}]\n---\n"
		return errors.Join(put(filepath.Join(dir, "cart", "1-v", "version.md"), []byte(text)), put(filepath.Join(dir, "cart", "vehicle.md"), []byte("---\nkind: vehicle\nname: Cart\n---\n")))
	}
}

func bombRun(dir, version, name string, log []byte) error {
	at := filepath.Join(dir, "cart", version, name)
	if err := put(at+".md", []byte("---\nkind: run\ntype: field\nname: "+name+"\ndate: 2026-02-01\nconditions: {temperature: 14 °C, payload: 60 kg, surface: concrete, setting: 80 %}\nlog: {file: "+name+".csv}\n---\n")); err != nil {
		return err
	}
	return put(at+".csv", log)
}

// rideRows are the rows of a ride at five samples a second.
func rideRows(rows int) []byte {
	b := []byte("time (s),voltage (V),current (A),speed (km/h)\n")
	for k := range rows {
		t := float64(k) / 5
		current, speed := 5+3*math.Sin(t/40), 6+math.Sin(t/70)
		if k%1000 < 30 {
			current, speed = 0.05, 0
		}
		b = fmt.Appendf(b, "%.1f,%.3f,%.3f,%.2f\n", t, 28.4-2*float64(k)/float64(rows)-0.06*current, current, speed)
	}
	return b
}

func longLog(size int) func(string) error {
	return func(dir string) error {
		if err := cart(dir, "1-first"); err != nil {
			return err
		}
		if err := bombRun(dir, "1-first", "long", rideRows(2000)); err != nil {
			return err
		}
		return os.Truncate(filepath.Join(dir, "cart/1-first/long.csv"), int64(size)) // a hole, which reads as one long line
	}
}

func largeJournal(texts, runs, rows int) func(string) error {
	return func(dir string) error {
		for k := range texts {
			if err := bombNote(dir, fmt.Sprint("note-", k), strings.Repeat("## A part\n\nWords of a shed and of a track, as they are written.\n\n- a list\n- of things\n\n", 10)); err != nil {
				return err
			}
		}
		log := rideRows(rows)
		for k := range runs {
			version := fmt.Sprintf("%d-pack", k/20+1)
			if k%20 == 0 {
				if err := cart(dir, version); err != nil {
					return err
				}
			}
			if err := bombRun(dir, version, fmt.Sprint("run-", k), log); err != nil {
				return err
			}
		}
		return nil
	}
}

// Whatever a journal asks for, it takes no more than 512 MiB: within the limits it is published, beyond them the finding says which
// limit it is and what to do. The memory is the most that the system counted of the process.
func TestBombs(t *testing.T) {
	all := os.Getenv("VOLTWRIGHT_BOMBS") == "all"
	for _, c := range bombs {
		if !all && !c.sample {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			parent := t.TempDir()
			dir := filepath.Join(parent, "journal")
			if err := put(filepath.Join(dir, "journal.yaml"), []byte("title: Large\nmaker: {name: A test}\ncurrency: GBP\n")); err != nil {
				t.Fatal(err)
			}
			if strings.Contains(c.name, "parts list") || c.rule == "wrong-kind" || strings.Contains(c.name, "2001") {
				if err := cart(dir, "1-first"); err != nil {
					t.Fatal(err)
				}
			}
			if err := c.make(dir); err != nil {
				t.Fatal(err)
			}
			e := child{dir: parent, most: 40 * time.Minute}.run(t, "publish", dir, "--to", filepath.Join(parent, "site"), "--no-store")
			if e.status != c.status || !strings.Contains(e.all(), c.rule) || c.rule != "" && !strings.Contains(e.all(), "remedy: ") {
				t.Errorf("status %d, want %d and %s: %s", e.status, c.status, c.rule, clippedTo(e.all(), 1500))
			}
			t.Logf("| %s | %d MiB | %.1f s | status %d %s |", c.name, e.peak>>20, e.took.Seconds(), e.status, c.rule)
		})
	}
}
