package runlog

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// good gives n plain rows of a log with a load that sets in, from row number from.
func good(from, n int) string {
	var b strings.Builder
	for k := from; k < from+n; k++ {
		if k%10 < 3 {
			b.WriteString(itoa(k) + ",26.5,0\n")
		} else {
			b.WriteString(itoa(k) + ",26.1,5\n")
		}
	}
	return b.String()
}

func itoa(n int) string {
	return string(rune('0'+n/100%10)) + string(rune('0'+n/10%10)) + string(rune('0'+n%10))
}

const plainHead = "time_s,voltage_V,current_A\n"

// Each log is read; its findings, with line and column, must be these and no others.
func TestFindingsWithPlaces(t *testing.T) {
	yes := true
	for _, c := range []struct {
		name, text string
		options    func(*Options)
		rows       int
		want       string
	}{
		{"clean", plainHead + good(0, 20), nil, 20, ""},
		{"bad field", plainHead + good(0, 10) + "010,OL,5\n" + good(11, 5), nil, 15,
			"12:5: warning: \"OL\" is no number for the voltage [log-bad-field]\n"},
		{"bad fields first", plainHead + "000,OL,5\n001,26.1,inf\n" + good(2, 10), nil, 10,
			"2:5: warning: \"OL\" is no number for the voltage [log-bad-field]\n" +
				"3:10: warning: \"inf\" is no number for the current [log-bad-field]\n"},
		{"beyond any measuring", plainHead + good(0, 10) + "010,1e200,5\n011,26.1,-3e10\n" + good(12, 5), nil, 15,
			"12:5: warning: \"1e200\" is too great for the voltage [log-bad-field]\n" +
				"13:10: warning: \"-3e10\" is too great for the current [log-bad-field]\n"},
		{"holes stay", plainHead + good(0, 10) + "010,,5\n011,nan,\n" + good(12, 5), nil, 17,
			"13:5: note: \"nan\" instead of a number for the voltage once, first here; the row stays, without it [log-hole]\n"},
		{"short row", plainHead + good(0, 10) + "010,26.", nil, 10,
			"12:7: warning: this row has 2 fields; the current is in column 3 [log-short-row]\n"},
		{"long row", plainHead + good(0, 10) + "010,26,5,4\n" + good(11, 3), nil, 13,
			"12:1: warning: this row has 4 fields where the others have at most 3; its columns may be shifted, so it is left out [log-long-row]\n"},
		{"trailing comma in one row", plainHead + good(0, 10) + "010,26,5,\n", nil, 11, ""},
		{"no time", plainHead + good(0, 10) + ",26.1,5\n" + good(11, 3), nil, 13,
			"12:1: warning: this row has no time and is left out [log-no-time-in-row]\n"},
		{"many bad fields", plainHead + good(0, 300) + strings.Repeat("x,26.1,5\n", 217), nil, 300,
			"302:1: warning: \"x\" is no number for the time [log-bad-field]\n" +
				"303:1: warning: \"x\" is no number for the time [log-bad-field]\n" +
				"304:1: warning: \"x\" is no number for the time [log-bad-field]\n" +
				"305:1: warning: \"x\" is no number for the time [log-bad-field]\n" +
				"306:1: warning: \"x\" is no number for the time [log-bad-field]\n" +
				"307:1: warning: and 212 more like it from here on [log-bad-field]\n"},
		{"column counts characters", "Zeit_s,Träger,voltage_V,current_A\n" + strings.Repeat("1,süß,26.5,0\n", 9) + "2,süß,26.x,5\n", nil, 9,
			"3:1: note: 8 rows repeat the time of the row before, first here; both are kept, as an edge at one instant [log-repeated-time]\n" +
				"11:7: warning: \"26.x\" is no number for the voltage [log-bad-field]\n"},
		{"sign unknown", plainHead + strings.Repeat("1,26.5,2\n", 2), nil, 2,
			"3:1: note: 1 row repeats the time of the row before, first here; both are kept, as an edge at one instant [log-repeated-time]\n" +
				"1:1: warning: nothing in the first 2 rows shows which sign of the current is discharge; positive is assumed [log-sign-unknown]\n"},
		{"clock held", plainHead + good(0, 10) + "010.5,26.1,5\n010.2,26.1,5\n" + good(11, 3), nil, 15,
			"13:1: note: 1 row steps back in time by up to 0.300 s, first here; held at the time before [log-clock-back]\n"},
		{"clock restarted", plainHead + good(20, 10) + good(0, 10), nil, 20,
			"12:1: warning: the clock goes back by 29.000 s: it was set back or the logger started again; the time runs on from the row before and nothing is counted across [log-clock-restart]\n"},
		{"head repeated", plainHead + good(0, 10) + plainHead + good(10, 10), nil, 20,
			"12:1: note: the head row stands in the data again, once: the logger was started anew [log-head-repeated]\n"},
		{"midnight", "time,voltage,current\n" + clocks("23:59:5", 5, 10) + clocks("00:00:0", 0, 10), nil, 15,
			"7:1: note: the clock passes midnight once; the time runs on [log-midnight]\n"},
		{"open quote", "time,voltage,current\n" + good(0, 12) + "\"012,26.1,5\n" + good(13, 9), nil, 21,
			"14:1: warning: a quote is opened here and never closed [log-open-quote]\n"},
		{"unknown column", plainHead + good(0, 10), func(o *Options) { o.Columns = map[Channel]string{Voltage: "voltage_v", Current: "curent_A"} }, 10,
			"1:1: error: no column \"curent_A\" for the current; the log has \"time_s\", \"voltage_V\", \"current_A\" [log-unknown-column]\n"},
		{"number out of range", plainHead + good(0, 10), func(o *Options) { o.Columns = map[Channel]string{Temperature: "#7"} }, 10,
			"1:1: error: no column \"#7\" for the temperature; the log has \"time_s\", \"voltage_V\", \"current_A\" [log-unknown-column]\n"},
		{"sign stated", plainHead + strings.Repeat("1,3,2\n", 9), func(o *Options) { o.DischargeNegative = &yes }, 9,
			"3:1: note: 8 rows repeat the time of the row before, first here; both are kept, as an edge at one instant [log-repeated-time]\n"},
		{"empty", "", nil, 0, "0:0: error: this log is empty [log-empty]\n"},
		{"prose", "Dear diary,\ntoday nothing was logged.\n", nil, 0, "0:0: error: no rows of numbers are found in this file [log-no-rows]\n"},
		{"UTF-16", wideText("\ufeff"+plainHead+good(0, 10), false), nil, 10, ""},
		{"UTF-16, high byte first, no mark", wideText(plainHead+good(0, 10), true), nil, 10, ""},
		{"zero byte", plainHead + good(0, 3) + "004,\x00", nil, 3, "5:5: warning: this line holds zero bytes, as a logger leaves them that loses power while it writes; it is left out [log-zero-bytes]\n"},
		{"zero bytes above the head", "a preamble\n\x00\n" + plainHead + good(0, 10), nil, 10, ""},
		{"zip", "PK\x03\x04rest", nil, 0, "0:0: error: this file is a spreadsheet or another zip archive, not text [log-encoding]\n"},
		{"one number or two", "1,5\n2,5\n3,7\n4,1\n", nil, 0,
			"1:1: error: \"1,5\" may be two whole numbers or one number with a decimal comma: nothing in the log tells [log-decimal-open]\n"},
		{"comma for both", "t,U,I\n0,0,26,5,3,1\n1,0,26,4,3,2\n2,0,26,4,3,1\n", nil, 0,
			"2:1: error: the rows have 6 fields but the head names 3: the comma seems to be both separator and decimal sign [log-decimal-open]\n"},
		{"thousands?", "t;voltage_mV;current_mA\n0;26,500;1,250\n1;26,400;2,500\n2;26,410;1,900\n", nil, 3,
			"2:1: warning: every number with a comma has exactly three digits behind it; the comma is read as the decimal sign, not as a mark of thousands [log-decimal-assumed]\n"},
		{"day or month on one day", "time,voltage,current\n03/04/2026 10:00:00,26.5,0\n03/04/2026 10:00:01,26.1,5\n", nil, 2, ""},
		{"day or month by the span", "time,voltage,current\n03/04/2026 23:59:00,26.5,0\n04/04/2026 00:01:00,26.1,5\n", nil, 2, ""},
		{"day or month", "time,voltage,current\n03/04/2026 10:00:00,26.5,0\n04/05/2026 10:00:01,26.1,5\n", nil, 0,
			"1:1: error: \"03/04/2026 10:00:00\" may be day first or month first: nothing in the log tells [log-time-form]\n"},
		{"day first, stated", "time,voltage,current\n03/04/2026 10:00:00,26.5,0\n03/04/2026 10:00:01,26.1,5\n", func(o *Options) { o.TimeFormat = "day-first" }, 2, ""},
		{"two-part clock", "time,voltage,current\n10:00,26.5,0\n10:01,26.1,5\n", nil, 0,
			"1:1: error: \"10:00\" may be minutes and seconds or hours and minutes: nothing in the log tells [log-time-form]\n"},
		{"milliseconds without a unit", "time,voltage,current\n0,26.5,0\n100,26.5,0\n200,26.1,5\n300,26.1,5\n400,26.1,5\n", nil, 0,
			"1:1: error: the time column names no unit and rises by 100 a row; these times look like milliseconds, and as seconds every charge would be a thousand times too great [log-unit-open]\n"},
		{"milliseconds stated", "time,voltage,current\n0,26.5,0\n100,26.5,0\n200,26.1,5\n300,26.1,5\n400,26.1,5\n", func(o *Options) { o.TimeFormat = "milliseconds" }, 5, ""},
		{"milliseconds by the dates", "time,stamp,voltage,current\n0,2026-04-03 10:00:00,26.5,0\n3000,2026-04-03 10:00:03,26.5,0\n6000,2026-04-03 10:00:06,26.1,5\n9000,2026-04-03 10:00:09,26.1,5\n12000,2026-04-03 10:00:12,26.1,5\n", nil, 5, ""},
		{"minutes apart without a unit", "time,voltage,current\n0,26.5,0\n60,26.5,0\n120,26.1,5\n180,26.1,5\n240,26.1,5\n", nil, 5, ""},
		{"speed without a unit", "time_s,voltage,current,speed\n0,26.5,0,0\n1,26.1,5,1\n", nil, 2,
			"1:1: warning: the speed column \"speed\" names no unit; metres per second are assumed [log-unit-assumed]\n"},
		{"no time column", "voltage,current\n26.5,0\n26.1,5\n", nil, 0,
			"1:1: error: the log has no time column and names no sample interval [log-no-time]\n"},
		{"step stated", "voltage,current\n26.5,0\n26.1,5\n", func(o *Options) { o.Step = 2 }, 2, ""},
		{"time not named, no head", good(0, 30), func(o *Options) { o.Columns = map[Channel]string{Voltage: "#2", Current: "#3"} }, 30,
			"1:1: note: no column is named as the time; #1 only rises and is taken for it [log-columns-guessed]\n"},
		{"two voltages", "t,U_1,U_2,I\n0,13.2,26.5,0\n1,13.1,26.1,5\n", nil, 2,
			"1:1: note: \"U_1\" is taken for the voltage; \"U_2\" could be it as well [log-columns-several]\n"},
		{"beyond any time", "t_h,U,I\n0,26.5,0\n1,26.1,5\n1e300,26.1,5\n2,26.1,5\n", nil, 3, "4:1: warning: this time is beyond any log [log-bad-time]\n"},
		{"beyond any value", "t,U,I,P_kW\n0,26.5,0,0\n1,26.1,5,1e308\n2,26.1,5,0.1\n", nil, 2, "3:10: warning: \"1e308\" is too great for the power [log-bad-field]\n"},
		{"comments, blank lines, Latin-1", "# made up\n\nt;U;I;T (\xb0C)\n0;26.5;0;20\n# a pause\n\n// another\n1;26.1;5;21\n", nil, 2, ""},
		{"a line that hints at the separator", "sep=;\nt;U;I\n0;26,5;0\n1;26,1;5\n", nil, 2, ""},
		{"three thousand columns", strings.Repeat(strings.Repeat("1,", 3000)+"2\n", 60), nil, 0,
			"1:1: error: the log has no time column and names no sample interval [log-no-time]\n"},
		{"no current", "time_s,voltage\n0,26.5\n1,26.1\n", nil, 2,
			"1:1: note: no current is recognised; the log has \"time_s\", \"voltage\" [log-columns-missing]\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := NewOptions()
			if c.options != nil {
				c.options(&o)
			}
			s, samples := readAll(t, c.name, []byte(c.text), o)
			if len(samples) != c.rows {
				t.Errorf("%d rows, want %d; %s", len(samples), c.rows, s.Dialect())
			}
			if got := sortedLines(findingLines(s.Findings())); got != sortedLines(c.want) {
				t.Errorf("have\n%swant\n%s(%s)", got, sortedLines(c.want), s.Dialect())
			}
			if s.Rows() != len(samples) {
				t.Errorf("Rows says %d", s.Rows())
			}
			for i := 1; i < len(samples); i++ {
				if samples[i].Time < samples[i-1].Time {
					t.Errorf("time falls at row %d", i)
				}
			}
		})
	}
}

