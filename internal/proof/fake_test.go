package proof

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"voltwright/internal/finding"
)

// fakeSite is a site of a few pages. A finding of a file is shown on the page of that file.
type fakeSite map[string]string

func (s fakeSite) Open(name string) (io.ReadCloser, error) {
	text, ok := s[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return io.NopCloser(strings.NewReader(text)), nil
}

var fakePages = map[string]string{"cart/version.md": "cart/index.html", "journal.yaml": frontPage}

func (s fakeSite) About(page string) []string {
	for file, p := range fakePages {
		if p == page {
			return []string{file}
		}
	}
	return nil
}

func (s fakeSite) Where(f finding.Finding) (string, string, bool) {
	page, ok := fakePages[f.Span.File()]
	return page, "callout-" + f.Rule, ok
}

func page(title string) string {
	return "<!doctype html>\n<html lang=\"en\"><head><title>" + title + "</title></head><body class=\"desk\"><h1>" + title + "</h1></body></html>\n"
}

func newSite(word string) fakeSite {
	return fakeSite{"index.html": page("Front " + word), "cart/index.html": page("Cart " + word), "404.html": page("Page not found"),
		"assets/sheet.css": "body {}", "cart/log.csv": "t,u\n0,24.1\n"}
}

func found(file, rule, text string, level finding.Level, signal finding.Signal) Remark {
	source := finding.NewSource(file, []byte("kind: version\nname: Cart\n"))
	return Remark{Subject: "Cart, version 1", Finding: finding.Finding{Rule: rule, Level: level, Signal: signal, Text: text, Span: source.At(14, 4), Remedy: "mend it."}}
}

// server is a server whose journal the test holds in its hand.
type server struct {
	*Server
	t    *testing.T
	at   string // "http://127.0.0.1:1234"
	mu   sync.Mutex
	next Print
	look string
	told chan Change
}

// lay puts a print into the journal: it is set when the server has looked twice.
func (d *server) lay(look string, p Print) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.look, d.next = look, p
}

// change waits for the next print.
func (d *server) change() Change {
	d.t.Helper()
	select {
	case c := <-d.told:
		return c
	case <-time.After(30 * time.Second):
		d.t.Fatal("no print was set")
		return Change{}
	}
}

// open starts a server with a first print. It must end when the test does, whoever still reads from it.
func open(t *testing.T, base string, first Print) *server {
	t.Helper()
	return openWith(t, base, first, func(*server) {})
}

// openWith does so after it has changed the server.
func openWith(t *testing.T, base string, first Print, change func(*server)) *server {
	t.Helper()
	d := &server{t: t, next: first, look: "first", told: make(chan Change, 64)}
	d.Server = &Server{Base: base, Between: 2 * time.Millisecond,
		Set: func(Early) Print {
			d.mu.Lock()
			defer d.mu.Unlock()
			p := d.next
			p.Remarks = slices.Clone(p.Remarks)
			p.Rule = func(name string) string { return "method/index.html#rule-" + name }
			return p
		},
		Looks: func() string {
			d.mu.Lock()
			defer d.mu.Unlock()
			return d.look
		},
		Told: func(c Change) { d.told <- c },
	}
	change(d)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	d.at = "http://" + l.Addr().String()
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- d.Serve(ctx, l) }()
	t.Cleanup(func() {
		cancel()
		select {
		case err := <-ended:
			if err != nil {
				t.Errorf("the server ended with %v", err)
			}
		case <-time.After(30 * time.Second):
			t.Error("the server did not end")
		}
	})
	d.change()
	return d
}

// get asks for a page and does not follow where it leads.
func (d *server) get(method, path, host string) (*http.Response, string) {
	d.t.Helper()
	request, err := http.NewRequest(method, d.at+path, nil)
	if err != nil {
		d.t.Fatal(err)
	}
	if host != "" {
		request.Host = host
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	response, err := client.Do(request)
	if err != nil {
		d.t.Fatal(err)
	}
	body, err := io.ReadAll(response.Body)
	if err := errors.Join(err, response.Body.Close()); err != nil {
		d.t.Fatal(err)
	}
	return response, string(body)
}
