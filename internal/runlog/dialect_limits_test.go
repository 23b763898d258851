package runlog

import (
	"fmt"
	"strings"
	"testing"
)

func sniffed(text string) []sniffLine { return cutLines([]byte(text), '\n', true) }

// TestLinesOfAPrefix: a prefix that was cut off inside a line gives it up, unless it is the only one.
func TestLinesOfAPrefix(t *testing.T) {
	for _, x := range []struct {
		text  string
		end   byte
		whole bool
		want  string
	}{
		{"", '\n', true, ""}, {"a", '\n', true, "1@0a "}, {"a", '\n', false, "1@0a "}, {"a\nb", '\n', true, "1@0a 2@2b "}, {"a\nb", '\n', false, "1@0a "}, {"a\nb\n", '\n', false, "1@0a 2@2b "}, {"a\r\nb\r\n", '\n', true, "1@0a 2@3b "}, {"\n\n", '\n', true, "1@0 2@1 "}, {"a\rb\r", '\r', true, "1@0a 2@2b "},
	} {
		got := ""
		for _, l := range cutLines([]byte(x.text), x.end, x.whole) {
			got += fmt.Sprintf("%d@%d%s ", l.number, l.offset, l.text)
		}
		if got != x.want {
			t.Errorf("%q: %q, want %q", x.text, got, x.want)
		}
	}
}

func TestCommentsAndKinds(t *testing.T) {
	for text, want := range map[string]bool{"# x": true, "  % x": true, "~x": true, "// x": true, "/ x": false, "; x": true, "x # y": false, "": false, "   ": false, "-": false} {
		if got := isComment([]byte(text), ','); got != want {
			t.Errorf("%q is a comment: %t", text, got)
		}
	}
	if isComment([]byte(";x"), ';') || !isComment([]byte("#x"), ';') {
		t.Error("a semicolon that separates")
	}
	for text, want := range map[string]fieldKind{"": kindEmpty, " nan ": kindEmpty, "--": kindEmpty, "12.5": kindNumber, "-3": kindNumber, "12 V": kindNumber, "5mA": kindNumber, "12 parsec": kindText, "10:11:12": kindTime, "2026-04-12": kindTime, "1 May 2026": kindTime, "abc": kindText, "12.4.2026": kindTime, "12,5": kindText, "0x10": kindText} {
		if got := kindOf([]byte(text), '.'); got != want {
			t.Errorf("%q is of kind %d, want %d", text, got, want)
		}
	}
	if kindOf([]byte("12,5"), ',') != kindNumber || kindOf([]byte("12.5"), ',') != kindText {
		t.Error("a decimal comma")
	}
}

// TestRowsOfUnits: a row that has at least one unit and otherwise what stands where there is none.
func TestRowsOfUnits(t *testing.T) {
	for _, x := range []struct {
		cells string
		want  bool
	}{
		{"s|V|A", true}, {"[s]|[V]|[A]", true}, {"(s)|V|", true}, {"s|-|1", true}, {"hh:mm:ss|V|A", true}, {"MM:SS|V", true}, {"ab:cd|V", false}, {"[raw]|[x]|[V]", true}, {"[raw]|[x]", false}, {"-|1|", false}, {"", false}, {"V/s|V", true}, {"V/s|Hz", false}, {"n/a|A", true}, {"None|TEXT|A", true}, {"smp|actual|count|A", true}, {"volts|foo", false}, {"V|start", false}, {"[]|V", true}, {"()|A", true}, {"[x|V", false}, {"#|A", true},
	} {
		if got := isUnitRow(strings.Split(x.cells, "|")); got != x.want {
			t.Errorf("%q: %t", x.cells, got)
		}
	}
	for cell, want := range map[string]bool{"[V]": true, "(V)": true, "[]": false, "[V)": false, "(V]": false, "V": false, "[V": false, "": false, "[mean]": true} {
		if bracketed(cell) != want {
			t.Errorf("%q is in brackets: %t", cell, !want)
		}
	}
	for _, x := range []struct{ have, more, want string }{{"s|raw|A", "ms|V|mA", "s|V|A"}, {"s", "x|V", "s|V"}, {"", "s|V", "s|V"}, {"s|V|A", "x", "s|V|A"}, {"raw", "x", "x"}} {
		var have []string
		if x.have != "" {
			have = strings.Split(x.have, "|")
		}
		if got := strings.Join(firstUnits(have, strings.Split(x.more, "|")), "|"); got != x.want {
			t.Errorf("%s and %s: %s, want %s", x.have, x.more, got, x.want)
		}
	}
}

