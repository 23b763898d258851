package social

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"image"
	"image/color"
	"image/png"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

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
	if got, want := hex.EncodeToString(sum[:]), "6391cbd18e06e436aba7063f87f117ddf4d3daf9527d3866f380c5003145fb0f"; got != want {
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

// In its palette no pixel is further from what was painted than an eye tells apart: 4 of 255 in each part of its colour.
func TestPaletteIsNear(t *testing.T) {
	p := &painter{img: image.NewRGBA(image.Rect(0, 0, 400, 120))}
	p.fill(p.img.Rect, paper)
	for k, c := range []color.RGBA{ink, soft, hair, teal} {
		p.write(goregular.TTF, 24, "Ran 1 h 36 min ± 13 s", 10, 28+26*k, c)
	}
	few := paletted(p.img)
	for y := range 120 {
		for x := range 400 {
			a, b := p.img.RGBAAt(x, y), color.RGBAModel.Convert(few.At(x, y)).(color.RGBA)
			for _, d := range []int{int(a.R) - int(b.R), int(a.G) - int(b.G), int(a.B) - int(b.B)} {
				if max(d, -d) > 4 {
					t.Fatalf("at %d, %d: %v is %v", x, y, a, b)
				}
			}
		}
	}
}

func BenchmarkPicture(b *testing.B) {
	for b.Loop() {
		if _, err := Picture(example()); err != nil {
			b.Fatal(err)
		}
	}
}
