package journal

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// Correction is what a correction's note says beyond what every note does. The first paragraph of its body is what is
// so, with its numbers bound as in any other note.
type Correction struct {
	Kind     notes.Word    `key:"kind,required"`
	Title    notes.Line    `key:"title,required"`
	Date     notes.Date    `key:"date,required"`
	Summary  notes.Line    `key:"summary"`
	Held     notes.Flag    `key:"held-back"`
	Subjects Names         `key:"subjects"`
	Said     Sayings       `key:"said"`
	Moved    []MovedAnswer `key:"moved"`          // computed answers that pages gave otherwise
	Found    notes.Line    `key:"found,required"` // how it was found
	Since    notes.Date    `key:"since"`          // from when on what was said was wrong
	Touches  Names         `key:"touches"`        // pages that it concerns besides those that said it
	Lead     *Photo        `key:"lead"`
	Gallery  []Photo       `key:"gallery"`
	Marks    []PhotoMark   `key:"marks"`

	KeepStruck       notes.Flag `key:"keep-struck"`
	MattersForSafety notes.Flag `key:"matters-for-safety"`

	Touched []Place // the places that Touches names
}

// Sayings are the places where it was said: one group of keys, or a list of them.
type Sayings struct{ List []Said }

// Said is one place where it was said: a note, and its words.
type Said struct {
	In    notes.Word `key:"in,required"`
	Words notes.Word `key:"words,required"`

	Place  Place          // the note's; empty where there is none
	Number int            // of this place among all that were corrected, for an anchor; from 1
	spans  []finding.Span // the words in it
}

// MovedAnswer is a computed answer that pages gave otherwise: which one, what they said, and until when. What they say now is computed.
type MovedAnswer struct {
	Answer notes.Word `key:"answer,required"` // VEHICLE/VERSION/ and its name
	Said   notes.Word `key:"said,required"`
	Until  notes.Date `key:"until"` // not set: the day of the correction

	Of    Predicted
	Asked []*NotePage // the questions that it answers
}

// Day is the last on which it was said.
func (m *MovedAnswer) Day(by *NotePage) notes.Date {
	if m.Until.Set {
		return m.Until
	}
	return by.Date
}

// Spans are the words in the note that said it. Who hears what is read of the folder hears of that note.
func (s *Said) Spans() []finding.Span {
	if d := s.Place.Document(); d == nil { // who asks for it has read it
		return nil
	}
	return s.spans
}

// DecodeNode reads one place or a list of places.
func (s *Sayings) DecodeNode(node *notes.Node, d *notes.Decoder) {
	items := []*notes.Node{node}
	if node.Kind == notes.Sequence {
		items = node.Items
	}
	s.List = make([]Said, len(items))
	for i, item := range items {
		d.Struct(item, &s.List[i])
	}
}

// Struck tells whether the words that were taken back stay on their page, struck through. Not written, they do.
func (c *Correction) Struck() bool { return !c.KeepStruck.Set || c.KeepStruck.Value }

func (l *loader) correction(n *notes.Note, p *NotePage) {
	c := &Correction{}
	l.fill(n, KindCorrection, c)
	p.Kind, p.Title, p.Date, p.Summary, p.Held, p.Subjects, p.Correction = c.Kind, c.Title, c.Date, c.Summary, c.Held, c.Subjects, c
	p.Lead, p.Gallery, p.Marks = c.Lead, c.Gallery, c.Marks
}

// corrections finds what was taken back in the notes that said it, and marks it there.
func (l *loader) corrections() {
	for _, p := range l.journal.Corrections {
		c := p.Correction
		for i := range c.Said.List {
			l.said(p, &c.Said.List[i], i+1)
		}
		for i := range c.Moved {
			l.moved(&c.Moved[i])
		}
		for _, w := range c.Touches {
			place, ok := l.journal.PlaceOf(strings.TrimSuffix(w.Text, "/"))
			if !ok {
				place, ok = l.journal.named(w.Text)
			}
			if !ok || place.Document() == nil {
				l.add(finding.Error, RuleTakenBack, w.Span, fmt.Sprintf("`touches`: there is no page `%s`%s", w.Text, notes.DidYouMean(w.Text, l.journal.addresses())), "write the file of the note, such as notes/2026-02-01-why-a-cutout.md, or the address of a vehicle, a version or a run.")
				continue
			}
			c.Touched = append(c.Touched, place)
		}
		if c.Kind.Set && len(c.Said.List)+len(c.Moved)+len(c.Touches) == 0 {
			l.add(finding.Error, RuleTakenBack, p.Title.Span, "the correction names no place that was wrong", "say under `said:` which note said it, in which words, under `moved:` which computed answer was another, or list the pages under `touches:`.")
		}
	}
}

