package battery

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"voltwright/internal/quantity"
)

// measuredSet is one measured cell.
type measuredSet struct {
	kind, cell, chemistry string // cells of one kind are not independent of each other
	rated                 float64
	inView                bool // constants were chosen with runs of its kind in view
	folder, files         string
	time, amps, volts     int // columns, from 0
	temp                  int // −1: none
	sign                  float64
	ambient               quantity.Celsius // where no file tells it
	teachers              string           // files that teach; "": all
}

// The sets, with what is said of their chemistry; where the maker says none, a usual one is taken. The sets themselves are not all in this
// repository: each folder has the address that it was read from, and its licence.
var measuredSets = []measuredSet{
	{"LFP 18650 2 Ah", "a", "lfp", 2, false, "cells/lfp-18650-2000mah-openparameters", "*.csv", 0, 1, 2, -1, -1, 25, ""},
	{"LFP 26650 2.5 Ah", "A002", "lfp", 2.5, false, "cells/lfp-26650-2500mah-ocvdynamic-a002", "*.csv", 0, 2, 3, -1, -1, 25, "*P25*"},
	{"Li-ion 18650 2 Ah", "b0038", "nmc", 2, false, "cells/liion-18650-2000mah-prognostics-b0038", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0040", "nmc", 2, false, "cells/liion-18650-2000mah-prognostics-b0040", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0042", "nmc", 2, false, "cells/liion-18650-2000mah-prognostics-b0042", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0044", "nmc", 2, false, "cells/liion-18650-2000mah-prognostics-b0044", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2.6 Ah", "r1", "nmc", 2.6, false, "cells/liion-18650-2600mah-crosstask-r1", "*.csv", 0, 1, 2, 3, 1, 25, ""},
	{"Li-ion 18650 2.6 Ah", "r2", "nmc", 2.6, false, "cells/liion-18650-2600mah-crosstask-r2", "*.csv", 0, 1, 2, 3, 1, 25, ""},
	{"Li-ion 18650 2.6 Ah", "r4", "nmc", 2.6, false, "cells/liion-18650-2600mah-crosstask-r4", "*.csv", 0, 1, 2, 3, 1, 25, ""},
	{"Li-ion 18650 3 Ah, high drain", "s002", "nca", 3, true, "cells/liion-18650-3000mah-deformation-s002", "*.csv", 0, 1, 2, 4, -1, 22, ""},
	{"telephone pack 1.1 Ah", "a", "nmc", 1.1, false, "cells/liion-phonepack-1100mah-capacityclaims", "*.csv", 0, 2, 1, -1, 1, 20, ""},
	{"telephone pack 1.5 Ah", "a", "nmc", 1.5, false, "cells/liion-phonepack-1500mah-capacityclaims", "*.csv", 0, 2, 1, -1, 1, 20, ""},
	{"telephone pack 2 Ah", "a", "nmc", 2, false, "cells/liion-phonepack-2000mah-capacityclaims", "*.csv", 0, 2, 1, -1, 1, 20, ""},
	{"NMC 18650 3 Ah", "a", "nmc", 3, false, "cells/nmc-18650-3000mah-sixtemperatures", "*.csv", 3, 9, 8, 10, -1, 25, "25degC*"},
	{"Li-ion 21700 4 Ah", "a", "nca", 4, false, "cell-21700-4ah-arts", "*1_discharge.csv", 0, 1, 2, 5, -1, 22, ""},
	{"LMO pouch 33 Ah", "a", "nmc", 33.1, false, "pouch-33ah-2013", "?C-discharge.csv", 1, 8, 9, -1, -1, 25, ""},
	{"sodium-ion 18650 1.5 Ah", "1", "sodium-ion", 1.5, false, "sodium-ion-18650", "static_test_?c-2-1.csv", 2, 4, 3, -1, -1, 25, ""},
	{"NMC 21700 5 Ah", "a", "nmc", 5, true, "lg-m50-warwick", "T*.csv", 0, 1, 2, 3, -1, 25, "T25*"},
	{"Li-ion 18650 3 Ah, high drain", "s001", "nca", 3, true, "samsung-30q-arts", "*.csv", 0, 1, 2, 4, -1, 22, ""},
	{"LFP 26650 2.6 Ah", "a", "lfp", 2.6, true, "k2-26650-lfp-arts", "K2*.txt", 0, 1, 2, 4, -1, 20, ""},
	{"lead-acid 12 V 17 Ah", "a", "lead-acid-agm", 17, true, "bboxx-lead-acid-17ah", "unit-a-*.csv", 0, 2, 1, -1, 1, 25, ""},
}

