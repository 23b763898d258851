package frame

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
)

// Pages is a site in memory: every file of it by its slash-separated path. A file is either its bytes or a file of the
// journal that is cleaned while it is written.
type Pages struct {
	files map[string]file
	open  func(path string) (io.ReadCloser, error)

	about    map[string][]string // page → the files that it is made from
	madeFrom map[string]string   // file of the journal → the page that is made from it
	shown    map[findingKey]shownAt
	held     int        // bytes of files that are held as they are
	left     []Outgoing // what became of files of the journal, told where the site is made

	making *Made // what is done while one page is made; nil: nothing is made, or nobody wants to know
	afresh func() (*Pages, error)

	repeated int // pages that were done again
}

// heldAsTheyAre is how many bytes of a site stay in memory as they are; what is made beyond is packed, if that is worth it.
const heldAsTheyAre = 8 << 20

type file struct {
	data   []byte
	packed bool // data is deflated (RFC 1951)
	sum    [sha256.Size]byte
	copy   string   // path inside the journal, "" where data holds the file
	clean  cleaning // how it is written anew on its way out

	cleanSum []byte // checksum of what it is then, where that is known; sum is of data

	held func() ([]byte, bool) // gives the file where it is kept elsewhere; false: it is there no more
}

// NewPages is a site without a file yet; open opens the journal's files.
func NewPages(open func(string) (io.ReadCloser, error)) *Pages {
	return &Pages{files: map[string]file{}, open: open, about: map[string][]string{}, madeFrom: map[string]string{}, shown: map[findingKey]shownAt{}}
}

// Put adds a file. A second file of one path is an error of the program.
func (p *Pages) Put(name string, data []byte) error {
	f := file{data: data, sum: sha256.Sum256(data)}
	if p.making != nil {
		p.making.put(name, data, f.sum)
	}
	if p.held+len(data) > heldAsTheyAre {
		if packed := pack(data); len(packed) < len(data)/2 {
			f.data, f.packed = packed, true
		}
	}
	if !f.packed {
		p.held += len(data)
	}
	return p.add(name, f)
}

// pack deflates a file.
func pack(data []byte) []byte {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestSpeed)
	if err == nil {
		_, err = w.Write(data)
		err = errors.Join(err, w.Close())
	}
	if err != nil { // to memory: cannot fail
		return data
	}
	return bytes.Clone(b.Bytes()) // without the room that was left for more
}

// CleanFrom adds a file of the journal, which is read, and written anew, only when the site is written. The checksum of what that
// comes to may be known.
func (p *Pages) CleanFrom(name, from string, clean cleaning, sum []byte) error {
	p.making.spoil()
	return p.add(name, file{copy: from, clean: clean, cleanSum: sum})
}

// Sum is the SHA-256 of a file of the site; false where it takes reading the file to know it.
func (p *Pages) Sum(name string) ([]byte, bool) {
	switch f, ok := p.files[name]; {
	case !ok:
		return nil, false
	case f.copy != "":
		return f.cleanSum, f.cleanSum != nil
	default:
		return f.sum[:], true
	}
}

func (p *Pages) add(name string, f file) error {
	if !fs.ValidPath(name) {
		return fmt.Errorf("%q is no path of a site", name)
	}
	if have, ok := p.files[name]; ok {
		if have.copy == f.copy && have.sum == f.sum {
			return nil
		}
		return fmt.Errorf("two files of the site would be %q", name)
	}
	p.files[name] = f
	return nil
}

// Paths lists the files in the order of their paths.
func (p *Pages) Paths() []string {
	names := make([]string, 0, len(p.files))
	for name := range p.files {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// PageCount counts the HTML pages.
func (p *Pages) PageCount() int {
	n := 0
	for name := range p.files {
		if path.Ext(name) == ".html" {
			n++
		}
	}
	return n
}

// Has tells whether the site has a file of that path.
func (p *Pages) Has(name string) bool {
	_, ok := p.files[name]
	return ok
}

// Open opens a file of the site. The error is fs.ErrNotExist where there is none.
func (p *Pages) Open(name string) (io.ReadCloser, error) {
	f, ok := p.files[name]
	switch {
	case !ok:
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	case f.held != nil:
		return p.openHeld(name, f)
	case f.packed:
		return flate.NewReader(bytes.NewReader(f.data)), nil
	case f.copy == "":
		return io.NopCloser(bytes.NewReader(f.data)), nil
	case p.open == nil:
		return nil, &fs.PathError{Op: "open", Path: f.copy, Err: errors.New("the journal's files cannot be opened")}
	}
	r, err := p.open(f.copy)
	if err != nil {
		return nil, err
	}
	return f.cleaned(r)
}

// Bytes gives a whole file of the site. A file that the site does not have is an error.
func (p *Pages) Bytes(name string) ([]byte, error) {
	r, err := p.Open(name)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(r)
	return data, errors.Join(err, r.Close())
}