func (l *loader) moved(m *MovedAnswer) {
	if !m.Answer.Set {
		return
	}
	var ok bool
	if m.Of, ok = l.journal.answer(m.Answer.Text); !ok {
		l.add(finding.Error, RuleTakenBack, m.Answer.Span, fmt.Sprintf("`answer`: `%s` names no version", m.Answer.Text), answerRemedy)
		return
	}
	for _, q := range l.journal.Questions {
		if q.Question.Predicted == m.Of {
			m.Asked = append(m.Asked, q)
		}
	}
}

func (l *loader) said(p *NotePage, s *Said, number int) {
	s.Number = number
	if !s.In.Set || !s.Words.Set {
		return
	}
	place, ok := l.journal.PlaceOf(s.In.Text)
	if !ok || place.Document() == nil {
		var files []string
		for _, other := range l.journal.Places() {
			files = append(files, other.Document().Note.Path)
		}
		l.add(finding.Error, RuleTakenBack, s.In.Span, fmt.Sprintf("`in`: there is no note `%s`%s", s.In.Text, notes.DidYouMean(s.In.Text, files)), "write the path of the note that said it, from the journal's folder.")
		return
	}
	s.Place = place
	if place.Document().Note.Broken {
		return // what it says is not known until it is mended
	}
	of := &TakenBack{p, s}
	s.spans = place.Document().Mark(s.Words.Text, of)
	for _, line := range place.retractable() {
		s.spans = append(s.spans, line.Mark(s.Words.Text, of)...)
	}
	if len(s.spans) > 0 {
		return
	}
	f := finding.Finding{Rule: RuleTakenBack, Level: finding.Error, Span: s.Words.Span,
		Text:   fmt.Sprintf("`words`: %s does not say %q (any more)", s.In.Text, s.Words.Text),
		Remedy: "leave the words that were taken back standing in their note: the page strikes them out and shows the correction beside them. Where they are gone for good, list the note under `touches:` instead."}
	if near := place.Document().Near(s.Words.Text); near != "" {
		f.Text += fmt.Sprintf("; the nearest there is %q", near)
	}
	l.findings.Add(f)
}

// retractable are the lines of the front matter whose words can be taken back: those that stand as sentences on the
// note's own page.
func (p Place) retractable() []*notes.Line {
	switch {
	case p.Page != nil && p.Page.Correction != nil:
		return []*notes.Line{&p.Page.Summary, &p.Page.Correction.Found}
	case p.Page != nil:
		return []*notes.Line{&p.Page.Summary}
	case p.Run != nil:
		return []*notes.Line{&p.Run.Summary}
	case p.Version != nil:
		return []*notes.Line{&p.Version.Summary}
	case p.Vehicle != nil:
		return []*notes.Line{&p.Vehicle.Summary}
	}
	return nil
}

// TakenBack is what a passage of a note is marked with: the correction, and which of its places this is.
type TakenBack struct {
	By   *NotePage
	Said *Said
}

// addresses are the files and the addresses of every page with a text.
func (j *Journal) addresses() []string {
	var out []string
	for _, p := range j.Places() {
		out = append(out, p.Document().Note.Path, strings.TrimSuffix(p.Address(), "/"))
	}
	return out
}

// CorrectionsOf lists the corrections of what stands at a place, newest first: those that took its words back, and those
// that say that they touch it.
func (j *Journal) CorrectionsOf(at Place) []*NotePage {
	var out []*NotePage
	for _, p := range j.Corrections {
		for _, place := range p.Correction.Places() {
			if place == at {
				out = append(out, p)
				break
			}
		}
	}
	return out
}

// Places lists the places that a correction concerns, each once: those that said it, those whose answers moved, then those that it touches.
func (c *Correction) Places() []Place {
	var out []Place
	seen := map[Place]bool{{}: true}
	add := func(p Place) {
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	for _, s := range c.Said.List {
		add(s.Place)
	}
	for _, m := range c.Moved {
		if m.Of.Version != nil {
			add(m.Of.Version.Place())
		}
		for _, q := range m.Asked {
			add(Place{Page: q})
		}
	}
	for _, p := range c.Touched {
		add(p)
	}
	return out
}

// MovedOf gives the answers of a version that pages gave otherwise, each with its correction, newest first. One of one name is asked for, or
// all with "".
func (j *Journal) MovedOf(v *Version, name string, do func(*NotePage, *MovedAnswer)) {
	for _, p := range j.Corrections {
		for i := range p.Correction.Moved {
			if m := &p.Correction.Moved[i]; m.Of.Version == v && (name == "" || m.Of.Name == name) {
				do(p, m)
			}
		}
	}
}
