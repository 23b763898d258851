package runlog

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// readingCase is a small made log and all that is read of it. In a file of testdata/readings
//
//	== NAME       begins a case; what stands in it beside the signs below says what it is there for
//	? KEY: VALUE  states an option: decimal, separator, time, step, discharge, pause-after, gap, or a channel's column
//	| TEXT        is a line of the log, in which \t, \r, \x00 and their like are what they are in Go
//	|9 TEXT       is nine lines; {1+0.5:%.2f} in it counts from 1 in steps of 0.5, {a/b/b} takes turns, {a/b//c} stays at c
//	|! TEXT       is a line that does not end
//	> TEXT        is what is read, written by VOLTWRIGHT_UPDATE=1; it is read through, and held against what was put in
//
// Of more than five rows the first two and the last are told, and of each channel its values, their sum, and their sum
// with each one times its row's number, from nought.
type readingCase struct {
	name    string
	told    []string // all but the reading
	log     string
	options Options
	want    []string
}

var placeholder = regexp.MustCompile(`\{[^{}]*\}`)

// countedUp fills the placeholders of the k-th line of several.
func countedUp(line string, k int) string {
	return placeholder.ReplaceAllStringFunc(line, func(p string) string {
		p = p[1 : len(p)-1]
		if turns := strings.Split(p, "/"); len(turns) > 1 {
			n := len(turns)
			if n > 2 && turns[n-2] == "" {
				turns = append(turns[:n-2], turns[n-1])
				return turns[min(k, n-2)]
			}
			return turns[k%n]
		}
		form := "%g"
		if at := strings.IndexByte(p, ':'); at >= 0 {
			p, form = p[:at], p[at+1:]
		}
		at := strings.LastIndexAny(p, "+-")
		from, _ := strconv.ParseFloat(p[:at], 64)
		step, _ := strconv.ParseFloat(p[at:], 64)
		v := from + float64(k)*step
		if strings.HasSuffix(form, "d") {
			return fmt.Sprintf(form, int(math.Round(v)))
		}
		return fmt.Sprintf(form, v)
	})
}

func readingCases(t *testing.T, file string) []*readingCase {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []*readingCase
	var c *readingCase
	for line := range strings.SplitSeq(strings.TrimSuffix(string(text), "\n"), "\n") {
		if name, ok := strings.CutPrefix(line, "== "); ok {
			c = &readingCase{name: name, options: NewOptions()}
			out = append(out, c)
		}
		if c == nil {
			t.Fatalf("%s begins with no case: %q", file, line)
		}
		sign, rest, _ := strings.Cut(line, " ")
		switch {
		case sign == ">":
			c.want = append(c.want, rest)
			continue
		case sign == "?":
			key, value, _ := strings.Cut(rest, ": ")
			stateOption(t, &c.options, key, value)
		case sign != "" && sign[0] == '|':
			body, err := strconv.Unquote(`"` + strings.ReplaceAll(rest, `"`, `\"`) + `"`)
			if err != nil {
				t.Fatalf("%s, %s: %q: %v", file, c.name, rest, err)
			}
			times, end := 1, "\n"
			if sign == "|!" {
				end = ""
			} else if n, err := strconv.Atoi(sign[1:]); err == nil {
				times = n
			}
			for k := range times {
				c.log += countedUp(body, k) + end
			}
		}
		c.told = append(c.told, line)
	}
	return out
}

func stateOption(t *testing.T, o *Options, key, value string) {
	t.Helper()
	seconds := func() quantity.Seconds {
		v, err := strconv.ParseFloat(value, 64)
		if err != nil {
			t.Fatal(err)
		}
		return quantity.Seconds(v)
	}
	numbers := func() (out []float64) {
		for _, word := range strings.Fields(value) {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, v)
		}
		return append(out, math.NaN(), math.NaN(), math.NaN())
	}
	if channel, ok := strings.CutPrefix(key, "instrument "); ok { // a fraction, digits and what a digit is worth
		c, known := ParseChannel(channel)
		if !known {
			t.Fatalf("no channel %q", channel)
		}
		n := numbers()
		o.Instruments = append(o.Instruments, Instrument{Channel: c, Accuracy: quantity.Accuracy{Fraction: n[0], Digits: n[1]}, Resolution: n[2]})
		return
	}
	switch key {
	case "cutout": // where it opens and how much more it wants to close again
		n := numbers()
		o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(n[0])), Threshold: quantity.Exact(quantity.Volts(n[1]))}
	case "rated":
		n := numbers()
		o.Rated = quantity.Of(quantity.AmpereHours(n[0]), quantity.AmpereHours(n[1]))
	case "idle":
		o.Idle = quantity.Amperes(numbers()[0])
	case "series":
		o.Series = int(numbers()[0])
	case "part":
		o.Part = value
	case "decimal":
		o.Decimal = value
	case "separator":
		o.Separator = value
	case "time-format":
		o.TimeFormat = value
	case "step":
		o.Step = seconds()
	case "discharge":
		negative := value == "negative"
		o.DischargeNegative = &negative
	case "pause-after":
		o.PauseAfter = seconds()
	case "gap":
		o.Gap = seconds()
	default:
		c, ok := ParseChannel(key)
		if !ok {
			t.Fatalf("no option %q", key)
		}
		if o.Columns == nil {
			o.Columns = map[Channel]string{}
		}
		o.Columns[c] = value
	}
}

