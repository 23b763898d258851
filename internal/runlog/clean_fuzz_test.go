package runlog

import (
	"bytes"
	"io"
	"os"
	"testing"
)

// FuzzCleaned: whatever a log holds, one line goes out for each that came in, and none opens as a formula.
func FuzzCleaned(f *testing.F) {
	for _, file := range dialectFiles(f) {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		if cut := bytes.Join(bytes.SplitAfterN(text, []byte("\n"), 21)[:20], nil); len(cut) < 4096 {
			f.Add(cut, true)
		}
	}
	for _, d := range dresses {
		f.Add(d.write(dressData()[:12]), false)
	}
	f.Add([]byte("t (s),U (V),I (A),lat,lon\n0,26,5,31.5,-40\n1,26,\"5\n2,26,5,,\n=1,+2,x,y,z\n"), true)
	f.Fuzz(func(t *testing.T, text []byte, asked bool) {
		c, err := NewCleaned(bytes.NewReader(text), NewOptions(), PublishedPlaces{Asked: asked})
		if err != nil {
			return
		}
		end := []byte(c.end)
		out, err := io.ReadAll(c)
		if err != nil {
			t.Fatal(err)
		}
		if c.s.wide == "" && c.end != "\r" {
			want := bytes.Count(bytes.TrimSuffix(text, []byte("\n")), []byte("\n")) + 1
			if got := bytes.Count(out, end); got != want {
				t.Errorf("%d lines for %d", got, want)
			}
		}
		_ = c.Taken().Words()
	})
}
