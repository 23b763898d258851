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

// statedTotal is what a source states of one of its logs.
type statedTotal struct {
	log, figure, unit, by string
	part                  string  // which rows the source counts, where it does not count all of them
	stated, within        float64 // within is what the total itself leaves open: half of its last digit, or what its source says
}

// totals reads testdata/totals/totals.csv: of each log the total that its source states, or "asks" where the log has to be refused.
func totals(t testing.TB) []statedTotal {
	t.Helper()
	rows := recorded.Rows(t, "testdata/totals/totals.csv")
	var out []statedTotal
	for _, r := range rows[1:] {
		x := statedTotal{log: r[0], figure: r[1], unit: r[3], by: r[4]}
		if log, part, ok := strings.Cut(x.log, " {"); ok {
			x.log, x.part = log, strings.TrimSuffix(part, "}")
		}
		if x.figure != "asks" {
			var err error
			if x.stated, err = strconv.ParseFloat(r[2], 64); err != nil {
				t.Fatal(err)
			}
			x.within = lastDigit(x.stated) / 2
			if r[5] != "" {
				if x.within, err = strconv.ParseFloat(r[5], 64); err != nil {
					t.Fatal(err)
				}
			}
		}
		out = append(out, x)
	}
	return out
}

var statedOption = regexp.MustCompile(`^(.*) \[(.*)\]$`)

// findLog finds a log of the sets: in the folder that VOLTWRIGHT_DATASETS names, or else among the copies of this repository.
func findLog(log string) (path string, o Options, ok bool) {
	o = NewOptions()
	if m := statedOption.FindStringSubmatch(log); m != nil {
		log = m[1]
		o.Columns = map[Channel]string{}
		for part := range strings.SplitSeq(m[2], ",") {
			word, value, _ := strings.Cut(part, "=")
			if c, _ := ParseChannel(word); c != Time {
				o.Columns[c] = value
			} else {
				o.TimeFormat = value
			}
		}
	}
	for _, dir := range []string{os.Getenv("VOLTWRIGHT_DATASETS"), openLogs, shareLogs} {
		path := filepath.Join(dir, log)
		if _, err := os.Stat(path); dir != "" && err == nil {
			return path, o, true
		}
	}
	return "", o, false
}

// measureSome measures the rows that a source counts: "load", those between the first and the last above 0.25 A; "to 2.7 V",
// those from the first loaded one to the first at that voltage; "step 2", those of that step.
func measureSome(t testing.TB, path string, o Options, part string) *Result {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	_, samples := readAll(t, path, text, o)
	var step, volts float64
	_, _ = fmt.Sscanf(part, "step %g", &step)
	_, _ = fmt.Sscanf(part, "to %g V", &volts)
	peak := 0.0
	for k := range samples {
		peak = max(peak, math.Abs(samples[k].Values[Current]))
	}
	load := 0.25
	if volts > 0 {
		load = peak / 5
	}
	from, to := -1, -1
	for k := range samples {
		v := &samples[k].Values
		switch {
		case step > 0:
			if v[Step] != step {
				continue
			}
		case !(math.Abs(v[Current]) > load):
			continue
		}
		if from < 0 {
			from = k
		}
		if to = k; volts > 0 && v[Voltage] <= volts+0.0015 {
			break
		}
	}
	m := NewMeter(o)
	for k := range samples {
		if k >= from && k <= to {
			m.Add(samples[k])
		}
	}
	r, _ := m.Result()
	return r
}

// printedInterval is what is printed of a figure and the half-width of its interval; a difference of two has both intervals.
func printedInterval(r *Result, name string) (value, half float64) {
	one := func(name string) (float64, float64) {
		f, _ := r.Figure(name)
		u := numberOf(f).U
		if math.IsNaN(u) {
			switch name {
			case "charge-out":
				u = float64(r.Charge.Sampling.Out)
			case "charge-in":
				u = float64(r.Charge.Sampling.In)
			case "energy-out":
				u = float64(r.Energy.Sampling.Out)
			case "energy-in":
				u = float64(r.Energy.Sampling.In)
			}
		}
		return numberOf(f).Value, quantity.CoverageFactor * u
	}
	if of, ok := strings.CutSuffix(name, "-net"); ok {
		out, u := one(of + "-out")
		in, w := one(of + "-in")
		return out - in, math.Hypot(u, w)
	}
	return one(name)
}