// measuredRun is one discharge of a set.
type measuredRun struct {
	log    Log
	start  float64 // °C
	rate   float64 // of the rated capacity in an hour
	number int     // of the test, where the name has one: runs far apart are of a cell that aged between
}

// discharges reads the first discharge of each file.
func (s measuredSet) discharges(t testing.TB, sets string) (out []measuredRun) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(sets, s.folder, s.files))
	if err != nil || len(files) == 0 {
		t.Fatalf("no files of %s: %v", s.folder, err)
	}
	for _, file := range files {
		var l Log
		if strings.HasPrefix(s.chemistry, "lead") {
			l = bboxxLog(t, strings.TrimSuffix(filepath.Base(file), ".csv"))
		} else {
			l = s.read(t, file)
		}
		if l, ok := s.discharge(l); ok {
			r := measuredRun{log: l, start: float64(l.Ambient.Value)}
			if load, err := LoadOf(l, quantity.AmpereHours(s.rated)); err == nil {
				r.rate = float64(load.Current.Value) / s.rated
			}
			if _, after, found := strings.Cut(l.Name, "_t"); found {
				r.number, _ = strconv.Atoi(after[:3])
				r.log.Cycles = float64(r.number)
			}
			out = append(out, r)
		}
	}
	return out
}

// read reads the rows of a file that have numbers where they must.
func (s measuredSet) read(t testing.TB, file string) Log {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	l := NewLog(strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)), 1, nil, nil, nil, nil)
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		cells := strings.FieldsFunc(strings.TrimPrefix(lines.Text(), "\ufeff"), func(r rune) bool { return r == ',' || r == '\t' || r == ';' })
		if strings.Contains(lines.Text(), ",") {
			cells = strings.Split(strings.TrimPrefix(lines.Text(), "\ufeff"), ",")
		}
		number := func(column int) float64 {
			if column < 0 || column >= len(cells) {
				return math.NaN()
			}
			text := strings.TrimSpace(cells[column])
			if h := strings.Split(text, ":"); len(h) == 3 {
				a, _ := strconv.ParseFloat(h[0], 64)
				b, _ := strconv.ParseFloat(h[1], 64)
				c, err := strconv.ParseFloat(h[2], 64)
				if err == nil {
					return 3600*a + 60*b + c
				}
			}
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return math.NaN()
			}
			return v
		}
		at, i, v := number(s.time), number(s.amps), number(s.volts)
		if math.IsNaN(at+i+v) || math.Abs(i) > 1e4 {
			continue
		}
		if s.chemistry == "sodium-ion" {
			at /= 1000
		}
		l.Time, l.Amperes, l.Volts, l.Celsius = append(l.Time, at), append(l.Amperes, s.sign*i), append(l.Volts, v), append(l.Celsius, number(s.temp))
	}
	return l
}

// discharge cuts a log to its first discharge, the row before it and nothing after it, and thins it.
func (s measuredSet) discharge(l Log) (Log, bool) {
	if strings.HasPrefix(l.Name, "c3_P25") { // whose discharge is positive
		for k := range l.Amperes {
			l.Amperes[k] = -l.Amperes[k]
		}
	}
	loaded := func(k int) bool { return l.Amperes[k] > 0.02*s.rated }
	first := 0
	for first < len(l.Time) && !loaded(first) {
		first++
	}
	last := first
	for k := first; k < len(l.Time) && l.Time[k]-l.Time[last] < 120 && l.Time[k] >= l.Time[last]; k++ {
		if loaded(k) {
			last = k
		}
	}
	if last-first < 20 {
		return l, false
	}
	lowest := last
	for k := first; k <= last; k++ {
		if l.Volts[k] < l.Volts[lowest] {
			lowest = k
		}
	}
	from, every := max(0, first-1), 1+(lowest-first)/400
	out := NewLog(l.Name, l.Series, nil, nil, nil, nil)
	warm := false
	for k := from; k <= lowest; k++ {
		if k > first && k < lowest && (k-first)%every != 0 {
			continue
		}
		out.Time, out.Amperes, out.Volts = append(out.Time, l.Time[k]-l.Time[from]), append(out.Amperes, l.Amperes[k]), append(out.Volts, l.Volts[k])
		c := math.NaN()
		if l.Celsius != nil {
			c = l.Celsius[k]
		}
		out.Celsius, warm = append(out.Celsius, c), warm || !math.IsNaN(c)
	}
	ambient := s.ambient
	for key, c := range map[string]quantity.Celsius{"N25": -25, "N15": -15, "N05": -5, "P05": 5, "P15": 15, "P35": 35, "P45": 45} {
		if strings.Contains(l.Name, key) {
			ambient = c
		}
	}
	if !warm {
		out.Celsius = nil
	} else {
		for _, c := range out.Celsius {
			if !math.IsNaN(c) {
				ambient = quantity.Celsius(c)
				break
			}
		}
	}
	out.Ambient = quantity.Exact(ambient)
	if from == first { // a minute or less after the load began, of which the source says so
		drawn := 0.0
		if strings.Contains(s.folder, "sixtemperatures") {
			drawn = l.Amperes[first] / 60
		}
		out.Drawn = quantity.Exact(quantity.AmpereHours(drawn))
	} else if !strings.Contains(l.Name, "t215") {
		out.Drawn = quantity.Exact(quantity.AmpereHours(0))
	}
	return out, true
}

