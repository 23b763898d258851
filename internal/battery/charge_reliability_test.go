package battery

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// chargedSet is a measured cell with charges, beside its discharges in measuredSets of the same kind.
type chargedSet struct {
	kind, folder, files string
	time, amps, volts   int
	warmth              int
	scale               float64
	idle                float64 // A, below which nothing flows
}

// The charges of the sets. The kinds are those of measuredSets where they have discharges there.
var chargedSets = []chargedSet{
	{"NMC 21700 5 Ah", "lg-m50-warwick", "T*.csv", 0, 1, 2, 3, 1, 0.02},
	{"NCA 18650 2.9 Ah", "panasonic-18650pf", "25C_C*charge*.csv", 0, 2, 1, 6, 1, 0.02},
	{"Li-ion 21700 4 Ah", "cell-21700-4ah-arts", "*3_charge.csv", 0, 1, 2, 5, 1, 0.05},
	{"Li-ion 18650 2 Ah, B5", "nasa-pcoe-18650", "B0005_charge*.csv", 5, 1, 0, 2, 1, 0.015},
	{"LMO pouch 33 Ah", "pouch-33ah-2013", "?C-discharge.csv", 1, 8, 9, -1, 1, 0.2},
	{"LMO pouch 33 Ah", "pouch-33ah-2013", "cycling*.csv", 1, 8, 9, -1, 1, 0.1},
	{"sodium-ion 18650 1.5 Ah", "sodium-ion-18650", "*.csv", 2, 4, 3, -1, 1e-3, 0.06},
}

// Cells of which other discharges teach than measuredSets has, or that have none there.
var chargedAlone = []measuredSet{
	{"NCA 18650 2.9 Ah", "a", "nca", 2.9, "panasonic-18650pf", "25C_1C_discharge_start*.csv", 0, 2, 1, 6, -1, 25, ""},
	{"Li-ion 18650 2 Ah, B5", "b0005", "nmc", 2, "nasa-pcoe-18650", "B0005_discharge*.csv", 5, 1, 0, 2, -1, 24, ""},
}

// charges are those of a file, each with the rest before it.
func (s chargedSet) charges(t testing.TB, file string, rated float64) (out []MeasuredCharge) {
	t.Helper()
	l := measuredSet{time: s.time, amps: s.amps, volts: s.volts, temp: s.warmth, sign: 1}.read(t, file)
	begin := 0
	for k := range l.Time {
		last := k == len(l.Time)-1
		if !last && l.Amperes[k] > -s.idle {
			continue
		}
		if k-begin > 20 {
			m := MeasuredCharge{Name: fmt.Sprintf("%s %d", l.Name, len(out)+1), Series: 1, Ambient: s.ambient(l, begin), Warmth: quantity.Celsius(math.NaN())}
			if warm := l.Celsius[begin]; !math.IsNaN(warm) {
				m.Warmth = quantity.Celsius(warm)
			}
			m.Rows.Start = l.Time[begin] * s.scale
			for n := begin + 1; n < k; n++ {
				if at := l.Time[n] * s.scale; at > m.Rows.Start && (len(m.Rows.Time) == 0 || at > m.Rows.Time[len(m.Rows.Time)-1]) {
					m.Rows.Time, m.Rows.Amperes, m.Rows.Volts = append(m.Rows.Time, at), append(m.Rows.Amperes, l.Amperes[n]), append(m.Rows.Volts, l.Volts[n])
				}
			}
			var ok bool
			if m.Cut, ok = phases.Of(m.Rows); ok && m.Cut.Current+m.Cut.Voltage > 0.05*3600*rated {
				out = append(out, m)
			}
		}
		begin = k
	}
	return out
}

// ambient is what the file's name or its first temperature says.
func (s chargedSet) ambient(l Log, row int) quantity.Celsius {
	for key, c := range map[string]quantity.Celsius{"T0_": 0, "T45_": 45} {
		if strings.HasPrefix(l.Name, key) {
			return c
		}
	}
	if c := l.Celsius[0]; !math.IsNaN(c) {
		return quantity.Celsius(c)
	}
	return 25
}

// foreseenCharge is one measure of a charge as it was predicted.
type foreseenCharge struct {
	class, kind, charge string
	measure             ChargeMeasure
	measured, predicted float64
	u                   float64
}

var measureNames = [measures]string{"to 80 %", "to full", "energy in"}

// The classes of charges.
const (
	newCharge    = "new cell, typical values"
	knownCharge  = "cell known by discharges"
	taughtCharge = "and by other charges"
)

// BenchmarkChargeReliability predicts every charge of the sets by typical values, by what discharges of the cell taught, and by these and
// the other charges of the cell, at most four, writes testdata/charges.tsv and prints the table of README.md:
//
//	VOLTWRIGHT_SETS=/folder/of/sets go test -run '^$' -bench ChargeReliability -benchtime 1x ./internal/battery
func BenchmarkChargeReliability(b *testing.B) {
	sets := os.Getenv("VOLTWRIGHT_SETS")
	if sets == "" {
		b.Fatal("VOLTWRIGHT_SETS names no folder of measured sets")
	}
	var all []foreseenCharge
	for range b.N {
		all = foreseeCharges(b, sets)
	}
	var text strings.Builder
	text.WriteString("class\ttype\tcharge\tmeasure\tmeasured, s or Wh\tpredicted\tstandard uncertainty\n")
	for _, f := range all {
		fmt.Fprintf(&text, "%s\t%s\t%s\t%s\t%.5g\t%.5g\t%.3g\n", f.class, f.kind, f.charge, measureNames[f.measure], f.measured, f.predicted, f.u)
	}
	if err := os.WriteFile("testdata/charges.tsv", []byte(text.String()), 0o644); err != nil {
		b.Fatal(err)
	}
	fmt.Println(strings.Join(chargeTable(readCharges(b)), "\n"))
}

