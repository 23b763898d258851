package runlog

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"voltwright/internal/finding"
)

// TestLinesAcrossTheBuffer: lines, and fields that go on in the next line, where the buffer of the reader ends at any byte of them.
func TestLinesAcrossTheBuffer(t *testing.T) {
	text := "first\r\nsecond line\n\nthird\nfourth and last"
	want := "1@0 first|2@7 second line|3@19 |4@20 third|5@26 fourth and last|"
	for room := 17; room < 60; room++ {
		for _, pieces := range []bool{false, true} {
			var r io.Reader = strings.NewReader(text)
			if pieces {
				r = iotest.OneByteReader(r)
			}
			l := &lineReader{r: r, buf: make([]byte, 0, room), end: '\n'}
			l.fill()
			got := ""
			for {
				line, offset, long, ok := l.next()
				if !ok {
					break
				}
				if long {
					got += "long "
				}
				got += fmt.Sprintf("%d@%d %s|", l.number, offset, line)
			}
			if got != want || l.err != nil {
				t.Fatalf("a buffer of %d bytes: %q", room, got)
			}
			if _, _, _, ok := l.next(); ok {
				t.Fatal("a line behind the last")
			}
		}
	}
	// The second line is lengthened by the two after it, and then all of it is taken back.
	for room := 35; room < 60; room++ { // with a byte to see that nothing follows
		l := &lineReader{r: strings.NewReader(text), buf: make([]byte, 0, room), end: '\n'}
		l.fill()
		l.next()
		line, offset, _, _ := l.next()
		first, number := len(line), l.number
		for _, want := range []string{"second line\n", "second line\n\nthird", "second line\n\nthird\nfourth and last"} {
			longer, ok := l.more(offset)
			if !ok || string(longer) != want {
				t.Fatalf("a buffer of %d bytes: %q, %t, want %q", room, longer, ok, want)
			}
		}
		if _, ok := l.more(offset); ok || l.number != 5 {
			t.Fatalf("a line behind the last, or not the fifth: %d", l.number)
		}
		if back := l.backTo(offset, first, number); string(back) != "second line" || l.number != 2 {
			t.Fatalf("back to %q, line %d", back, l.number)
		}
		if line, offset, _, ok := l.next(); !ok || len(line) != 0 || offset != 19 || l.number != 3 {
			t.Fatalf("then %q @%d, line %d", line, offset, l.number)
		}
	}
	l := &lineReader{r: strings.NewReader(text), buf: make([]byte, 0, 30), end: '\n'} // too little room for all of it
	l.fill()
	l.next()
	_, offset, _, _ := l.next()
	l.more(offset)
	l.more(offset)
	if longer, ok := l.more(offset); ok {
		t.Errorf("%q has no room", longer)
	}
	if line, _, _, ok := l.next(); !ok || string(line) != "fourth and last" {
		t.Errorf("what had no room is gone: %q", line)
	}
	l = &lineReader{r: strings.NewReader("only"), buf: make([]byte, 0, 30), end: '\n'}
	l.fill()
	line, offset, _, _ := l.next()
	if back := l.backTo(offset, len(line), 1); string(back) != "only" {
		t.Errorf("back to %q", back)
	}
	if _, _, _, ok := l.next(); ok {
		t.Error("a line behind the only one")
	}
}

// TestQuotesAcrossTheBuffer: no row is lost where the buffer of the reader ends before, at or behind a quote, or the line end that a
// quoted field holds, whether the log ends there or goes on.
func TestQuotesAcrossTheBuffer(t *testing.T) {
	for _, end := range []string{"\n", "\r\n"} {
		const row = "1,25.0,5,\"up@and on\""
		for _, at := range []int{strings.Index(row, `"`), strings.Index(row, "@"), len(row) - 1, len(row), len(row) + len(end)} {
			for _, tail := range []int{0, 9} {
				head := "time (s),voltage (V),discharge current (A),note" + end
				line := "1,25.0,5,on" + end
				n := (sniffSize - at - len(head)) / len(line)
				text := head + strings.Repeat(line, n-1)
				text += strings.Replace(line, "on", strings.Repeat("o", sniffSize-at-len(text)-len(line)+2), 1)
				text += strings.Replace(row, "@", end, 1)
				if tail > 0 {
					text += end + strings.Repeat(line, tail)
				}
				s, err := NewScanner(finding.NewStream("x.csv"), strings.NewReader(text), NewOptions())
				if err != nil {
					t.Fatal(err)
				}
				rows := 0
				for {
					if _, ok := s.Next(); !ok {
						break
					}
					rows++
				}
				if rows != n+1+tail || s.Skipped() > 0 || text[sniffSize-at] != row[0] {
					t.Errorf("lines that end with %q, the end of the buffer at byte %d of the row, %d rows behind it: %d rows of %d, %v", end, at, tail, rows, n+1+tail, s.Findings())
				}
			}
		}
	}
}

