package site

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/outgoing/phototest"
)

// A page opens with its photo, loaded at once in the width that fits, and closes with its gallery, loaded when it is scrolled to; nothing of what the
// camera wrote is in any of its files, and a film elsewhere is a link alone.
func TestPhotosOfAPage(t *testing.T) {
	var shot bytes.Buffer
	shot.Write(phototest.Photo(t, phototest.Corners(900, 600), 1))
	in := input(t, written(t, map[string]string{
		"journal.yaml":           "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":        "---\nkind: vehicle\nname: The cart\nlead: {photo: 1-first/photo.jpg, alt: The cart}\n---\n",
		"cart/1-first/photo.jpg": shot.String(),
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\npacks: [{chemistry: lfp, series: 8, capacity: 20 Ah}]\n" +
			"lead: {photo: photo.jpg, alt: The cart from the side, caption: The cart}\nmarks: [{at: 10 % 20 %, text: lever}, {at: 80 % 90 %, text: wheel}]\n" +
			"gallery: [{photo: photo.jpg, alt: The cart again, film: \"https://example.org/film\"}]\n---\n",
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
		`srcset="photo-420.webp 420w, photo-780.webp 780w, photo-900.webp 900w"`,
		`<img src="photo.jpg" alt="The cart from the side" width="900" height="600" fetchpriority="high">`,
		`<img src="photo.jpg" alt="The cart again" width="900" height="600" loading="lazy">`,
		`<b>A</b> lever.`, `<b>B</b> wheel.`, `<a href="https://example.org/film" rel="noreferrer">The film, at example.org</a>`, `1 photo.`,
	} {
		if !bytes.Contains(page, []byte(want)) {
			t.Errorf("the page has no %s", want)
		}
	}
	if regexp.MustCompile(`(?:src|srcset|poster|data)="https?:`).Match(page) {
		t.Error("the page asks another host for something")
	}
	files := 0
	for _, name := range p.Paths() {
		if strings.HasPrefix(name, "cart/1-first/photo") {
			files++
			if data, err := p.Bytes(name); err != nil || bytes.Contains(data, []byte("SECRET")) {
				t.Errorf("%s was not cleaned: %v", name, err)
			}
		}
	}
	if files != 4 {
		t.Errorf("%d files of one photo", files)
	}
	vehicle, err := p.Bytes("cart/index.html")
	if err != nil || !bytes.Contains(vehicle, []byte(`src="1-first/photo.jpg" alt="The cart"`)) {
		t.Errorf("the vehicle's page does not open with its photo: %v", err)
	}
	if out, err := p.Outgoing(); err != nil || !slices.ContainsFunc(out, func(o Outgoing) bool {
		return o.To == "cart/1-first/photo-780.webp" && o.From == "cart/1-first/photo.jpg" && len(o.Taken) > 0
	}) {
		t.Errorf("nobody is told of the WebP: %v", err)
	}
}
