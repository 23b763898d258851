package notes

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"voltwright/internal/finding"
)

// Line is a scalar of free text in which numbers can be bound as in a note's body: `ran [47 min](value:running-time)`.
// Whatever else Markdown knows is plain text here. Text is the line as a reader says it, without what its words are
// bound to.
type Line struct {
	Word
	Parts []LinePart // in the order written; none where nothing is bound
}

// LinePart is a stretch of a line: plain words, or words that are bound.
type LinePart struct {
	Text  string
	Embed *Embed // nil for plain words
	Of    any    // what has taken the words back: see Line.Mark; nil for words that stand
	at    int    // offset of the part in its file; negative where the file has the text in another form
}

// boundWords is an embed as a line can have it.
var boundWords = regexp.MustCompile(`(!?)\[([^\[\]]*)\]\(([A-Za-z][A-Za-z0-9+.-]*):([^()\s]*)\)`)

// DecodeNode reads free text and the words in it that are bound.
func (l *Line) DecodeNode(n *Node, d *Decoder) {
	var w Word
	if w.DecodeNode(n, d); !w.Set {
		return
	}
	*l = Line{Word: w}
	found := boundWords.FindAllStringSubmatchIndex(w.Text, -1)
	if len(found) == 0 {
		return
	}
	base := strings.Index(n.Span.Text(), w.Text) // not found where it is folded over lines or has escapes
	place := func(from, to int) finding.Span {
		if base < 0 {
			return n.Span
		}
		return n.Span.Source.At(n.Span.Start+int64(base+from), to-from)
	}
	var text strings.Builder
	last := 0
	put := func(from, to int, words string, e *Embed) {
		p := LinePart{Text: words, Embed: e, at: -1}
		if base >= 0 {
			p.at = int(n.Span.Start) + base + from
		}
		if to > from {
			l.Parts = append(l.Parts, p)
			text.WriteString(words)
		}
	}
	for _, m := range found {
		scheme, words := Scheme(w.Text[m[6]:m[7]]), strings.TrimSpace(w.Text[m[4]:m[5]])
		at := place(m[0], m[1])
		if !slices.Contains(EmbedSchemes, scheme) {
			d.lineScheme(scheme, at)
			continue
		}
		if !slices.Contains([]Scheme{ValueScheme, SourceScheme}, scheme) || m[2] < m[3] {
			d.report(RuleBoundLine, at, fmt.Sprintf("%s has a figure or a table, and is one line", d.name()), "put it into the body of the note.")
		} else if words == "" {
			d.report(RuleBoundLine, at, fmt.Sprintf("%s has a number without words", d.name()), "write the words between the square brackets: this line stands in lists, where nothing else says the number. Inspection holds them against the data.")
		}
		put(last, m[0], w.Text[last:m[0]], nil)
		put(m[0], m[1], words, &Embed{Scheme: scheme, Target: w.Text[m[8]:m[9]], Words: words, Span: at})
		last = m[1]
	}
	if put(last, len(w.Text), w.Text[last:], nil); last > 0 {
		l.Text = text.String()
	} else {
		l.Parts = nil
	}
	for i, p := range l.Parts {
		if p.Embed == nil {
			continue
		}
		if i > 0 && l.Parts[i-1].Embed == nil {
			p.Embed.Before = sentenceTail(l.Parts[i-1].Text)
		}
		if i+1 < len(l.Parts) && l.Parts[i+1].Embed == nil {
			p.Embed.After = sentenceHead(l.Parts[i+1].Text)
		}
	}
}

// lineScheme reports a word before the colon that binds nothing. An address on the web is plain text in a line.
func (d *Decoder) lineScheme(scheme Scheme, at finding.Span) {
	if slices.Contains(webSchemes, strings.ToLower(string(scheme))) {
		return
	}
	d.report(RuleUnknownScheme, at, fmt.Sprintf("%s binds words to the unknown scheme `%s:`%s", d.name(), clip(string(scheme)), DidYouMean(string(scheme), []string{string(ValueScheme), string(SourceScheme)})), "write value: or source: before what the words rest on.")
}

