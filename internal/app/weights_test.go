package app

import (
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/browsertest"
	"voltwright/internal/site"
)

// weightLimits are how many bytes the text, the styles and the fonts of a page of each kind come to, compressed, as a phone loads
// them: no pictures, no scripts.
var weightLimits = []struct {
	kind  string
	limit int
}{
	{"question", 48_000},
	{"run", 60_000},
	{"version", 79_000},
	{"front", 40_000},
}

// What a phone loads of a page stays within its kind's weight, and the engine of the charts is not loaded until one is touched. The
// output lists every page, its scripts apart.
func TestPagesAreLightOnAPhone(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	p := aSite(t, "../../content")
	base := served(t, p)
	for _, w := range weightLimits {
		of := lengthLimits[slices.IndexFunc(lengthLimits, func(l lengthLimit) bool { return l.kind == w.kind })].of
		n := 0
		for _, name := range p.Paths() {
			if filepath.Ext(name) != ".html" || !of(name) {
				continue
			}
			n++
			lookAt(t, ctx, base+name)
			loaded := strings.Fields(browsertest.Evaluate[string](t, ctx, `performance.getEntriesByType('resource').map(e => e.name).join(' ')`))
			page, scripts := packed(t, p, name), 0
			for _, address := range loaded {
				file := strings.TrimPrefix(address, base)
				switch path.Ext(file) {
				case ".css", ".woff2":
					page += packed(t, p, file)
				case ".js":
					scripts += packed(t, p, file)
					if path.Dir(file) != site.SharedFolder { // the engine, or what it draws of a chart
						t.Errorf("%s loads %s before a chart is touched", name, file)
					}
				}
			}
			t.Logf("%-9s %6d bytes, and %5d of scripts; at most %d: %s", w.kind, page, scripts, w.limit, name)
			if page > w.limit {
				t.Errorf("%s: %d bytes, at most %d", name, page, w.limit)
			}
		}
		if n == 0 {
			t.Errorf("no page of the kind %s", w.kind)
		}
	}
	browsertest.Leave(t, ctx)
}
