package runlog

import (
	"bytes"
	"fmt"
	"slices"
	"unicode/utf8"

	"voltwright/internal/finding"
)

// prepare sniffs the prefix and sets everything up.
func (s *Scanner) prepare() {
	text := s.lines.buf
	if !s.checkEncoding(text) {
		return
	}
	s.dialect.LineEnd = "LF"
	if bytes.IndexByte(text, '\n') < 0 && bytes.IndexByte(text, '\r') >= 0 {
		s.dialect.LineEnd, s.lines.end = "CR", '\r'
	} else if bytes.Contains(text, []byte("\r\n")) {
		s.dialect.LineEnd = "CRLF"
	}
	lines := cutLines(text, s.lines.end, s.lines.whole())
	if len(lines) > 0 && s.mark {
		lines[0].text = bytes.TrimPrefix(lines[0].text, []byte("\ufeff"))
		s.lines.start = len("\ufeff")
	}
	for i, l := range lines {
		if len(l.text) > maxLine || bytes.IndexByte(l.text, 0) >= 0 {
			lines[i].text = nil
		}
	}
	best, second := findLayout(lines, s.options.Separator, s.options.Decimal)
	if best.rows == 0 {
		s.refuse("log-no-rows", "no rows of numbers are found in this file", "attach the log as text with one row to a line, its fields separated by commas, semicolons, tabs or blanks", s.whole())
		return
	}
	if !s.checkDecimal(best, second, lines) {
		return
	}
	s.arrange(best, lines)
}

func (s *Scanner) whole() finding.Span { return finding.Span{Source: s.report.src} }

// checkEncoding refuses what is no text.
func (s *Scanner) checkEncoding(text []byte) bool {
	switch {
	case len(bytes.Trim(text, " \t\r\n\x00\ufeff")) == 0 && s.lines.whole():
		s.refuse("log-empty", "this log is empty", "attach the log that the run made, or take `log:` out", s.whole())
		return false
	case bytes.HasPrefix(text, []byte("PK\x03\x04")):
		s.refuse("log-encoding", "this file is a spreadsheet or another zip archive, not text", "open it in a spreadsheet and export the sheet as CSV UTF-8", s.whole())
		return false
	}
	switch {
	case s.wide != "":
		s.dialect.Encoding = s.wide
		s.mark = bytes.HasPrefix(text, []byte("\ufeff"))
	case bytes.HasPrefix(text, []byte("\ufeff")):
		s.mark = true
		s.dialect.Encoding = "UTF-8 with a byte order mark"
	case !utf8.Valid(text[:lastEnd(text, '\n')]):
		s.dialect.Encoding = "heads read as Latin-1"
	default:
		s.dialect.Encoding = "UTF-8"
	}
	return true
}

// checkOptions refuses stated words that are unknown. Who asks has looked at them: a note's words and a command's are checked
// where they are written.
func (s *Scanner) checkOptions() error {
	for _, x := range []struct {
		what, word string
		known      []string
	}{{"separator", s.options.Separator, Separators()}, {"decimal sign", s.options.Decimal, Decimals()}, {"form of time", s.options.TimeFormat, TimeFormats()}} {
		if x.word != "" && !slices.Contains(x.known, x.word) {
			return fmt.Errorf("%q is no %s that is known", x.word, x.what)
		}
	}
	return nil
}

// checkDecimal refuses to guess where a comma may separate or be a decimal
// sign, and says so where it may have parted thousands.
func (s *Scanner) checkDecimal(best, second layout, lines []sniffLine) bool {
	span := s.linePlace(lines[best.first])
	named := namesAbove(lines, best)
	// Of a separator or a decimal sign that is stated there is no second.
	if best.separator == ',' && best.decimal == '.' && best.fields == 2 && named != 2 &&
		second.rows >= best.rows && second.decimal == ',' && second.fields == 1 {
		s.refuse("log-decimal-open", fmt.Sprintf("%s may be two whole numbers or one number with a decimal comma: nothing in the log tells", quoteField(lines[best.first].text)),
			"state `decimal: comma` with `separator: semicolon` for one number, or `separator: comma` for two", span)
		return false
	}
	if best.separator == ',' && named > 1 && best.fields >= 2*named-1 && best.fields > named+1 {
		s.refuse("log-decimal-open", fmt.Sprintf("the rows have %d fields but the head names %d: the comma seems to be both separator and decimal sign", best.fields, named),
			"export the log again with semicolons between the fields, or with decimal points", span)
		return false
	}
	if s.options.Decimal == "" && best.decimal == ',' && thousandsLike(best, lines) {
		s.report.add(finding.Finding{Rule: "log-decimal-assumed", Level: finding.Warning, Span: span,
			Text:   "every number with a comma has exactly three digits behind it; the comma is read as the decimal sign, not as a mark of thousands",
			Remedy: "state `decimal: comma` if that is right; else export the log without marks of thousands"})
	}
	return true
}

// namesAbove counts the fields of the line above the data if none of them is a number.
func namesAbove(lines []sniffLine, l layout) int {
	for i := l.first - 1; i >= 0; i-- {
		if len(trimBlank(lines[i].text)) == 0 || isComment(lines[i].text, l.separator) {
			continue
		}
		var cells []string
		for _, f := range new(fieldSplitter).split(lines[i].text, l.separator) {
			if kind := kindOf(f.text, l.decimal); kind == kindNumber || kind == kindTime {
				return 0
			}
			cells = append(cells, string(f.text))
		}
		return len(trimEmpty(cells))
	}
	return 0
}

func trimEmpty(cells []string) []string {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// thousandsLike says whether every comma in the rows could part thousands.
func thousandsLike(l layout, lines []sniffLine) bool {
	var splitter fieldSplitter
	commas := 0
	for _, line := range lines[l.first:] {
		for _, f := range splitter.split(line.text, l.separator) {
			t := bytes.TrimLeft(trimBlank(f.text), "+-")
			i := bytes.IndexByte(t, ',')
			if i < 0 || kindOf(t, ',') != kindNumber {
				continue
			}
			if i == 0 || i > 3 || t[0] == '0' || len(t)-i-1 != 3 {
				return false
			}
			commas++
		}
	}
	return commas > 0
}

func (s *Scanner) linePlace(l sniffLine) finding.Span {
	return s.report.place(l.text, l.number, s.lineOffset(l), 0, len(l.text))
}

// lineOffset is the offset of a sniffed line; the first begins behind a byte order mark.
func (s *Scanner) lineOffset(l sniffLine) int64 {
	if l.number == 1 && s.mark {
		return int64(l.offset) + 3
	}
	return int64(l.offset)
}
