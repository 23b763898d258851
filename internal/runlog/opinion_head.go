package runlog

import (
	"fmt"

	"voltwright/internal/finding"
)

const ruleHeadShort = "log-head-short"

// headFits refuses a log whose rows hold more columns than its head names: one of the two is shifted against the other.
func (s *Scanner) headFits(l layout, h headRows, span finding.Span) bool {
	named, filled := len(trimEmpty(append([]string(nil), h.names...))), 0
	for k, kind := range l.kinds {
		if kind != kindEmpty {
			filled = k + 1
		}
	}
	if named < 2 || h.namesFromPreamble != "" || filled <= named {
		return true
	}
	s.refuse(ruleHeadShort, fmt.Sprintf("the rows hold %d columns and the head names %d", filled, named),
		"look for a decimal comma between commas, or for a name that is missing in the head; write the columns out by number: `columns: {time: \"#1\", voltage: \"#2\"}`", span)
	return len(s.options.Columns) > 0
}

func headDocs() []finding.Doc {
	return []finding.Doc{{Kind: finding.RuleDoc, Name: ruleHeadShort, Level: finding.Error, Title: "A head that names too few columns",
		What: "Compares the number of columns that the head names with the number that the rows fill.",
		Why:  "With a decimal comma between commas, or a name left out, every column behind it is read as another one.", Source: ownRule,
		Example: "  log: {file: bench.csv, separator: semicolon, decimal: comma}"}}
}