func foreseeCharges(t testing.TB, sets string) (all []foreseenCharge) {
	t.Helper()
	byKind := map[string][]MeasuredCharge{}
	var kinds []string
	of := map[string]measuredSet{}
	for _, s := range slices.Concat(chargedAlone, measuredSets) {
		if _, ok := of[s.kind]; !ok {
			of[s.kind] = s
		}
	}
	for _, s := range chargedSets {
		files, _ := filepath.Glob(filepath.Join(sets, s.folder, s.files))
		if len(files) == 0 {
			t.Fatalf("no files of %s", s.folder)
		}
		if !slices.Contains(kinds, s.kind) {
			kinds = append(kinds, s.kind)
		}
		for _, file := range files {
			byKind[s.kind] = append(byKind[s.kind], s.charges(t, file, of[s.kind].rated)...)
		}
	}
	for _, kind := range kinds {
		s := of[kind]
		plain, err := Typical(chemistry(t, s.chemistry), quantity.Exact(quantity.AmpereHours(s.rated)))
		if err != nil {
			t.Fatal(err)
		}
		var logs []Log
		for _, r := range s.discharges(t, sets) {
			if ok, _ := filepath.Match(s.teachers, r.log.Name); ok || s.teachers == "" {
				logs = append(logs, r.log)
			}
		}
		cal, err := plain.Calibrate(logs[:min(4, len(logs))]...)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, foreseeAll(t, kind, newCharge, plain, byKind[kind], false)...)
		all = append(all, foreseeAll(t, kind, knownCharge, cal.After, byKind[kind], false)...)
		all = append(all, foreseeAll(t, kind, taughtCharge, cal.After, byKind[kind], true)...)
	}
	return all
}

func foreseeAll(t testing.TB, kind, class string, e *Estimate, charges []MeasuredCharge, taught bool) (all []foreseenCharge) {
	var lessons []ChargeLesson
	for _, m := range charges {
		c, err := e.CompareCharge(m, nil)
		if err != nil {
			t.Logf("%s, %s, %s: %v", class, kind, m.Name, err)
			lessons = append(lessons, ChargeLesson{Current: quantity.Amperes(math.NaN())})
			continue
		}
		lessons = append(lessons, c.Lesson)
	}
	for k, m := range charges {
		var others []ChargeLesson
		for n := 1; n < len(charges) && taught && len(others) < 4; n++ { // the nearest in the order that they were made
			for _, at := range []int{k - n, k + n} {
				if at >= 0 && at < len(charges) && !math.IsNaN(float64(lessons[at].Current)) {
					others = append(others, lessons[at])
				}
			}
		}
		if taught && len(others) == 0 {
			continue
		}
		c, err := e.CompareCharge(m, others)
		if err != nil || taught && c.Forecast.Taught == 0 {
			continue
		}
		for measure, f := range map[ChargeMeasure][2]float64{ToMost: {float64(c.Forecast.Most.Value), float64(c.Forecast.Most.U)},
			ToFull: {float64(c.Forecast.Full.Value), float64(c.Forecast.Full.U)}, EnergyIn: {float64(c.Forecast.Energy.Value), float64(c.Forecast.Energy.U)}} {
			if !math.IsNaN(c.Measured[measure]) {
				all = append(all, foreseenCharge{class, kind, m.Name, measure, c.Measured[measure], f[0], f[1]})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b foreseenCharge) int { return int(a.measure) - int(b.measure) })
	return all
}

// chargeTable counts as reliability does.
func chargeTable(all []foreseenCharge) (lines []string) {
	lines = []string{"| class | measure | types | charges | inside 50 % | 80 % | 95 % | without the inexplicable | by bootstrap | median width, ± | interval score | error, rms |",
		"| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |"}
	for _, class := range []string{newCharge, knownCharge, taughtCharge} {
		for measure := range measures {
			var of []foreseen
			for _, f := range all {
				if f.class == class && f.measure == measure {
					of = append(of, foreseen{kind: f.kind, measured: f.measured, predicted: f.predicted, u: f.u})
				}
			}
			if len(of) > 0 {
				line := classLine(class+" | "+measureNames[measure], of, func(f foreseen) float64 { return f.u / f.predicted })
				lines = append(lines, line[:strings.LastIndex(strings.TrimSuffix(line, " |"), " | ")]+" |")
			}
		}
	}
	return lines
}

// The page shows the table that the recorded predictions of charges give, whole.
func TestChargeReliabilityIsShown(t *testing.T) {
	page, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	all := readCharges(t)
	if len(all) < 150 {
		t.Errorf("only %d predictions are recorded", len(all))
	}
	if os.Getenv("VOLTWRIGHT_UPDATE") != "" {
		t.Log("\n" + strings.Join(chargeTable(all), "\n"))
	}
	for _, line := range chargeTable(all) {
		if !strings.Contains(string(page), line+"\n") {
			t.Errorf("README.md does not show\n%s", line)
		}
	}
}

func readCharges(t testing.TB) (all []foreseenCharge) {
	t.Helper()
	text, err := os.ReadFile("testdata/charges.tsv")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
		r := strings.Split(line, "\t")
		n := func(k int) float64 { v, _ := strconv.ParseFloat(r[k], 64); return v }
		all = append(all, foreseenCharge{r[0], r[1], r[2], ChargeMeasure(slices.Index(measureNames[:], r[3])), n(4), n(5), n(6)})
	}
	return all
}
