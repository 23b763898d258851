package runlog

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

var update = flag.Bool("update-dialects", false, "write testdata/dialects.golden anew")

// readAll reads a log to its end.
func readAll(t testing.TB, name string, text []byte, o Options) (*Scanner, []Sample) {
	t.Helper()
	s, err := NewScanner(finding.NewStream(name), bytes.NewReader(text), o)
	if err != nil {
		t.Fatal(err)
	}
	var samples []Sample
	for {
		sample, ok := s.Next()
		if !ok {
			break
		}
		samples = append(samples, sample)
	}
	if err := s.Err(); err != nil {
		t.Fatal(err)
	}
	return s, samples
}

// lines prints findings as a terminal would.
func findingLines(found []finding.Finding) string {
	var b strings.Builder
	for _, f := range found {
		p := f.Span.Position()
		fmt.Fprintf(&b, "%d:%d: %s: %s [%s]\n", p.Line, p.Column, f.Level, f.Text, f.Rule)
	}
	return b.String()
}

func dialectFiles(t testing.TB) []string {
	var files []string
	for _, pattern := range []string{"testdata/dialects/*/*.csv", "testdata/cc-by-sa/*/*.csv", "testdata/cc-by-sa/*/K2*.txt"} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("%s: %v, %d files", pattern, err, len(found))
		}
		files = append(files, found...)
	}
	slices.Sort(files)
	return files
}

// The heads of all measured logs, and what is found out about each. The golden
// file was read line by line against the columns and signs that each set's
// publisher states.
func TestDialectsOfMeasuredLogs(t *testing.T) {
	var b strings.Builder
	for _, file := range dialectFiles(t) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		s, samples := readAll(t, file, text, NewOptions())
		fmt.Fprintf(&b, "== %s\n%s\n%d rows\n%s", strings.TrimPrefix(filepath.ToSlash(file), "testdata/"), s.Dialect(), len(samples), findingLines(s.Findings()))
	}
	const golden = "testdata/dialects.golden"
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		got := strings.Split(b.String(), "\n")
		for i, line := range strings.Split(string(want), "\n") {
			if i >= len(got) || got[i] != line {
				t.Fatalf("line %d of %s:\nhave %q\nwant %q", i+1, golden, got[min(i, len(got)-1)], line)
			}
		}
		t.Fatal("there is more than the golden file holds")
	}
}

// dressRow is one row of the log that is dressed below.
type dressRow struct {
	ms      int // since the start
	v, i, c float64
}

func dressData() []dressRow {
	var rows []dressRow
	for k := range 60 {
		r := dressRow{ms: k * 250, v: 26.4 - 0.004*float64(k), i: 0, c: 21.5}
		if k > 8 && k < 50 {
			r.i, r.v = 7.25, r.v-0.42
		}
		rows = append(rows, r)
	}
	return rows
}

// dress writes the data in one way.
type dress struct {
	name, head, separator string
	comma                 bool // decimal comma
	quote                 bool
	time                  func(ms int) string
	current               float64 // factor
	end                   string
	trailing, bom         bool
	options               func(*Options)
	says                  string // must be in the dialect's words
}

func (d dress) write(rows []dressRow) []byte {
	var b strings.Builder
	if d.bom {
		b.WriteString("\ufeff")
	}
	number := func(v float64) string {
		s := fmt.Sprintf("%.3f", v)
		if d.comma {
			s = strings.Replace(s, ".", ",", 1)
		}
		return s
	}
	line := func(cells ...string) {
		if d.quote {
			for i, c := range cells {
				cells[i] = `"` + c + `"`
			}
		}
		b.WriteString(strings.Join(cells, d.separator))
		if d.trailing {
			b.WriteString(d.separator)
		}
		b.WriteString(d.end)
	}
	for h := range strings.SplitSeq(d.head, "\n") {
		if h == "" {
			continue
		}
		if strings.HasPrefix(h, "!") { // as it stands
			b.WriteString(h[1:] + d.end)
			continue
		}
		line(strings.Split(h, "|")...)
	}
	for _, r := range rows {
		line(append(strings.Split(d.time(r.ms), "|"), number(r.v), number(r.i*d.current), number(r.c))...)
	}
	return []byte(b.String())
}

func seconds(ms int) string { return fmt.Sprintf("%.3f", float64(ms)/1000) }

func clock(ms int) string {
	s := ms / 1000
	return fmt.Sprintf("%d:%02d:%02d.%03d", 9+(s+59*60)/3600, (s/60+59)%60, s%60, ms%1000)
}

