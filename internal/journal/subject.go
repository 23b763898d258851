package journal

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// Subject is what several notes are about, by a name that their makers gave it.
type Subject struct {
	Name   string // as the first note that has it writes it
	Slug   string // the same in an address
	Places []Place
}

// Subjects are what the journal's notes are about, by their names; two names that make one address are one subject.
func (j *Journal) Subjects() []Subject {
	at := map[string]int{}
	var out []Subject
	for _, p := range j.Places() {
		for _, w := range p.Subjects() {
			slug := subjectSlug(w.Text)
			i, known := at[slug]
			switch {
			case slug == "":
				continue
			case !known:
				i = len(out)
				at[slug], out = i, append(out, Subject{Name: w.Text, Slug: slug})
			}
			if last := len(out[i].Places); last == 0 || out[i].Places[last-1] != p {
				out[i].Places = append(out[i].Places, p)
			}
		}
	}
	slices.SortFunc(out, func(a, b Subject) int { return cmp.Compare(a.Slug, b.Slug) })
	return out
}

// Subjects are what the note of a place is about.
func (p Place) Subjects() Names {
	switch {
	case p.Page != nil:
		return p.Page.Subjects
	case p.Run != nil:
		return p.Run.Subjects
	case p.Version != nil:
		return p.Version.Subjects
	}
	return nil
}

// Date is the day that the note of a place has; not Set where it has none.
func (p Place) Date() notes.Date {
	switch {
	case p.Page != nil:
		return p.Page.Date
	case p.Run != nil:
		return p.Run.Date
	case p.Version != nil:
		return p.Version.Date
	}
	return notes.Date{}
}

var plainLetters = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss", "é", "e", "è", "e", "ê", "e", "á", "a", "à", "a", "â", "a", "ç", "c", "ñ", "n", "ó", "o", "ô", "o", "ø", "o", "å", "a", "í", "i", "î", "i", "ú", "u", "û", "u")

// subjectSlug is a subject's name in an address; "" where nothing of it can stand there.
func subjectSlug(name string) string { return PlainName(plainLetters.Replace(strings.ToLower(name))) }

// checkSubjects reports subjects of which no address can be made.
func (l *loader) checkSubjects() {
	for _, p := range l.journal.Places() {
		for _, w := range p.Subjects() {
			if subjectSlug(w.Text) == "" {
				l.add(finding.Error, RuleMalformedWord, w.Span, fmt.Sprintf("the subject `%s` makes no address", w.Text), "write a word or two with letters a to z or digits in them, such as `cutouts`.")
			}
		}
	}
}