// TestHeadsThatFit: a head names about as many columns as a row has, and none of its cells is a number or a time.
func TestHeadsThatFit(t *testing.T) {
	for _, x := range []struct {
		cells  string
		fields int
		want   bool
	}{
		{"t|U|I", 3, true}, {"t|U", 3, true}, {"t", 3, false}, {"t|U|I|x|y", 3, true}, {"t|5|I", 3, false}, {"t|10:11:12|I", 3, false}, {"t||", 3, false}, {"t||I", 3, true}, {"t|||", 4, false}, {"t|U||", 4, true}, {"", 1, false}, {"x", 1, true}, {"nan|-|t", 3, false}, {"x", 2, true}, {"", 0, false},
	} {
		if got := fitsHead(strings.Split(x.cells, "|"), layout{fields: x.fields, decimal: '.'}); got != x.want {
			t.Errorf("%q for %d columns: %t", x.cells, x.fields, got)
		}
	}
}

// TestShapesOfRows: which lines have the shape of a usual row, and which above the first one begin as one.
func TestShapesOfRows(t *testing.T) {
	kinds := func(text string) []fieldKind {
		var out []fieldKind
		for _, c := range text {
			out = append(out, map[rune]fieldKind{'n': kindNumber, 't': kindTime, 'x': kindText, '_': kindEmpty}[c])
		}
		return out
	}
	for _, x := range []struct {
		usual, line      string
		conforms, begins bool
	}{
		{"nnn", "nnn", true, true}, {"nnn", "nn", true, false}, {"nnn", "n", false, false}, {"nnn", "nnnn", false, false}, {"nnn", "nxn", false, true}, {"nnn", "xnn", false, false}, {"nnn", "___", false, false}, {"nnn", "n__", true, true}, {"nnn", "", false, false}, {"n", "", false, false},
		{"tnx", "tnx", true, true}, {"tnx", "tn_", true, true}, {"tnx", "tnn", true, true}, {"tnx", "nnx", false, false}, {"xnn", "xnn", true, false}, {"xnn", "nnn", true, false}, {"x_n", "xxn", true, false}, {"x_x", "xxx", false, false}, {"n_n", "nxn", true, true}, {"nn", "tn", false, false},
	} {
		l := layout{fields: len(x.usual), kinds: kinds(x.usual)}
		if got := l.conforms(kinds(x.line)); got != x.conforms {
			t.Errorf("%s in %s: conforms %t", x.line, x.usual, got)
		}
		if len(x.line) > 0 {
			if got := l.begins(kinds(x.line)); got != x.begins {
				t.Errorf("%s in %s: begins %t", x.line, x.usual, got)
			}
		}
	}
	for _, x := range []struct {
		rows string
		n    int
		want string
	}{{"nnn nnx nnn", 3, "nnn"}, {"nx nn nx", 2, "nx"}, {"n_ n_ nx", 2, "nx"}, {"n_ n_", 2, "n_"}, {"nt nn", 2, "nn"}, {"nx nt", 2, "nt"}, {"nnn nn xx", 2, "nn"}, {"nnn xx xx", 3, "xxn"}, {"nnnn n", 3, "___"}} {
		var rows [][]fieldKind
		for _, r := range strings.Fields(x.rows) {
			rows = append(rows, kinds(r))
		}
		if got := fmt.Sprint(columnKinds(rows, x.n)); got != fmt.Sprint(kinds(x.want)) {
			t.Errorf("%s: %s, want %v", x.rows, got, kinds(x.want))
		}
	}
}

