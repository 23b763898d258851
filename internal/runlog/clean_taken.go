package runlog

import (
	"fmt"
	"slices"
	"strings"
)

// Taken says what a log lost on its way out of the journal.
type Taken struct {
	Places   []string // heads of the columns that said where, or what goes with it
	Zoned    []string // the same, of which what lies outside all zones stays
	Columns  []string // heads of other columns
	Above    int      // lines above the table
	Told     []string // what those lines and others look to have told: a serial number, a name
	Heads    int      // heads that lost words
	Comments int      // comments and other lines between the rows
	Cells    int      // cells that held something else than their column
	Rows     int      // rows that are left out when the log is read, and are empty now
}

func (t *Taken) told(what []string) {
	for _, w := range what {
		if !slices.Contains(t.Told, w) {
			t.Told = append(t.Told, w)
		}
	}
}

// Words says it in phrases, for a list.
func (t Taken) Words() []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if len(t.Places) > 0 {
		add("where it was (%s)", strings.Join(t.Places, ", "))
	}
	if len(t.Zoned) > 0 {
		add("where it was near its start, its end and its long stops (%s)", strings.Join(t.Zoned, ", "))
	}
	if len(t.Columns) > 0 {
		add("%s that nobody reads (%s)", plural(len(t.Columns), "column"), strings.Join(t.Columns, ", "))
	}
	if t.Above > 0 {
		text := plural(t.Above, "line") + " above the table"
		if len(t.Told) > 0 {
			text += " (" + strings.Join(t.Told, ", ") + ")"
		}
		out = append(out, text)
	}
	for _, x := range []struct {
		n                 int
		before, noun, and string
	}{{t.Heads, "words of ", "head", ""}, {t.Comments, "", "line", " between the rows"}, {t.Cells, "", "cell", " that held something else than the column"}, {t.Rows, "", "row", " that could not be read"}} {
		if x.n > 0 {
			add("%s%s%s", x.before, plural(x.n, x.noun), x.and)
		}
	}
	return out
}
