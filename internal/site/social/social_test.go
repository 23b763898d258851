package social

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"image/png"
	"testing"

	"voltwright/internal/site/frame"
)

func example() Said {
	return Said{Journal: "A book", Title: "A second pack beside the first, and a cutout that stays open, in so many words that two lines do not hold all of them at once",
		Before: "Ran", Number: "1 h 36 min", Plus: "13 s", Then: "With 350 kg, from full until dinner.",
		Course: frame.Course{Name: "Voltage", Low: "26.5 V", High: "28.4 V", X: []float64{0, 1, 2, 3}, Y: []float64{28.4, 26.9, 26.6, 26.5}}}
}

// The same page gives the same bytes on every machine: this is what they are.
func TestSameBytesEverywhere(t *testing.T) {
	data, err := Picture(example())
	if err != nil {
		t.Fatal(err)
	}
	config, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil || config.Width != Width || config.Height != Height || len(data) > 60_000 {
		t.Errorf("%d by %d, %d bytes, %v", config.Width, config.Height, len(data), err)
	}
	sum := sha256.Sum256(data)
	if got, want := hex.EncodeToString(sum[:]), "efde3817679dc118a5cf2a05c7f9f65331a0d148bd7d9b39f1706aa7881535a5"; got != want {
		t.Errorf("the sum is %s, wanted %s", got, want)
	}
}

// What a page says is seen: without its number, its sentence or its line it is another picture.
func TestAllIsSeen(t *testing.T) {
	whole, err := Picture(example())
	if err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*Said){
		"journal": func(s *Said) { s.Journal = "" }, "title": func(s *Said) { s.Title = "Another" }, "number": func(s *Said) { s.Number = "1 h 37 min" },
		"uncertainty": func(s *Said) { s.Plus = "14 s" }, "sentence": func(s *Said) { s.Then = "Without." }, "line": func(s *Said) { s.Course.Y[1] = 28 }, "name": func(s *Said) { s.Course.Name = "Speed" },
	} {
		s := example()
		change(&s)
		if other, err := Picture(s); err != nil || bytes.Equal(other, whole) {
			t.Errorf("the %s is not seen: %v", name, err)
		}
	}
}