// TestLayouts: of the separators and decimal signs the pair that most lines are rows of numbers under.
func TestLayouts(t *testing.T) {
	many := func(n int, line string) string { return strings.Repeat(line+"\n", n) }
	for _, x := range []struct {
		name, text, separator, decimal string
		want                           string
	}{
		{"commas", "t,U\n" + many(5, "1,2"), "", "", "comma . 2 from 1, 5 rows"}, {"semicolons with commas", "t;U\n" + many(5, "1,5;2,5"), "", "", "semicolon , 2 from 1, 5 rows"}, {"semicolons with points", "t;U\n" + many(5, "1.5;2.5"), "", "", "semicolon . 2 from 1, 5 rows"}, {"tabs", "t\tU\n" + many(5, "1\t2"), "", "", "tab . 2 from 1, 5 rows"}, {"blanks", "t U\n" + many(5, "1  2"), "", "", "space . 2 from 1, 5 rows"}, {"bars", "t|U\n" + many(5, "1|2"), "", "", "bar . 2 from 1, 5 rows"},
		{"a comma for both needs quotes", "t,U\n" + many(5, "\"1,5\",\"2,5\""), "", "", "comma , 2 from 1, 5 rows"}, {"stated", "t;U\n" + many(5, "1,5;2,5"), "comma", "", "comma . 3 from 1, 5 rows"}, {"a stated decimal", "t;U\n" + many(5, "1,5;2,5"), "", "comma", "semicolon , 2 from 1, 5 rows"}, {"nothing", "abc\n", "", "", "none"}, {"no line", "", "", "", "none"},
		{"tabs in nine lines of ten", many(9, "1\t2") + "1 2\n", "", "", "space . 2 from 0, 10 rows"}, {"in ten of eleven", many(10, "1\t2") + "1 2\n", "", "", "tab . 2 from 0, 10 rows"}, {"tabs, and blanks within", many(19, "1 2\t3 4") + many(1, "1"), "", "", "tab . 1 from 19, 1 rows"}, {"one trailing separator", many(5, "1,2,"), "", "", "comma . 2 from 0, 5 rows"}, {"two trailing separators", many(5, "1,2,,"), "", "", "comma . 3 from 0, 5 rows"},
		{"a last column that one row in eleven has", many(10, "1,2") + "1,2,3\n", "", "", "comma . 2 from 0, 10 rows"}, {"that one in nine has", many(9, "1,2") + "1,2,3\n", "", "", "comma . 3 from 0, 10 rows"}, {"as many of either", many(5, "1,2") + many(5, "1,2,3"), "", "", "comma . 3 from 0, 10 rows"},
		{"comments and blank lines", "# x,1\n\n" + many(5, "1,2") + "# 1,2\n", "", "", "comma . 2 from 2, 5 rows"}, {"a row with a fault above", "t,U\n1,OL\n" + many(5, "1,2"), "", "", "comma . 2 from 1, 5 rows"}, {"two of them", "t,U\n1,OL\n2,OL\n" + many(5, "1,2"), "", "", "comma . 2 from 1, 5 rows"}, {"a line of words above", "t,U\nx,OL\n" + many(5, "1,2"), "", "", "comma . 2 from 2, 5 rows"},
		{"dates are rows", many(5, "2026-04-12 10:00:00;26"), "", "", "semicolon . 2 from 0, 5 rows"}, {"words beside a number", many(5, "a,b,1"), "", "", "comma . 3 from 0, 5 rows"},
	} {
		best, _ := findLayout(sniffed(x.text), x.separator, x.decimal)
		got := "none"
		if best.rows > 0 {
			got = fmt.Sprintf("%s %c %d from %d, %d rows", separatorWord(best.separator), best.decimal, best.fields, best.first, best.rows)
		}
		if got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
	best, second := findLayout(sniffed(many(5, "1,5")), "", "")
	if best.separator != ',' || best.fields != 2 || second.decimal != ',' || second.fields != 1 || second.rows != 5 {
		t.Errorf("the second best is %+v", second)
	}
}

// TestHeadsAbove: the names, the units and what else stands above the rows.
func TestHeadsAbove(t *testing.T) {
	rows := strings.Repeat("1,2,3\n", 9)
	for _, x := range []struct{ name, above, want string }{
		{"none", "", "[] [] 0 rows, 0 above, 0 comments, line 0"}, {"one", "t,U,I\n", "[t U I] [] 1 rows, 0 above, 0 comments, line 1"}, {"units", "t,U,I\ns,V,A\n", "[t U I] [s V A] 2 rows, 0 above, 0 comments, line 1"}, {"units alone are the names", "s,V,A\n", "[s V A] [] 1 rows, 0 above, 0 comments, line 1"},
		{"two rows of units", "t,U,I\n[raw],V,A\ns,mV,A\n", "[t U I] [s V A] 3 rows, 0 above, 0 comments, line 1"}, {"three", "t,U,I\nx/s,V,[r]\n[r],[r],A\ns,mV,mA\n", "[t U I] [s V A] 4 rows, 0 above, 0 comments, line 1"}, {"three with a unit each", "t,U,I\ns,V,[r]\n[r],V,[r]\ns,mV,mA\n", "[t U I] [s V mA] 4 rows, 0 above, 0 comments, line 1"}, {"four are too many", "t,U,I\ns,V,A\ns,V,A\ns,V,A\ns,V,A\n", "[s V A] [s V A] 4 rows, 1 above, 0 comments, line 2"},
		{"a preamble", "Logger,7\nx\n\nt,U,I\n", "[t U I] [] 1 rows, 2 above, 0 comments, line 4"}, {"a preamble and units", "Logger,7\nt,U,I\ns,V,A\n", "[t U I] [s V A] 2 rows, 1 above, 0 comments, line 2"}, {"names that are too few above units", "t\ns,V,A\n", "[s V A] [] 1 rows, 1 above, 0 comments, line 2"},
		{"a comment", "# made up\nt,U,I\n", "[t U I] [] 1 rows, 0 above, 1 comments, line 2"}, {"the head in a comment", "# made up\n# t,U,I\n", "[t U I] [] 1 rows, 0 above, 1 comments, line 2"}, {"a comment that is no head", "# made up\n", "[] [] 0 rows, 0 above, 1 comments, line 0"}, {"a comment above lines that are no head", "# t,U,I\nx\n", "[# t U I] [] 0 rows, 1 above, 1 comments, line 0"},
		{"the names in a sentence", "Columns are: time, current, and voltage.\n", "[time current voltage] [] 0 rows, 1 above, 0 comments, line 0"}, {"behind a colon alone", ":time, current, voltage\n", "[time current voltage] [] 0 rows, 1 above, 0 comments, line 0"}, {"behind a tab", "Columns\ttime, current, voltage\n", "[time current voltage] [] 0 rows, 1 above, 0 comments, line 0"}, {"in a sentence that names one", "Columns: time, a, b\n", "[] [] 0 rows, 1 above, 0 comments, line 0"}, {"that names two of three", "Columns: time, a, voltage\n", "[time a voltage] [] 0 rows, 1 above, 0 comments, line 0"}, {"in a sentence of four", "Columns: time, current, voltage, power\n", "[] [] 0 rows, 1 above, 0 comments, line 0"}, {"in the first of two", "A: time, current, voltage\nB: voltage, current, time\n", "[time current voltage] [] 0 rows, 2 above, 0 comments, line 0"},
	} {
		separator, below := "comma", rows
		if strings.ContainsAny(x.above, ":\t") { // a sentence has commas of its own
			separator, below = "semicolon", strings.ReplaceAll(rows, ",", ";")
		}
		lines := sniffed(x.above + below)
		l, _ := findLayout(lines, separator, "point")
		h := findHead(lines, l)
		if got := fmt.Sprintf("%v %v %d rows, %d above, %d comments, line %d", h.names, h.units, h.rows, h.preamble, h.comments, h.line); got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
	lines := sniffed("# t\n1\n2\n")
	l, _ := findLayout(lines, "comma", "point")
	if h := findHead(lines, l); len(h.names) != 1 || !h.commentHead { // a single column is one whose name is known
		t.Errorf("%+v", h)
	}
	lines = sniffed("# diary\n1\n2\n")
	if h := findHead(lines, l); len(h.names) != 0 {
		t.Errorf("%+v", h)
	}
}

func TestNamesAboveAndThousands(t *testing.T) {
	for _, x := range []struct {
		text string
		want int
	}{{"t,U,I\n1,2,3\n", 3}, {"t,U,\n1,2,3\n", 2}, {"t,U,I\n\n# x\n1,2,3\n", 3}, {"t,5,I\n1,x,3\n1,2,3\n", 0}, {"1,2,3\n", 0}, {"a\nt,U,I\n1,2,3\n", 3}} {
		lines := sniffed(x.text)
		l := layout{separator: ',', decimal: '.', first: len(lines) - 1, fields: 3}
		if got := namesAbove(lines, l); got != x.want {
			t.Errorf("%q: %d names, want %d", x.text, got, x.want)
		}
	}
	for _, x := range []struct {
		text string
		want bool
	}{{"1;26,500\n", true}, {"1;26,50\n", false}, {"1;26,5000\n", false}, {"1;0,500\n", false}, {"1;126,500\n", true}, {"1;1265,500\n", false}, {"1;-26,500\n", true}, {"1;+26,500\n", true}, {"1;26\n", false}, {"1;26,500\n2;26,50\n", false}, {"1;a,bcd\n2;26,500\n", true}, {"1;,500\n", false}} {
		lines := sniffed(x.text)
		if got := thousandsLike(layout{separator: ';', decimal: ','}, lines); got != x.want {
			t.Errorf("%q: %t", x.text, got)
		}
	}
}