// TestLongestLine: 64 KiB are read, a byte more is not, and neither is a quoted field that grows beyond it.
func TestLongestLine(t *testing.T) {
	for _, x := range []struct {
		n    int
		end  string
		long bool
	}{{maxLine, "\nx\n", false}, {maxLine + 1, "\nx\n", true}, {maxLine, "", false}, {maxLine + 1, "", true}, {300 << 10, "\nx\n", true}, {300 << 10, "", true}} {
		l := newLineReader(strings.NewReader(strings.Repeat("a", x.n) + x.end))
		line, offset, long, ok := l.next()
		if !ok || long != x.long || offset != 0 || !long && len(line) != x.n || long && len(line) != 64 {
			t.Errorf("%d bytes: %d, long %t", x.n, len(line), long)
		}
		line, _, _, ok = l.next()
		if ok != (x.end != "") || ok && (string(line) != "x" || l.number != 2) {
			t.Errorf("behind %d bytes: %q, %t, line %d", x.n, line, ok, l.number)
		}
	}
	for _, n := range []int{maxLine - 1, maxLine} {
		l := newLineReader(strings.NewReader("\"\n" + strings.Repeat("a", n-1) + "\nx\n"))
		_, offset, _, _ := l.next()
		if longer, ok := l.more(offset); ok != (n == maxLine-1) || ok && len(longer) != maxLine {
			t.Errorf("a field of %d bytes: %d, %t", n, len(longer), ok)
		}
	}
}

// TestFieldsOfALine: how a line is cut, and where its fields stand.
func TestFieldsOfALine(t *testing.T) {
	for _, x := range []struct {
		separator  byte
		line, want string
	}{
		{',', "a,b,c", "0a 2b 4c"}, {',', "", "0"}, {',', ",", "0 1"}, {',', "a,", "0a 2"}, {',', " a ,\tb", "1a  5b"}, {'\t', "a\tb", "0a 2b"}, {'\t', " a\t\tb ", "0 a 3 4b "}, {'\t', "\ta", "0 1a"}, {' ', "a b", "0a 2b"}, {' ', "  a\t b  ", "2a 5b"}, {' ', "   ", "3"}, {' ', "a\tb", "0a 2b"}, {'|', "a|b", "0a 2b"},
		{',', `"a","b"`, "0a 4b"}, {',', `"a,b",c`, "0a,b 6c"}, {',', `"a ""b""",c`, `0a "b" 10c`}, {',', `"",c`, "0 3c"}, {',', `"a" ,c`, "0a 5c"}, {',', `"a"x,c`, "0ax 5c"}, {',', `"a"" x",c`, `0a" x 8c`}, {',', `a"b,c`, `0a"b 4c`}, {' ', `"a b" c`, "0a b 6c"}, {' ', "\"a\"\tc", "0a 4c"}, {' ', `"a"x c`, "0ax 5c"}, {'\t', "\"a\tb\"\tc", "0a\tb 6c"}, {';', `"a";"b" ; "c"`, "0a 4b 10c"}, {',', `"a""",c`, `0a" 6c`}, {',', `"a"" "" b"`, `0a" " b`},
		{',', `"open`, "0open open"}, {',', `a,"open,b`, "0a 2open,b open"}, {',', `"a""`, `0 open`}, {',', `"`, "0 open"},
	} {
		var s fieldSplitter
		got := ""
		for _, f := range s.split([]byte(x.line), x.separator) {
			got += fmt.Sprintf("%d%s ", f.start, f.text)
		}
		if s.open {
			got += "open "
		}
		if strings.TrimSuffix(got, " ") != x.want {
			t.Errorf("%q at %q: %q, want %q", x.line, x.separator, got, x.want)
		}
	}
}

