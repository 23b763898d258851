//go:build unix

package app

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/yuin/goldmark"

	"voltwright/internal/finding"
	"voltwright/internal/runlog"
	"voltwright/internal/sized"
	"voltwright/internal/store"
)

// The size of journal that most rows are about, and a large one.
var (
	usualSize = sized.Size{Notes: 100, Versions: 4, Logs: 20, Rows: 36_000, Statements: 60, Parts: 12, Seed: 14}
	largeSize = sized.Size{Notes: 1000, Versions: 40, Logs: 200, Rows: 18_000, Statements: 600, Parts: 12, Seed: 14}
)

// BenchmarkSpeed prints, a line each, how fast the program is: as a ratio to a floor that is measured in the same run where
// there is one, since machines differ. `was` is what it was before results were kept, `wanted` what is to be reached. It is CPU
// time unless a unit says otherwise. With VOLTWRIGHT_SPEED=all it measures what takes minutes as well.
//
//	go test -run '^$' -bench Speed -benchtime 1x ./internal/app
func BenchmarkSpeed(b *testing.B) {
	b.Run("publish", benchPublish)
	b.Run("predict one version with five logs", benchPredict)
	b.Run("measure", benchMeasure)
	b.Run("proof of the demo", func(b *testing.B) { benchProof(b, "../../content", "notes/2025-05-11-why-a-cutout.md", 150) })
	if os.Getenv("VOLTWRIGHT_SPEED") != "all" {
		return
	}
	b.Run("publish a large journal", benchLarge)
	b.Run("proof of a large journal", func(b *testing.B) { benchProof(b, journalOf(b, largeSize), "notes/note-0500.md", 400) })
	b.Run("two processors", benchProcessors)
	b.Run("growth", benchGrowth)
	b.Run("many rows", benchManyRows)
}

// says prints a row. NaN: there is none.
func says(b *testing.B, unit string, is, was, wanted float64) {
	b.ReportMetric(0, "ns/op") // one number a line
	b.ReportMetric(is, unit)
	if !math.IsNaN(was) {
		b.ReportMetric(was, "was")
	}
	if !math.IsNaN(wanted) {
		b.ReportMetric(wanted, "wanted")
	}
}

func journalOf(b *testing.B, s sized.Size) string {
	b.Helper()
	dir := filepath.Join(b.TempDir(), "journal")
	if err := sized.Write(dir, s); err != nil {
		b.Fatal(err)
	}
	return dir
}

// work is what a command in a process of its own took.
type work struct {
	cpu, wall time.Duration
	peak      int64 // bytes
}

// does runs a command in a folder that holds its store, with so many processors; 0 for all.
func does(b *testing.B, dir string, processors int, stdin io.Reader, args ...string) work {
	b.Helper()
	cmd := child{dir: dir, stdin: stdin}.command(context.Background(), args...)
	peak, told, err := os.Pipe()
	if err != nil {
		b.Fatal(err)
	}
	defer peak.Close()
	cmd.ExtraFiles, cmd.Env = []*os.File{told}, append(cmd.Env, childPeak+"=yes")
	if processors > 0 {
		cmd.Env = append(cmd.Env, "GOMAXPROCS="+strconv.Itoa(processors))
	}
	var said bytes.Buffer
	cmd.Stderr = &said
	begun := time.Now()
	err = cmd.Run()
	w := work{cpu: cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), wall: time.Since(begun)}
	if err := errors.Join(err, told.Close()); err != nil {
		b.Fatalf("%q: %v: %s", args, err, clipped(said.String()))
	}
	kib, err := io.ReadAll(peak)
	if err != nil {
		b.Fatal(err)
	}
	n, _ := strconv.ParseInt(string(kib), 10, 64) // none where the system does not tell
	w.peak = n << 10
	return w
}

// ownCPU is what this process has taken.
func ownCPU(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// floorOf is what no program that publishes the journal as this site can do without: its notes through a parser of Markdown, the
// lines of its logs counted, the bytes of the site written. The least of three times.
func floorOf(b *testing.B, journal, site string) time.Duration {
	b.Helper()
	pages := filesOf(b, site)
	least := time.Duration(math.MaxInt64)
	for range 3 {
		to := b.TempDir()
		before := ownCPU(b)
		err := filepath.WalkDir(journal, func(name string, d fs.DirEntry, err error) error {
			switch {
			case err != nil || d.IsDir():
				return err
			case filepath.Ext(name) == ".md":
				text, err := os.ReadFile(name)
				return errors.Join(err, goldmark.Convert(text, io.Discard))
			case filepath.Ext(name) == ".csv":
				return countLines(name)
			}
			return nil
		})
		for name, text := range pages {
			at := filepath.Join(to, name)
			err = errors.Join(err, os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, []byte(text), 0o644))
		}
		if err != nil {
			b.Fatal(err)
		}
		least = min(least, ownCPU(b)-before)
	}
	return least
}

