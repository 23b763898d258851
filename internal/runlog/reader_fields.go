package runlog

import "bytes"

// field is one field of a row: its text without quotes, and where it stands in the line.
type field struct {
	text  []byte
	start int
}

// fieldSplitter cuts lines into fields and keeps its room between lines.
type fieldSplitter struct {
	fields []field
	open   bool // the last line ended inside quotes
}

// split cuts a line at the separator. Quotes follow RFC 4180. Under the blank
// as separator, runs of blanks and tabs are one, and leading ones are none.
// The fields are valid until the next call.
func (s *fieldSplitter) split(line []byte, separator byte) []field {
	s.fields, s.open = s.fields[:0], false
	blank := separator == ' '
	for p := 0; ; {
		if blank || separator != '\t' {
			for p < len(line) && (line[p] == ' ' || line[p] == '\t') && (blank || line[p] != separator) {
				p++
			}
		}
		if blank && p == len(line) && len(s.fields) > 0 {
			return s.fields
		}
		if p < len(line) && line[p] == '"' {
			p = s.quoted(line, p, separator)
		} else {
			end := p
			for end < len(line) && line[end] != separator && !(blank && line[end] == '\t') {
				end++
			}
			s.fields = append(s.fields, field{line[p:end], p})
			p = end
		}
		if p >= len(line) {
			return s.fields
		}
		p++ // the separator
	}
}

// quoted reads the quoted field at p and returns the index of the separator
// behind it. What stands between the closing quote and the separator belongs to
// the field, so that it is seen as a fault.
func (s *fieldSplitter) quoted(line []byte, p int, separator byte) int {
	start := p
	var text []byte
	copied := false
	p++
	from := p
	for {
		n := bytes.IndexByte(line[p:], '"')
		if n < 0 {
			s.open = true
			s.fields = append(s.fields, field{line[from:], start})
			return len(line)
		}
		p += n
		if p+1 < len(line) && line[p+1] == '"' { // a doubled quote
			text = append(text, line[from:p+1]...)
			copied = true
			p += 2
			from = p
			continue
		}
		break
	}
	if copied {
		text = append(text, line[from:p]...)
	} else {
		text = line[from:p]
	}
	p++
	end := p
	for end < len(line) && line[end] != separator && !(separator == ' ' && line[end] == '\t') {
		end++
	}
	if rest := trimBlank(line[p:end]); len(rest) > 0 {
		text = append(append([]byte(nil), text...), line[p:end]...)
	}
	s.fields = append(s.fields, field{text, start})
	return end
}
