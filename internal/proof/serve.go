package proof

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"path"
	"slices"
	"strings"
)

// own is the folder of the server's own pages and files. No page of a site begins with a dot.
const own = "/.trial/"

// policy is what every page must work under. It keeps a page from reaching anything but this server, and others from
// showing a page of it in one of theirs.
const policy = "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'"

// types are the kinds of file that a site has: what a machine knows of endings differs.
var types = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".json": "application/json", ".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg",
	".gif": "image/gif", ".webp": "image/webp", ".woff2": "font/woff2", ".xml": "application/xml; charset=utf-8",
	".csv": "text/csv; charset=utf-8", ".txt": "text/plain; charset=utf-8", ".tsv": "text/tab-separated-values; charset=utf-8",
	".bib": "text/plain; charset=utf-8",
}

// handler serves the server to whoever asks for it by a name of this machine.
func (d *Server) handler(at net.Addr) http.Handler {
	names := namesOf(at)
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+own+"{$}", d.serveList)
	mux.HandleFunc("GET "+own+"prints", d.serveEvents)
	mux.HandleFunc("GET "+own+"{file...}", d.serveOwn)
	mux.HandleFunc("GET /", d.servePage)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !slices.Contains(names, r.Host) { // a page elsewhere whose name was made to lead here
			http.Error(w, "This server serves only "+names[0]+".", http.StatusMisdirectedRequest)
			return
		}
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		mux.ServeHTTP(w, r)
	})
}

// namesOf lists how a browser on this machine may write the address.
func namesOf(at net.Addr) []string {
	_, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return []string{at.String()}
	}
	var names []string
	for _, host := range []string{"127.0.0.1", "localhost", "[::1]"} {
		names = append(names, host+":"+port)
		if port == "80" {
			names = append(names, host)
		}
	}
	return names
}

// servePage serves a file of the site, a page with its band.
func (d *Server) servePage(w http.ResponseWriter, r *http.Request) {
	at, inside := strings.CutPrefix(r.URL.Path, d.Base)
	now := d.current()
	switch {
	case !inside:
		http.Redirect(w, r, d.Base, http.StatusFound)
		return
	case now.site == nil:
		if leave, ok := d.enter(w, r); ok {
			defer leave()
			d.write(w, http.StatusServiceUnavailable, ".html", d.list(now))
		}
		return
	}
	name := fileOf(at)
	if page, ok := d.shownAhead(name); ok {
		d.write(w, http.StatusOK, ".html", page)
		return
	}
	f, err := now.site.Open(name)
	if errors.Is(err, fs.ErrNotExist) && path.Ext(name) != ".html" {
		if f, err := now.site.Open(path.Join(name, frontPage)); err == nil {
			_ = f.Close()
			http.Redirect(w, r, d.Base+path.Clean(name)+"/", http.StatusFound)
			return
		}
	}
	status := http.StatusOK
	if errors.Is(err, fs.ErrNotExist) {
		status, name = http.StatusNotFound, missingPage
		f, err = now.site.Open(name)
	}
	if err != nil {
		http.Error(w, fmt.Sprintf("%s cannot be shown: %v", name, err), http.StatusInternalServerError)
		return
	}
	defer f.Close()
	if path.Ext(name) != ".html" {
		d.begin(w, status, path.Ext(name))
		d.send(w, f)
		return
	}
	leave, ok := d.enter(w, r)
	if !ok {
		return
	}
	defer leave()
	page, err := d.trial(f, now, name)
	if err != nil {
		http.Error(w, fmt.Sprintf("%s cannot be shown: %v", name, err), http.StatusInternalServerError)
		return
	}
	d.write(w, status, ".html", page)
}

// trial is a page with its band.
func (d *Server) trial(f io.Reader, now pulled, name string) ([]byte, error) {
	d.making <- struct{}{}
	defer func() { <-d.making }()
	page, err := io.ReadAll(f)
	if err != nil {
		return nil, err
	}
	return banded(page, d.head(), d.band(now, name)), nil
}

// serveList serves all that inspection says of the journal.
func (d *Server) serveList(w http.ResponseWriter, r *http.Request) {
	if leave, ok := d.enter(w, r); ok {
		defer leave()
		d.write(w, http.StatusOK, ".html", d.list(d.current()))
	}
}

// serveOwn serves a file of the server's own.
func (d *Server) serveOwn(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	data, ok := ownFile(name)
	if !ok {
		http.NotFound(w, r)
		return
	}
	d.write(w, http.StatusOK, path.Ext(name), data)
}

func (d *Server) write(w http.ResponseWriter, status int, ext string, data []byte) {
	d.begin(w, status, ext)
	d.send(w, bytes.NewReader(data))
}

// begin says what kind of file follows.
func (d *Server) begin(w http.ResponseWriter, status int, ext string) {
	kind, known := types[strings.ToLower(ext)]
	if !known {
		kind = "application/octet-stream"
	}
	w.Header().Set("Content-Type", kind)
	w.WriteHeader(status)
}

// serveEvents tells an open page of each new print, as server-sent events (WHATWG HTML, section 9.2): `setting` while one
// is being set, `print` with the name of the one that is shown.
func (d *Server) serveEvents(w http.ResponseWriter, r *http.Request) {
	select {
	case d.listeners <- struct{}{}:
		defer func() { <-d.listeners }()
	default:
		busy(w)
		return
	}
	page := fileOf(strings.TrimPrefix(r.URL.Query().Get("page"), d.Base))
	defer d.watched(page)()
	stream := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	for {
		d.mu.Lock()
		event, changed := "event: print\ndata: "+d.name(d.now, page)+"\n\n", d.changed
		switch _, shown := d.ahead[page]; {
		case shown:
			event = "event: print\ndata: " + d.aheadName(d.now.number+1) + "\n\n"
		case d.setting:
			event = "event: setting\ndata: \n\n"
		}
		d.mu.Unlock()
		if err := stream.SetWriteDeadline(d.until()); err != nil {
			return
		}
		if _, err := io.WriteString(w, event); err != nil {
			return
		}
		if err := stream.Flush(); err != nil {
			return
		}
		select {
		case <-changed:
		case <-r.Context().Done():
			return
		}
	}
}

// name tells a page of one print from that of every other that it may have been opened from.
func (d *Server) name(p pulled, page string) string {
	if _, early := p.early[page]; early {
		return d.aheadName(p.number)
	}
	return fmt.Sprintf("%s-%d", d.run, p.number)
}

// aheadName is the name of a page that is shown before its print is set.
func (d *Server) aheadName(number int) string { return fmt.Sprintf("%s-%d-ahead", d.run, number) }

// fileOf is the file that a path below the site's asks for.
func fileOf(at string) string {
	if at == "" || strings.HasSuffix(at, "/") {
		return at + frontPage
	}
	return at
}
