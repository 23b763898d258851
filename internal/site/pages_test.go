package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/url"
	"path"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/net/html"

	"voltwright/internal/predict"
	"voltwright/internal/record"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
)

// document is a parsed page.
type document struct {
	path string
	root *html.Node
	ids  map[string]int
}

func documents(t testing.TB, p *frame.Pages) map[string]*document {
	t.Helper()
	docs := map[string]*document{}
	for _, name := range p.Paths() {
		if path.Ext(name) != ".html" {
			continue
		}
		text, err := p.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		root, err := html.Parse(bytes.NewReader(text))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		d := &document{path: name, root: root, ids: map[string]int{}}
		for n := range root.Descendants() {
			if id := attribute(n, "id"); id != "" {
				d.ids[id]++
			}
		}
		docs[name] = d
	}
	return docs
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// elements are the elements of the page below n.
func elements(n *html.Node) []*html.Node {
	var all []*html.Node
	for d := range n.Descendants() {
		if d.Type == html.ElementNode {
			all = append(all, d)
		}
	}
	return all
}

// laid is a journal laid out, and its pages parsed.
type laid struct {
	pages     *frame.Pages
	documents map[string]*document
}

// laidOut keeps the pages of the journals between tests, which only read them.
var (
	once    sync.Mutex
	laidOut = map[string]laid{}
)

// journals runs a check on the pages of each journal.
func journals(t *testing.T, check func(t *testing.T, p *frame.Pages, docs map[string]*document)) {
	for _, dir := range []string{demoJournal, measuredJournal} {
		t.Run(path.Base(dir), func(t *testing.T) {
			once.Lock()
			defer once.Unlock()
			if laidOut[dir].pages == nil {
				p, found := build(t, input(t, dir))
				for _, f := range found {
					t.Errorf("%s:%d: %s", f.Span.File(), f.Span.Position().Line, f.Text)
				}
				laidOut[dir] = laid{p, documents(t, p)}
			}
			check(t, laidOut[dir].pages, laidOut[dir].documents)
		})
	}
}

// siteRoot is where the pages of the demo stand by its address; the page for what is missing links from there.
func siteRoot(t *testing.T, docs map[string]*document) string {
	for _, n := range elements(docs[address.Missing].root) {
		if n.Data == "link" && attribute(n, "rel") == "stylesheet" {
			return strings.TrimSuffix(attribute(n, "href"), frame.SheetStyle)
		}
	}
	t.Fatal("the page for what is missing has no style sheet")
	return ""
}

func TestLinksLeadSomewhere(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		root := siteRoot(t, docs)
		links, reached := 0, map[string]bool{address.Front: true, address.Missing: true}
		for _, d := range docs {
			for _, n := range elements(d.root) {
				for _, key := range []string{"href", "src", "data-engine", "data-plot"} {
					ref := attribute(n, key)
					if ref == "" {
						continue
					}
					u, err := url.Parse(ref)
					if err != nil {
						t.Errorf("%s: %q: %v", d.path, ref, err)
						continue
					}
					if u.Scheme != "" || u.Host != "" {
						if n.Data != "a" && attribute(n, "rel") != "canonical" { // which says where the page stands, and loads nothing
							t.Errorf("%s: <%s> loads %q from outside", d.path, n.Data, ref)
						}
						continue
					}
					links++
					target := d.path
					switch {
					case strings.HasPrefix(u.Path, root) && d.path == address.Missing:
						target = strings.TrimPrefix(u.Path, root)
					case u.Path != "":
						target = path.Join(path.Dir(d.path), u.Path)
					}
					if d.path == address.Missing { // it asks for its style sheet on the way up, wherever it is shown
						target = strings.TrimPrefix(path.Join("/", target), "/")
					}
					if !p.Has(target) {
						t.Errorf("%s: %q leads to %q, which is not there", d.path, ref, target)
						continue
					}
					reached[target] = true
					if other := docs[target]; u.Fragment != "" && (other == nil || other.ids[u.Fragment] == 0) {
						t.Errorf("%s: %q: %s has nothing with that id", d.path, ref, target)
					}
				}
			}
		}
		if links < 20*len(docs) {
			t.Errorf("only %d links on %d pages were looked at", links, len(docs))
		}
		for name := range docs {
			if !reached[name] {
				t.Errorf("no page links to %s", name)
			}
		}
	})
}

