package runlog

import (
	"bytes"
	"strings"
)

// sniffLine is one line of the sniffed prefix.
type sniffLine struct {
	number int
	offset int
	text   []byte
	known  [2]bool      // what the line is as one field, by the decimal sign …
	whole  [2]fieldKind // … point or comma
}

// kind is what a line is as one field, which most separators make of it.
func (l *sniffLine) kind(decimal byte) fieldKind {
	k := 0
	if decimal == ',' {
		k = 1
	}
	if !l.known[k] {
		l.known[k], l.whole[k] = true, kindOf(l.text, decimal)
	}
	return l.whole[k]
}

// undivided says that a separator makes one field of a line, which is all of it.
func (l *sniffLine) undivided(separator byte) bool {
	if separator == ' ' || len(l.text) == 0 {
		return false
	}
	switch l.text[0] {
	case ' ', '\t', '"':
		return false
	}
	return bytes.IndexByte(l.text, separator) < 0
}

// fieldKind is what a field looks like in the sniff.
type fieldKind uint8

const (
	kindEmpty fieldKind = iota
	kindNumber
	kindTime
	kindText
)

// layout is the shape of a log: how it is cut into fields and where its rows begin.
type layout struct {
	separator, decimal byte
	fields             int         // of a usual row, without a trailing empty one
	kinds              []fieldKind // of the usual row's columns
	first              int         // index of the first data line among the sniffed lines
	rows               int         // sniffed lines of that shape
	score              float64
}

// sniffLines bounds how many lines the choice of separator looks at.
const sniffLines = 1500

// cutLines cuts the prefix into lines, sniffLines at the most. The last line is left out if the prefix
// was cut off inside it.
func cutLines(text []byte, end byte, whole bool) []sniffLine {
	var lines []sniffLine
	for offset := 0; offset < len(text) && len(lines) < sniffLines; {
		n := bytes.IndexByte(text[offset:], end)
		stop, next := offset+n, offset+n+1
		if n < 0 {
			if !whole && len(lines) > 0 {
				break
			}
			stop, next = len(text), len(text)
		}
		lines = append(lines, sniffLine{number: len(lines) + 1, offset: offset, text: bytes.TrimSuffix(text[offset:stop], []byte("\r"))})
		offset = next
	}
	return lines
}

// isComment says whether a line is a comment. A semicolon opens one only where
// it does not separate.
func isComment(line []byte, separator byte) bool {
	line = trimBlank(line)
	switch {
	case len(line) == 0:
		return false
	case line[0] == '#', line[0] == '%', line[0] == '~', bytes.HasPrefix(line, []byte("//")):
		return true
	}
	return line[0] == ';' && separator != ';'
}

// kindOf classifies a field.
func kindOf(text []byte, decimal byte) fieldKind {
	_, suffix, state := parseField(text, decimal)
	switch {
	case state == fieldHole:
		return kindEmpty
	case state == fieldValue && (suffix == "" || findUnit(suffix) != nil):
		return kindNumber
	case looksLikeTime(trimBlank(text)):
		return kindTime
	}
	return kindText
}

func looksLikeTime(text []byte) bool {
	if len(text) < 4 || len(text) > 40 || listOfNumbers(text) || !isDigit(text[0]) && monthOf(string(letterRun(text))) == 0 {
		return false
	}
	for _, f := range []timeForm{timeClock, timeMinutesSeconds, timeHoursMinutes, timeDateTime, timeDayFirst, timeMonthFirst, timeMonthName} {
		if _, ok := f.parseStamp(text); ok {
			return true
		}
	}
	return false
}

// listOfNumbers says whether a text is digits, points and commas, of the last at least one: no time is, for a comma stands before a clock.
func listOfNumbers(text []byte) bool {
	for _, c := range text {
		if !isDigit(c) && c != '.' && c != ',' {
			return false
		}
	}
	return bytes.IndexByte(text, ',') >= 0
}

// findLayout tries every separator with every decimal sign that is not stated
// and takes the pair under which most lines are rows of numbers.
func findLayout(lines []sniffLine, separator, decimal string) (best, second layout) {
	quotes, tabbed, filled := false, 0, 0
	for _, l := range lines {
		quotes = quotes || bytes.IndexByte(l.text, '"') >= 0
		if len(trimBlank(l.text)) > 0 {
			filled++
			tabbed += min(1, bytes.Count(bytes.TrimSpace(l.text), []byte("\t")))
		}
	}
	for _, s := range separators {
		if separator != "" && separator != s.word {
			continue
		}
		for _, dec := range []byte{'.', ','} {
			if decimal == "point" && dec != '.' || decimal == "comma" && dec != ',' {
				continue
			}
			if dec == ',' && s.char == ',' && !quotes {
				continue
			}
			if s.char == ' ' && separator == "" && 10*tabbed > 9*filled {
				continue // blanks beside tabs stand within fields, and two tabs hold an empty one
			}
			l := tryLayout(lines, s.char, dec)
			if l.score > best.score {
				best, second = l, best
			} else if l.score > second.score {
				second = l
			}
		}
	}
	return best, second
}