func countLines(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	chunk, lines := make([]byte, 64<<10), 0
	for err == nil {
		var n int
		n, err = f.Read(chunk)
		lines += bytes.Count(chunk[:n], []byte("\n"))
	}
	if lines == 0 || err == io.EOF {
		err = nil
	}
	return errors.Join(err, f.Close())
}

// addSentence adds a sentence to a note.
func addSentence(b *testing.B, note, sentence string) {
	b.Helper()
	text, err := os.ReadFile(note)
	if err == nil {
		err = os.WriteFile(note, []byte(strings.TrimRight(string(text), "\n")+"\n\n"+sentence+"\n"), 0o644)
	}
	if err != nil {
		b.Fatal(err)
	}
}

// benchPublish publishes a journal from nothing, again with nothing changed, and again with one sentence more.
func benchPublish(b *testing.B) {
	journal, parent := journalOf(b, usualSize), b.TempDir()
	site := filepath.Join(parent, "site")
	args := []string{"publish", journal, "--to", site}
	cold := does(b, parent, 0, nil, args...)
	floor := floorOf(b, journal, site)
	over := func(w work) float64 { return float64(w.cpu) / float64(floor) }
	b.Run("from nothing", func(b *testing.B) {
		for b.Loop() {
		}
		says(b, "×floor", over(cold), 148, 20) // once: what is kept is no longer missing
	})
	b.Run("nothing changed", func(b *testing.B) {
		var w work
		for b.Loop() {
			w = does(b, parent, 0, nil, args...)
		}
		says(b, "×floor", over(w), 147, 1)
	})
	b.Run("one sentence changed", func(b *testing.B) {
		var w work
		n := 0
		for b.Loop() {
			n++
			addSentence(b, filepath.Join(journal, "notes/note-0050.md"), fmt.Sprint("One sentence more: ", n, "."))
			w = does(b, parent, 0, nil, args...)
		}
		says(b, "×floor", over(w), 147, 2.5)
	})
	b.Run("floor", func(b *testing.B) {
		for b.Loop() {
		}
		says(b, "CPU-ms", float64(floor.Milliseconds()), math.NaN(), math.NaN())
	})
}

func benchLarge(b *testing.B) {
	journal, parent := journalOf(b, largeSize), b.TempDir()
	var w work
	for b.Loop() {
		w = does(b, parent, 0, nil, "publish", journal, "--no-store", "--to", filepath.Join(parent, "site"))
	}
	says(b, "CPU-s", w.cpu.Seconds(), 103, 15)
	b.ReportMetric(float64(w.peak)/(1<<20), "MiB")
}

func benchPredict(b *testing.B) {
	size := usualSize
	size.Versions, size.Logs = 1, 5
	journal, parent := journalOf(b, size), b.TempDir()
	var w work
	for b.Loop() {
		w = does(b, parent, 0, nil, "predict", "cart-1/1-pack", "--journal", journal, "--no-store")
	}
	says(b, "CPU-s", w.cpu.Seconds(), 3.9, 0.4)
}

// benchMeasure holds all results of a log against encoding/csv and strconv.ParseFloat of the same rows.
func benchMeasure(b *testing.B) {
	size := usualSize
	size.Notes, size.Versions, size.Logs, size.Rows = 0, 1, 1, 100_000
	text, err := os.ReadFile(filepath.Join(journalOf(b, size), "cart-1/1-pack/field-1.csv"))
	if err != nil {
		b.Fatal(err)
	}
	least := func(do func()) time.Duration {
		out := time.Duration(math.MaxInt64)
		for range 5 {
			before := ownCPU(b)
			do()
			out = min(out, ownCPU(b)-before)
		}
		return out
	}
	plain := least(func() {
		rows := csv.NewReader(bytes.NewReader(text))
		rows.ReuseRecord = true
		for n := 0; ; n++ {
			row, err := rows.Read()
			if err == io.EOF {
				break
			}
			for _, cell := range row {
				if _, err := strconv.ParseFloat(cell, 64); err != nil && n > 0 {
					b.Fatal(err)
				}
			}
		}
	})
	var ratio float64
	for b.Loop() {
		all := least(func() {
			if result, _, err := runlog.Measure(finding.NewStream("log.csv"), bytes.NewReader(text), runlog.NewOptions()); err != nil || result == nil {
				b.Fatal("no result", err)
			}
		})
		ratio = float64(plain) / float64(all)
	}
	says(b, "×csv", ratio, 0.43, 3)
}

