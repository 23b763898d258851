package site

import (
	"bufio"
	"bytes"
	"html/template"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// lines sets the heading of a page and, where it is made from a note, the line under it.
func (b *builder) lines(s *sheet) (err error) {
	s.Heading = plainHTML(s.Title)
	at, ok := b.in.Journal.PlaceOf(s.note)
	if s.note == "" || !ok {
		return nil
	}
	if heading := at.Heading(); len(heading.Parts) > 0 {
		if s.Heading, err = b.line(s, at, heading); err != nil {
			return err
		}
	}
	s.Summary, err = b.line(s, at, at.Summary())
	return err
}

// line is a line of a note's front matter for the note's own page, its bound words as the prose has them. Lists of pages
// print its text.
func (b *builder) line(s *sheet, at journal.Place, l notes.Line) (template.HTML, error) {
	document := at.Document()
	if len(l.Parts) == 0 || document == nil {
		return plainHTML(l.Text), nil
	}
	w := &writer{builder: b, sheet: s, doc: document}
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

// linePhrases is a line within a sentence of the page's own.
func (b *builder) linePhrases(s *sheet, at journal.Place, l notes.Line) []phrase {
	var out []phrase
	for _, part := range l.Parts {
		if part.Embed != nil && part.Embed.Scheme == notes.ValueScheme {
			if v, broken := b.in.Values.Find(at, part.Embed.Target); broken == nil {
				if n := b.numeralOf(s, v, part.Text); n.Set {
					s.Marks = true
					out = append(out, sayNumber(numeral{Kind: n.Kind, Href: n.Href, Whole: part.Text, Int: part.Text, Set: true}))
					continue
				}
			}
		}
		out = append(out, say(part.Text))
	}
	if len(l.Parts) == 0 {
		out = append(out, say(l.Text))
	}
	return out
}

// stopped ends a sentence with a full stop, one.
func stopped(sentence []phrase) []phrase {
	if last := &sentence[len(sentence)-1]; last.Num == nil {
		last.Text = strings.TrimSuffix(last.Text, ".")
	}
	return append(sentence, say("."))
}
