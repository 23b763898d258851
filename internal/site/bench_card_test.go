package site

import (
	"io/fs"
	"net/url"
	"path"
	"strings"
	"testing"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/themes"
)

// carded is a journal laid out with the theme bench-card.
func carded(t *testing.T, dir string) *frame.Pages {
	t.Helper()
	in := input(t, dir)
	in.Journal.Theme.Value, in.Journal.Theme.Set = journal.ThemeBenchCard, true
	p, found := build(t, in)
	for _, f := range found {
		t.Errorf("%s:%d: %s", f.Span.File(), f.Span.Position().Line, f.Text)
	}
	return p
}

// Both themes have a template for every kind of page.
func TestThemesHaveEveryKind(t *testing.T) {
	for _, o := range journal.Theme("").Options() {
		for _, k := range kinds {
			if _, err := fs.Stat(themes.FS, path.Join(o.Name, k.Name+".html")); err != nil {
				t.Errorf("%s: %v", o.Name, err)
			}
		}
	}
}

// Laid out as bench cards, a journal has the same pages; each place that a page leads to is there; and no DANGER or WARNING that the usual
// theme prints is left out.
func TestBenchCardsHold(t *testing.T) {
	for _, dir := range []string{demoJournal, measuredJournal} {
		t.Run(path.Base(dir), func(t *testing.T) {
			once.Lock()
			defer once.Unlock()
			usual, _ := build(t, input(t, dir))
			p := carded(t, dir)
			docs, theirs := documents(t, p), documents(t, usual)
			for name := range theirs {
				if docs[name] == nil {
					t.Errorf("%s is missing", name)
				}
			}
			for name, d := range docs {
				lookedAt := leadsSomewhere(t, p, docs, d)
				if lookedAt < 5 && name != address.Missing {
					t.Errorf("%s has %d links", name, lookedAt)
				}
				for id, n := range d.ids {
					if n > 1 {
						t.Errorf("%s has %d elements of the id %s", name, n, id)
					}
				}
				if words := text(d.root); !strings.Contains(words, "Call the fire service.") {
					t.Errorf("%s does not say what to do if it is hot", name)
				}
				if ours, want := grave(d), grave(theirs[name]); ours < want {
					t.Errorf("%s has %d DANGERs and WARNINGs, and %d in the usual theme", name, ours, want)
				}
			}
		})
	}
}

// leadsSomewhere follows every link of a page, and counts them.
func leadsSomewhere(t *testing.T, p *frame.Pages, docs map[string]*document, d *document) int {
	t.Helper()
	n := 0
	for _, e := range elements(d.root) {
		for _, key := range []string{"href", "src"} {
			ref := attribute(e, key)
			u, err := url.Parse(ref)
			if err != nil {
				t.Errorf("%s: %v", d.path, err)
			}
			if ref == "" || err != nil || u.Scheme != "" || d.path == address.Missing {
				continue
			}
			n++
			target := d.path
			if u.Path != "" {
				target = path.Join(path.Dir(d.path), u.Path)
			}
			switch other := docs[target]; {
			case !p.Has(target):
				t.Errorf("%s: %q leads to %q, which is not there", d.path, ref, target)
			case u.Fragment != "" && (other == nil || other.ids[u.Fragment] == 0):
				t.Errorf("%s: %q: %s has nothing with that id", d.path, ref, target)
			}
		}
	}
	return n
}

// grave counts the DANGERs and WARNINGs that a page prints.
func grave(d *document) int {
	n := 0
	for _, e := range elements(d.root) {
		if word := text(e); (word == "DANGER" || word == "WARNING") && (e.Data == "p" || e.Data == "span" && strings.Contains(attribute(e, "class"), "signal")) {
			n++
		}
	}
	return n
}