// benchProof saves a sentence and waits until its page has it, as a browser that is told of it would ask for it. It is time on
// the clock: the median of some saves, each some time after the one before.
func benchProof(b *testing.B, journal, note string, wanted float64) {
	const saves = 7
	dir := filepath.Join(b.TempDir(), "journal")
	if err := os.CopyFS(dir, os.DirFS(journal)); err != nil {
		b.Fatal(err)
	}
	kept, err := store.Open(b.TempDir())
	if err != nil {
		b.Fatal(err)
	}
	tr, stop := proveWith(b, dir, 0, means{store: kept})
	defer stop()
	page := strings.TrimSuffix(note, ".md") + "/"
	root, err := url.Parse(tr.at)
	if err != nil {
		b.Fatal(err)
	}
	events, err := http.Get(root.Scheme + "://" + root.Host + "/.trial/prints?page=" + url.QueryEscape(root.Path+page))
	if err != nil {
		b.Fatal(err)
	}
	defer events.Body.Close()
	heard := bufio.NewScanner(events.Body)
	next := func() { // the next print of the page
		for heard.Scan() {
			if strings.HasPrefix(heard.Text(), "event: print") {
				return
			}
		}
		b.Fatal("nothing more is told")
	}
	next()
	print := 1
	var waits []float64
	var cpu time.Duration
	for b.Loop() {
		for n := range saves {
			time.Sleep(2500 * time.Millisecond)
			print++
			sentence := fmt.Sprintf("One sentence more, the one of print %d.", print)
			before, begun := ownCPU(b), time.Now()
			addSentence(b, filepath.Join(dir, note), sentence)
			for next(); !strings.Contains(tr.page(page), sentence); next() {
			}
			if n > 0 { // the first fills what is kept
				waits, cpu = append(waits, float64(time.Since(begun).Milliseconds())), cpu+ownCPU(b)-before
			}
			tr.until(fmt.Sprintf("Trial print %d. ", print))
		}
	}
	slices.Sort(waits)
	says(b, "ms", waits[len(waits)/2], math.NaN(), wanted)
	b.ReportMetric(float64(cpu.Milliseconds())/float64(len(waits)), "CPU-ms")
}

// benchProcessors is the time on the clock with two processors, as a part of that with one.
func benchProcessors(b *testing.B) {
	for name, versions := range map[string]int{"several versions": usualSize.Versions, "one version": 1} {
		b.Run(name, func(b *testing.B) {
			size := usualSize
			size.Versions = versions
			size.Logs = 5 * versions
			journal, parent := journalOf(b, size), b.TempDir()
			var part float64
			for b.Loop() {
				var wall [2]time.Duration
				for k := range wall {
					wall[k] = does(b, parent, k+1, nil, "publish", journal, "--no-store", "--to", filepath.Join(parent, "site")).wall
				}
				part = float64(wall[1]) / float64(wall[0])
			}
			says(b, "×one", part, 0.57, 0.6)
		})
	}
}

// benchGrowth is the exponent with which a cold publish grows with one thing, the others held: of what a quantity adds from n to 2n,
// and from 2n to 4n.
func benchGrowth(b *testing.B) {
	base := sized.Size{Notes: 100, Versions: 4, Logs: 8, Rows: 4000, Statements: 100, Parts: 40, Seed: 14}
	for _, g := range []struct {
		name string
		of   func(s *sized.Size) *int
		from int
	}{
		{"notes", func(s *sized.Size) *int { return &s.Notes }, 400},
		{"logs", func(s *sized.Size) *int { return &s.Logs }, 16},
		{"rows", func(s *sized.Size) *int { return &s.Rows }, 20_000},
		{"versions", func(s *sized.Size) *int { return &s.Versions }, 8},
		{"statements", func(s *sized.Size) *int { return &s.Statements }, 1000},
		{"parts", func(s *sized.Size) *int { return &s.Parts }, 125},
	} {
		b.Run(g.name, func(b *testing.B) {
			var exponent float64
			for b.Loop() {
				var cpu [3]float64
				for k := range cpu {
					size := base
					*g.of(&size) = g.from << k
					parent := b.TempDir()
					cpu[k] = does(b, parent, 0, nil, "publish", journalOf(b, size), "--no-store", "--to", filepath.Join(parent, "site")).cpu.Seconds()
				}
				exponent = math.Log2((cpu[2] - cpu[1]) / (cpu[1] - cpu[0]))
			}
			says(b, "exponent", exponent, math.NaN(), 1.1)
		})
	}
}

// benchManyRows measures a log of a hundred million rows, which no disk has to hold.
func benchManyRows(b *testing.B) {
	const rows = 100_000_000
	var w work
	for b.Loop() {
		r, out, err := os.Pipe()
		if err != nil {
			b.Fatal(err)
		}
		go func() {
			defer out.Close()
			text := []byte("time (ms),voltage (V),current (A)\n") // 28 hours: of more than some hundred without a stop the program asks whether its times are seconds
			for k := range rows {
				text = strconv.AppendInt(text, int64(k), 10)
				text = append(text, ",26."...)
				text = append(text, byte('0'+k%7), byte('0'+k%10), ',', byte('4'+k%3), '.', byte('0'+k%9), '\n')
				if len(text) > 64<<10 {
					if _, err := out.Write(text); err != nil {
						return
					}
					text = text[:0]
				}
			}
			_, _ = out.Write(text) // who reads has ended, or not
		}()
		w = does(b, b.TempDir(), 0, r, "measure", "-")
		r.Close()
	}
	says(b, "MiB", float64(w.peak)/(1<<20), 27, 64)
	b.ReportMetric(w.cpu.Seconds(), "CPU-s")
}