var dresses = []dress{
	{name: "plain", head: "time_s|voltage_V|current_A|temp_degC", separator: ",", time: seconds, current: 1, end: "\n", says: "comma-separated, decimal point, 1 head row, time in seconds"},
	{name: "continental", head: "t [s]|U [V]|I [A]|T [°C]", separator: ";", comma: true, time: func(ms int) string { return strings.Replace(seconds(ms), ".", ",", 1) }, current: -1, end: "\r\n",
		says: "semicolon-separated, decimal comma, 1 head row, lines end in CRLF, time in seconds"},
	{name: "tabs, unit row, milliamperes", head: "Time|Voltage|Current|Temperature\nms|V|mA|°C", separator: "\t", time: func(ms int) string { return fmt.Sprint(ms) }, current: 1000, end: "\n",
		says: "tab-separated, decimal point, 2 head rows, time in milliseconds"},
	{name: "clock", head: "Time|Voltage (V)|Current (A)|Temp (°C)", separator: ";", comma: true, time: clock, current: -1, end: "\n",
		says: "semicolon-separated, decimal comma, 1 head row, time as h:mm:ss"},
	{name: "blanks, date and clock", head: "date|time|voltage|current|temperature", separator: "  ", time: func(ms int) string { return "2026-04-12|" + clock(ms) }, current: 1, end: "\n",
		says: "separated by spaces, decimal point, 1 head row, time as date and clock in two columns, year first"},
	{name: "quoted", head: "timestamp|voltage|current|temperature", separator: ",", quote: true, comma: true, bom: true, time: func(ms int) string { return "2026-04-12 0" + clock(ms) }, current: 1, end: "\n",
		says: "comma-separated, decimal comma, fields in quotes, 1 head row, UTF-8 with a byte order mark, time as date and clock, year first"},
	{name: "instrument head", head: "!Logger\tbench two\n!Rate\t4 Hz\n!\n!# a comment, with commas\nt/s|U/V|I/A|T/°C", separator: ",", trailing: true, time: seconds, current: 1, end: "\n",
		says: "1 head row, 2 lines above it, 1 comment line, time in seconds"},
	{name: "zone", head: "time|voltage|current|temperature", separator: ",", time: func(ms int) string { return "2026-04-12T0" + clock(ms) + "+02:00" }, current: 1, end: "\n",
		says: "time as date and clock, year first"},
	{name: "epoch, CR", head: "time|voltage|current|temperature", separator: ",", time: func(ms int) string { return fmt.Sprint(1775000000000 + ms) }, current: 1, end: "\r",
		says: "lines end in CR, time in milliseconds since 1970"},
	{name: "split", head: "s|ns|voltage|current|temperature", separator: ",", time: func(ms int) string { return fmt.Sprintf("%d|%d", 1775000000+ms/1000, ms%1000*1000000) }, current: 1, end: "\n",
		says: "time in whole seconds and nanoseconds, two columns"},
	{name: "no head, stated", head: "", separator: ",", time: seconds, current: -1, end: "\n",
		options: func(o *Options) {
			o.Columns = map[Channel]string{Time: "#1", Voltage: "#2", Current: "#3", Temperature: "#4"}
		}, says: "no head, time in seconds (assumed: no unit is named)"},
	{name: "head in a comment, bars", head: "!# time | voltage | current | temperature", separator: "|", time: seconds, current: 1, end: "\n", says: "separated by upright bars, decimal point, 1 head row"},
	{name: "day first, found", head: "Date|Time|Voltage|Current|Temperature", separator: ";", time: func(ms int) string { return "25.04.2026|" + clock(ms) }, current: 1, end: "\n", says: "date and clock in two columns, day first"},
}

// The same data in every dress gives the same samples.
func TestDressesGiveIdenticalSamples(t *testing.T) {
	rows := dressData()
	_, want := readAll(t, "plain", dresses[0].write(rows), NewOptions())
	if len(want) != len(rows) || want[20].Values[Current] != 7.25 || want[20].Values[Temperature] != 21.5 || want[20].Time != 5 {
		t.Fatalf("the plain dress itself is read wrong: %d rows, %+v", len(want), want[20])
	}
	for _, d := range dresses {
		t.Run(d.name, func(t *testing.T) {
			o := NewOptions()
			if d.options != nil {
				d.options(&o)
			}
			s, got := readAll(t, d.name, d.write(rows), o)
			if !strings.Contains(s.Dialect().String(), d.says) {
				t.Errorf("the dialect is %q, which lacks %q", s.Dialect(), d.says)
			}
			for _, f := range s.Findings() {
				if f.Level != finding.Note {
					t.Errorf("unwanted: %s", findingLines([]finding.Finding{f}))
				}
			}
			if len(got) != len(want) {
				t.Fatalf("%d samples, want %d; %s\n%s", len(got), len(want), s.Dialect(), findingLines(s.Findings()))
			}
			for i := range got {
				for _, c := range []Channel{Voltage, Current, Temperature} {
					if got[i].Values[c] != want[i].Values[c] {
						t.Fatalf("row %d, %s: %v, want %v", i, c, got[i].Values[c], want[i].Values[c])
					}
				}
				if d := got[i].Time - want[i].Time; d > 1e-6 || d < -1e-6 || got[i].Time != got[i].Values[Time] {
					t.Fatalf("row %d: time %v, want %v", i, got[i].Time, want[i].Time)
				}
			}
		})
	}
}