// Retracted is what stands in a line's Text for words that were taken back.
const Retracted = "[taken back]"

// Mark marks every place of the line that says the words, and tells where they stand in the file. From then on they are no
// more in Text, and what is bound in them is taken back. Words are looked for as they are read.
func (l *Line) Mark(words string, of any) []finding.Span {
	words = strings.Join(strings.Fields(words), " ")
	if words == "" || !l.Set {
		return nil
	}
	if len(l.Parts) == 0 {
		l.Parts = l.plainParts()
	}
	var said strings.Builder
	for _, p := range l.Parts {
		if p.Of != nil {
			said.WriteString(strings.Repeat("\x00", len(p.Text))) // taken back already
		} else {
			said.WriteString(p.Text)
		}
	}
	var spans []finding.Span
	for from := 0; ; {
		i := strings.Index(said.String()[from:], words)
		if i < 0 {
			break
		}
		from += i
		spans = append(spans, l.retract(from, from+len(words), of))
		from += len(words)
	}
	if len(spans) > 0 {
		var text strings.Builder
		for i, p := range l.Parts {
			switch {
			case p.Of == nil:
				text.WriteString(p.Text)
			case i == 0 || l.Parts[i-1].Of != p.Of:
				text.WriteString(Retracted)
			}
		}
		l.Text = text.String()
	}
	return spans
}

// retract splits the parts at both ends of a stretch and marks what lies between. An embed is taken back whole.
func (l *Line) retract(from, to int, of any) finding.Span {
	var parts []LinePart
	span := l.Span
	first := true
	at := 0
	for _, p := range l.Parts {
		start, end := max(from-at, 0), min(to-at, len(p.Text))
		at += len(p.Text)
		if p.Of != nil || start >= end {
			parts = append(parts, p)
			continue
		}
		if p.Embed != nil {
			p.Embed.TakenBack, p.Of = true, of
			if parts = append(parts, p); p.at >= 0 {
				span = grown(span, p.Embed.Span, first)
				first = false
			}
			continue
		}
		piece := func(a, b int, of any) {
			if a < b {
				q := LinePart{Text: p.Text[a:b], Of: of, at: -1}
				if p.at >= 0 {
					q.at = p.at + a
				}
				parts = append(parts, q)
			}
		}
		piece(0, start, nil)
		piece(start, end, of)
		piece(end, len(p.Text), nil)
		if p.at >= 0 {
			span = grown(span, l.Span.Source.At(int64(p.at+start), end-start), first)
			first = false
		}
	}
	l.Parts = parts
	return span
}

// grown is a span with another one behind it; the first takes the place of what was there.
func grown(span, more finding.Span, first bool) finding.Span {
	if first {
		return more
	}
	return finding.Span{Source: span.Source, Start: span.Start, End: more.End}
}

// plainParts is a line in which nothing is bound, as one part.
func (l *Line) plainParts() []LinePart {
	p := LinePart{Text: l.Text, at: -1}
	if i := strings.Index(l.Span.Text(), l.Text); i >= 0 {
		p.at = int(l.Span.Start) + i
	}
	return []LinePart{p}
}

// Passage is the line as prose: what is bound stands in it as [Bound].
func (l Line) Passage() Passage {
	parts := l.Parts
	if len(parts) == 0 && l.Set {
		parts = l.plainParts()
	}
	p := Passage{place: func(at, size int) finding.Span {
		if at < 0 {
			return l.Span
		}
		return l.Span.Source.At(int64(at), size)
	}}
	var b strings.Builder
	for _, part := range parts {
		words := part.Text
		if part.Embed != nil || part.Of != nil {
			words = string(Bound)
		}
		b.WriteString(words)
		for i := range len(words) {
			at := part.at
			if at >= 0 && part.Embed == nil && part.Of == nil {
				at += i
			}
			p.at = append(p.at, at)
		}
	}
	p.Text = b.String()
	return p
}
