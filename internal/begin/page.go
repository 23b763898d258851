package begin

import (
	"fmt"
	"strings"

	"voltwright/internal/journal"
)

// asked are the folders of the notes that are begun by their kind.
const (
	questions   = "questions"
	corrections = "corrections"
	plainNotes  = "notes"
)

// Question drafts a question as readers ask it, its words in ask.Name. It rests on nothing yet, which its page says.
func Question(ask Ask) (*Draft, error) {
	return page(questions, journal.KindQuestion, ask, "", "The answer in a sentence or two, with its numbers bound to what was measured: to be written.\n")
}

// Note drafts a note that answers no question and takes nothing back, its title in ask.Name.
func Note(ask Ask) (*Draft, error) {
	return page(plainNotes, journal.KindNote, ask, ask.Date.String(), "To be written.\n")
}

// Saying is what a correction takes back.
type Saying struct {
	In    string // the path of the note that says it
	Words string // the words, as they stand there
	Found string // how it was found; "" is asked for
}

// Correction drafts a correction of words that a note of the journal says. The error says why it cannot.
func Correction(said Saying, ask Ask) (*Draft, error) {
	d, err := page(corrections, journal.KindCorrection, ask, ask.Date.String(),
		"What is so: to be written. The first paragraph is printed beside the words that it takes back.\n")
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	fmt.Fprintf(&b, "said:\n  in: %s\n", said.In)
	if said.Words != "" {
		fmt.Fprintf(&b, "  words: %s\n", quoted(said.Words))
	} else {
		b.WriteString("  words:  # the words as they stand in that note\n")
		d.Empty = append(d.Empty, "`said.words`: the words as they stand in "+said.In)
	}
	if said.Found != "" {
		fmt.Fprintf(&b, "found: %s\n", quoted(said.Found))
	} else {
		b.WriteString("found:  # how it was found, in a sentence\n")
		d.Empty = append(d.Empty, "`found`: how it was found, in a sentence")
	}
	text := &d.Files[0].Text
	*text = []byte(strings.Replace(string(*text), "\n---\n\n", "\n"+b.String()+"---\n\n", 1))
	return d, nil
}

// Was is a computed answer that pages gave otherwise.
type Was struct {
	Answer string // VEHICLE/VERSION/ and its name
	Said   string // as it stood on the page
}

// Moved drafts a correction of computed answers. found says why they were others. The error says why it cannot.
func Moved(all []Was, found string, ask Ask) (*Draft, error) {
	d, err := page(corrections, journal.KindCorrection, ask, ask.Date.String(), "What is so: to be written.\n")
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	b.WriteString("moved:\n")
	for _, w := range all {
		fmt.Fprintf(&b, "  - {answer: %s, said: %s}\n", quoted(w.Answer), quoted(w.Said))
	}
	fmt.Fprintf(&b, "found: %s\n", quoted(found))
	text := &d.Files[0].Text
	*text = []byte(strings.Replace(string(*text), "\n---\n\n", "\n"+b.String()+"---\n\n", 1))
	return d, nil
}

// page drafts a note of a kind that stands in a folder of its own, named after its title, behind a day where it has one.
func page(folder, kind string, ask Ask, day, body string) (*Draft, error) {
	name := journal.PlainName(ask.Name)
	if name == "" {
		return nil, fmt.Errorf("%q has no letter or digit that a file can be named after; give the %s a title", ask.Name, kind)
	}
	if day != "" {
		name = day + "-" + name
	}
	d := &Draft{}
	var b strings.Builder
	fmt.Fprintf(&b, "---\nkind: %s\ntitle: %s\n", kind, quoted(ask.Name))
	switch {
	case ask.Date.Set:
		fmt.Fprintf(&b, "date: %s\n", ask.Date)
	case kind == journal.KindCorrection:
		b.WriteString("date:  # the day of the correction, such as 2026-05-09\n")
		d.Empty = append(d.Empty, "`date`: the day of the correction, such as 2026-05-09")
	}
	fmt.Fprintf(&b, "---\n\n%s", body)
	d.Files = []File{{folder + "/" + name + ".md", []byte(b.String())}}
	return d, nil
}