// tryLayout measures how well the lines are rows under one separator and one
// decimal sign.
func tryLayout(lines []sniffLine, separator, decimal byte) layout {
	l := layout{separator: separator, decimal: decimal}
	rows := make([][]fieldKind, len(lines))
	var splitter fieldSplitter
	var room []fieldKind // of which the rows are parts
	var whole [1]field
	counts := map[int]int{}
	for i, line := range lines {
		if len(trimBlank(line.text)) == 0 || isComment(line.text, separator) {
			continue
		}
		var fields []field
		if lines[i].undivided(separator) {
			whole[0] = field{text: line.text}
			fields = whole[:]
		} else {
			fields = splitter.split(line.text, separator)
		}
		if cap(room)-len(room) < len(fields) {
			room = make([]fieldKind, 0, 1024+len(fields))
		}
		room = room[:len(room)+len(fields)]
		kinds := room[len(room)-len(fields):]
		numbers := 0
		for j, f := range fields {
			if len(f.text) == len(line.text) {
				kinds[j] = lines[i].kind(decimal)
			} else {
				kinds[j] = kindOf(f.text, decimal)
			}
			if kinds[j] == kindNumber || kinds[j] == kindTime {
				numbers++
			}
		}
		for len(kinds) > 1 && kinds[len(kinds)-1] == kindEmpty && len(fields[len(kinds)-1].text) == 0 && len(kinds) == len(fields) {
			kinds = kinds[:len(kinds)-1] // one trailing separator
		}
		rows[i] = kinds
		if numbers > 0 {
			counts[len(kinds)]++
		}
	}
	most := 0
	for n, c := range counts {
		if c > most || c == most && n > l.fields {
			most, l.fields = c, n
		}
	}
	if most == 0 {
		return l
	}
	// Rows whose last column is mostly empty come with either count.
	if c := counts[l.fields+1]; c*10 > most {
		l.fields++
	}
	l.kinds = columnKinds(rows, l.fields)
	l.first = -1
	numbers, texts := 0, 0
	for _, k := range l.kinds {
		switch k {
		case kindNumber, kindTime:
			numbers++
		case kindText:
			texts++
		}
	}
	for i, kinds := range rows {
		if l.conforms(kinds) {
			if l.first < 0 {
				l.first = i
			}
			l.rows++
		}
	}
	if numbers == 0 || l.first < 0 {
		l.score = 0
		return l
	}
	for l.first > 0 && l.begins(rows[l.first-1]) {
		l.first--
	}
	l.score = float64(l.rows) * (float64(numbers)/float64(numbers+texts) + 0.01*float64(numbers))
	return l
}

// columnKinds is what most rows hold in each column.
func columnKinds(rows [][]fieldKind, fields int) []fieldKind {
	tally := make([][4]int, fields)
	for _, kinds := range rows {
		if len(kinds) != fields && len(kinds) != fields-1 {
			continue
		}
		for j, k := range kinds {
			tally[j][k]++
		}
	}
	out := make([]fieldKind, fields)
	for j, t := range tally {
		for _, k := range []fieldKind{kindNumber, kindTime, kindText} {
			if t[k] > 0 && (out[j] == kindEmpty || t[k] > t[out[j]]) {
				out[j] = k
			}
		}
	}
	return out
}

// begins says whether a line begins as a row and has all its fields: one above the first good row is then a row with a
// fault, which the reader tells, and no part of the head.
func (l *layout) begins(kinds []fieldKind) bool {
	return len(kinds) == l.fields && kinds[0] == l.kinds[0] && (kinds[0] == kindNumber || kinds[0] == kindTime)
}

// conforms says whether a line has the shape of a usual row.
func (l *layout) conforms(kinds []fieldKind) bool {
	if len(kinds) != l.fields && len(kinds) != l.fields-1 || len(kinds) == 0 {
		return false
	}
	values := 0
	for j, k := range kinds {
		want := l.kinds[j]
		switch {
		case k == kindEmpty:
		case want == kindText || want == kindEmpty:
		case k != want:
			return false
		default:
			values++
		}
	}
	return values > 0
}

// headRows finds the names and the units of the columns among the lines above
// the first data row, and how many lines of each sort there are.
type headRows struct {
	names, units       []string
	rows               int // rows of names and units
	preamble, comments int
	line               int // of the names
	above              []string
	aboveLines         []int // of above
	unitLines          []int
	namedLine          int // of the names, where they stand in namesFromPreamble
	namesFromPreamble  string
	commentHead        bool
}