// What is documented under another name than before is reached by the address that it had, at the same entry.
func TestFormerAddressesAreReached(t *testing.T) {
	former := 0
	journals(t, func(t *testing.T, _ *frame.Pages, docs map[string]*document) {
		for _, d := range predict.Docs() {
			if d.Former == "" {
				continue
			}
			former++
			n := byID(docs[address.Method], address.EntryAnchor(d.Kind, d.Former))
			if n == nil || n.Parent == nil || attribute(n.Parent, "id") != address.EntryAnchor(d.Kind, d.Name) {
				t.Errorf("nothing stands at the former address of %s", d.Name)
			}
		}
	})
	if former == 0 {
		t.Error("nothing has a former name, so nothing was asked")
	}
}

// before and after lead there and back.
func TestTurnsBothWays(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		turns := map[string]map[string]string{}
		for _, d := range docs {
			turns[d.path] = map[string]string{}
			for _, n := range elements(d.root) {
				if rel := attribute(n, "rel"); n.Data == "a" && (rel == "prev" || rel == "next") {
					turns[d.path][rel] = path.Join(path.Dir(d.path), attribute(n, "href"))
				}
			}
		}
		back := map[string]string{"prev": "next", "next": "prev"}
		n := 0
		for from, rels := range turns {
			for rel, to := range rels {
				n++
				if turns[to][back[rel]] != from {
					t.Errorf("%s is %s of %s, which leads back to %q", to, rel, from, turns[to][back[rel]])
				}
			}
		}
		if n == 0 {
			t.Error("no page leads on to another")
		}
	})
}

func TestPagesKeepThePolicy(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		for _, d := range docs {
			for _, n := range elements(d.root) {
				if n.Data == "style" {
					t.Errorf("%s: an inline style sheet", d.path)
				}
				if n.Data == "script" && attribute(n, "src") == "" && attribute(n, "type") != "application/json" && attribute(n, "type") != "application/ld+json" {
					t.Errorf("%s: an inline script", d.path)
				}
				for _, a := range n.Attr {
					if a.Key == "style" || strings.HasPrefix(a.Key, "on") || strings.HasPrefix(strings.TrimSpace(strings.ToLower(a.Val)), "javascript:") {
						t.Errorf("%s: <%s %s=%q>", d.path, n.Data, a.Key, a.Val)
					}
				}
			}
		}
		for _, name := range p.Paths() {
			if path.Ext(name) != ".css" {
				continue
			}
			sheet, err := p.Bytes(name)
			if err != nil {
				t.Fatal(err)
			}
			if bytes.Contains(sheet, []byte("@import")) || bytes.Contains(sheet, []byte("//")) {
				t.Errorf("%s asks for something from outside", name)
			}
		}
	})
}

