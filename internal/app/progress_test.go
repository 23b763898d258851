package app

import (
	"bytes"
	"crypto/sha512"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"

	"voltwright/internal/begin"
	"voltwright/internal/progress"
)

// terminal is a terminal of so many columns, with all that was sent to it.
type terminal struct {
	*os.File
	mu   sync.Mutex
	sent bytes.Buffer
	done chan struct{}
}

func newTerminal(t *testing.T, columns uint16) *terminal {
	t.Helper()
	master, side, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	if err := pty.Setsize(side, &pty.Winsize{Rows: 24, Cols: columns}); err != nil {
		t.Fatal(err)
	}
	t.Setenv("TERM", "vt100")
	tty := &terminal{File: side, done: make(chan struct{})}
	go func() {
		defer close(tty.done)
		buf := make([]byte, 4096)
		for {
			n, err := master.Read(buf)
			tty.mu.Lock()
			tty.sent.Write(buf[:n])
			tty.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	t.Cleanup(func() { _, _ = side.Close(), master.Close() })
	return tty
}

func (t *terminal) text() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.sent.String()
}

// all is what was sent when nothing more comes.
func (t *terminal) all() string {
	_ = t.Close()
	<-t.done
	return t.text()
}

// screen is what such a terminal shows in the end: a carriage return goes back in the line, a line feed to the next.
func screen(sent string) string {
	var lines []string
	var line []rune
	at := 0
	for _, r := range sent {
		switch r {
		case '\r':
			at = 0
		case '\n':
			lines, line, at = append(lines, strings.TrimRight(string(line), " ")), nil, 0
		default:
			for len(line) <= at {
				line = append(line, ' ')
			}
			line[at] = r
			at++
		}
	}
	return strings.Join(append(lines, strings.TrimRight(string(line), " ")), "\n")
}

func quickly(t *testing.T) {
	t.Helper()
	was := [2]time.Duration{patient, beat}
	patient, beat = 0, time.Millisecond
	t.Cleanup(func() { patient, beat = was[0], was[1] })
}

// What a command is at is seen on a terminal, step by step, and what is left on it in the end is what is said elsewhere, to the
// letter.
func TestProgressOnATerminal(t *testing.T) {
	quickly(t)
	parent := t.TempDir()
	dir := filepath.Join(parent, "journal")
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(parent, "kept")
	big := make([]byte, 64<<20)
	if err := os.MkdirAll(filepath.Join(kept, "data"), 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string][]byte{"bagit.txt": []byte("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"), "data/big": big,
		"manifest-sha512.txt": fmt.Appendf(nil, "%x  data/big\n", sha512.Sum512(big))} {
		if err := os.WriteFile(filepath.Join(kept, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	log := filepath.Join(dir, "trolley/1-first-pack/bench-2026-01-17.csv")
	for _, tt := range []struct {
		args  []string
		steps []string // of which some may be over before they are drawn
	}{
		{[]string{"inspect", "--no-store", dir}, []string{"Computing run times: 0 of 1 versions", "Laying out: "}},
		{[]string{"publish", "--no-store", dir, "--to", filepath.Join(parent, "site")}, []string{"Computing run times: ", "Laying out: ", "Writing: "}},
		{[]string{"archive", "--no-store", "--journal", dir, "trolley/1-first-pack", "--to", filepath.Join(parent, "bag")}, []string{"Computing run times: ", "Writing: "}},
		{[]string{"archive", "--verify", kept}, []string{"Checking: "}},
		{[]string{"measure", log}, nil},
	} {
		t.Run(tt.args[0]+" "+tt.args[1], func(t *testing.T) {
			var out, plain bytes.Buffer
			tty := newTerminal(t, 80)
			status := Main(tt.args, nil, &out, tty.File)
			sent := tty.all()
			for _, step := range tt.steps {
				if !strings.Contains(sent, "\r"+step) {
					t.Errorf("the terminal does not show %q; it shows %q", step, sent)
				}
			}
			for _, made := range []string{"site", "bag"} {
				if err := os.RemoveAll(filepath.Join(parent, made)); err != nil {
					t.Fatal(err)
				}
			}
			var elsewhere bytes.Buffer
			if again := Main(tt.args, nil, &elsewhere, &plain); again != status || elsewhere.String() != out.String() {
				t.Errorf("status %d, and elsewhere %d; standard output\n%s\nand elsewhere\n%s", status, again, out.String(), elsewhere.String())
			}
			if got := screen(sent); got != plain.String() {
				t.Errorf("in the end the terminal shows\n%q\nwant\n%q", got, plain.String())
			}
			if strings.Contains(plain.String()+elsewhere.String(), "\r") {
				t.Error("something of the progress is printed where there is no terminal")
			}
		})
	}
}

// Nothing is drawn to a file or a pipe, or on a terminal that cannot go back in its line.
func TestNoProgressElsewhere(t *testing.T) {
	quickly(t)
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	defer w.Close()
	file, err := os.Create(filepath.Join(t.TempDir(), "said.txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	tty := newTerminal(t, 80)
	for name, to := range map[string]io.Writer{"a pipe": w, "a file": file, "no file": io.Discard} {
		if newProgressLine(to) != nil {
			t.Errorf("%s is taken for a terminal", name)
		}
	}
	if newProgressLine(tty.File) == nil {
		t.Error("a terminal is taken for none")
	}
	t.Setenv("TERM", "dumb")
	if newProgressLine(tty.File) != nil {
		t.Error("a terminal that cannot go back is drawn on")
	}
	none := (*progressLine)(nil)
	none.clear(false)
	none.end()
	if none.report() != nil {
		t.Error("where there is no terminal somebody hears")
	}
}

// Quick work draws nothing; what takes long is drawn within the first second, goes on, keeps to the width, and is gone when
// something else is printed.
func TestProgressLine(t *testing.T) {
	tty := newTerminal(t, 30)
	line := newProgressLine(tty.File)
	o := &output{to: tty.File, line: line}
	line.report().Begin(progress.LayingOut, 40)
	line.end()
	time.Sleep(patient + 2*beat)
	if got := tty.text(); got != "" {
		t.Errorf("quick work draws %q", got)
	}
	add := line.report().Begin(progress.LayingOut, 40)
	shows := func(want string) {
		t.Helper()
		for end := time.Now().Add(20 * time.Second); ; time.Sleep(beat) {
			if strings.Contains(screen(tty.text()), want) {
				return
			}
			if time.Now().After(end) {
				t.Fatalf("the terminal never shows %q but %q", want, screen(tty.text()))
			}
		}
	}
	shows("Laying out: 0 of 40 pages (")
	add(3)
	shows("Laying out: 3 of 40 pages (")
	line.report().Begin(progress.Reading, 0)
	shows("Reading the notes (")
	for _, drawn := range strings.Split(tty.text(), "\r") {
		if len(drawn) > 29 {
			t.Errorf("it draws over the edge: %q", drawn)
		}
	}
	if _, err := io.WriteString(o, "half of a "); err != nil {
		t.Fatal(err)
	}
	time.Sleep(3 * beat)
	if _, err := io.WriteString(o, "line\n"); err != nil {
		t.Fatal(err)
	}
	shows("half of a line\nReading the notes (")
	line.end()
	line.end()
	if got := screen(tty.all()); got != "half of a line\n" {
		t.Errorf("in the end it shows %q", got)
	}
}