func findHead(lines []sniffLine, l layout) headRows {
	var h headRows
	var splitter fieldSplitter
	type row struct {
		cells []string
		line  int
	}
	var plain, comment []row
	for _, line := range lines[:l.first] {
		text := trimBlank(line.text)
		if len(text) == 0 {
			continue
		}
		isNote := isComment(line.text, l.separator)
		h.above, h.aboveLines = append(h.above, string(text)), append(h.aboveLines, line.number)
		if isNote {
			h.comments++
			text = trimBlank(bytes.TrimLeft(text, "#%;/~ "))
		} else {
			text = line.text
		}
		var cells []string
		for _, f := range splitter.split(text, l.separator) {
			cells = append(cells, string(trimBlank(f.text)))
		}
		if isNote {
			comment = append(comment, row{cells, line.number})
		} else {
			plain = append(plain, row{cells, line.number})
		}
	}
	units := 0 // rows of units right above the data
	n := len(plain)
	for units < n-1 && units < mostUnitRows && isUnitRow(plain[n-1-units].cells) {
		units++
	}
	if units > 0 && fitsHead(plain[n-1-units].cells, l) {
		h.names, h.line, h.rows = plain[n-1-units].cells, plain[n-1-units].line, 1+units
		for k := n - units; k < n; k++ {
			h.units, h.unitLines = firstUnits(h.units, plain[k].cells), append(h.unitLines, plain[k].line)
		}
	} else if n > 0 && fitsHead(plain[n-1].cells, l) {
		h.names, h.line, h.rows = plain[n-1].cells, plain[n-1].line, 1
	} else if n == 0 && len(comment) > 0 && fitsHead(comment[len(comment)-1].cells, l) && (l.fields > 1 || recognised(comment[len(comment)-1].cells) > 0) {
		last := comment[len(comment)-1]
		h.names, h.line, h.rows, h.commentHead = last.cells, last.line, 1, true
		h.comments--
	}
	h.preamble = len(plain)
	if !h.commentHead {
		h.preamble -= h.rows
	}
	if recognised(h.names) == 0 {
		h.nameFromPreamble(l)
	}
	return h
}

// mostUnitRows is how many rows of units may stand under a head.
const mostUnitRows = 3

// firstUnits fills what units have no cell yet from a further row.
func firstUnits(units, more []string) []string {
	for i, c := range more {
		if i >= len(units) {
			units = append(units, c)
		} else if findUnit(units[i]) == nil {
			units[i] = c
		}
	}
	return units
}

// isUnitRow says whether every cell that is not empty is a unit.
func isUnitRow(cells []string) bool {
	found := 0
	for _, c := range cells {
		if bracketed(c) && findUnit(c) == nil { // a unit of its own
			continue
		}
		c = strings.Trim(c, "[]() ")
		if c == "" || c == "-" || c == "1" || strings.ContainsAny(c, ":") && strings.Contains(strings.ToLower(c), "mm") {
			continue
		}
		if foreignUnit(c) || unitRowWords[strings.ToLower(c)] {
			continue
		}
		if findUnit(c) == nil {
			return false
		}
		found++
	}
	return found > 0
}

func bracketed(cell string) bool {
	return len(cell) > 2 && (cell[0] == '[' && cell[len(cell)-1] == ']' || cell[0] == '(' && cell[len(cell)-1] == ')')
}

// unitRowWords stand in rows of units for columns that have none.
var unitRowWords = set("n/a", "na", "none", "text", "string", "float", "double", "int", "integer", "bool", "abs", "rel", "smp", "actual", "count", "#")

// fitsHead says whether the cells can name the columns: about as many as a row
// has, and none of them a number.
func fitsHead(cells []string, l layout) bool {
	if len(cells) < l.fields-1 || len(cells) < 1 {
		return false
	}
	named := 0
	for _, c := range cells {
		switch kindOf([]byte(c), l.decimal) {
		case kindText:
			named++
		case kindNumber, kindTime:
			return false
		}
	}
	return named > 0 && named*2 >= l.fields
}

func recognised(names []string) int {
	n := 0
	for _, name := range names {
		h := parseHead(name)
		if _, score := h.channel(); score >= leastScore {
			n++
		}
	}
	return n
}

// nameFromPreamble takes the names from a line above the data that lists them
// in order, such as "columns are: time, current, voltage", if it lists exactly
// as many as a row has.
func (h *headRows) nameFromPreamble(l layout) {
	for k, line := range h.above {
		if _, after, found := strings.Cut(line, ":"); found {
			line = after
		} else if _, after, found := strings.Cut(line, "\t"); found {
			line = after
		}
		line = strings.Replace(line, ", and ", ", ", 1)
		line = strings.TrimSuffix(strings.TrimSpace(line), ".")
		names := strings.Split(line, ",")
		for i := range names {
			names[i] = strings.TrimSpace(names[i])
		}
		if len(names) == l.fields && recognised(names)*2 > l.fields && recognised(names) >= 2 {
			h.names, h.units, h.namesFromPreamble, h.namedLine = names, nil, line, h.aboveLines[k]
			return
		}
	}
}
