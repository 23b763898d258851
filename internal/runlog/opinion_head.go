package runlog

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
)

const (
	ruleHeadShort = "log-head-short"
	ruleHeadLong  = "log-head-long"
)

// headFits refuses a log whose rows hold more columns than its head names, or between blanks fewer: one of the two is shifted
// against the other.
func (s *Scanner) headFits(l layout, h headRows, span finding.Span) bool {
	named, filled := len(trimEmpty(append([]string(nil), h.names...))), 0
	for k, kind := range l.kinds {
		if kind != kindEmpty {
			filled = k + 1
		}
	}
	if named < 2 || h.namesFromPreamble != "" || filled == named || filled < named && l.separator != ' ' {
		return true
	}
	if filled < named { // a cell between blanks cannot be empty
		s.refuse(ruleHeadLong, fmt.Sprintf("the rows hold %d columns between blanks and the head holds %d words", filled, named),
			"write the names of the columns without blanks in them, or write the columns out by number: `columns: {time: \"#1\", voltage: \"#2\"}`", span)
		return len(s.options.Columns) > 0
	}
	s.refuse(ruleHeadShort, fmt.Sprintf("the rows hold %d columns and the head names %d", filled, named),
		"look for a decimal comma between commas, or for a name that is missing in the head; write the columns out by number: `columns: {time: \"#1\", voltage: \"#2\"}`", span)
	return len(s.options.Columns) > 0
}

// joinBrackets puts what stands in brackets to the name before it, and together what a separator within brackets has cut, where
// that makes a head fit its rows.
func (h *headRows) joinBrackets(l layout) {
	var names []string
	for _, name := range h.names {
		n := len(names)
		switch {
		case n > 0 && strings.Count(names[n-1], "(") > strings.Count(names[n-1], ")"):
			names[n-1] += string(l.separator) + " " + name
		case n > 0 && l.separator == ' ' && bracketed(name):
			names[n-1] += " " + name
		default:
			names = append(names, name)
		}
	}
	if len(names) == l.fields {
		h.names = names
	}
}

func headDocs() []finding.Doc {
	return []finding.Doc{
		{Kind: finding.RuleDoc, Name: ruleHeadShort, Level: finding.Error, Title: "A head that names too few columns",
			What: "Compares the number of columns that the head names with the number that the rows fill.",
			Why:  "With a decimal comma between commas, or a name left out, every column behind it is read as another one.", Source: ownRule,
			Example: "  log: {file: bench.csv, separator: semicolon, decimal: comma}"},
		{Kind: finding.RuleDoc, Name: ruleHeadLong, Level: finding.Error, Title: "A head of more words than the rows have columns",
			What: "Compares, of a log with blanks between its columns, the number of words in the head with the number of columns; a unit in brackets belongs to the word before it.",
			Why:  "A blank within a name shifts every name behind it by one column, and the rows are read under the wrong heads.", Source: ownRule,
			Example: "  log: {file: bench.txt, columns: {time: \"#1\", voltage: \"#2\", current: \"#3\"}}"},
		{Kind: finding.RuleDoc, Name: ruleMostlyLeftOut, Level: finding.Error, Title: "More rows left out than used",
			What: "Compares the number of rows that could not be read with the number of those that were used.",
			Why:  "What is left is no account of the run: charge and time of the rest are missing.", Source: ownRule,
			Example: "  log: {file: bench.csv, separator: semicolon, decimal: comma}"},
		{Kind: finding.RuleDoc, Name: ruleRowsAbove, Level: finding.Warning, Title: "Rows with another separator above the rows",
			What: "Looks at the lines above the first row for two or more that would be rows, with a number or a time in every column that has one, if another separator stood in them.",
			Why:  "The start of the run would be taken for a preamble, and its charge would be missing.", Source: ownRule,
			Example: "  log: {file: bench.csv, separator: semicolon}"}}
}