func TestPagesAreWellBuilt(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		for _, d := range docs {
			level, ones := 0, 0
			fields := map[string]string{}
			for _, n := range elements(d.root) {
				if len(n.Data) == 2 && n.Data[0] == 'h' && n.Data[1] >= '1' && n.Data[1] <= '6' {
					at := int(n.Data[1] - '0')
					if at > level+1 {
						t.Errorf("%s: heading %q is of level %d after level %d", d.path, text(n), at, level)
					}
					if level = at; at == 1 {
						ones++
					}
					if text(n) == "" {
						t.Errorf("%s: an empty heading", d.path)
					}
				}
				if (n.Data == "caption" || n.Data == "figcaption") && strings.ContainsAny(text(n), "{}[]") {
					t.Errorf("%s: the caption %q", d.path, text(n))
				}
				if n.Data == "img" && (attribute(n, "alt") == "" || attribute(n, "width") == "" || attribute(n, "height") == "") {
					t.Errorf("%s: picture %s without words or size", d.path, attribute(n, "src"))
				}
				if n.Data == "dt" && n.Parent.Parent.Parent.Data == "details" {
					for s := n.NextSibling; s != nil; s = s.NextSibling {
						if s.Data == "dd" {
							fields[text(n)] = text(s)
						}
					}
				}
			}
			if ones != 1 {
				t.Errorf("%s has %d main headings", d.path, ones)
			}
			for id, n := range d.ids {
				if n > 1 {
					t.Errorf("%s: the id %q stands %d times", d.path, id, n)
				}
			}
			for _, field := range []string{"Legal owner", "Title", "Identification number", "Date of issue", "Revision", "Sheet", "Language", "Document type", "Inspected"} {
				if fields[field] == "" {
					t.Errorf("%s: the title block says nothing of %q", d.path, field)
				}
			}
			for _, bad := range []string{"<no value>", "ZgotmplZ", "%!", "NaN", "not here yet"} {
				if strings.Contains(text(d.root), bad) {
					t.Errorf("%s: says %q", d.path, bad)
				}
			}
		}
	})
}

const pageLimit = 300_000 // bytes

func TestPagesAreLight(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		for name := range docs {
			page, err := p.Bytes(name)
			if err != nil {
				t.Fatal(err)
			}
			if len(page) > pageLimit {
				t.Errorf("%s has %d bytes", name, len(page))
			}
		}
		fonts := 0
		for _, name := range p.Paths() {
			if path.Ext(name) == ".woff2" {
				data, _ := p.Bytes(name)
				fonts += len(data)
			}
		}
		if fonts == 0 || fonts > 120_000 {
			t.Errorf("the lettering has %d bytes", fonts)
		}
	})
}

func TestSameInputSameBytes(t *testing.T) {
	hash := func(p *frame.Pages) string {
		h := sha256.New()
		for _, name := range p.Paths() {
			data, err := p.Bytes(name)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(h, "%s %d\n", name, len(data))
			h.Write(data)
		}
		return hex.EncodeToString(h.Sum(nil))
	}
	zone := time.Local
	defer func() { time.Local = zone }()
	var all []string
	for _, offset := range []int{0, -11 * 3600, 14 * 3600} {
		time.Local = time.FixedZone("elsewhere", offset)
		p, _ := build(t, input(t, demoJournal))
		all = append(all, hash(p))
	}
	if len(slices.Compact(all)) != 1 {
		t.Errorf("the same journal gave different sites: %s", all)
	}
}

// The demo's logs hold nothing that tells of anybody but lines that the reader does not need, and measure alike on the site.
func TestLogsMeasureAlikeOnTheSite(t *testing.T) {
	in := input(t, demoJournal)
	p, _ := build(t, in)
	n := 0
	for _, run := range in.Journal.Runs() {
		if run.Log == nil {
			continue
		}
		n++
		r, err := p.Open(string(run.ID()) + "/" + path.Base(run.Log.Path))
		if err != nil {
			t.Fatal(err)
		}
		result, _, err := runlog.Measure(nil, r, run.Options())
		if err := errors.Join(err, r.Close()); err != nil {
			t.Fatal(err)
		}
		got, want := record.OfRun(result), record.OfRun(in.Results.Runs[run.ID()])
		got.Dialect, want.Dialect = "", ""
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s measures otherwise on the site", run.Log.Path)
		}
	}
	if n == 0 {
		t.Fatal("the demo has no log")
	}
}

func TestRelative(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"index.html", "method/index.html", "method/index.html"},
		{"a/b/c/index.html", "a/b/index.html", "../index.html"},
		{"a/b/c/index.html", "a/b/d/index.html#x", "../d/index.html#x"},
		{"a/index.html", "a/index.html#x", "#x"},
		{"a/index.html", "assets/sheet.css", "../assets/sheet.css"},
		{"a/a/index.html", "a/index.html", "../index.html"},
	} {
		if got := address.Relative(c.from, c.to); got != c.want {
			t.Errorf("from %s to %s: %q, want %q", c.from, c.to, got, c.want)
		}
	}
}
