package site

import (
	"strings"
	"testing"

	"voltwright/internal/outgoing/phototest"
	"voltwright/internal/site/reading"
)

// A linked file goes online in a form that can be cleaned, or stays in the journal; then its link is none, and a finding says why.
func TestLinkedFilesGoOnlineInKnownFormsOnly(t *testing.T) {
	photo := string(phototest.Photo(t, phototest.Corners(80, 60), 1))
	for _, tt := range []struct {
		name, text string
		target     string // on the site, "" where it stays
		rule       string
	}{
		{"sketch.txt", "a sketch\n", "sketch.txt", ""},
		{"extra.csv", "t,U\n0,1\n", "extra.csv", ""},
		{"lid.jpe", photo, "lid.jpg", ""},
		{"lid.jfif", photo, "lid.jpg", ""},
		{"lid.txt", photo, "lid.jpg", ""},
		{"lid.heic", "\x00\x00\x00\x18ftypheicSECRET", "", reading.RuleSealedFile},
		{"lid.tif", "II*\x00SECRET", "", reading.RuleSealedFile},
		{"sheet.pdf", "%PDF-1.7 SECRET", "", reading.RuleSealedFile},
		{"panel.svg", "<svg>SECRET</svg>", "", reading.RuleActiveFile},
		{"page.html", "<p>SECRET</p>", "", reading.RuleActiveFile},
		{"page.txt", "<html>SECRET</html>", "", reading.RuleActiveFile},
		{"run.js", "SECRET", "", reading.RuleActiveFile},
	} {
		t.Run(tt.name, func(t *testing.T) {
			in := input(t, written(t, map[string]string{
				"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
				"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
				"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\nSee [the file](" + tt.name + "), and again [it](" + tt.name + ").\n",
				"cart/1-first/" + tt.name: tt.text,
			}))
			p, found := build(t, in)
			var rules []string
			for _, f := range found {
				rules = append(rules, f.Rule)
			}
			if got := strings.Join(rules, " "); got != tt.rule {
				t.Errorf("findings %q, want %q", got, tt.rule)
			}
			for _, name := range p.Paths() {
				data, err := p.Bytes(name)
				if err != nil || strings.Contains(string(data), "SECRET") {
					t.Errorf("%s: tells what it should not, or %v", name, err)
				}
			}
			page, err := p.Bytes("cart/1-first/index.html")
			if err != nil {
				t.Fatal(err)
			}
			if tt.target == "" {
				if n := strings.Count(string(page), "(not published)"); n != 2 {
					t.Errorf("the page says %d times that it is not published, want 2", n)
				}
				return
			}
			if !p.Has("cart/1-first/"+tt.target) || !strings.Contains(string(page), `href="`+tt.target+`"`) {
				t.Errorf("%s is not on the site, or not linked", tt.target)
			}
		})
	}
}

// Every page carries the policy itself, before anything that it loads: most hosts send no headers.
func TestEveryPageCarriesThePolicy(t *testing.T) {
	p, _ := build(t, input(t, demoJournal))
	for name, d := range documents(t, p) {
		for _, n := range elements(d.root) {
			if n.Data == "link" || n.Data == "script" || n.Data == "img" || n.Data == "style" {
				t.Errorf("%s loads something before its policy", name)
				break
			}
			if n.Data == "meta" && attribute(n, "http-equiv") == "Content-Security-Policy" {
				if got := attribute(n, "content"); !strings.HasPrefix(got, "default-src 'self';") || strings.Contains(got, "unsafe") {
					t.Errorf("%s has the policy %q", name, got)
				}
				break
			}
		}
	}
}