// TestEncodings: a text of two bytes to a letter, with a mark and without one.
func TestEncodings(t *testing.T) {
	wide := func(text string, high bool) []byte {
		var out []byte
		for k := range len(text) {
			if high {
				out = append(out, 0, text[k])
			} else {
				out = append(out, text[k], 0)
			}
		}
		return out
	}
	filled := func(n, zeros, other int) []byte { // n pairs; zeros of the second bytes and other of the first ones are zero
		out := bytes.Repeat([]byte("ab"), n)
		for k := range zeros {
			out[2*k+1] = 0
		}
		for k := range other {
			out[2*(n-1-k)] = 0
		}
		return out
	}
	swap := func(b []byte) []byte {
		for k := 0; k+1 < len(b); k += 2 {
			b[k], b[k+1] = b[k+1], b[k]
		}
		return b
	}
	const low, high = "UTF-16, low byte first", "UTF-16, high byte first"
	for _, x := range []struct {
		name string
		text []byte
		want string
	}{
		{"plain", []byte("time,voltage"), ""}, {"low, marked", append([]byte{0xff, 0xfe}, wide("ab", false)...), low}, {"high, marked", append([]byte{0xfe, 0xff}, wide("ab", true)...), high}, {"low", wide("time", false), low}, {"high", wide("time", true), high}, {"three letters are too few", wide("tim", false), ""}, {"four are enough", wide("time", true), high}, {"none", nil, ""},
		{"three quarters of forty", filled(40, 30, 0), ""}, {"one more", filled(40, 31, 0), low}, {"two zeros elsewhere", filled(40, 37, 2), low}, {"three", filled(40, 37, 3), ""}, {"one more, high", swap(filled(40, 31, 0)), high}, {"three quarters, high", swap(filled(40, 30, 0)), ""}, {"two elsewhere, high", swap(filled(40, 37, 2)), high}, {"three elsewhere, high", swap(filled(40, 37, 3)), ""},
		{"only the beginning counts", append(bytes.Repeat([]byte("ab"), 256), bytes.Repeat([]byte{'a', 0}, 5000)...), ""},
	} {
		r, got := utf8Of(bytes.NewReader(x.text))
		if got != x.want {
			t.Errorf("%s: %q", x.name, got)
		}
		all, err := io.ReadAll(r)
		if err != nil || got == "" && !bytes.Equal(all, x.text) {
			t.Errorf("%s: %q, %v", x.name, all, err)
		}
	}
	r, _ := utf8Of(bytes.NewReader(append([]byte{0xfe, 0xff}, wide("time", true)...)))
	if all, _ := io.ReadAll(r); !strings.HasSuffix(string(all), "time") {
		t.Errorf("%q", all)
	}
}

// TestNumbersAtTheirLimits: what is a number up to its stop, and what a field holds beside it.
func TestNumbersAtTheirLimits(t *testing.T) {
	for _, x := range []struct {
		text          string
		from          int
		stop, decimal byte
		want          float64
		end           int
		ok            bool
	}{
		{"12;3", 0, ';', '.', 12, 2, true}, {"12;3", 3, ';', '.', 3, 4, true}, {"12", 0, ';', '.', 12, 2, true}, {"-12.5;", 0, ';', '.', -12.5, 5, true}, {"+.5;", 0, ';', '.', 0.5, 3, true}, {"5.;", 0, ';', '.', 5, 2, true}, {"5,;", 0, ';', ',', 0, 2, false}, {"5,2;", 0, ';', ',', 5.2, 3, true}, {"5,2", 0, ',', ',', 5, 1, true}, {"5.2", 0, ';', ',', 0, 1, false},
		{"1e3;", 0, ';', '.', 1000, 3, true}, {"1E-3;", 0, ';', '.', 0.001, 4, true}, {"1e+3", 0, ';', '.', 1000, 4, true}, {"1e;", 0, ';', '.', 0, 2, false}, {"1e5:3", 0, ':', '.', 1e5, 3, true}, {"1e-;", 0, ';', '.', 0, 3, false}, {"1.5e3", 0, ';', '.', 1500, 5, true}, {"x", 0, ';', '.', 0, 0, false}, {"-;", 0, ';', '.', 0, 1, false}, {".;", 0, ';', '.', 0, 1, false}, {"", 0, ';', '.', 0, 0, false}, {";", 0, ';', '.', 0, 0, false}, {"1 ;", 0, ';', '.', 0, 1, false}, {"--1", 0, ';', '.', 0, 1, false}, {"1e99999999999", 0, ';', '.', 0, 13, false}, {"1e-99999999999", 0, ';', '.', 0, 14, true},
		{"9007199254740992", 0, ';', '.', 9007199254740992, 16, true}, {"9007199254740993", 0, ';', '.', 9007199254740992, 16, true}, {"1e22", 0, ';', '.', 1e22, 4, true}, {"1e23", 0, ';', '.', 1e23, 4, true}, {"1e-22", 0, ';', '.', 1e-22, 5, true}, {"1e-23", 0, ';', '.', 1e-23, 5, true}, {"99999999999999999999", 0, ';', '.', 1e20, 20, true}, {"18446744073709551617", 0, ';', '.', 18446744073709551617, 20, true}, {"0.30000000000000000000001", 0, ';', '.', 0.3, 25, true}, {"1,30000000000000000000001", 0, ';', ',', 1.3, 25, true},
	} {
		v, end, ok := scanNumber([]byte(x.text), x.from, x.stop, x.decimal)
		if ok != x.ok || ok && (v != x.want || end != x.end) {
			t.Errorf("%q from %d: %v to %d, %t; want %v to %d, %t", x.text, x.from, v, end, ok, x.want, x.end, x.ok)
		}
	}
	for _, x := range []struct {
		text   string
		want   float64
		suffix string
		state  fieldState
	}{
		{"5 V", 5, "V", fieldValue}, {"5e3V", 5000, "V", fieldValue}, {"5eV", 5, "eV", fieldValue}, {"5e-V", 5, "e-V", fieldValue}, {"-5.5mA", -5.5, "mA", fieldValue}, {"−5", -5, "", fieldValue}, {"−", 0, "", fieldBad}, {"- 5", 0, "", fieldBad}, {"1.2.3", 0, "", fieldBad}, {"V5", 0, "", fieldBad}, {"nullx", 0, "", fieldBad}, {"NULL", 0, "", fieldHole}, {"#N/A", 0, "", fieldHole}, {"?", 0, "", fieldHole}, {"---", 0, "", fieldHole}, {"----", 0, "", fieldBad}, {"\ufeff5", 5, "", fieldValue}, {"5 %", 5, "%", fieldValue}, {"+", 0, "", fieldBad}, {".", 0, "", fieldBad}, {"5.", 5, "", fieldValue}, {"5. V", 5, "V", fieldValue},
	} {
		v, suffix, state := parseField([]byte(x.text), '.')
		if state != x.state || suffix != x.suffix || state == fieldValue && v != x.want {
			t.Errorf("%q: %v %q %d", x.text, v, suffix, state)
		}
	}
	if v, suffix, state := parseField([]byte("12,5 V"), ','); v != 12.5 || suffix != "V" || state != fieldValue {
		t.Error("a decimal comma before a unit")
	}
}

