package frame

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Outgoing is what becomes of one file when the site is written.
type Outgoing struct {
	From  string   // path inside the journal, "" for what the program makes
	To    string   // path on the site, "" for what stays
	Taken []string // what it loses on the way, in words
	Why   string   // why it stays
	Rule  string   // the rule of the finding that says so
}

// cleaning writes a file of the journal anew. What it takes out is told once the file has been read to its end.
type cleaning func(io.Reader) (r io.Reader, taken func() []string, err error)

// PictureRest is what a picture loses always.
const PictureRest = "all but its pixels"

// GoesOut notes a file that goes online; stay one that does not.
func (p *Pages) GoesOut(from, to string, taken []string) {
	p.leaves(Outgoing{From: from, To: to, Taken: taken})
}

// StaysIn notes a file of the journal that does not go online, why, and the rule of the finding that says so.
func (p *Pages) StaysIn(from, why, rule string) {
	p.leaves(Outgoing{From: from, Why: why, Rule: rule})
}

func (p *Pages) leaves(o Outgoing) {
	if p.making != nil {
		p.making.Left = append(p.making.Left, o)
	}
	p.left = append(p.left, o)
}

// startClean begins to write an opened file anew. The error names the file: it could be written when it was looked at, and has
// changed since.
func (f file) startClean(r io.Reader) (io.Reader, func() []string, error) {
	clean, taken, err := f.clean(r)
	if err != nil {
		return nil, nil, fmt.Errorf("%s can no longer be written anew: %w", f.copy, err)
	}
	return clean, taken, nil
}

// cleaned gives a file that was opened as it leaves the journal.
func (f file) cleaned(r io.ReadCloser) (io.ReadCloser, error) {
	clean, _, err := f.startClean(r)
	if err != nil {
		return nil, errors.Join(err, r.Close())
	}
	return struct {
		io.Reader
		io.Closer
	}{clean, r}, nil
}

// Went says of each file of the journal that goes online, other than notes, what it is on the site.
func (p *Pages) Went() map[string]string {
	out := map[string]string{}
	for _, o := range p.left {
		if o.To != "" {
			out[o.From] = o.To
		}
	}
	for name, f := range p.files {
		if f.copy != "" {
			out[f.copy] = name
		}
	}
	return out
}

// Outgoing lists every file of the site and every file of the journal that was to go there and stays. What is cleaned is read to
// its end, as when the site is written, to tell what it loses. A file that cannot be read is an error.
func (p *Pages) Outgoing() ([]Outgoing, error) {
	out := slices.Clone(p.left)
	told := map[string]bool{}
	for _, o := range out {
		told[o.To] = true
	}
	for _, name := range p.Paths() {
		f := p.files[name]
		switch {
		case f.copy != "":
			taken, err := p.taken(f)
			if err != nil {
				return nil, err
			}
			out = append(out, Outgoing{From: f.copy, To: name, Taken: taken})
		case !told[name]:
			out = append(out, Outgoing{To: name})
		}
	}
	slices.SortStableFunc(out, func(a, b Outgoing) int {
		if a.To == "" != (b.To == "") {
			return map[bool]int{true: 1, false: -1}[a.To == ""]
		}
		return strings.Compare(a.To+a.From, b.To+b.From)
	})
	return slices.CompactFunc(out, func(a, b Outgoing) bool { return a.From == b.From && a.To == b.To && a.Why == b.Why }), nil
}

// taken is what a file loses.
func (p *Pages) taken(f file) ([]string, error) {
	r, err := p.open(f.copy)
	if err != nil {
		return nil, err
	}
	clean, taken, err := f.startClean(r)
	if err == nil {
		_, err = io.Copy(io.Discard, clean)
	}
	if err := errors.Join(err, r.Close()); err != nil {
		return nil, err
	}
	return taken(), nil
}

// RuleTellingFile is the rule of findings about tables and texts that tell of their maker.
const RuleTellingFile = "file-telling"
