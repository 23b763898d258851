package phototest

import (
	"bytes"
	"compress/zlib"
	"encoding/base64"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"testing"
)

// Angle is an angle as Exif writes it: degrees, minutes and hundredths of a second.
type Angle struct{ Degrees, Minutes, Hundredths uint32 }

// Rational is the angle as three rationals (TIFF 6.0, type 5).
func (a Angle) Rational(order binary.AppendByteOrder) []byte {
	var out []byte
	for _, v := range []uint32{a.Degrees, 1, a.Minutes, 1, a.Hundredths, 100} {
		out = order.AppendUint32(out, v)
	}
	return out
}

// Exif is a TIFF block with a position, a serial number and an owner (CIPA DC-008: the GPS directory, tags 0xA431 and 0xA430).
func Exif(big bool, lat, long Angle, serial, owner string) []byte {
	var order binary.AppendByteOrder = binary.LittleEndian
	out := []byte("II*\x00")
	if big {
		order, out = binary.BigEndian, []byte("MM\x00*")
	}
	type entry struct {
		tag, kind uint16
		count     uint32
		data      []byte // four bytes, or what lies elsewhere
	}
	long4 := func(v uint32) []byte { return order.AppendUint32(nil, v) }
	write := func(entries []entry) {
		at := uint32(len(out) + 2 + 12*len(entries) + 4)
		var rest []byte
		out = order.AppendUint16(out, uint16(len(entries)))
		for _, e := range entries {
			out = order.AppendUint16(out, e.tag)
			out = order.AppendUint16(out, e.kind)
			out = order.AppendUint32(out, e.count)
			if len(e.data) <= 4 {
				out = append(out, append(e.data, make([]byte, 4-len(e.data))...)...)
				continue
			}
			out = order.AppendUint32(out, at+uint32(len(rest)))
			rest = append(rest, e.data...)
			if len(rest)%2 == 1 {
				rest = append(rest, 0)
			}
		}
		out = append(append(out, 0, 0, 0, 0), rest...)
	}
	text := func(tag uint16, s string) entry { return entry{tag, 2, uint32(len(s) + 1), []byte(s + "\x00")} }
	gps := []entry{{1, 2, 2, []byte("N\x00")}, {2, 5, 3, lat.Rational(order)}, {3, 2, 2, []byte("E\x00")}, {4, 5, 3, long.Rational(order)}}
	out = order.AppendUint32(out, 8)
	first := []entry{{0x8769, 4, 1, nil}, {0x8825, 4, 1, nil}}
	size := uint32(8 + 2 + 12*len(first) + 4)
	head := out
	first[0].data = long4(size)
	exif := []entry{text(0xa430, owner), text(0xa431, serial)}
	out = make([]byte, size)
	write(exif)
	gpsAt := uint32(len(out))
	write(gps)
	rest := out[size:]
	first[1].data = long4(gpsAt)
	out = head
	write(first)
	return append(out, rest...)
}

// JPEG is a picture with segments, each its marker and then its bytes, and bytes behind its end.
func JPEG(t testing.TB, segments [][]byte, behind string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, Corners(40, 30), nil); err != nil {
		t.Fatal(err)
	}
	out := append([]byte{}, b.Bytes()[:2]...)
	for _, s := range segments {
		out = append(out, 0xff, s[0])
		out = binary.BigEndian.AppendUint16(out, uint16(len(s)+1))
		out = append(out, s[1:]...)
	}
	return append(append(out, b.Bytes()[2:]...), behind...)
}

// PNG is a picture with chunks, each its name and then its bytes, and bytes behind its end.
func PNG(t testing.TB, chunks [][]byte, behind string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, Corners(40, 30)); err != nil {
		t.Fatal(err)
	}
	const head = 8 + 25 // signature and IHDR
	out := append([]byte{}, b.Bytes()[:head]...)
	for _, c := range chunks {
		out = binary.BigEndian.AppendUint32(out, uint32(len(c)-4))
		out = append(out, c...)
		out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(c))
	}
	return append(append(out, b.Bytes()[head:]...), behind...)
}

// Packed is text as a chunk zTXt holds it.
func Packed(t testing.TB, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	if _, err := w.Write([]byte(text)); err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// GIF is a picture with a comment.
func GIF(t testing.TB, comment string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := gif.Encode(&b, image.NewPaletted(image.Rect(0, 0, 4, 4), color.Palette{color.Black, color.White}), nil); err != nil {
		t.Fatal(err)
	}
	text := b.Bytes()
	block := append([]byte{0x21, 0xfe, byte(len(comment))}, comment...)
	return append(append(text[:len(text)-1:len(text)-1], append(block, 0)...), 0x3b)
}

// WebP is a picture of one pixel with Exif.
func WebP(t testing.TB, exif []byte) []byte {
	t.Helper()
	plain, err := base64.StdEncoding.DecodeString("UklGRiIAAABXRUJQVlA4IBYAAAAwAQCdASoBAAEADsD+JaQAA3AAAAAA")
	if err != nil {
		t.Fatal(err)
	}
	chunk := func(name string, data []byte) []byte {
		out := binary.LittleEndian.AppendUint32([]byte(name), uint32(len(data)))
		out = append(out, data...)
		return append(out, make([]byte, len(data)%2)...)
	}
	body := []byte("WEBP")
	body = append(body, chunk("VP8X", []byte{0x08, 0, 0, 0, 0, 0, 0, 0, 0, 0})...)
	body = append(body, plain[12:]...)
	body = append(body, chunk("EXIF", exif)...)
	return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
}
