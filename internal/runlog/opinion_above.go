package runlog

import (
	"bytes"
	"fmt"

	"voltwright/internal/finding"
)

const (
	ruleRowsAbove  = "log-rows-above"
	leastRowsAbove = 2
)

// rowsAbove says of lines that are read as standing above the rows that they look like rows with another separator.
func (s *Scanner) rowsAbove(l layout, lines []sniffLine) {
	found, first := 0, 0
	for k, line := range lines[:l.first] {
		if likeRow(line.text, l) {
			if found == 0 {
				first = k
			}
			found++
		}
	}
	if found < leastRowsAbove {
		return
	}
	s.report.add(finding.Finding{Rule: ruleRowsAbove, Level: finding.Warning, Span: s.linePlace(lines[first]),
		Text:   fmt.Sprintf("%s above the first row hold as many numbers as the rows, with another separator between them, first here; they are not measured", plural(found, "line")),
		Remedy: "if they are rows of the run, write the log with one separator throughout"})
}

// likeRow says whether a line would be a row of the layout if another separator stood in it.
func likeRow(text []byte, l layout) bool {
	if isComment(text, l.separator) {
		return false
	}
	var splitter fieldSplitter
	for _, sep := range separators {
		if sep.char == l.separator || bytes.IndexByte(text, sep.char) < 0 || sep.char == ',' && l.decimal == ',' {
			continue
		}
		fields, numbers, wanted := splitter.split(text, sep.char), 0, 0
		for j, kind := range l.kinds {
			if kind != kindNumber && kind != kindTime {
				continue
			}
			wanted++
			if j < len(fields) {
				if k := kindOf(fields[j].text, l.decimal); k == kindNumber || k == kindTime {
					numbers++
				}
			}
		}
		if len(fields) <= l.fields && wanted >= 2 && numbers == wanted {
			return true
		}
	}
	return false
}
