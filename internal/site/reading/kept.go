package reading

import (
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"maps"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/site/frame"
)

// A page rests on two things. What is not prose is one for all pages: the front matter of every note and the bytes of every other
// file of the journal, by which all results and all names of values are settled, with the program. Prose, and what inspection found, is read by
// the functions of this package and of package journal alone, which are heard: a page is laid out again exactly when one of them changed
// that it read.

// pageKeeper knows what a page reads, and what it read when it was laid out before.
type pageKeeper struct {
	fixed  [sha256.Size]byte            // of all that is not prose
	texts  map[string]*notes.Note       // by path
	found  map[string][]finding.Finding // by file
	prints map[string][sha256.Size]byte // of what can be read, by what it is
	reads  map[string]bool              // by the page that is being laid out
	asked  []asked                      // files that it put on the site by Attach and Picture
	unkept bool                         // the page cannot be kept
	was    map[string]keptPage          // what is kept of pages, by their names among the planned ones
	is     map[string]keptPage          // what is to be kept when the site is made
	anew   bool                         // some page was laid out
	used   bool                         // a page was taken from what is kept
}

// asked is a file that a page had put on the site.
type asked struct {
	Path    string
	Picture bool
}

// keptPage is a page as it is kept.
type keptPage struct {
	Title string
	Reads []keptRead
	Asked []asked
	Made  *frame.Made
}

// keptRead is something that a page read, as it was.
type keptRead struct {
	What string
	Sum  [sha256.Size]byte
}

// What is read of prose and findings, as keptRead.What names it.
const (
	readText     = "text "
	readFindings = "findings "
	allFindings  = "\x00"
)

// keepPages begins to keep pages, with what was read to plan them, which is then what all of them rest on.
func (rd *Reader) keepPages(planned map[string]bool) {
	k := &pageKeeper{texts: map[string]*notes.Note{}, prints: map[string][sha256.Size]byte{}}
	for _, n := range rd.Journal.AllNotes() {
		k.texts[n.Path] = n
	}
	k.found = rd.found
	h := sha256.New()
	fmt.Fprintf(h, "%q %q\n", rd.Version, rd.Language)
	rests, ok := rd.Steps.Rests()
	if !ok {
		return // what cannot be read now has no fingerprint
	}
	h.Write(rests[:])
	for _, what := range slices.Sorted(maps.Keys(planned)) {
		fmt.Fprintf(h, "%q %x\n", what, k.print(what))
	}
	fmt.Fprintf(h, "%d\n", len(rd.Plans))
	k.fixed = [sha256.Size]byte(h.Sum(nil))
	if k.is = map[string]keptPage{}; !rd.Steps.Find("pages", &k.was, k.fixed[:]) {
		k.was = nil
	}
	rd.keeper = k
}

// print is the fingerprint of something that can be read.
func (k *pageKeeper) print(what string) [sha256.Size]byte {
	if sum, known := k.prints[what]; known {
		return sum
	}
	h := sha256.New()
	if file, ok := strings.CutPrefix(what, readText); ok {
		if n := k.texts[file]; n != nil {
			h.Write(n.Text())
		}
	} else {
		file := strings.TrimPrefix(what, readFindings)
		if file == allFindings {
			for _, file := range slices.Sorted(maps.Keys(k.found)) {
				sum := k.print(readFindings + file)
				h.Write(sum[:])
			}
		}
		for _, f := range k.found[file] {
			printFinding(h, f)
		}
	}
	sum := [sha256.Size]byte(h.Sum(nil))
	k.prints[what] = sum
	return sum
}

// printFinding writes all of a finding.
func printFinding(h hash.Hash, f finding.Finding) {
	span := func(s finding.Span) { fmt.Fprintf(h, "%q %d %d %v\n", s.File(), s.Start, s.End, s.Position()) }
	fmt.Fprintf(h, "%q %d %q %q %q %q %v\n", f.Rule, f.Level, f.Signal, f.Text, f.Remedy, f.Numbers, f.Unjudged)
	span(f.Span)
	for _, r := range f.Related {
		span(r.Span)
		_, _ = io.WriteString(h, r.Text+"\n")
	}
	if f.Gauge != nil {
		fmt.Fprintf(h, "%#v\n", *f.Gauge)
	}
	if f.Answer != nil {
		fmt.Fprintf(h, "%q\n", f.Answer.Reason)
		span(f.Answer.Span)
	}
}

