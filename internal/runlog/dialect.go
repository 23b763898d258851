package runlog

import (
	"fmt"
	"strings"
)

// Dialect is how a log is written: what was detected or stated.
type Dialect struct {
	Encoding  string // "UTF-8", or "UTF-8 with a byte order mark"
	LineEnd   string // LF, CRLF or CR
	Separator string // comma, semicolon, tab, space or bar
	Decimal   string // point or comma
	Quoted    bool   // some fields are quoted
	HeadRows  int    // rows of names and units
	Preamble  int    // lines above the head that are neither comment nor empty
	Comments  int    // comment lines seen above the data
	FirstData int    // the line of the first data row, from 1

	TimeForm string  // as Options.TimeFormat words it; "" for a split or a missing time column
	Time     string  // the same in words
	TimeFrom string  // why, if it was not plain: "the head names no unit"
	Step     float64 // s, for a log without a time column

	Compared   []Column // second columns of a kind, which are compared with the first
	SecondTime string   // the form of the log's other time in words; "" if it has none
	Positions  bool     // latitude and longitude are read, for the way alone
	NamedStep  float64  // s, an interval that a line above the data names beside a time column; 0 without

	Columns []Column // one per channel that is read, in channel order
	Unused  []string // heads of the columns that are not read

	DischargeNegative bool   // a discharge current is negative in the log
	SignKnown         bool   // stated or found; else positive is assumed
	SignFrom          string // "stated", or what shows it
	HasCurrent        bool
}

// Column is where a channel comes from.
type Column struct {
	Channel Channel
	Number  int    // from 1
	Name    string // its head; "" without one
	Unit    string // as the head names it; "" if it names none
	From    string // "head", "stated", or the evidence it was recognised by
}

var separators = []struct {
	word  string
	char  byte
	words string
}{
	{"comma", ',', "comma-separated"},
	{"semicolon", ';', "semicolon-separated"},
	{"tab", '\t', "tab-separated"},
	{"space", ' ', "separated by spaces"},
	{"bar", '|', "separated by upright bars"},
}

func separatorWord(c byte) string {
	for _, s := range separators {
		if s.char == c {
			return s.word
		}
	}
	return ""
}

// String says the dialect in words, complete: "semicolon-separated, decimal
// comma, 2 head rows, time as h:mm:ss, …".
func (d Dialect) String() string {
	if len(d.Columns) == 0 && d.Separator == "" {
		return "not a log that can be read"
	}
	var parts []string
	add := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	for _, s := range separators {
		if s.word == d.Separator {
			add("%s", s.words)
		}
	}
	add("decimal %s", d.Decimal)
	if d.Quoted {
		add("fields in quotes")
	}
	switch d.HeadRows {
	case 0:
		add("no head")
	case 1:
		add("1 head row")
	default:
		add("%d head rows", d.HeadRows)
	}
	if d.Preamble > 0 {
		add("%s above it", plural(d.Preamble, "line"))
	}
	if d.Comments > 0 {
		add("%s", plural(d.Comments, "comment line"))
	}
	if d.Encoding != "UTF-8" {
		add("%s", d.Encoding)
	}
	if d.LineEnd != "LF" {
		add("lines end in %s", d.LineEnd)
	}
	switch {
	case d.TimeFrom != "":
		add("%s (%s)", d.Time, d.TimeFrom)
	case d.Time != "":
		add("%s", d.Time)
	}
	if d.SecondTime != "" {
		add("beside it %s", d.SecondTime)
	}
	for _, c := range d.Columns {
		if c.Channel != Time {
			add("%s", c.describe())
		}
	}
	for _, c := range d.Compared {
		add("%q for comparison", c.publicName())
	}
	if d.Positions {
		add("the way along the positions, which are kept nowhere")
	}
	if d.HasCurrent {
		sign := "positive"
		if d.DischargeNegative {
			sign = "negative"
		}
		switch {
		case d.SignFrom == "stated":
			add("current %s on discharge (stated)", sign)
		case d.SignKnown:
			add("current %s on discharge (found: %s)", sign, d.SignFrom)
		default:
			add("current taken as %s on discharge (nothing shows its sign)", sign)
		}
	}
	return strings.Join(parts, ", ")
}

func (c Column) describe() string {
	where := fmt.Sprintf("column %d", c.Number)
	if c.Name != "" {
		where = fmt.Sprintf("%q", c.publicName())
	}
	s := fmt.Sprintf("%s from %s", c.Channel, where)
	if c.From != "head" && c.From != "stated" {
		s += " (" + c.From + ")"
	}
	return s
}

// publicName is the head in the words that the reader knows, or as the maker states it.
func (c Column) publicName() string {
	if c.From == "stated" {
		return c.Name
	}
	return PublicHead(c.Name)
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