// foreseen is one run as it was predicted by what others taught.
type foreseen struct {
	class, kind, cell, taught, run string
	inView                         bool
	volts                          float64 // mV, root mean square
	measured, predicted, u         float64 // s; u: standard, by the unknowns of the cell alone
	doubts
}

// part is the standard uncertainty, as a part of the predicted time.
func (f foreseen) part(w widths) float64 { return math.Hypot(f.u/f.predicted, w.of(f.doubts)) }

// before is the same as it was made until the intervals were held against these sets.
func (f foreseen) before() float64 {
	return math.Hypot(f.u/f.predicted, math.Hypot(math.Hypot(0.015, 0.02*f.doublings), 0.002*max(0, f.colder-5, f.warmer-5)))
}

// odd says whether a run is one that its source calls inexplicable, or was taught by one: it counts, but no constant is found by it.
func (f foreseen) odd() bool {
	for name, of := range map[string]string{"_4A_": "Li-ion 18650 2 Ah", "run_0.50A": "telephone pack 1.1 Ah"} {
		if f.kind == of && (strings.Contains(f.run, name) || strings.Contains(f.taught, name)) {
			return true
		}
	}
	return false
}

// The classes. What is far in more than one way counts as the first of aged, cold, far.
func classOf(s measuredSet, taught []measuredRun, r measuredRun) string {
	if strings.HasPrefix(s.chemistry, "lead") {
		return "lead-acid"
	}
	near, warm, aged := false, false, false
	for _, o := range taught {
		near = near || math.Abs(math.Log(o.rate/r.rate)) <= math.Log(2.1)
		warm = warm || r.start >= o.start-10
		aged = aged || o.number != r.number && max(o.number-r.number, r.number-o.number) >= 50
	}
	switch {
	case len(taught) == 0 && r.start < 10:
		return "new and cold"
	case len(taught) == 0:
		return "new cell, typical values"
	case aged:
		return "aged"
	case !warm:
		return "cold"
	case near:
		return "known cell, near"
	}
	return "known cell, far"
}

// BenchmarkReliability predicts every run of every set by what none, each one and all of the others taught, writes what comes of it to
// testdata/reliability.tsv and prints the table of README.md:
//
//	VOLTWRIGHT_SETS=/folder/of/sets go test -run '^$' -bench Reliability -benchtime 1x ./internal/battery
func BenchmarkReliability(b *testing.B) {
	sets := os.Getenv("VOLTWRIGHT_SETS")
	if sets == "" {
		b.Fatal("VOLTWRIGHT_SETS names no folder of measured sets")
	}
	var all []foreseen
	for range b.N {
		all = nil
		for _, s := range measuredSets {
			all = append(all, s.foresee(b, sets)...)
		}
	}
	if err := writeForeseen("testdata/reliability.tsv", all); err != nil {
		b.Fatal(err)
	}
	fmt.Println(strings.Join(slices.Concat(reliability(all, before), reliability(all, withoutType(all))), "\n"))
	fmt.Printf("%+v\n", found(all))
}

