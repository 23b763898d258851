package app

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"voltwright/internal/browsertest"
	"voltwright/internal/finding"
	"voltwright/internal/site"
	"voltwright/internal/sized"
)

// lengthLimit is how long pages of a kind may be.
type lengthLimit struct {
	kind        string
	of          func(page string) bool
	limit, once float64
}

// lengthLimits are how many screens of 390 by 844 a page of each kind may take with all its leaves closed, and what its longest
// took before it had leaves.
var lengthLimits = []lengthLimit{
	{"version", func(p string) bool {
		return strings.Count(p, "/") == 2 && ofVehicle(p) && !strings.Contains(p, "/across/")
	}, 3.8, 49.1},
	{"vehicle", func(p string) bool { return strings.Count(p, "/") == 1 && ofVehicle(p) }, 4.1, 14.9},
	{"across", func(p string) bool { return strings.HasSuffix(p, "/across/index.html") }, 3.8, 5.1},
	{"run", func(p string) bool {
		return strings.Count(p, "/") == 3 && ofVehicle(p) && !strings.HasSuffix(p, "/wiring/index.html") && !strings.HasSuffix(p, "/bench-sheet/index.html") && !strings.HasSuffix(p, "/first-power/index.html") && !isAnswers(p)
	}, 2.8, 13.0},
	{"answers", isAnswers, 3.8, 9.5},
	{"question", func(p string) bool { return strings.HasPrefix(p, "questions/") && strings.Count(p, "/") == 2 }, 2.7, 9.2},
	{"front", func(p string) bool { return p == "index.html" }, 3.8, 4.4},
	{"correction", func(p string) bool { return strings.HasPrefix(p, "corrections/") && strings.Count(p, "/") == 2 }, 2.5, 2.5},
	{"search", func(p string) bool { return p == "search/index.html" }, 2.5, 33.6},
	{"wiring", func(p string) bool { return strings.HasSuffix(p, "/wiring/index.html") }, 3.3, 54.6},
}

func isAnswers(page string) bool { return strings.HasSuffix(page, "/answers/index.html") }

// ofVehicle tells whether a page is of a vehicle, a version or a run.
func ofVehicle(page string) bool {
	first, _, _ := strings.Cut(page, "/")
	return first == "shunter" || first == "barrow" || strings.HasPrefix(first, "cart-")
}

// aSite is the site of a journal, judged and laid out as publish does it.
func aSite(t *testing.T, dir string) *site.Pages {
	t.Helper()
	folder, err := openJournal(dir)
	if err != nil {
		t.Fatal(err)
	}
	in := readFolder(dir, folder, means{})
	t.Cleanup(in.close)
	if n := in.findings.Count(finding.Error); n > 0 {
		t.Fatalf("%s has %d errors", dir, n)
	}
	judge(in)
	pages, _, err := site.Build(siteInput(in, func(path string) (io.ReadCloser, error) { return in.folder.OpenFile(path) }))
	if err != nil {
		t.Fatal(err)
	}
	return pages
}

// served serves pages at the root of an address.
func served(t *testing.T, p *site.Pages) string {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(r.URL.Path, "/")
		text, err := p.Bytes(name)
		if err != nil {
			http.NotFound(w, r)
			return
		}
		http.ServeContent(w, r, filepath.Base(name), time.Time{}, strings.NewReader(string(text)))
	}))
	t.Cleanup(server.Close)
	return server.URL + "/"
}

// lookAt opens a page as a phone shows it.
func lookAt(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	browsertest.Width(t, ctx, 390)
	browsertest.Go(t, ctx, address)
	browsertest.Evaluate[bool](t, ctx, `document.fonts.ready.then(() => true)`)
}

// Every page is read down its faces within the screens that its kind may take. The output lists them.
func TestPagesAreShort(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	for _, dir := range []string{"../../content", eightVersions(t)} {
		p := aSite(t, dir)
		base := served(t, p)
		for _, l := range lengthLimits {
			n := 0
			for _, name := range p.Paths() {
				if filepath.Ext(name) != ".html" || !l.of(name) {
					continue
				}
				n++
				lookAt(t, ctx, base+name)
				screens := browsertest.Evaluate[float64](t, ctx, `document.documentElement.scrollHeight / 844`)
				t.Logf("%-9s %5.2f of at most %.1f, once up to %.1f: %s", l.kind, screens, l.limit, l.once, name)
				if screens > l.limit {
					t.Errorf("%s: %.2f screens, at most %.1f", name, screens, l.limit)
				}
			}
			if n == 0 && dir == "../../content" { // the made-up one has vehicles alone
				t.Errorf("%s has no page of the kind %s", dir, l.kind)
			}
		}
		browsertest.Leave(t, ctx)
	}
}

