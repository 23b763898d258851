package finding

import (
	"bytes"
	"slices"
	"unicode/utf8"
)

// Source is a file that findings point into. Name is the slash-separated path
// that is printed, relative to the journal.
type Source struct {
	Name  string
	text  []byte  // nil for a stream
	lines []int64 // offset of each line start, in order; for a stream only the marked ones
	count []int   // line number of each entry of lines; nil for a text
	runes []int   // for a stream: columns are counted by the reader and kept here
}

// NewSource makes a source of a whole text that is kept in memory.
func NewSource(name string, text []byte) *Source {
	s := &Source{Name: name, text: text, lines: []int64{0}}
	for i := 0; ; {
		n := bytes.IndexByte(text[i:], '\n')
		if n < 0 {
			break
		}
		i += n + 1
		s.lines = append(s.lines, int64(i))
	}
	return s
}

// NewStream makes a source for a file that is read once and not kept, such as
// a log. Its reader calls Mark for each place that a finding points to.
func NewStream(name string) *Source {
	return &Source{Name: name, count: []int{}, runes: []int{}}
}

// Mark records that the byte at offset stands in the given line and column
// (both from 1). Marks may be made in any order; a repeated offset keeps its
// first mark. Mark does nothing on a source that keeps its text.
func (s *Source) Mark(offset int64, line, column int) {
	if s.text != nil || s.count == nil {
		return
	}
	i, found := slices.BinarySearch(s.lines, offset)
	if found {
		return
	}
	s.lines = slices.Insert(s.lines, i, offset)
	s.count = slices.Insert(s.count, i, line)
	s.runes = slices.Insert(s.runes, i, column)
}

// Locate turns a byte offset into a line and a column, both from 1. Columns
// count characters (Unicode code points), not bytes. In a stream an offset
// that was not marked gets the line of the last mark before it and column 1,
// or 1:1 if there is none.
func (s *Source) Locate(offset int64) (line, column int) {
	if s.count != nil {
		i, found := slices.BinarySearch(s.lines, offset)
		switch {
		case found:
			return s.count[i], s.runes[i]
		case i == 0:
			return 1, 1
		default:
			return s.count[i-1], 1
		}
	}
	offset = min(max(offset, 0), int64(len(s.text)))
	i, found := slices.BinarySearch(s.lines, offset)
	if !found {
		i--
	}
	start := s.lines[i]
	before := s.text[start:offset]
	column = 1 + utf8.RuneCount(before)
	if start == 0 && bytes.HasPrefix(before, []byte("\xef\xbb\xbf")) {
		column-- // a byte order mark takes no column
	}
	return i + 1, column
}

// Line returns the text of the line (from 1) without its end, and false for a
// stream or a line that is not there.
func (s *Source) Line(n int) (string, bool) {
	if s.text == nil || n < 1 || n > len(s.lines) {
		return "", false
	}
	end := int64(len(s.text))
	if n < len(s.lines) {
		end = s.lines[n]
	}
	return string(bytes.TrimRight(s.text[s.lines[n-1]:end], "\r\n")), true
}

// Span is a stretch of bytes, Start to End (End not included), of a source.
// The zero Span is no place; a Span with a source and Start == End == 0 is the
// whole file.
type Span struct {
	Source     *Source
	Start, End int64
}

// At makes the span of length n at an offset.
func (s *Source) At(offset int64, n int) Span {
	return Span{Source: s, Start: offset, End: offset + int64(n)}
}

// File is the source's name, or "" for no place.
func (s Span) File() string {
	if s.Source == nil {
		return ""
	}
	return s.Source.Name
}

// Whole tells whether the span stands for the whole file.
func (s Span) Whole() bool { return s.Source != nil && s.Start == 0 && s.End == 0 }

// Position is a span's start, ready to print. Line and Column are 0 where the
// finding concerns a whole file or no place at all.
type Position struct {
	File   string `json:"file,omitempty"`
	Line   int    `json:"line,omitempty"`
	Column int    `json:"column,omitempty"`
}

// Position gives the printable start of the span.
func (s Span) Position() Position {
	if s.Source == nil {
		return Position{}
	}
	if s.Whole() {
		return Position{File: s.Source.Name}
	}
	line, column := s.Source.Locate(s.Start)
	return Position{s.Source.Name, line, column}
}

// EndPosition gives the printable end of the span (the column after its last
// character).
func (s Span) EndPosition() Position {
	s.Start = max(s.End, s.Start)
	return s.Position()
}

// Text is what stands at the span; "" for no place, a stream, or a span beyond the text.
func (s Span) Text() string {
	if s.Source == nil || s.Start < 0 || s.End > int64(len(s.Source.text)) || s.End < s.Start {
		return ""
	}
	return string(s.Source.text[s.Start:s.End])
}