// readingOf says all that the reader makes of a log.
func readingOf(t *testing.T, c *readingCase) []string {
	t.Helper()
	s, samples := readAll(t, c.name, []byte(c.log), c.options)
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	d := s.Dialect()
	say("%s", d)
	if d.Separator != "" {
		what := fmt.Sprintf("rows from line %d", d.FirstData)
		if d.TimeForm != "" {
			what += ", time stated as " + d.TimeForm
		}
		if d.Step > 0 {
			what += fmt.Sprintf(", a step of %g s", d.Step)
		}
		if d.NamedStep > 0 {
			what += fmt.Sprintf(", an interval of %g s is named", d.NamedStep)
		}
		for _, x := range d.Columns {
			what += fmt.Sprintf("; %s %d %q", x.Channel, x.Number, x.Unit)
		}
		if len(d.Unused) > 0 {
			what += fmt.Sprintf("; unused %q", d.Unused)
		}
		say("%s", what)
	}
	for k := range samples {
		if few := len(samples) <= 5; !few && k >= 2 && k < len(samples)-1 {
			continue
		}
		x := &samples[k]
		line := fmt.Sprintf("%d@%d %s:", x.Line, x.Offset, digits6(x.Time))
		for ch := Voltage; int(ch) < channelCount; ch++ {
			if x.Has(ch) {
				line += fmt.Sprintf(" %s %s", ch, digits6(x.Values[ch]))
			}
		}
		if x.Loose > 0 {
			line += " ± " + digits6(x.Loose)
		}
		if x.Restart {
			line += " anew"
		}
		say("%s", line)
	}
	if len(samples) > 5 {
		sums := ""
		for ch := Time; int(ch) < channelCount; ch++ {
			n, sum, weighted := 0, 0.0, 0.0
			for k := range samples {
				if samples[k].Has(ch) {
					n++
					sum += samples[k].Values[ch]
					weighted += float64(k) * samples[k].Values[ch]
				}
			}
			if n > 0 {
				sums += fmt.Sprintf("; %s %d: %s, %s", ch, n, digits6(sum), digits6(weighted))
			}
		}
		say("sums, plain and by the row's number%s", sums)
		loose, anew := 0.0, 0
		for k := range samples {
			loose += samples[k].Loose
			if samples[k].Restart {
				anew++
			}
		}
		if loose > 0 || anew > 0 {
			say("in all ± %s, %d anew", digits6(loose), anew)
		}
	}
	a := s.Accounts()
	books := fmt.Sprintf("%d lines: %d above, %d aside, %d used", a.Lines, a.Head, a.Aside, a.Used)
	for _, l := range a.LeftOut {
		books += fmt.Sprintf(", %d %s", l.Rows, l.Rule)
	}
	say("%s", books)
	return append(out, foundLines(s.Findings())...)
}

func foundLines(found []finding.Finding) []string {
	var out []string
	for _, f := range found {
		p := f.Span.Position()
		line := fmt.Sprintf("%d:%d+%d %s: %s", p.Line, p.Column, f.Span.End-f.Span.Start, f.Level, f.Text)
		if f.Remedy != "" {
			line += " | " + f.Remedy
		}
		out = append(out, line+" ["+f.Rule+"]")
	}
	return out
}

func digits6(x float64) string { return strconv.FormatFloat(roundTo(x, 6), 'g', -1, 64) }

// TestWholeReading: the whole reading of small made logs, each made for a turn that the reader can take.
func TestWholeReading(t *testing.T) { holdReadings(t, "testdata/readings/*.txt", readingOf) }

func holdReadings(t *testing.T, pattern string, reading func(*testing.T, *readingCase) []string) {
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatalf("%v: %v", files, err)
	}
	for _, file := range files {
		var b strings.Builder
		for _, c := range readingCases(t, file) {
			got := reading(t, c)
			for _, line := range c.told {
				b.WriteString(line + "\n")
			}
			for _, line := range got {
				b.WriteString("> " + line + "\n")
			}
			if have, want := strings.Join(got, "\n"), strings.Join(c.want, "\n"); have != want && !recorded.Updating() {
				t.Errorf("%s, %s: have\n%s\nwant\n%s", file, c.name, have, want)
			}
		}
		if recorded.Updating() {
			if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func noSpan() finding.Span { return finding.Span{} }
