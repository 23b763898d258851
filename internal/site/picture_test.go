package site

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// corners is a picture of four colours: red, green, blue and white from the top left in reading order.
func corners(w, h int) *image.RGBA {
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

// photo is a JPEG as a camera writes it: an Exif segment with an orientation, a place and a name, a comment, and bytes
// after its end.
func photo(t *testing.T, img image.Image, orientation uint16) []byte {
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

// Orientations as Exif (CIPA DC-008, tag 274) defines them: which corner of the stored picture is shown where.
func TestPhotosLoseWhereTheyWereTaken(t *testing.T) {
	shown := map[uint16]string{ // top left, top right, bottom left, bottom right
		1: "rgbw", 2: "grwb", 3: "wbgr", 4: "bwrg", 5: "rbgw", 6: "brwg", 7: "wgbr", 8: "gwrb",
	}
	for orientation, want := range shown {
		clean, w, h, asJPEG, err := reencode(photo(t, corners(80, 60), orientation))
		if err != nil {
			t.Fatal(err)
		}
		if !asJPEG {
			t.Error("a photo did not stay a JPEG")
		}
		for _, secret := range []string{"SECRET", "GPS", "Exif", "Photoshop"} {
			if bytes.Contains(clean, []byte(secret)) {
				t.Errorf("orientation %d: %q is still in the picture", orientation, secret)
			}
		}
		img, err := jpeg.Decode(bytes.NewReader(clean))
		if err != nil {
			t.Fatal(err)
		}
		size := img.Bounds().Size()
		if tall := orientation >= 5; tall != (size.Y > size.X) || size.X != w || size.Y != h {
			t.Errorf("orientation %d: %v, said to be %d by %d", orientation, size, w, h)
		}
		got := ""
		for _, p := range [][2]int{{size.X / 4, size.Y / 4}, {size.X * 3 / 4, size.Y / 4}, {size.X / 4, size.Y * 3 / 4}, {size.X * 3 / 4, size.Y * 3 / 4}} {
			r, g, b, _ := img.At(p[0], p[1]).RGBA()
			switch {
			case r > 0x8000 && g > 0x8000:
				got += "w"
			case r > 0x8000:
				got += "r"
			case g > 0x8000:
				got += "g"
			case b > 0x8000:
				got += "b"
			}
		}
		if got != want {
			t.Errorf("orientation %d shows %q, want %q", orientation, got, want)
		}
	}
}

func TestPicturesAreScaledAndKeepTheirKind(t *testing.T) {
	var drawing bytes.Buffer
	if err := png.Encode(&drawing, corners(2400, 300)); err != nil {
		t.Fatal(err)
	}
	clean, w, h, asJPEG, err := reencode(drawing.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if asJPEG || w != 1600 || h != 200 {
		t.Errorf("a drawing of 2400 by 300 became %d by %d, JPEG: %v", w, h, asJPEG)
	}
	if _, err := png.Decode(bytes.NewReader(clean)); err != nil {
		t.Error(err)
	}
}

// What is no picture, is damaged or would take more memory than there is gives a finding and no file.
func TestBadPicturesAreFindings(t *testing.T) {
	bomb := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x01\xff\xff\x00\x01\xff\xff\x08\x06\x00\x00\x00"), 0x6e, 0x55, 0x2b, 0x50)
	var whole bytes.Buffer
	if err := jpeg.Encode(&whole, corners(200, 200), nil); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"text": []byte("no picture"), "empty": nil, "bomb": bomb, "cut": whole.Bytes()[:whole.Len()/2],
		"svg": []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`),
	} {
		list := &finding.List{}
		open := func(string) (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }
		b := &builder{in: Input{Open: open}, findings: list, pages: newPages(open), pictures: map[string]picture{}}
		if _, ok := b.picture("photos/"+name+".jpg", finding.Span{}); ok {
			t.Errorf("%s was taken for a picture", name)
		}
		if list.Len() != 1 || len(b.pages.Paths()) != 0 {
			t.Errorf("%s: %d findings, files %v", name, list.Len(), b.pages.Paths())
		}
	}
}

func FuzzOrientation(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		how := orientation(data)
		if how < 0 || how > 0xffff {
			t.Error(how)
		}
	})
}

// A journal of its own for what the demo does not have.
func TestProse(t *testing.T) {
	var shot bytes.Buffer
	shot.Write(photo(t, corners(40, 30), 6))
	in := input(t, written(t, map[string]string{
		"journal.yaml":           "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":        "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/photo.jpg": shot.String(),
		"cart/1-first/sheet.pdf": "not really",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\npacks: [{chemistry: lfp, series: 8, capacity: 20 Ah}]\n---\n" +
			"## A heading\n\n#### Too deep\n\n![The cart from the side](photo.jpg)\n\nIt went [for a while](value:run-1/running-time), that is [](value:run-1/running-time).\n" +
			"See [the note](../../notes/a-note.md#why) and [the sheet](sheet.pdf), and [elsewhere](https://example.org/).\n\n" +
			"![The voltage](plot:run-1/voltage)\n\n![Everything](table:run-1/results)\n\n![Times](table:runs)\n\n" +
			"| a | b |\n| --- | ---: |\n| 1 | 2 |\n\n```\ncode\n\nmore <b>\n```\n\n- [x] done\n\nA footnote.[^1]\n\n[^1]: Here.\n",
		"cart/1-first/run-1.md": "---\nkind: run\ntype: field\nname: Once round\ndate: 2026-01-03\nreadings:\n" +
			"  - {at: 0 min, voltage: 26.4 V, current: 5 A}\n  - {at: 10 min, voltage: 26.0 V, current: 5 A}\n  - {at: 20 min, voltage: 25.8 V, current: 5 A}\n---\n",
		"notes/a-note.md": "---\nkind: note\ntitle: A note\ndate: 2026-01-04\n---\n# Why\n\nBecause.\n",
	}))
	for _, f := range in.Findings {
		if f.Level == finding.Error {
			t.Fatalf("%s: %s", f.Span.File(), f.Text)
		}
	}
	p, found := build(t, in)
	for _, f := range found {
		t.Error(f.Text)
	}
	page, err := p.Bytes("cart/1-first/index.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<h3 id="at-a-heading">`, `<h4 id="at-too-deep">`,
		`<img src="photo.jpg" alt="The cart from the side" width="30" height="40" loading="lazy">`,
		`<a class="num measured" href="run-1/index.html#r-running-time" title="measured: 20 min`,
		`aria-describedby="says">for a while</a><span class="says" id="says"> [measured: 20 min`, `aria-describedby="says-2">20 min`,
		`<a href="../../notes/a-note/index.html#at-why">the note</a>`, `<a href="sheet.pdf">the sheet</a>`, `<a href="https://example.org/">elsewhere</a>`,
		`id="fig-run-1-voltage"`, `id="table-run-1-results"`, `id="table-runs"`, `<th scope="col" class="q">b</th>`, "code\n&#10;more &lt;b&gt;", "[done] done", `role="doc-noteref"`,
	} {
		if !bytes.Contains(page, []byte(want)) {
			t.Errorf("the page has no %s", want)
		}
	}
	picture, err := p.Bytes("cart/1-first/photo.jpg")
	if err != nil || bytes.Contains(picture, []byte("SECRET")) {
		t.Errorf("the picture was not cleaned: %v", err)
	}
	if !slices.Contains(p.Paths(), "cart/1-first/sheet.pdf") || strings.Contains(string(page), "not here yet") {
		t.Error("something was left out")
	}
}

// What a note asks for and the evidence does not hold is a finding at its place, and a gap that a reader sees.
func TestEmbedsThatCannotBeShown(t *testing.T) {
	in := input(t, written(t, map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n![Speed](plot:run-1/speed)\n\n![x](table:run-1/costs)\n\nIn a line ![y](plot:run-1/voltage).\n\n![Wires](diagram:wiring)\n",
		"cart/1-first/run-1.md":   "---\nkind: run\ntype: field\nname: Once\ndate: 2026-01-03\nreadings:\n  - {at: 0 min, voltage: 26.4 V}\n  - {at: 10 min, voltage: 26.0 V}\n---\n",
	}))
	p, found := build(t, in)
	var lines []int
	for _, f := range found {
		if f.Rule != RuleNotShown || f.Remedy == "" {
			t.Errorf("%s: %s", f.Rule, f.Text)
		}
		lines = append(lines, f.Span.Position().Line)
	}
	if !slices.Equal(lines, []int{6, 8, 10, 12}) {
		t.Errorf("findings at lines %v", lines)
	}
	page, err := p.Bytes("cart/1-first/index.html")
	if err != nil || bytes.Count(page, []byte(`class="gap">[`)) != 4 {
		t.Errorf("a reader does not see four gaps: %v", err)
	}
}
