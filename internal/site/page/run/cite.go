package run

import (
	"fmt"
	"path"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// citationView is how a run is cited.
type citationView struct {
	Text    string
	File    frame.FileLink
	Nowhere bool // the journal does not say where its site stands, so the address is missing
}

// citation is one line by which a reader names a run elsewhere: who keeps the journal, what it is called, the version,
// the run, its day and its address.
func citation(rd *reading.Reader, r *journal.Run) string {
	j, v := rd.Journal, r.Version
	parts := []string{
		fmt.Sprintf("%s: %s", j.Maker.Name.Text, j.Title.Text),
		fmt.Sprintf("%s, version %d, %s", v.Vehicle.Name.Text, v.Number, v.Name.Text),
		fmt.Sprintf("%s: %s", reading.RunWords(r), r.Name.Text),
	}
	var text strings.Builder
	for _, p := range parts {
		p = strings.TrimSpace(p)
		text.WriteString(p)
		if !strings.HasSuffix(p, ".") && !strings.HasSuffix(p, "?") && !strings.HasSuffix(p, "!") {
			text.WriteByte('.')
		}
		text.WriteByte(' ')
	}
	if j.Address.Set {
		text.WriteString(j.Addressed(string(r.ID()) + "/"))
	}
	return strings.TrimSpace(text.String())
}

// cite puts the citation of a run beside its page.
func cite(rd *reading.Reader, s *frame.Sheet, r *journal.Run) (*citationView, error) {
	text, file := citation(rd, r), path.Dir(address.Run(r))+"/"+address.CitationFile
	if err := rd.Pages.Put(file, []byte(text+"\n")); err != nil {
		return nil, err
	}
	s.Quotable = true
	return &citationView{Text: text, File: frame.FileLink{Words: address.CitationFile, Href: s.To(file), What: "the same as plain text"}, Nowhere: !rd.Journal.Address.Set}, nil
}
