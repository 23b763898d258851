package app

import (
	"bytes"
	"fmt"
	"io"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/site"
	"voltwright/internal/store"
	"voltwright/internal/whole"
)

// outcome is what a publish came to that wrote its site: what it says and the checksums of the files. It is kept for all that it was
// made from, so that the next one need not read a note if nothing has changed, neither in the journal nor of the site.
type outcome struct {
	Said    string // the findings, as lines
	Summary string
	Pages   int
	Sums    map[string]string // path → SHA-256 in hexadecimal digits
}

// stateKey is the key of what a folder comes to as it stands; nothing is kept under it where it cannot be read whole.
func stateKey(folder *notes.Folder, m means) store.Key {
	if m.store == nil {
		return store.Key{}
	}
	sum, ok := folder.State()
	if !ok {
		return store.Key{}
	}
	return store.KeyOf("folder", sum[:])
}

// sumsOf remembers the checksums of the files of a folder.
func sumsOf(dir string, m means) *store.Sums {
	real, err := realPath(dir)
	if err != nil {
		return nil
	}
	return m.store.SumsOf(real)
}

// remember has the checksums of a journal's files be taken from what is remembered.
func remember(folder *notes.Folder, dir string, m means) *store.Sums {
	sums := sumsOf(dir, m)
	folder.Remember(sums)
	return sums
}

// again says what an earlier publish said of the same journal, if its site stands where this one would be written.
func (p publishing) again(key store.Key, standing *store.Sums, stdout, stderr io.Writer, m means) (done bool, err error) {
	var was outcome
	if !m.store.Get(key, &was) || was.Pages == 0 {
		return false, nil
	}
	stood, stands := site.Stands(p.to, was.Sums, standing)
	if !stands {
		return false, nil
	}
	if !toTerminal(stderr) { // where all of it was said at the last publish
		if _, err := io.WriteString(stderr, was.Said); err != nil {
			return true, unreached(err)
		}
	}
	return true, p.say(stdout, stderr, was, stood)
}

// say says what was published, and what became of the site's files.
func (p publishing) say(stdout, stderr io.Writer, is outcome, done whole.Replaced) error {
	if p.list {
		if _, err := io.WriteString(stdout, changeList(done)); err != nil {
			return unreached(err)
		}
		stdout = stderr
	}
	fmt.Fprintf(stdout, "%s\n%s\n", is.Summary, p.told(done, is.Pages))
	return nil
}

// outcomeOf is what a publish comes to, but for the checksums; pages is nil where an error stands in its way.
func outcomeOf(in *inspected, pages *site.Pages) (outcome, error) {
	var said bytes.Buffer
	if err := finding.PrintLines(&said, in.findings.Sorted()); err != nil {
		return outcome{}, err
	}
	is := outcome{Said: said.String(), Summary: summary(in)}
	if pages != nil {
		is.Pages = pages.PageCount()
	}
	return is, nil
}