// eightVersions is a made-up journal of eight versions, each with three WARNINGs and no picture.
func eightVersions(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "journal")
	if err := sized.Write(dir, sized.Size{Versions: 8, Logs: 8, Rows: 300, Parts: 6, Seed: 16}); err != nil {
		t.Fatal(err)
	}
	for n := range 8 {
		name := filepath.Join(dir, "cart-1", fmt.Sprintf("%d-pack", n+1), "version.md")
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		s := string(text)
		for _, change := range [][2]string{
			{"protection: {opens: 20 V, current: 80 A, charge-stops: 29.2 V}", "protection: none"},
			{"cutout: {opens: 22.4 V, reset-threshold: 3.4 V, delay: 2 s, current: 60 A}\n", ""},
			{"    - {name: cutout, kind: cutout, volts: 48 V, resistance: 3 mΩ, clamp: 1 mm² to 10 mm²}\n", ""},
			{`{from: "isolator:out", to: "cutout:in+"`, `{from: "isolator:out", to: "controller:in+"`},
			{`{from: "pack:-", to: "cutout:in-"`, `{from: "pack:-", to: "controller:in-"`},
			{`    - {from: "cutout:out+", to: "controller:in+", length: 160 mm, colour: red, ends: ferrule}` + "\n", ""},
			{`    - {from: "cutout:out-", to: "controller:in-", length: 160 mm, colour: black, ends: ferrule}` + "\n", ""},
			{"surface: concrete}", "surface: concrete, hill: 1 in 8}"},
		} {
			if !strings.Contains(s, change[0]) {
				t.Fatalf("%s does not have %q", name, change[0])
			}
			s = strings.Replace(s, change[0], change[1], 1)
		}
		if err := os.WriteFile(name, []byte(s), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// Of a version with several WARNINGs the answer and the first line of each are on the first screen, a phone's own bars taken
// off it, though it has no picture.
func TestWarningsAreSeenAtOnce(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	p := aSite(t, eightVersions(t))
	base := served(t, p)
	const bars = 844 - 200
	for n := range 8 {
		page := fmt.Sprintf("cart-1/%d-pack/index.html", n+1)
		lookAt(t, ctx, base+page)
		if at := browsertest.Evaluate[int](t, ctx, `Math.round(document.querySelector('.answer').getBoundingClientRect().bottom)`); at > bars {
			t.Errorf("%s: the answer ends at %d", page, at)
		}
		grave := browsertest.Evaluate[int](t, ctx, `document.querySelectorAll('.callouts > .callout:not(.brief)').length`)
		if grave != 3 {
			t.Errorf("%s: %d WARNINGs stand in full, wanted three", page, grave)
		}
		ends := browsertest.Evaluate[[]int](t, ctx, `[...document.querySelectorAll('.heads a')].map(a => Math.round(a.getBoundingClientRect().bottom))`)
		if len(ends) != grave || slices.Max(append(ends, 0)) > 844 {
			t.Errorf("%s: the first lines of %d WARNINGs end at %v", page, grave, ends)
		}
	}
	browsertest.Leave(t, ctx)
}

// A leaf opens by a link to anything in it, by the keyboard, without script, and on paper.
func TestLeavesOpen(t *testing.T) {
	ctx, said := browsertest.Open(t)
	p := aSite(t, "../../content")
	base := served(t, p)
	const page = "shunter/3-second-pack/index.html"
	for _, anchor := range []string{"run-time", "driving", "wiring-checked", "lead-5", "table-charge-time", "what-changed", "spec", "cautions", "d-stall-current"} {
		lookAt(t, ctx, base+"index.html")
		browsertest.Go(t, ctx, base+page+"#"+anchor)
		const seen = `(() => { const e = document.getElementById(location.hash.slice(1)); if (!e) return 'is not there'; const r = e.getBoundingClientRect(); return !e.checkVisibility() ? 'stays shut' : r.top > 844 || r.bottom < 0 ? 'lies off the screen at ' + r.top : ''; })()`
		browsertest.Wait(t, ctx, `document.readyState === 'complete'`)
		if wrong := browsertest.Evaluate[string](t, ctx, seen); wrong != "" {
			t.Errorf("#%s %s", anchor, wrong)
		}
	}
	lookAt(t, ctx, base+page)
	if shut := browsertest.Evaluate[int](t, ctx, `[...document.querySelectorAll('details.leaf')].filter(d => d.open).length`); shut != 0 {
		t.Errorf("%d leaves stand open", shut)
	}
	if reached := browsertest.Evaluate[bool](t, ctx, `[...document.querySelectorAll('details.leaf > summary')].every(s => { s.focus(); return document.activeElement === s; })`); !reached {
		t.Error("some leaf cannot be reached by the keyboard")
	}
	for _, line := range said.Take() {
		t.Error(line)
	}
	browsertest.Leave(t, ctx)
}
