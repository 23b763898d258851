// Package proof serves trial prints of a journal to the maker, on the machine that they work at.
//
// A trial print is the site as it would be published now, with what inspection says put at the head of every sheet. It is
// set anew whenever a file of the journal changes, and nothing of it is written to disk. While an error keeps a print from
// coming out, the sheets of the last one that did are shown, under the errors.
//
// What it cannot catch: a file that the site copies as it is, such as a log, is read when it is asked for, and may be newer
// than the sheet beside it until the next print.
package proof

import (
	"context"
	"crypto/rand"
	"io"
	"net"
	"slices"
	"sync"
	"time"

	"voltwright/internal/finding"
)

// Site is a site in memory. Paths are slash-separated, such as "shunter/index.html".
type Site interface {
	// Open opens a file of the site; the error wraps fs.ErrNotExist where there is none.
	Open(path string) (io.ReadCloser, error)
	// About lists the files of the journal whose findings concern a page.
	About(page string) []string
	// Where tells which page shows a finding, and under which anchor; ok is false where none does.
	Where(f finding.Finding) (page, anchor string, ok bool)
}

// The pages that every site has.
const (
	frontPage   = "index.html"
	missingPage = "404.html"
)

// Print is a journal as it stood at one moment.
type Print struct {
	Title    string // of the journal
	Language string // of the journal, such as "en"
	Summary  string // what was inspected and what came of it, as a sentence
	Remarks  []Remark
	Next     []Saying                 // what would make an answer surer; nothing is amiss without it
	Site     Site                     // nil where none comes out
	Rule     func(name string) string // page and anchor that explain a rule
}

// Remark is one finding of a print.
type Remark struct {
	finding.Finding
	Subject string // what it speaks of: "Shunter, version 2"
	Past    bool   // a version that another has taken the place of
	Came    bool   // the print before did not have it
}

// Saying is something to know of a page of the site that is no finding.
type Saying struct {
	Subject string // "Shunter, version 2"
	Text    string // begins small and has no stop
	Page    string // of the site
}

// Errors counts the findings that keep a print from being published.
func (p Print) Errors() int {
	n := 0
	for _, r := range p.Remarks {
		if r.Level == finding.Error {
			n++
		}
	}
	return n
}

// Change is what a new print brought.
type Change struct {
	Number     int // of the print, from 1
	Shown      int // of the print whose sheets are shown: Number, an earlier one, or 0 for none
	Print      Print
	Came, Gone []finding.Finding // since the print before; see news
}

// Server serves trial prints.
type Server struct {
	Set     func(Early) Print // makes a print of the journal as it stands
	Looks   func() string     // a fingerprint of the journal's files
	Told    func(Change)      // is told of every print
	Base    string            // path under which the site stands, from and to a slash: "/"
	Between time.Duration     // from one look at the journal to the next, where the system does not tell of changes

	Listen func() (Listener, error) // has the system tell of changes; nil: it is not asked

	patience  patience      // with readers; usual if it is not set
	rhythm    rhythm        // of prints; likewise
	pages     chan struct{} // a place for each page that is held in memory
	making    chan struct{} // and for each that is being made
	listeners chan struct{} // a place for each connection that is told of prints

	mu      sync.Mutex
	now     pulled
	setting bool
	ahead   map[string][]byte // pages of the print that is being set, as they are shown already
	open    map[string]int    // pages that are told of prints, and how often
	changed chan struct{}     // closed at every change, and replaced
	run     string            // tells this server from one that was started before at the same address
}

// Early is what a print may show before all of it is set.
type Early struct {
	Pages []string                   // that are open
	Show  func(p Print, page string) // shows one of them; nothing else of the print's site is asked for, and not after it returns
}

// pulled is a print that is shown.
type pulled struct {
	number int
	early  map[string][]byte // pages of it that were shown before it was set, as they were shown
	Print
	site  Site     // of this print, or of the last that came out; nil for none yet
	shown int      // the number of that print
	said  []Remark // by that print, empty for none yet
}

// Serve sets the first print, then serves until the context ends, and sets a new print when the journal has changed and
// has been left alone for a moment. The listener is closed.
// A listener that fails is an error; the end of the context is none.
func (d *Server) Serve(ctx context.Context, l net.Listener) error {
	d.changed, d.run = make(chan struct{}), rand.Text()[:8]
	w := d.attend()
	d.pull()
	server, l := d.server(ctx, l)
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	watched := make(chan struct{})
	go func() { defer close(watched); w.watch(ctx) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	<-watched
	closing, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if err := server.Shutdown(closing); err != nil {
		return server.Close() // a reader that does not let go
	}
	return nil
}

// pull sets a print and shows it.
func (d *Server) pull() {
	d.mu.Lock()
	d.setting = true
	d.tell()
	before := d.now
	d.mu.Unlock()

	early := pulled{number: before.number + 1, early: map[string][]byte{}}
	p := d.Set(Early{Pages: d.openPages(), Show: func(p Print, page string) { d.showEarly(early, before, p, page) }})
	c := Change{Number: before.number + 1, Print: p}
	if before.number > 0 {
		c.Came, c.Gone = news(before, p)
	}
	next := pulled{number: c.Number, Print: p, site: p.Site, shown: c.Number, said: p.Remarks}
	if p.Site == nil {
		next.site, next.shown, next.said = before.site, before.shown, before.said
	}
	c.Shown = next.shown
	if next.site == nil {
		c.Shown = 0
	}
	if p.Site != nil {
		next.early = d.stillSo(next, early.early)
	}

	d.mu.Lock()
	d.now, d.setting, d.ahead = next, false, nil
	d.tell()
	d.mu.Unlock()
	d.Told(c)
}

// tell wakes whoever waits for a change. The lock is held.
func (d *Server) tell() {
	close(d.changed)
	d.changed = make(chan struct{})
}

// current is the print that is shown.
func (d *Server) current() pulled {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now
}

// news tells which findings came with a print and which are gone, and marks those that came. A print that does not come out
// was not inspected to its end: what the last that did come out had said is then neither gone, nor new when it is said again.
// Of the first that comes out only errors are news, as of the first of all.
func news(before pulled, now Print) (came, gone []finding.Finding) {
	since := without(before.Remarks, before.said) // the print before was perhaps none of those that came out
	for i := range now.Remarks {
		now.Remarks[i].Came = false
	}
	for _, i := range missing(now.Remarks, append(slices.Clone(before.said), since...)) {
		if before.site == nil && now.Site != nil && now.Remarks[i].Level != finding.Error {
			continue
		}
		now.Remarks[i].Came = true
		came = append(came, now.Remarks[i].Finding)
	}
	if now.Site != nil {
		since = append(slices.Clone(before.said), since...)
	}
	for _, r := range without(since, now.Remarks) {
		gone = append(gone, r.Finding)
	}
	return came, gone
}

// without is the remarks that are not among others.
func without(remarks, others []Remark) []Remark {
	var out []Remark
	for _, i := range missing(remarks, others) {
		out = append(out, remarks[i])
	}
	return out
}

// missing lists which remarks are not among others. One that only moved to another line is the same.
func missing(remarks, others []Remark) []int {
	type same struct{ file, rule, text string }
	of := func(r Remark) same { return same{r.Span.File(), r.Rule, r.Text} }
	had := map[same]int{}
	for _, r := range others {
		had[of(r)]++
	}
	var out []int
	for i, r := range remarks {
		if had[of(r)] > 0 {
			had[of(r)]--
			continue
		}
		out = append(out, i)
	}
	return out
}
