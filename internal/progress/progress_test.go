package progress

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"
)

func TestBegin(t *testing.T) {
	var none Report
	none.Begin(Reading, 3)(1) // nobody hears

	var heard []string
	var r Report = func(s Step, done, total int64) { heard = append(heard, fmt.Sprintf("%d: %d of %d", s, done, total)) }
	add := r.Begin(Measuring, 10)
	add(4)
	add(5)
	add(7) // a log that grew meanwhile
	r.Begin(Measuring, 0)(3)
	if got, want := strings.Join(heard, ", "), "1: 0 of 10, 1: 4 of 10, 1: 9 of 10, 1: 10 of 10, 1: 0 of 0, 1: 3 of 0"; got != want {
		t.Errorf("heard %s, want %s", got, want)
	}
}

// Whoever counts side by side, nothing is lost.
func TestBeginSideBySide(t *testing.T) {
	var mu sync.Mutex
	most := int64(0)
	add := Report(func(_ Step, done, total int64) {
		mu.Lock()
		defer mu.Unlock()
		most = max(most, done)
	}).Begin(LayingOut, 800)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 100 {
				add(1)
			}
		})
	}
	all.Wait()
	if most != 800 {
		t.Errorf("%d of 800 were counted", most)
	}
}

func TestRead(t *testing.T) {
	for name, from := range map[string]io.Reader{"a seeker": strings.NewReader("a log of 19 letters"), "none": io.LimitReader(strings.NewReader("a log of 19 letters"), 99)} {
		n := int64(0)
		r := Read(from, func(more int64) { n += more })
		text, err := io.ReadAll(r)
		if err != nil || string(text) != "a log of 19 letters" || n != int64(len(text)) {
			t.Errorf("%s: %q, %v; %d bytes were told of", name, text, err, n)
		}
		_, was := from.(io.Seeker)
		s, is := r.(io.Seeker)
		if was != is {
			t.Errorf("%s: it can seek: %v", name, is)
		}
		if is {
			if _, err := s.Seek(2, io.SeekStart); err != nil {
				t.Error(err)
			}
			var again bytes.Buffer
			if _, err := again.ReadFrom(r); err != nil || again.String() != "log of 19 letters" {
				t.Errorf("again it reads %q, %v", again.String(), err)
			}
		}
	}
}
