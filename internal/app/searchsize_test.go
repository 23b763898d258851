package app

import (
	"bytes"
	"compress/gzip"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/site"
	"voltwright/internal/sized"
)

// packed is how many bytes files of a site come to as a server sends them, each compressed by itself.
func packed(t *testing.T, p *site.Pages, names ...string) int {
	t.Helper()
	sum := 0
	for _, name := range names {
		text, err := p.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		if path.Ext(name) == ".woff2" { // which is compressed as it is
			sum += len(text)
			continue
		}
		var out bytes.Buffer
		w, _ := gzip.NewWriterLevel(&out, gzip.BestCompression) // which has no error at that level
		_, _ = w.Write(text)
		_ = w.Close()
		sum += out.Len()
	}
	return sum
}

// The search of a journal of more than 1,100 pages is answered by an index that has 300 kB at the most with the texts that follow it; no
// part of these is larger than a third of that.
func TestSearchIndexIsLight(t *testing.T) {
	if testing.Short() {
		t.Skip("lays out 1,100 pages")
	}
	dir := filepath.Join(t.TempDir(), "journal")
	if err := sized.Write(dir, sized.Size{Notes: 1036, Versions: 10, Logs: 20, Rows: 200, Statements: 60, Parts: 12, Seed: 16}); err != nil {
		t.Fatal(err)
	}
	p := aSite(t, dir)
	pages, parts, all := 0, 0, 0
	for _, name := range p.Paths() {
		if path.Ext(name) == ".html" {
			pages++
		}
		if !strings.HasPrefix(name, "search/") || path.Ext(name) != ".js" {
			continue
		}
		n := packed(t, p, name)
		t.Logf("%s: %d bytes compressed", name, n)
		all += n
		switch limit := 300_000; {
		case name == "search/index.js" && n > limit:
			t.Errorf("the index has %d bytes", n)
		case name != "search/index.js":
			if parts++; n > limit/3 {
				t.Errorf("%s has %d bytes", name, n)
			}
		}
	}
	t.Logf("%d pages: an index and %d parts, %d bytes compressed", pages, parts, all)
	if all > 300_000 { // the texts of a made-up journal repeat themselves; those of the demo come to 224 kB for 67 pages
		t.Errorf("index and parts have %d bytes", all)
	}
	if pages < 1100 || parts == 0 {
		t.Errorf("only %d pages, or no parts (%d)", pages, parts)
	}
}