func (s measuredSet) foresee(t testing.TB, sets string) (out []foreseen) {
	t.Helper()
	runs := s.discharges(t, sets)
	plain, err := Typical(chemistry(t, s.chemistry), quantity.Exact(quantity.AmpereHours(s.rated)))
	if err != nil {
		t.Fatal(err)
	}
	teaches := func(r measuredRun) bool {
		ok, _ := filepath.Match(s.teachers, r.log.Name)
		return s.teachers == "" || ok
	}
	known := map[string]*Estimate{"nothing": plain}
	by := func(r measuredRun, taught []measuredRun) {
		var names []string
		var logs []Log
		for _, o := range taught {
			names, logs = append(names, o.log.Name), append(logs, o.log)
		}
		name := strings.Join(names, " + ")
		if name == "" {
			name = "nothing"
		}
		e := known[name]
		if e == nil {
			cal, err := plain.Calibrate(logs...)
			if err != nil {
				t.Logf("%s, %s taught by %s: %v", s.kind, s.cell, name, err)
				return
			}
			e = cal.After
			known[name] = e
		}
		f := foreseen{class: classOf(s, taught, r), kind: s.kind, cell: s.cell, taught: name, run: r.log.Name, inView: s.inView}
		got, u, err := e.Compare(r.log)
		if err != nil {
			t.Logf("%s, %s, %s: %v", s.kind, s.cell, r.log.Name, err)
			return
		}
		f.volts, f.measured, f.predicted, f.u = 1000*float64(got.All), float64(got.Measured), float64(got.Predicted), float64(u)
		f.doubts = got.doubts
		out = append(out, f)
	}
	for i, r := range runs {
		var others []measuredRun
		for k, o := range runs {
			if k != i && teaches(o) {
				others = append(others, o)
			}
		}
		others = others[:min(len(others), 4)]
		by(r, nil)
		if len(others) > 1 {
			by(r, others)
		}
		for _, o := range others {
			by(r, []measuredRun{o})
		}
	}
	return out
}

func writeForeseen(file string, all []foreseen) error {
	var b strings.Builder
	b.WriteString("class\ttype\tin view\tcell\ttaught by\trun\tvoltage, mV\tmeasured, s\tpredicted, s\tstandard uncertainty by the unknowns, s\tdoublings\tcolder, K\twarmer, K\tlabel\tbeyond\tmisfit\taged\n")
	for _, f := range all {
		fmt.Fprintf(&b, "%s\t%s\t%t\t%s\t%s\t%s\t%.1f\t%.0f\t%.0f\t%.0f\t%.2f\t%.1f\t%.1f\t%.3f\t%.3f\t%.3f\t%.2f\n", f.class, f.kind, f.inView, f.cell, f.taught, f.run, f.volts, f.measured, f.predicted, f.u,
			f.doublings, f.colder, f.warmer, f.label, f.beyond, f.misfit, f.aged)
	}
	return os.WriteFile(file, []byte(b.String()), 0o644)
}

func readForeseen(t testing.TB, file string) (all []foreseen) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table := csv.NewReader(f)
	table.Comma, table.LazyQuotes = '\t', true
	rows, err := table.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		n := func(column int) float64 { v, _ := strconv.ParseFloat(r[column], 64); return v }
		d := doubts{typical: r[4] == "nothing", alone: r[4] != "nothing" && !strings.Contains(r[4], " + "), doublings: n(10), colder: n(11), warmer: n(12), label: n(13), beyond: n(14), misfit: n(15), aged: n(16)}
		all = append(all, foreseen{r[0], r[1], r[3], r[4], r[5], r[2] == "true", n(6), n(7), n(8), n(9), d})
	}
	return all
}

// reliability is the table: of each class how many of the measured times lie in the interval of 50, 80 and 95 %, counted by type, how wide that of
// 95 % is in the middle, and the interval score of T. Gneiting, A. E. Raftery, J. Am. Stat. Assoc. 102 (2007) 359, equation 43, as parts of
// the time. part is the standard uncertainty of each, as a part of the predicted time. A bootstrap draws types; a class with less than eight has only what coverage is at least, each type being one trial (C. J. Clopper,
// E. S. Pearson, Biometrika 26 (1934) 404, one-sided, 95 %).
func reliability(all []foreseen, part func(foreseen) float64) (lines []string) {
	lines = []string{"| class | types | runs | inside 50 % | 80 % | 95 % | by bootstrap | median width, ± | interval score | error, rms | voltage, rms |",
		"| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |"}
	classes := []string{"known cell, near", "known cell, far", "new cell, typical values", "new and cold", "cold", "aged", "lead-acid"}
	for _, seen := range []bool{false, true} {
		for _, class := range classes {
			var of []foreseen
			for _, f := range all {
				if f.class == class && f.inView == seen {
					of = append(of, f)
				}
			}
			if len(of) > 0 {
				name := class
				if seen {
					name += ", constants chosen in view"
				}
				lines = append(lines, classLine(name, of, part))
			}
		}
	}
	return lines
}

