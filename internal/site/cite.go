package site

import (
	"fmt"
	"path"
	"strings"

	"voltwright/internal/journal"
)

// citationFile is how a run is cited, as plain text beside its page.
const citationFile = "citation.txt"

// citationView is how a run is cited.
type citationView struct {
	Text    string
	File    fileLink
	Nowhere bool // the journal does not say where its site stands, so the address is missing
}

// citation is one line by which a reader names a run elsewhere: who keeps the journal, what it is called, the version,
// the run, its day and its address.
func (b *builder) citation(r *journal.Run) string {
	j, v := b.in.Journal, r.Version
	parts := []string{
		fmt.Sprintf("%s: %s", j.Maker.Name.Text, j.Title.Text),
		fmt.Sprintf("%s, version %d, %s", v.Vehicle.Name.Text, v.Number, v.Name.Text),
		fmt.Sprintf("%s: %s", runWords(r), r.Name.Text),
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
func (b *builder) cite(s *sheet, r *journal.Run) (*citationView, error) {
	text, file := b.citation(r), path.Dir(runPage(r))+"/"+citationFile
	if err := b.pages.put(file, []byte(text+"\n")); err != nil {
		return nil, err
	}
	s.Quotable = true
	return &citationView{Text: text, File: fileLink{citationFile, s.to(file), "the same as plain text"}, Nowhere: !b.in.Journal.Address.Set}, nil
}
