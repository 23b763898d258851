package app

import (
	"fmt"
	"io"

	"voltwright/internal/finding"
	"voltwright/internal/store"
)

// newsKey is the key of what the last publish to a folder found; nothing is kept under it where the folder has no plain name.
func newsKey(to string, m means) store.Key {
	real, err := realPath(to)
	if err != nil || m.store == nil {
		return store.Key{}
	}
	return store.KeyOf("publish's news").With(real)
}

// saying is what a finding says and where, whatever line it stands in now.
func saying(f finding.Finding) string { return f.Span.File() + "\n" + f.Rule + "\n" + f.Text }

// printNews writes to a terminal what a publish found that the last one to its folder had not; while there are errors, the most
// urgent of all.
func (p publishing) printNews(w io.Writer, in *inspected, m means) error {
	found := in.findings.Sorted()
	var last []string
	fresh := found
	if in.findings.Count(finding.Error) == 0 && m.store.Get(newsKey(p.to, m), &last) {
		known := map[string]bool{}
		for _, f := range last {
			known[f] = true
		}
		fresh = nil
		for _, f := range found {
			if !known[saying(f)] {
				fresh = append(fresh, f)
			}
		}
	}
	left, err := finding.PrintBrief(w, fresh, briefLines)
	if err == nil && left > 0 {
		_, err = fmt.Fprintf(w, "%s more: `voltwright inspect --all` prints them.\n", count(left, "finding"))
	}
	if before := len(found) - len(fresh); err == nil && before > 0 {
		_, err = fmt.Fprintf(w, "%s as at the last publish: `voltwright inspect --all` prints them.\n", count(before, "finding"))
	}
	return err
}

// keepNews keeps what a publish found for the next one.
func (p publishing) keepNews(in *inspected, m means) {
	var all []string
	for _, f := range in.findings.Sorted() {
		all = append(all, saying(f))
	}
	m.store.Put(newsKey(p.to, m), all)
}
