package runlog

import (
	"bytes"
	"errors"
	"io"
	"math"
	"os"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf16"

	"voltwright/internal/finding"
)

// Reading goes the same way whatever the pieces in which the bytes arrive, and
// a failure of reading is reported as such.
func TestReadersOfAllKinds(t *testing.T) {
	text := []byte(plainHead + strings.Repeat(good(0, 900), 40))
	_, want := readAll(t, "x", text, NewOptions())
	for name, r := range map[string]io.Reader{"one byte": iotest.OneByteReader(bytes.NewReader(text)), "half": iotest.HalfReader(bytes.NewReader(text)), "early EOF": iotest.DataErrReader(bytes.NewReader(text))} {
		s, err := NewScanner(finding.NewStream("x"), r, NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for {
			sample, ok := s.Next()
			if !ok {
				break
			}
			if sample.Offset != want[n].Offset || sample.Line != want[n].Line || sample.Time != want[n].Time || sample.Values[Current] != want[n].Values[Current] {
				t.Fatalf("%s: row %d differs", name, n)
			}
			n++
		}
		if n != len(want) || s.Err() != nil {
			t.Errorf("%s: %d rows of %d, %v", name, n, len(want), s.Err())
		}
	}
	broken := errors.New("card pulled")
	s, err := NewScanner(finding.NewStream("x"), io.MultiReader(bytes.NewReader(text), iotest.ErrReader(broken)), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, ok := s.Next(); !ok {
			break
		}
	}
	if !errors.Is(s.Err(), broken) {
		t.Errorf("the error is %v", s.Err())
	}
	if _, err := NewScanner(finding.NewStream("x"), iotest.ErrReader(broken), NewOptions()); !errors.Is(err, broken) {
		t.Errorf("the error is %v", err)
	}
}

// repeat gives a text again and again, so that a long log needs no memory.
type repeat struct {
	text []byte
	left int
	at   int
}

func (r *repeat) Read(p []byte) (int, error) {
	if r.left == 0 {
		return 0, io.EOF
	}
	n := copy(p, r.text[r.at:])
	if r.at += n; r.at == len(r.text) {
		r.at = 0
		r.left--
	}
	return n, nil
}

// A million rows allocate no more than the buffer and the sniff.
func TestMemoryIsBounded(t *testing.T) {
	rows := good(0, 1000)
	log := io.MultiReader(strings.NewReader(plainHead), &repeat{text: []byte(rows), left: 1000})
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	s, err := NewScanner(finding.NewStream("x"), log, NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	sniff := after.TotalAlloc - before.TotalAlloc
	n := 0
	for {
		if _, ok := s.Next(); !ok {
			break
		}
		n++
	}
	runtime.ReadMemStats(&after)
	all := after.TotalAlloc - before.TotalAlloc
	if n != 1000000 {
		t.Fatalf("%d rows", n)
	}
	const most = 64 << 10
	if all-sniff > most {
		t.Errorf("reading a million rows allocated %d bytes beyond the sniff's %d", all-sniff, sniff)
	}
	t.Logf("the sniff allocated %d KiB in all, the million rows %d bytes", sniff>>10, all-sniff)
}

// FuzzScanner: no text makes the reader panic, give times that fall, or give
// offsets outside the text; and every Error leaves no samples.
func FuzzScanner(f *testing.F) {
	for _, file := range dialectFiles(f) {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		if cut := bytes.Join(bytes.SplitAfterN(text, []byte("\n"), 21)[:20], nil); len(cut) < 4096 {
			f.Add(cut)
		}
	}
	for _, d := range dresses {
		f.Add(d.write(dressData()[:12]))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		s, samples := readAll(t, "x", text, NewOptions())
		last := 0.0
		for _, sample := range samples {
			if !(sample.Time >= last) || math.IsInf(sample.Time, 0) || sample.Offset < 0 || sample.Offset >= int64(len(text)) {
				t.Fatalf("%+v after %v", sample, last)
			}
			last = sample.Time
		}
		_ = s.Dialect().String()
		for _, found := range s.Findings() {
			if found.Text == "" || found.Span.Start > int64(len(text)) {
				t.Fatalf("%+v", found)
			}
		}
	})
}

// wideText writes a text in UTF-16.
func wideText(text string, highFirst bool) string {
	var b []byte
	for _, u := range utf16.Encode([]rune(text)) {
		if highFirst {
			b = append(b, byte(u>>8), byte(u))
		} else {
			b = append(b, byte(u), byte(u>>8))
		}
	}
	return string(b)
}