func classLine(class string, of []foreseen, part func(foreseen) float64) string {
	byKind := map[string][]foreseen{}
	for _, f := range of {
		byKind[f.kind] = append(byKind[f.kind], f)
	}
	var kinds []string
	for k := range byKind {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	inside := func(z float64, kinds []string) float64 { // the mean over types of the part that lies inside
		var sum float64
		for _, k := range kinds {
			n := 0.0
			for _, f := range byKind[k] {
				if low, high := interval(quantity.Seconds(f.predicted), quantity.Seconds(f.predicted*part(f)), z); float64(low) <= f.measured && f.measured <= float64(high) {
					n++
				}
			}
			sum += n / float64(len(byKind[k]))
		}
		return 100 * sum / float64(len(kinds))
	}
	const z50, z80, z95 = 0.6745, 1.2816, 1.9600
	random := rand.New(rand.NewPCG(20, 7))
	var again []float64
	for range 2000 {
		var drawn []string
		for range kinds {
			drawn = append(drawn, kinds[random.IntN(len(kinds))])
		}
		again = append(again, inside(z95, drawn))
	}
	low, high := middle95(again)
	bounds := fmt.Sprintf("%.0f to %.0f %%", low, high)
	if len(kinds) < 8 {
		n, in := float64(len(kinds)), inside(z95, kinds)/100*float64(len(kinds))
		low = 0
		if in > 0 {
			low = 100 * distuv.Beta{Alpha: in, Beta: n - in + 1}.Quantile(0.05)
		}
		bounds = fmt.Sprintf("at least %.0f %%", low)
	}
	var widths []float64
	var score, errors, volts float64
	for _, f := range of {
		low, high := interval(quantity.Seconds(f.predicted), quantity.Seconds(f.predicted*part(f)), z95)
		wide, off, miss := float64(high-low)/f.measured, math.Abs(f.predicted/f.measured-1), max(0, float64(low)/f.measured-1, 1-float64(high)/f.measured)
		if math.IsNaN(wide + off) { // it does not come down to where the run ended
			wide, off, miss = 0, 1, 1
		}
		widths = append(widths, wide/2)
		score += wide + 2/0.05*miss
		errors += off * off
		volts += f.volts * f.volts
	}
	slices.Sort(widths)
	n := float64(len(of))
	return fmt.Sprintf("| %s | %d | %d | %.0f %% | %.0f %% | %.0f %% | %s | %.1f %% | %.1f %% | %.1f %% | %.0f mV |", class, len(kinds), len(of), inside(z50, kinds), inside(z80, kinds), inside(z95, kinds), bounds, 100*widths[len(widths)/2], 100*score/n, 100*math.Sqrt(errors/n), math.Sqrt(volts/n))
}

// The page shows the table that the recorded predictions give, whole.
func TestReliabilityIsShown(t *testing.T) {
	page, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	all := readForeseen(t, "testdata/reliability.tsv")
	if len(all) < 500 {
		t.Errorf("only %d predictions are recorded", len(all))
	}
	for _, line := range slices.Concat(reliability(all, before), reliability(all, withoutType(all))) {
		if !strings.Contains(string(page), line+"\n") {
			t.Errorf("README.md does not show\n%s", line)
		}
	}
}

func before(f foreseen) float64 { return f.before() }

// withoutType is the width of each prediction by the constants that all types but its own give.
func withoutType(all []foreseen) func(foreseen) float64 {
	byType := map[string]widths{}
	for _, f := range all {
		if _, ok := byType[f.kind]; !ok {
			byType[f.kind] = found(slices.DeleteFunc(slices.Clone(all), func(o foreseen) bool { return o.kind == f.kind }))
		}
	}
	return func(f foreseen) float64 { return f.part(byType[f.kind]) }
}