func sortedLines(s string) string {
	lines := strings.SplitAfter(s, "\n")
	for i := range lines {
		for j := i + 1; j < len(lines); j++ {
			if lines[j] < lines[i] {
				lines[i], lines[j] = lines[j], lines[i]
			}
		}
	}
	return strings.Join(lines, "")
}

func clocks(prefix string, from, to int) string {
	var b strings.Builder
	for k := from; k < to; k++ {
		b.WriteString(prefix + string(rune('0'+k)) + ",26.5," + string(rune('0'+k%2*5)) + "\n")
		if k%2 == 1 { // under load
			s := b.String()
			b.Reset()
			b.WriteString(strings.TrimSuffix(s, "26.5,5\n") + "26.1,5\n")
		}
	}
	return b.String()
}

// A stated word that is not known is no log that is wrong.
func TestUnknownWordIsRefused(t *testing.T) {
	for _, change := range []func(*Options){func(o *Options) { o.Separator = "semicolom" }, func(o *Options) { o.Decimal = "," }, func(o *Options) { o.TimeFormat = "fortnights" }} {
		o := NewOptions()
		change(&o)
		if _, err := NewScanner(finding.NewSource("x", nil), strings.NewReader(plainHead+good(0, 10)), o); err == nil || !strings.Contains(err.Error(), "that is known") {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

// Every remedy of an error is there: a maker must know what to do.
func TestErrorsHaveRemedies(t *testing.T) {
	for _, text := range []string{"", "prose\n", "\xff\xfea", "1,5\n2,5\n3,7\n", "voltage,current\n1,2\n2,3\n", "time,voltage,current\n10:00,1,2\n10:01,1,3\n"} {
		s, _ := readAll(t, "x", []byte(text), NewOptions())
		found := s.Findings()
		if len(found) == 0 {
			t.Errorf("%q: no finding", text)
		}
		for _, f := range found {
			if f.Level == finding.Error && f.Remedy == "" {
				t.Errorf("%q: %s has no remedy", text, f.Rule)
			}
		}
	}
}

// Every rule that the reader can report has its documentation.
func TestReaderRulesAreDocumented(t *testing.T) {
	known := map[string]bool{}
	for _, d := range readerDocs() {
		if known[d.Name] || d.Title == "" || d.What == "" || d.Source == "" {
			t.Errorf("%s is twice or incomplete", d.Name)
		}
		known[d.Name] = true
	}
	files, err := filepath.Glob("reader*.go")
	if err != nil || len(files) < 8 {
		t.Fatalf("%v: %v", files, err)
	}
	columns, _ := filepath.Glob("columns*.go")
	for _, file := range append(files, columns...) {
		if strings.HasSuffix(file, "_test.go") || file == "reader_docs.go" {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range strings.Split(string(text), "\"log-")[1:] {
			if name := "log-" + part[:strings.IndexByte(part, '"')]; !known[name] {
				t.Errorf("%s reports %s, which is not documented", file, name)
			}
		}
	}
}

// The restart's row says so, and the clock runs on by one interval.
func TestRestartIsMarked(t *testing.T) {
	_, samples := readAll(t, "x", []byte(plainHead+good(20, 10)+good(0, 10)), NewOptions())
	for i, s := range samples {
		if s.Restart != (i == 10) || s.Time != float64(i) {
			t.Errorf("row %d: time %v, restart %t", i, s.Time, s.Restart)
		}
	}
}

// A clock that is set back by less than a second and stays back is held for
// ten rows only.
func TestHeldRowsEnd(t *testing.T) {
	var b strings.Builder
	b.WriteString(plainHead)
	for k := range 20 {
		b.WriteString("10." + itoa(k*10) + ",26.5,0\n")
	}
	for k := range 20 {
		b.WriteString("9." + itoa(500+k*10) + ",26.1,5\n") // 0.69 s back
	}
	s, samples := readAll(t, "x", []byte(b.String()), NewOptions())
	if len(samples) != 40 || !samples[30].Restart {
		t.Errorf("%d rows, restart at row 30: %t\n%s", len(samples), samples[30].Restart, findingLines(s.Findings()))
	}
}

// A quoted field may hold separators, doubled quotes and line ends (RFC 4180).
func TestQuotedFields(t *testing.T) {
	text := "time_s,voltage_V,current_A,remark\n0,26.5,0,\"all \"\"well\"\", so far\"\n\"1\",\"26.1\",\"5\",\"two\nlines\"\n2,26.1,5,\n"
	s, samples := readAll(t, "x", []byte(text), NewOptions())
	if len(samples) != 3 || samples[1].Values[Current] != 5 || samples[2].Line != 5 || s.Skipped() != 0 {
		t.Errorf("%d rows, %d left out: %+v\n%s", len(samples), s.Skipped(), samples, findingLines(s.Findings()))
	}
}

// Lines above the limit are reported and passed over, and memory stays bounded.
func TestLongLine(t *testing.T) {
	text := plainHead + good(0, 20) + strings.Repeat("7", 3<<20) + "\n" + good(20, 5)
	s, samples := readAll(t, "x", []byte(text), NewOptions())
	if len(samples) != 25 || findingLines(s.Findings()) != "22:1: warning: this line is longer than 64 KiB and is left out [log-line-too-long]\n" {
		t.Errorf("%d rows\n%s", len(samples), findingLines(s.Findings()))
	}
}

// The sign of discharge: how it is found, and what it turns over.
func TestSigns(t *testing.T) {
	for _, c := range []struct {
		name, text string
		negative   bool
		known      bool
	}{
		{"step, positive", "t,U,I\n0,26.5,0\n1,26.1,5\n2,26.1,5\n3,26.5,0\n", false, true},
		{"step, negative", "t,U,I\n0,26.5,0\n1,26.1,-5\n2,26.1,-5\n3,26.5,0\n", true, true},
		{"charge written positive", "t,U,I\n0,26.5,0\n1,26.9,5\n2,26.9,5\n3,26.5,0\n", true, true},
		{"behind the cutout", "t,U,I\n0,26.5,0\n1,26.1,5\n2,25.9,5\n3,25.7,5\n4,0.01,0\n5,0.01,0\n", false, true},
		{"behind the cutout, negative", "t,U,I\n0,26.1,-5\n1,25.9,-5\n2,25.7,-5\n3,26.0,-1\n4,25.7,-5\n5,0.01,0\n", true, true},
		{"behind the cutout, nothing else", "t,U,I\n0,26.1,5\n1,26.1,5\n2,26.1,5\n3,0.01,0\n", false, false},
		{"drift, negative", "t,U,I\n" + drift(26.5, -0.05, -5), true, true},
		{"drift, positive", "t,U,I\n" + drift(26.5, -0.05, 5), false, true},
		{"drift, charging", "t,U,I\n" + drift(24, 0.05, 5), true, true},
		{"nothing flows", "t,U,I\n" + drift(26.5, 0, 0), false, false},
		{"the head", "t,U,discharge current (A)\n" + drift(26.5, 0, 5), false, true},
		{"charge in the head", "t,U,charge current (A)\n" + drift(26.5, 0, 5), true, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, samples := readAll(t, "x", []byte(c.text), NewOptions())
			d := s.Dialect()
			if d.DischargeNegative != c.negative || d.SignKnown != c.known {
				t.Errorf("negative %t, known %t: %s", d.DischargeNegative, d.SignKnown, d)
			}
			if i := samples[len(samples)/2].Values[Current]; i != 0 && (i > 0) == strings.Contains(c.name, "charg") {
				t.Errorf("the current comes out as %v A", i)
			}
		})
	}
}

func drift(v, dv, i float64) string {
	var b strings.Builder
	for k := range 40 {
		b.WriteString(itoa(k) + "," + strconv.FormatFloat(v+dv*float64(k), 'f', 4, 64) + "," + strconv.FormatFloat(i, 'f', 1, 64) + "\n")
	}
	return b.String()
}

// Counters and power that run with the current are turned over with it.
func TestCountersFollowTheCurrent(t *testing.T) {
	text := "t,U,I,P,Ah,Wh\n0,26.5,0,0,1,20\n3600,26.1,-5,-130.5,-4,-110\n7200,26.1,-5,-130.5,-9,-240\n"
	_, samples := readAll(t, "x", []byte(text), NewOptions())
	last := samples[2].Values
	if last[Current] != 5 || last[Power] != 130.5 || last[ChargeCounter] != 9 || last[EnergyCounter] != 240 {
		t.Errorf("%v", last)
	}
	text = "t,U,I,Ah\n0,26.5,0,0\n3600,26.1,-5,5\n7200,26.1,-5,10\n" // counts what went out
	_, samples = readAll(t, "x", []byte(text), NewOptions())
	if last := samples[2].Values; last[Current] != 5 || last[ChargeCounter] != 10 {
		t.Errorf("%v", last)
	}
}

// Statements override what would be found, item by item.
func TestStatementsOverride(t *testing.T) {
	no := false
	o := NewOptions()
	o.Columns = map[Channel]string{Voltage: "#3", Speed: "v [km/h]"}
	o.TimeFormat, o.DischargeNegative = "minutes", &no
	s, samples := readAll(t, "x", []byte("t,U_1,U_2,I,v\n0,13.2,26.5,0,0\n1,13.1,26.1,-5,36\n"), o)
	got := samples[1]
	if got.Values[Voltage] != 26.1 || got.Time != 60 || got.Values[Current] != -5 || got.Values[Speed] != 10 {
		t.Errorf("%+v\n%s", got, s.Dialect())
	}
	if !strings.Contains(s.Dialect().String(), "time in minutes (stated)") || !strings.Contains(s.Dialect().String(), "current positive on discharge (stated)") {
		t.Error(s.Dialect())
	}
}

// A car's log with its own names, columns stated: the values are those of the
// file's first row and of its publisher's description.
func TestStatedColumnsOfTheCar(t *testing.T) {
	text, err := os.ReadFile("testdata/dialects/f1tenth-rc-car/DS5_coreData.csv")
	if err != nil {
		t.Fatal(err)
	}
	o := NewOptions()
	o.Columns = map[Channel]string{Voltage: "VI", Current: "cI", EnergyCounter: "ED", EnergyReturned: "ER"}
	_, samples := readAll(t, "x", text, o)
	a, b := samples[0], samples[1]
	if a.Values[Voltage] != 11.9 || a.Values[Current] != 0.17 || a.Values[EnergyCounter] != 0.1582 || a.Values[EnergyReturned] != 0.0013 {
		t.Errorf("%+v", a)
	}
	if want := 0.794482061 - 0.734769348; math.Abs(b.Time-want) > 1e-9 {
		t.Errorf("second row at %v s, want %v s", b.Time, want)
	}
}