// TestWhatIsSaidOften: of one rule five are told one by one and the rest as a count; what is counted is told once, with its worst.
func TestWhatIsSaidOften(t *testing.T) {
	src := finding.NewStream("log")
	for n := range 9 {
		tl := &tally{src: src}
		other := finding.Finding{Rule: "other", Text: "once"}
		for k := range n {
			line := []byte("ä row")
			if tl.full("rule") != (k > 5) {
				t.Errorf("%d of %d are full", k, n)
			}
			if k <= 5 {
				tl.add(finding.Finding{Rule: "rule", Level: finding.Warning, Text: fmt.Sprint(k), Span: tl.place(line, k+1, int64(10*k), 3, 2)})
			}
		}
		tl.add(other)
		found := tl.findings()
		want := min(n, 5) + 1
		if n > 5 {
			want++
			if last := found[len(found)-1]; last.Text != fmt.Sprintf("and %d more like it from here on", n-5) || last.Span.Position().Line != 6 || last.Span.Position().Column != 3 || last.Level != finding.Warning {
				t.Errorf("%d: %+v", n, last)
			}
		}
		if len(found) != want {
			t.Errorf("%d: %d are told, want %d", n, len(found), want)
		}
	}
	tl := &tally{src: src}
	for k, amount := range []float64{0.2, 0.7, 0.5} {
		tl.count("a", "x", amount, func() finding.Span { return src.At(int64(k), 0) }, func(n int, worst float64) finding.Finding {
			return finding.Finding{Text: fmt.Sprint(n, " ", worst)}
		})
	}
	tl.count("a", "y", 0.1, noSpan, func(n int, worst float64) finding.Finding { return finding.Finding{Text: fmt.Sprint(n, " ", worst)} })
	if f := tl.findings(); len(f) != 2 || f[0].Text != "3 0.7" || f[0].Rule != "a" || f[0].Span.Start != 0 || f[1].Text != "1 0.1" {
		t.Errorf("%+v", f)
	}
	tl = &tally{quiet: true}
	tl.add(finding.Finding{Rule: "a"})
	tl.count("a", "", 0, noSpan, func(int, float64) finding.Finding { return finding.Finding{} })
	if !tl.full("a") || len(tl.findings()) != 0 {
		t.Error("a probe says something")
	}
}
