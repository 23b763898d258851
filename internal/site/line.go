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
	for _, part := range l.Parts {
		if part.Embed == nil {
			_, _ = buffer.WriteString(template.HTMLEscapeString(part.Text))
			continue
		}
		write := w.value
		if part.Embed.Scheme == notes.SourceScheme {
			write = w.quotation
		}
		for _, entering := range []bool{true, false} {
			if _, err := write(buffer, part.Embed, entering); err != nil {
				return "", err
			}
			if entering {
				_, _ = buffer.WriteString(template.HTMLEscapeString(part.Text))
			}
		}
	}
	err := buffer.Flush()
	return template.HTML(out.String()), err
}

// linePhrases is a line within a sentence of the page's own.
func (b *builder) linePhrases(s *sheet, at journal.Place, l notes.Line) []phrase {
	var out []phrase
	for _, part := range l.Parts {
		if part.Embed != nil && part.Embed.Scheme == notes.ValueScheme {
			if v, broken := b.in.Journal.Value(at, part.Embed.Target, b.in.Results); broken == nil {
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
