package frame

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
)

// Made is what was done to a site while one page was made: the page itself with the files beside it, and what the site was told of
// them. Done again, it gives the same.
type Made struct {
	Files    []MadeFile
	Concerns []concern
	Shown    []shown
	Left     []Outgoing

	data    map[[sha256.Size]byte][]byte
	spoiled bool // something was done that cannot be done again
}

// MadeFile is a file that was put on the site.
type MadeFile struct {
	Path string
	Sum  [sha256.Size]byte // SHA-256
}

type concern struct {
	Page      string
	Own, Also []string
}

type shown struct {
	File, Rule, Text string
	Start            int64
	Page, Anchor     string
}

// Begin begins to note what is done to the site.
func (p *Pages) Begin() { p.making = &Made{data: map[[sha256.Size]byte][]byte{}} }

// End is what was done since Begin; nil where that cannot be done again.
func (p *Pages) End() *Made {
	made := p.making
	p.making = nil
	if made == nil || made.spoiled {
		return nil
	}
	return made
}

// Apart does something that is not to be noted.
func (p *Pages) Apart(do func()) {
	made := p.making
	p.making = nil
	defer func() { p.making = made }()
	do()
}

func (m *Made) put(name string, data []byte, sum [sha256.Size]byte) {
	m.Files = append(m.Files, MadeFile{name, sum})
	m.data[sum] = data
}

func (m *Made) spoil() {
	if m != nil {
		m.spoiled = true
	}
}

// Data are the files that were put on the site by their checksums. They are handed over: the next time there are none.
func (m *Made) Data() map[[sha256.Size]byte][]byte {
	data := m.data
	m.data = nil
	return data
}

// Again does what was done when a page was made. held gives a file by its checksum when it is asked for.
func (p *Pages) Again(m *Made, held func(sum [sha256.Size]byte) ([]byte, bool)) error {
	p.repeated++
	for _, f := range m.Files {
		if err := p.PutHeld(f.Path, f.Sum, held); err != nil {
			return err
		}
	}
	for _, c := range m.Concerns {
		p.Concern(c.Page, c.Own, c.Also)
	}
	for _, s := range m.Shown {
		p.show(findingKey{s.File, s.Rule, s.Text, s.Start}, shownAt{s.Page, s.Anchor})
	}
	for _, o := range m.Left {
		p.leaves(o)
	}
	return nil
}

// Repeated is how many pages were not made but done again.
func (p *Pages) Repeated() int { return p.repeated }

// PutHeld adds a file that is kept elsewhere, where held gives it by its checksum.
func (p *Pages) PutHeld(name string, sum [sha256.Size]byte, held func(sum [sha256.Size]byte) ([]byte, bool)) error {
	return p.add(name, file{sum: sum, held: func() ([]byte, bool) { return held(sum) }})
}

// Afresh says how the site is made where what is kept elsewhere is there no more. It is called once at the most, at any time.
func (p *Pages) Afresh(build func() (*Pages, error)) { p.afresh = build }

// openHeld opens a file that is kept elsewhere; where it is not, it is taken from the site as it is made afresh.
func (p *Pages) openHeld(name string, f file) (io.ReadCloser, error) {
	if data, ok := f.held(); ok && sha256.Sum256(data) == f.sum {
		return io.NopCloser(bytes.NewReader(data)), nil
	}
	if p.afresh == nil {
		return nil, fmt.Errorf("%s is no longer kept", name)
	}
	fresh, err := p.afresh()
	if err != nil {
		return nil, err
	}
	return fresh.Open(name)
}
