package proof

import (
	"net/http"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

func TestWhatIsServed(t *testing.T) {
	d := open(t, "/book/", Print{Title: "Book", Site: newSite("a")})
	port := strings.TrimPrefix(d.at, "http://127.0.0.1:")
	for _, tt := range []struct {
		method, path, host string
		status             int
		kind, holds        string
	}{
		{"GET", "/book/", "", 200, "text/html; charset=utf-8", "<h1>Front a</h1>"},
		{"GET", "/book/index.html", "", 200, "text/html; charset=utf-8", "<h1>Front a</h1>"},
		{"GET", "/book/cart/", "", 200, "text/html; charset=utf-8", "<h1>Cart a</h1>"},
		{"GET", "/book/cart/log.csv", "", 200, "text/csv; charset=utf-8", "0,24.1"},
		{"GET", "/book/assets/sheet.css", "", 200, "text/css; charset=utf-8", "body {}"},
		{"HEAD", "/book/cart/", "", 200, "text/html; charset=utf-8", ""},
		{"GET", "/", "", 302, "", ""},
		{"GET", "/book/cart", "", 302, "", ""},
		{"GET", "/book/barrow/", "", 404, "text/html; charset=utf-8", "<h1>Page not found</h1>"},
		{"GET", "/book/..%2f..%2fetc/passwd", "", 404, "", "Page not found"},
		{"POST", "/book/", "", 405, "", ""},
		{"PUT", "/.trial/prints", "", 405, "", ""},
		{"GET", "/.trial/", "", 200, "text/html; charset=utf-8", "What inspection says of Book"},
		{"GET", "/.trial/trial.js", "", 200, "text/javascript; charset=utf-8", "EventSource"},
		{"GET", "/.trial/trial.css", "", 200, "text/css; charset=utf-8", ".trial"},
		{"GET", "/.trial/fonts/next-400.woff2", "", 200, "font/woff2", ""},
		{"GET", "/.trial/band.html", "", 404, "", ""},
		{"GET", "/.trial/../themes.go", "", 307, "", ""},
		{"GET", "/book/", "localhost:" + port, 200, "", "Front a"},
		{"GET", "/book/", "[::1]:" + port, 200, "", "Front a"},
		{"GET", "/book/", "workshop.example:" + port, 421, "", "This server serves only"},
		{"GET", "/.trial/prints", "workshop.example", 421, "", "This server serves only"},
	} {
		r, body := d.get(tt.method, tt.path, tt.host)
		if r.StatusCode != tt.status || !strings.Contains(body, tt.holds) {
			t.Errorf("%s %s for %q: %d, want %d with %q:\n%.300s", tt.method, tt.path, tt.host, r.StatusCode, tt.status, tt.holds, body)
		}
		if got := r.Header.Get("Content-Type"); tt.kind != "" && got != tt.kind {
			t.Errorf("%s: it is %q, want %q", tt.path, got, tt.kind)
		}
		if tt.status == 200 && !strings.HasPrefix(r.Header.Get("Content-Security-Policy"), "default-src 'self';") {
			t.Errorf("%s has no policy", tt.path)
		}
	}
	for path, to := range map[string]string{"/": "/book/", "/book/cart": "/book/cart/"} {
		if r, _ := d.get("GET", path, ""); r.Header.Get("Location") != to {
			t.Errorf("%s leads to %q, want %q", path, r.Header.Get("Location"), to)
		}
	}
}

// What a page gets is what inspection says of it; the front page has what is open anywhere.
func TestBand(t *testing.T) {
	danger := found("cart/version.md", "charge-voltage-high", "the charger gives 35.4 V", finding.Error, finding.Danger)
	danger.Numbers = "35.4 V, at most 34 V"
	warning := found("cart/version.md", "rolls-away", "it rolls off by itself", finding.Warning, finding.SignalWarning)
	warning.Past = true
	answered := found("cart/version.md", "stop-missing", "no switch takes the supply", finding.Warning, finding.SignalWarning)
	answered.Answer = &finding.Answer{Reason: "it never leaves the bench"}
	caution := found("cart/version.md", "fuse-far", "`fuse` lies <far> off", finding.Warning, finding.Caution)
	plain := found("journal.yaml", "address-missing", "no address", finding.Note, "")
	plain.Subject = "the journal"
	d := open(t, "/", Print{Site: newSite("a"), Summary: "Inspected.", Remarks: []Remark{warning, caution, plain, danger, answered},
		Next: []Saying{{Subject: "Cart, version 1", Text: "one more run would tell it to ± 9 min", Page: "cart/index.html"}}})

	_, front := d.get("GET", "/", "")
	for _, want := range []string{"Publish would refuse it: 1 error.", "Open DANGER and WARNING across the vehicles: 2", `href="/cart/#callout-charge-voltage-high"`,
		"it rolls off by itself", "another version has taken its place", "cart/version.md:2:1", `href="/method/#rule-rolls-away"`, "DANGER, not answered", `{rule: charge-voltage-high, numbers: &#34;35.4 V, at most 34 V&#34;, reason: …}`, "What inspection says of this sheet: 1 note",
		"What one more run would bring: 1", `<a href="/cart/">Cart, version 1</a>: One more run would tell it to ± 9 min.`} {
		if !strings.Contains(strings.ReplaceAll(front, "It rolls", "it rolls"), want) {
			t.Errorf("the front page does not say %q", want)
		}
	}
	if d, w := strings.Index(front, "35.4 V"), strings.Index(front, "rolls off"); d > w {
		t.Error("a DANGER stands behind a WARNING")
	}
	for _, not := range []string{"No switch takes", "lies"} {
		if strings.Contains(front, not) {
			t.Errorf("the front page says %q: that is answered, or no WARNING", not)
		}
	}

	_, cart := d.get("GET", "/cart/", "")
	for _, want := range []string{"35.4 V", "It rolls off", "<code>fuse</code> lies &lt;far&gt; off.", "<b>Answered:</b> It never leaves the bench.", `href="#callout-rolls-away"`, "What inspection says of this sheet: 3 warnings"} {
		if !strings.Contains(cart, want) {
			t.Errorf("the page of the cart does not say %q", want)
		}
	}
	if strings.Contains(cart, "No address") || strings.Contains(cart, "across the vehicles") || strings.Contains(cart, "more run") {
		t.Error("the page of the cart says what concerns others")
	}

	_, list := d.get("GET", "/.trial/", "")
	for _, want := range []string{"Inspected.", "35.4 V", "It rolls off", "No address", "No switch takes", "<h2>Cart, version 1", "One more run would tell it"} {
		if !strings.Contains(list, want) {
			t.Errorf("the list does not say %q", want)
		}
	}

	d.lay("quiet", Print{Site: newSite("b")})
	if c := d.change(); len(c.Gone) != 5 || len(c.Came) != 0 {
		t.Errorf("%d came and %d are gone", len(c.Came), len(c.Gone))
	}
	if _, front := d.get("GET", "/", ""); !strings.Contains(front, "Open DANGER and WARNING across the vehicles: none") || !strings.Contains(front, "Nothing keeps it from being published.") || strings.Contains(front, "more run") {
		t.Error("the front page does not say that nothing is open")
	}
}

// While errors keep a print from coming out, the last that did is shown; before there is one, what is to be mended.
func TestPrintsThatDoNotComeOut(t *testing.T) {
	bad := found("cart/version.md", "unknown-key", "unknown key `sumary`", finding.Error, "")
	d := open(t, "/", Print{Remarks: []Remark{bad}, Summary: "Inspected: 1 error."})
	for _, path := range []string{"/", "/cart/", "/assets/sheet.css"} {
		r, body := d.get("GET", path, "")
		if r.StatusCode != http.StatusServiceUnavailable || !strings.Contains(body, "No sheet comes out yet: 1 error.") || !strings.Contains(body, "<code>sumary</code>") {
			t.Errorf("%s: %d: %.300s", path, r.StatusCode, body)
		}
		if strings.Contains(body, "To the sheets") {
			t.Errorf("%s leads to sheets that are not there", path)
		}
	}
	d.lay("mended", Print{Site: newSite("b")})
	if c := d.change(); c.Number != 2 || c.Shown != 2 || len(c.Gone) != 1 {
		t.Errorf("after it was mended: %+v", c)
	}
	if r, body := d.get("GET", "/cart/", ""); r.StatusCode != 200 || !strings.Contains(body, "<h1>Cart b</h1>") {
		t.Errorf("the mended page: %d %s", r.StatusCode, body)
	}
	d.lay("broken", Print{Remarks: []Remark{bad}})
	if c := d.change(); c.Number != 3 || c.Shown != 2 || len(c.Came) != 1 {
		t.Errorf("after it was broken: %+v", c)
	}
	for _, path := range []string{"/", "/cart/"} {
		_, body := d.get("GET", path, "")
		for _, want := range []string{" b</h1>", "It does not come out: 1 error. What you see is print 2.", "<code>sumary</code>", "trial-new"} {
			if !strings.Contains(body, want) {
				t.Errorf("%s does not say %q", path, want)
			}
		}
	}
}
