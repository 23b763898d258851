package webp

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"image"
	"image/color"
	"math"
	"testing"

	"golang.org/x/image/webp"
)

// shades is a picture whose every pixel is known: whole numbers alone.
func shades(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA(x, y, color.NRGBA{R: uint8(x * 255 / w), G: uint8(y * 255 / h), B: uint8((x/16 + y/16) % 2 * 80), A: 255})
		}
	}
	return img
}

// The same pixels give the same bytes on every machine: this is what they are.
func TestSameBytesEverywhere(t *testing.T) {
	data, err := Encode(shades(320, 200), 75)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(data)
	const want = "fdee1acca01216a6dee3a7164401e7327f3e029140270b6fded609e7b234988e"
	if got := hex.EncodeToString(sum[:]); got != want {
		t.Errorf("%d bytes with the sum %s, wanted %s", len(data), got, want)
	}
	again, err := Encode(shades(320, 200), 75)
	if err != nil || !bytes.Equal(data, again) {
		t.Errorf("a second time other bytes: %v", err)
	}
}

// What is encoded decodes by another library to the picture that it was, with what its quality costs.
func TestDecodesAsItWas(t *testing.T) {
	img := shades(301, 77)
	data, err := Encode(img, 80)
	if err != nil {
		t.Fatal(err)
	}
	back, err := webp.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if back.Bounds() != img.Rect {
		t.Fatalf("%v came back as %v", img.Rect, back.Bounds())
	}
	sum, n := 0.0, 0
	for y := range 77 {
		for x := range 301 {
			// Brightness alone, as colours are kept at half the width and height; by RFC 6386, 9.2, it goes from 16 to 235.
			d := 16 + brightness(img.NRGBAAt(x, y))*219/255 - float64(back.(*image.YCbCr).YCbCrAt(x, y).Y)
			sum, n = sum+d*d, n+1
		}
	}
	if off := math.Sqrt(sum / float64(n)); off > 4 {
		t.Errorf("the pixels are off by %.1f of 255 in the mean square", off)
	}
}

// brightness is luma by Rec. ITU-R BT.601.
func brightness(c color.NRGBA) float64 {
	return 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B)
}

func TestRefuses(t *testing.T) {
	for _, img := range []*image.NRGBA{image.NewNRGBA(image.Rect(0, 0, 0, 5)), image.NewNRGBA(image.Rect(0, 0, SideMost+1, 1)), shades(40, 40).SubImage(image.Rect(0, 0, 20, 20)).(*image.NRGBA)} {
		if _, err := Encode(img, 75); err == nil {
			t.Errorf("%v was encoded", img.Rect)
		}
	}
	for _, quality := range []int{0, 100} {
		if _, err := Encode(shades(8, 8), quality); err == nil {
			t.Errorf("quality %d was taken", quality)
		}
	}
}
