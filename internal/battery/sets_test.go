package battery

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// measuredSet is one measured cell.
type measuredSet struct {
	kind, cell, chemistry string // cells of one kind are not independent of each other
	rated                 float64
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
	{"LFP 18650 2 Ah", "a", "lfp", 2, "cells/lfp-18650-2000mah-openparameters", "*.csv", 0, 1, 2, -1, -1, 25, ""},
	{"LFP 26650 2.5 Ah", "A002", "lfp", 2.5, "cells/lfp-26650-2500mah-ocvdynamic-a002", "*.csv", 0, 2, 3, -1, -1, 25, "*P25*"},
	{"Li-ion 18650 2 Ah", "b0038", "nmc", 2, "cells/liion-18650-2000mah-prognostics-b0038", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0040", "nmc", 2, "cells/liion-18650-2000mah-prognostics-b0040", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0042", "nmc", 2, "cells/liion-18650-2000mah-prognostics-b0042", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0044", "nmc", 2, "cells/liion-18650-2000mah-prognostics-b0044", "B*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2.6 Ah", "r1", "nmc", 2.6, "cells/liion-18650-2600mah-crosstask-r1", "*.csv", 0, 1, 2, 3, 1, 25, ""},
	{"Li-ion 18650 2.6 Ah", "r2", "nmc", 2.6, "cells/liion-18650-2600mah-crosstask-r2", "*.csv", 0, 1, 2, 3, 1, 25, ""},
	{"Li-ion 18650 2.6 Ah", "r4", "nmc", 2.6, "cells/liion-18650-2600mah-crosstask-r4", "*.csv", 0, 1, 2, 3, 1, 25, ""},
	{"Li-ion 18650 3 Ah, high drain", "s002", "nca", 3, "cells/liion-18650-3000mah-deformation-s002", "*.csv", 0, 1, 2, 4, -1, 22, ""},
	{"telephone pack 1.1 Ah", "a", "nmc", 1.1, "cells/liion-phonepack-1100mah-capacityclaims", "*.csv", 0, 2, 1, -1, 1, 20, ""},
	{"telephone pack 1.5 Ah", "a", "nmc", 1.5, "cells/liion-phonepack-1500mah-capacityclaims", "*.csv", 0, 2, 1, -1, 1, 20, ""},
	{"telephone pack 2 Ah", "a", "nmc", 2, "cells/liion-phonepack-2000mah-capacityclaims", "*.csv", 0, 2, 1, -1, 1, 20, ""},
	{"NMC 18650 3 Ah", "a", "nmc", 3, "cells/nmc-18650-3000mah-sixtemperatures", "*.csv", 3, 9, 8, 10, -1, 25, "25degC*"},
	{"Li-ion 21700 4 Ah", "a", "nca", 4, "cell-21700-4ah-arts", "*1_discharge.csv", 0, 1, 2, 5, -1, 22, ""},
	{"LMO pouch 33 Ah", "a", "nmc", 33.1, "pouch-33ah-2013", "?C-discharge.csv", 1, 8, 9, -1, -1, 25, ""},
	{"sodium-ion 18650 1.5 Ah", "1", "sodium-ion", 1.5, "sodium-ion-18650", "static_test_?c-2-1.csv", 2, 4, 3, -1, -1, 25, ""},
	{"Li-ion 18650 2 Ah", "b0005", "nmc", 2, "nasa-pcoe-18650", "B0005_discharge*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0034", "nmc", 2, "nasa-pcoe-18650", "B0034_discharge*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"Li-ion 18650 2 Ah", "b0036", "nmc", 2, "nasa-pcoe-18650", "B0036_discharge*.csv", 5, 1, 0, 2, -1, 24, ""},
	{"NCA 18650 2.9 Ah", "a", "nca", 2.9, "panasonic-18650pf", "25C_1C_discharge*.csv", 0, 2, 1, 6, -1, 25, ""},
	{"NMC 21700 5 Ah", "a", "nmc", 5, "lg-m50-warwick", "T*.csv", 0, 1, 2, 3, -1, 25, "T25*"},
	{"Li-ion 18650 3 Ah, high drain", "s001", "nca", 3, "samsung-30q-arts", "*.csv", 0, 1, 2, 4, -1, 22, ""},
	{"LFP 26650 2.6 Ah", "a", "lfp", 2.6, "k2-26650-lfp-arts", "K2*.txt", 0, 1, 2, 4, -1, 20, ""},
	{"lead-acid 12 V 17 Ah", "a", "lead-acid-agm", 17, "bboxx-lead-acid-17ah", "unit-a-*.csv", 0, 2, 1, -1, 1, 25, ""},
}

// cyclesBefore are the cycles before a run whose name does not tell them: about 110, as the source says; 167 discharges (from memory; the source
// counts 613 operations before it, of which some were charges and impedances).
var cyclesBefore = map[string]int{"25C_1C_discharge_end_of_life_a": 110, "25C_1C_discharge_end_of_life_b": 110, "B0005_discharge_last_05734": 167}

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
			if n, ok := cyclesBefore[l.Name]; ok {
				r.number, r.log.Cycles = n, float64(n)
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