// verdict compares one total with what is printed.
func (x *statedTotal) verdict(t testing.TB) (line string, good bool) {
	path, o, ok := findLog(x.log)
	if !ok {
		return fmt.Sprintf("%-72s %-12s not at hand", x.log, x.figure), true
	}
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r, found, err := Measure(finding.NewStream(filepath.Base(path)), file, o)
	if err != nil {
		t.Fatal(err)
	}
	if x.part != "" {
		r = measureSome(t, path, o, x.part)
	}
	said := map[string]bool{}
	refused := ""
	for _, f := range found {
		if said[f.Rule] = true; refused == "" && (f.Level == finding.Error || f.Rule == "log-columns-missing" && !r.Charge.Out.Known() && !r.Distance.Known()) {
			refused = f.Rule
		}
	}
	if x.figure == "elapsed-time" && r.Elapsed.Known() && refused == "log-columns-missing" {
		refused = ""
	}
	if x.figure == "asks" || refused != "" {
		good := (x.figure == "asks") == (refused != "")
		word := "asks, as it has to: " + refused
		if !good {
			word = "REFUSED " + refused
			if refused == "" {
				word = "READ, but it has to ask"
			}
		}
		return fmt.Sprintf("%-72s %-12s %s", x.log, x.figure, word), good
	}
	value, half := printedInterval(r, x.figure)
	if math.IsNaN(half) && x.figure == "distance" {
		half = 0 // the way has no interval where no instrument is stated
	}
	off := value - x.stated
	width := half / math.Abs(value)
	inside := math.Abs(off) <= half+x.within
	word := "inside"
	if !inside {
		word = "OUTSIDE"
	}
	reasons := ""
	for _, rule := range []string{"log-gap", "log-thinned", "log-opinion-charge", "log-odd-sample", "log-bad-field"} {
		if said[rule] {
			reasons += " " + rule
		}
	}
	if width > tellWidth && value != 0 {
		told := false
		for _, name := range []string{x.figure, strings.Replace(x.figure, "-net", "-out", 1), strings.Replace(x.figure, "-net", "-in", 1)} {
			if _, why, ok := strings.Cut(r.notes[name], "The interval is "); ok {
				if why = " [" + why + "]"; !strings.Contains(reasons, why) {
					reasons += why
				}
				told = true
			}
		}
		if !told {
			word += ", WIDE WITHOUT A REASON"
			inside = false
		}
	}
	return fmt.Sprintf("%-72s %-12s stated %12.6g %-3s computed %12.6g ± %.3f %%, off by %+.3f %%: %s%s", strings.TrimSpace(x.log+" "+x.part), x.figure, x.stated, x.unit, value, 100*width, 100*off/math.Abs(x.stated), word, reasons), inside
}

// lastDigit is what the last of the digits counts in which a total is stated.
func lastDigit(x float64) float64 {
	text := strconv.FormatFloat(x, 'f', -1, 64)
	if i := strings.IndexByte(text, '.'); i >= 0 {
		return math.Pow10(-(len(text) - i - 1))
	}
	return 1
}

// The total that a source states lies inside the interval that is printed, for every log that is at hand, and an interval wider
// than 0.5 % has its reason printed. The whole table is
// made by
//
//	VOLTWRIGHT_DATASETS=FOLDER go test -run TestTotals -v ./internal/runlog
//
// where FOLDER holds the data sets by the names of the table.
func TestTotals(t *testing.T) {
	bad := 0
	for _, x := range totals(t) {
		line, good := x.verdict(t)
		t.Log(line)
		if !good {
			bad++
		}
	}
	if bad > 0 {
		t.Errorf("%d totals are not as they have to be", bad)
	}
}
