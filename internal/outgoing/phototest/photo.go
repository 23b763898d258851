// Package phototest makes photos as cameras write them, with what nobody shall read, for tests alone.
package phototest

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

// Corners is a picture of four colours: red, green, blue and white from the top left in reading order.
func Corners(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{255, 255, 255, 255}
			switch {
			case x < w/2 && y < h/2:
				c = color.RGBA{255, 0, 0, 255}
			case y < h/2:
				c = color.RGBA{0, 255, 0, 255}
			case x < w/2:
				c = color.RGBA{0, 0, 255, 255}
			}
			img.Set(x, y, c)
		}
	}
	return img
}

// Photo is a JPEG as a camera writes it: an Exif segment with an orientation, a place and a name, a comment, and bytes
// after its end.
func Photo(t testing.TB, img image.Image, orientation uint16) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	order := binary.LittleEndian
	tiff := append([]byte("II*\x00"), order.AppendUint32(nil, 8)...)
	entry := func(tag, kind uint16, count, value uint32) {
		tiff = order.AppendUint16(tiff, tag)
		tiff = order.AppendUint16(tiff, kind)
		tiff = order.AppendUint32(tiff, count)
		tiff = order.AppendUint32(tiff, value)
	}
	tiff = order.AppendUint16(tiff, 2)
	entry(274, 3, 1, uint32(orientation))
	entry(0x8825, 4, 1, 38) // the GPS directory
	tiff = append(tiff, "GPSLatitude 51.4779 SECRETPLACE owner SECRETNAME"...)
	segment := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{}, b.Bytes()[:2]...)
	for _, s := range []struct {
		marker byte
		data   []byte
	}{{0xe1, segment}, {0xfe, []byte("comment SECRETNAME")}, {0xed, []byte("Photoshop 3.0 SECRETPLACE")}} {
		out = append(out, 0xff, s.marker)
		out = binary.BigEndian.AppendUint16(out, uint16(len(s.data)+2))
		out = append(out, s.data...)
	}
	out = append(out, b.Bytes()[2:]...)
	return append(out, "trailing SECRETPLACE"...)
}
