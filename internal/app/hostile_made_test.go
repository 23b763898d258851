package app

import (
	"archive/zip"
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"io"
	"strings"
)

// hostileMade makes the files of hostile cases that are too large, or too binary, to be written down.
var hostileMade = map[string]func(at string) error{
	"picture":          func(at string) error { return put(at, soundPicture()) },
	"deep picture":     func(at string) error { return put(at, pngOf(10_000, 10_000, 16, 6, 64, true)) },
	"lying picture":    func(at string) error { return put(at, pngOf(4000, 4000, 8, 2, 24, false)) },
	"short picture":    func(at string) error { p := soundPicture(); return put(at, p[:len(p)/2]) },
	"picture and page": func(at string) error { return put(at, append(soundPicture(), "<script>alert(1)</script>"...)) },
	"text bomb":        func(at string) error { return put(at, withChunk(soundPicture(), "zTXt", "Comment\x00\x00")) },
	"profile bomb":     func(at string) error { return put(at, withChunk(soundPicture(), "iCCP", "icc\x00\x00")) },
	"moving picture":   func(at string) error { return put(at, moving(8, 8, 20)) },
	"moving bomb":      func(at string) error { return put(at, moving(4000, 4000, 60)) },
	"zip":              func(at string) error { return put(at, zipBomb()) },
	"backwards":        func(at string) error { return put(at, []byte(backwards())) },
	"long manifest":    func(at string) error { return put(at, []byte(longManifest())) },
}

// soundPicture is a small PNG.
func soundPicture() []byte {
	m := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for i := range m.Pix {
		m.Pix[i] = byte(i * 7)
	}
	var b bytes.Buffer
	_ = png.Encode(&b, m) // to memory: cannot fail
	return b.Bytes()
}

func chunk(kind string, data []byte) []byte {
	body := append([]byte(kind), data...)
	out := append(binary.BigEndian.AppendUint32(nil, uint32(len(data))), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(body))
}

// zeros packs so many bytes of nothing.
func zeros(n int64) []byte {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	_, _ = io.CopyN(z, nothing{}, n) // to memory: cannot fail
	_ = z.Close()
	return b.Bytes()
}

type nothing struct{}

func (nothing) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// pngOf is a PNG that says of itself what is said here (W3C PNG, 11.2); its pixels are there, or only a few of them.
func pngOf(w, h uint32, depth, colour byte, bits int64, all bool) []byte {
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	out := append([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", append(head, depth, colour, 0, 0, 0))...)
	size := int64(100)
	if all {
		size = int64(h) * (int64(w)*bits/8 + 1)
	}
	return append(append(out, chunk("IDAT", zeros(size))...), chunk("IEND", nil)...)
}

// withChunk puts a packed chunk of 64 MiB behind the head of a PNG.
func withChunk(picture []byte, kind, before string) []byte {
	const head = 8 + 12 + 13
	out := append([]byte(nil), picture[:head]...)
	out = append(out, chunk(kind, append([]byte(before), zeros(64<<20)...))...)
	return append(out, picture[head:]...)
}

// moving is a GIF of some pictures, repeated without end.
func moving(w, h, n int) []byte {
	g := &gif.GIF{}
	for range n {
		g.Image = append(g.Image, image.NewPaletted(image.Rect(0, 0, w, h), color.Palette{color.Black, color.White}))
		g.Delay = append(g.Delay, 1)
	}
	var b bytes.Buffer
	_ = gif.EncodeAll(&b, g) // to memory: cannot fail
	return b.Bytes()
}

// zipBomb is an archive of 64 MiB of nothing under a name that climbs out.
func zipBomb() []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	f, err := z.Create("../../out.txt")
	if err == nil {
		_, _ = io.CopyN(f, nothing{}, 64<<20) // to memory: cannot fail
	}
	_ = z.Close()
	return b.Bytes()
}

func backwards() string {
	var b strings.Builder
	b.WriteString("time [s],voltage [V],current [A]\n")
	for k := range 50_000 {
		fmt.Fprintf(&b, "%d,28.1,1.0\n", 50_000-k)
	}
	return b.String()
}

func longManifest() string {
	var b strings.Builder
	for k := range 100_000 {
		fmt.Fprintf(&b, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  data/%d.txt\n", k)
	}
	return b.String()
}
