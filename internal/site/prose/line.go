package prose

import (
	"bufio"
	"bytes"
	"html/template"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Lines sets the heading of a page and, where it is made from a note, the line under it.
func Lines(rd *reading.Reader, s *frame.Sheet) (err error) {
	s.Heading = numeral.PlainHTML(s.Title)
	at, ok := rd.Journal.PlaceOf(s.Note)
	if s.Note == "" || !ok {
		return nil
	}
	if heading := at.Heading(); len(heading.Parts) > 0 {
		if s.Heading, err = Line(rd, s, at, heading); err != nil {
			return err
		}
	}
	s.Summary, err = Line(rd, s, at, at.Summary())
	return err
}

// Line is a line of a note's front matter for the note's own page, its bound words as the prose has them. Lists of pages
// print its text.
func Line(rd *reading.Reader, s *frame.Sheet, at journal.Place, l notes.Line) (template.HTML, error) {
	document := at.Document()
	if len(l.Parts) == 0 || document == nil {
		return numeral.PlainHTML(l.Text), nil
	}
	w := &writer{Reader: rd, sheet: s, doc: document}
	var out bytes.Buffer
	buffer := bufio.NewWriter(&out)
	for i, part := range l.Parts {
		t, retracted := part.Of.(*journal.TakenBack)
		if retracted && (i == 0 || l.Parts[i-1].Of != part.Of) {
			w.struck(buffer, t)
		}
		if !retracted || t.By.Correction.Struck() {
			if err := w.linePart(buffer, part, retracted); err != nil {
				return "", err
			}
		}
		if retracted && (i+1 == len(l.Parts) || l.Parts[i+1].Of != part.Of) {
			if t.By.Correction.Struck() {
				_, _ = buffer.WriteString("</del>")
			}
			if err := w.putRight(buffer, t); err != nil {
				return "", err
			}
		}
	}
	err := buffer.Flush()
	return template.HTML(out.String()), err
}

// linePart writes one part of a line. What was taken back rests on nothing.
func (w *writer) linePart(out *bufio.Writer, part notes.LinePart, retracted bool) error {
	words := template.HTMLEscapeString(part.Text)
	if part.Embed == nil || retracted {
		_, _ = out.WriteString(words)
		return nil
	}
	write := w.value
	if part.Embed.Scheme == notes.SourceScheme {
		write = w.quotation
	}
	if _, err := write(out, part.Embed, true); err != nil {
		return err
	}
	_, _ = out.WriteString(words)
	_, err := write(out, part.Embed, false)
	return err
}

// LinePhrases is a line within a sentence of the page's own.
func LinePhrases(rd *reading.Reader, s *frame.Sheet, at journal.Place, l notes.Line) []numeral.Phrase {
	var out []numeral.Phrase
	for _, part := range l.Parts {
		if part.Embed != nil && part.Embed.Scheme == notes.ValueScheme {
			if v, broken := rd.Values.Find(at, part.Embed.Target); broken == nil {
				if n := numeralOf(rd, s, v, part.Text); n.Set {
					s.Marks = true
					out = append(out, numeral.SayNumber(numeral.Numeral{Kind: n.Kind, Href: n.Href, Whole: part.Text, Int: part.Text, Set: true}))
					continue
				}
			}
		}
		out = append(out, numeral.Say(part.Text))
	}
	if len(l.Parts) == 0 {
		out = append(out, numeral.Say(l.Text))
	}
	return out
}

// Stopped ends a sentence with a full stop, one.
func Stopped(sentence []numeral.Phrase) []numeral.Phrase {
	if last := &sentence[len(sentence)-1]; last.Num == nil {
		last.Text = strings.TrimSuffix(last.Text, ".")
	}
	return append(sentence, numeral.Say("."))
}
