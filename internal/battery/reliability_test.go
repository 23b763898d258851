package battery

import (
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
		if f.kind == of && f.cell != "b0034" && (strings.Contains(f.run, name) || strings.Contains(f.taught, name)) {
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
		f := foreseen{class: classOf(s, taught, r), kind: s.kind, cell: s.cell, taught: name, run: r.log.Name, inView: wereInView(s.kind)}
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
	b.WriteString("class\ttype\tcell\ttaught by\trun\tvoltage, mV\tmeasured, s\tpredicted, s\tstandard uncertainty by the unknowns, s\tdoublings\tcolder, K\tchill\twarmer, K\tlabel\tbeyond\tmisfit\taged\n")
	for _, f := range all {
		fmt.Fprintf(&b, "%s\t%s\t%s\t%s\t%s\t%.1f\t%.0f\t%.0f\t%.0f\t%.2f\t%.1f\t%.3f\t%.1f\t%.3f\t%.3f\t%.3f\t%.2f\n", f.class, f.kind, f.cell, f.taught, f.run, f.volts, f.measured, f.predicted, f.u,
			f.doublings, f.colder, f.chill, f.warmer, f.label, f.beyond, f.misfit, f.aged)
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
		d := doubts{typical: r[3] == "nothing", alone: r[3] != "nothing" && !strings.Contains(r[3], " + "), doublings: n(9), colder: n(10), chill: n(11), warmer: n(12), label: n(13), beyond: n(14), misfit: n(15), aged: n(16)}
		all = append(all, foreseen{r[0], r[1], r[2], r[3], r[4], wereInView(r[1]), n(5), n(6), n(7), n(8), d})
	}
	return all
}

// reliability is the table: of each class how many of the measured times lie in the interval of 50, 80 and 95 %, counted by type, how wide that of
// 95 % is in the middle, and the interval score of T. Gneiting, A. E. Raftery, J. Am. Stat. Assoc. 102 (2007) 359, equation 43, as parts of
// the time. part is the standard uncertainty of each, as a part of the predicted time. A bootstrap draws types; a class with less than eight has only what coverage is at least, each type being one trial (C. J. Clopper,
// E. S. Pearson, Biometrika 26 (1934) 404, one-sided, 95 %).
func reliability(all []foreseen, part func(foreseen) float64) (lines []string) {
	lines = []string{"| class | types | runs | inside 50 % | 80 % | 95 % | without the inexplicable | by bootstrap | median width, ± | interval score | error, rms | voltage, rms |",
		"| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |"}
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
	inside := func(z float64, kinds []string, odd bool) float64 { // the mean over types of the part that lies inside
		var sum, types float64
		for _, k := range kinds {
			n, of := 0.0, 0.0
			for _, f := range byKind[k] {
				if f.odd() && !odd {
					continue
				}
				of++
				if low, high := interval(quantity.Seconds(f.predicted), quantity.Seconds(f.predicted*part(f)), z); float64(low) <= f.measured && f.measured <= float64(high) {
					n++
				}
			}
			if of > 0 {
				sum, types = sum+n/of, types+1
			}
		}
		return 100 * sum / types
	}
	const z50, z80, z95 = 0.6745, 1.2816, 1.9600
	random := rand.New(rand.NewPCG(20, 7))
	var again []float64
	for range 2000 {
		var drawn []string
		for range kinds {
			drawn = append(drawn, kinds[random.IntN(len(kinds))])
		}
		again = append(again, inside(z95, drawn, true))
	}
	low, high := middle95(again)
	bounds := fmt.Sprintf("%.0f to %.0f %%", low, high)
	if len(kinds) < 8 {
		n, in := float64(len(kinds)), inside(z95, kinds, true)/100*float64(len(kinds))
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
	return fmt.Sprintf("| %s | %d | %d | %.0f %% | %.0f %% | %.0f %% | %.0f %% | %s | %.1f %% | %.1f %% | %.1f %% | %.0f mV |", class, len(kinds), len(of), inside(z50, kinds, true), inside(z80, kinds, true), inside(z95, kinds, true), inside(z95, kinds, false), bounds, 100*widths[len(widths)/2], 100*score/n, 100*math.Sqrt(errors/n), math.Sqrt(volts/n))
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

// The page lists every constant that was chosen with sets in view, each with its sets, and every set of the table is of a type that it, or the table, names.
func TestConstantsChosenInViewAreShown(t *testing.T) {
	page, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]bool{}
	for _, s := range measuredSets {
		kinds[s.kind] = true
	}
	for _, c := range chosenInView {
		if line := "| " + c.Constants + " | " + strings.Join(c.Types, "; ") + " |\n"; !strings.Contains(string(page), line) {
			t.Errorf("README.md does not show\n%s", line)
		}
		for _, kind := range c.Types {
			if !kinds[kind] {
				t.Errorf("%s is no type of a measured set", kind)
			}
		}
	}
	if wereInView("Li-ion 18650 2 Ah") || !wereInView("NCA 18650 2.9 Ah") {
		t.Error("a type that was in view, or one that was not")
	}
}