// Kept takes a page from what is kept, or has it laid out and keeps it. Pages are asked for one after the other.
func (rd *Reader) Kept(number int, lay func() error) error {
	k := rd.keeper
	if k == nil {
		return lay()
	}
	p := rd.Plans[number]
	name := fmt.Sprintf("%d %s %s", number, p.Kind.Name, p.Sheet.Path)
	if was, kept := k.was[name]; kept && rd.still(was) {
		k.used, k.is[name] = true, was
		for _, a := range was.Asked {
			if a.Picture {
				rd.Picture(a.Path, finding.Span{})
			} else {
				rd.Attach(a.Path)
			}
		}
		p.Sheet.LetGo()
		p.Sheet.Title = was.Title
		return rd.Pages.Again(was.Made, rd.Steps.Held)
	}
	k.anew = true
	reads := map[string]bool{}
	k.reads, k.asked, k.unkept = reads, nil, false
	added := rd.Raised.Added()
	rd.Pages.Begin()
	rd.Journal.Folder.Hear(func(path string) { reads[readText+path] = true })
	err := lay()
	rd.Journal.Folder.Hear(nil)
	made := rd.Pages.End()
	k.reads = nil
	if err != nil || made == nil || k.unkept || rd.Raised.Added() != added {
		return err
	}
	now := keptPage{Title: p.Sheet.Title, Asked: k.asked, Made: made}
	for _, what := range slices.Sorted(maps.Keys(reads)) {
		now.Reads = append(now.Reads, keptRead{what, k.print(what)})
	}
	for sum, data := range made.Data() {
		if !rd.Steps.Holds(sum) {
			rd.Steps.Hold(sum, data)
		}
	}
	k.is[name] = now
	return nil
}

// still tells whether all that a page read is as it was, and its files are kept.
func (rd *Reader) still(p keptPage) bool {
	return p.Made != nil &&
		!slices.ContainsFunc(p.Reads, func(r keptRead) bool { return rd.keeper.print(r.What) != r.Sum }) &&
		!slices.ContainsFunc(p.Made.Files, func(f frame.MadeFile) bool { return !rd.Steps.Holds(f.Sum) })
}

// KeepMade keeps the pages that were laid out. False: some came from what is kept although a template of the journal's own does not work, which is
// told once and changes the pages after it: the site has to be made without what is kept.
func (rd *Reader) KeepMade() bool {
	k := rd.keeper
	if k == nil {
		return true
	}
	if slices.ContainsFunc(rd.Raised.All(), func(f finding.Finding) bool { return f.Rule == frame.RuleTemplate }) {
		return !k.used
	}
	if k.anew || len(k.is) != len(k.was) {
		rd.Steps.Set("pages", k.is, k.fixed[:])
	}
	return true
}

// apart has a file put on the site for the page that is being laid out: where it can be, a page that comes from what is kept asks for
// it again; else the page is not kept.
func (rd *Reader) apart(a asked, put func() bool) {
	k := rd.keeper
	if k == nil || k.reads == nil {
		put()
		return
	}
	reads := k.reads
	k.reads = nil // what this asks for in turn is its own
	rd.Pages.Apart(func() { k.unkept = !put() || k.unkept })
	k.reads, k.asked = reads, append(k.asked, a)
}

// FindingsOf is what inspection said of files, in its order.
func (rd *Reader) FindingsOf(files ...string) []finding.Finding {
	rd.reads(files...)
	if len(files) == 1 {
		return rd.found[files[0]]
	}
	return slices.DeleteFunc(slices.Clone(rd.findings), func(f finding.Finding) bool { return !slices.Contains(files, f.Span.File()) })
}

// AllFindings is what inspection said of the journal.
func (rd *Reader) AllFindings() []finding.Finding {
	rd.reads(allFindings)
	return rd.findings
}

func (rd *Reader) reads(files ...string) {
	if k := rd.keeper; k != nil && k.reads != nil {
		for _, file := range files {
			k.reads[readFindings+file] = true
		}
	}
}
