package runlog

import (
	"fmt"
	"strings"
	"testing"
)

// takenOf says which channels a log's columns are taken for, in the order of the channels.
func takenOf(t *testing.T, text string) string {
	t.Helper()
	s, _ := readAll(t, "heads", []byte(text), NewOptions())
	var out []string
	for _, c := range s.Dialect().Columns {
		out = append(out, c.Channel.String()+" "+c.Name)
	}
	return strings.Join(out, ", ")
}

// What columns are taken for by heads of which a word or a unit has two meanings.
func TestHeadsOfTwoMeanings(t *testing.T) {
	rows := func(n int, cells string) string {
		var b strings.Builder
		for k := range n {
			b.WriteString(strings.NewReplacer("@", itoa(k), "#", fmt.Sprintf("%.2f", 0.01*float64(k))).Replace(cells) + "\n")
		}
		return b.String()
	}
	for _, x := range []struct{ name, text, want string }{
		// French cap is a course, and beside positions that is meant; else it is short for a capacity.
		{"cap without positions", "time (s),voltage (V),current (A),cap\n" + rows(30, "@,25,36,#"), "time time (s), voltage voltage (V), current current (A), charge-counter cap"},
		{"cap beside positions", "time (s),voltage (V),current (A),cap,lat,lon\n" + rows(30, "@,25,36,#,48.1,11.5"), "time time (s), voltage voltage (V), current current (A)"},
		// F is a farad and a degree Fahrenheit, in the head and in a row of units alike: only a head that names a temperature tells.
		{"size in F", "time,voltage,current,size\ns,V,A,F\n" + rows(30, "@,25,5,70"), "time time, voltage voltage, current current"},
		{"temperature in F", "time,voltage,current,cell temperature\ns,V,A,F\n" + rows(30, "@,25,5,70"), "time time, voltage voltage, current current, temperature cell temperature"},
		{"size in °F", "time,voltage,current,size\ns,V,A,°F\n" + rows(30, "@,25,5,70"), "time time, voltage voltage, current current, temperature size"},
	} {
		if got := takenOf(t, x.text); got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
}

// Of two units within a head the first that fits holds.
func TestFirstUnitWithinAHeadHolds(t *testing.T) {
	for name, want := range map[string]string{"current_mA_of_mV_avg": "mA", "voltage_mV_at_mA_avg": "mV", "pack_mV_mA_avg": "mV", "pack_mA_mV_avg": "mA"} {
		if h := parseHead(name); h.unit == nil || h.unit.Symbol() != want {
			t.Errorf("%s: %+v, want %s", name, h.unit, want)
		}
	}
}

// A unit in brackets goes before one behind the words, be it one of ours or not; blanks within the brackets make no difference.
func TestUnitInBracketsHolds(t *testing.T) {
	for name, want := range map[string]string{"Current_mA (A)": "A", "Time/s (min)": "min", "chargemAh (Ah)": "Ah", "Current_mA (V/s)": "", "Current_mA (Hz)": "", "Voltage mV": "mV"} {
		h, symbol := parseHead(name), ""
		if h.unit != nil {
			symbol = h.unit.Symbol()
		}
		if symbol != want || h.foreign != (want == "") {
			t.Errorf("%s: %q, foreign %t", name, symbol, h.foreign)
		}
	}
	for text, want := range map[string]bool{"V/s": true, "Hz": true, "g": true, "V": false, "/s": false, "F": false, "f": false, "cm2": true, "km/h": false, "": false} {
		for _, written := range []string{text, " " + text, text + "  "} {
			if got := foreignUnit(written); got != want {
				t.Errorf("%q: %t", written, got)
			}
		}
	}
}

// A current that goes in and one that comes out are one, wherever the two columns stand; of three nobody can tell.
func TestTwoWaysOfACurrent(t *testing.T) {
	in, out, in2, out2 := "charge current (A)", "discharge current (A)", "charging current 2 (A)", "discharging current 2 (A)"
	for _, x := range []struct {
		heads []string
		want  bool
	}{
		{[]string{in, out, "time (s)", "voltage (V)"}, true}, {[]string{out, in, "time (s)", "voltage (V)"}, true}, {[]string{"time (s)", "voltage (V)", in, out}, true},
		{[]string{in, out, in2, "time (s)"}, false}, {[]string{in, in2, out, "time (s)"}, false}, {[]string{out, in, out2, "time (s)"}, false}, {[]string{in, "time (s)", "voltage (V)"}, false}, {[]string{out, "time (s)", "voltage (V)"}, false},
	} {
		var cols [][]float64
		for range x.heads {
			cols = append(cols, repeated(30, func(int) float64 { return 0 }))
		}
		a := columns(cols...)
		for i, h := range x.heads {
			a.plan.names[i], a.plan.heads[i] = h, parseHead(h)
			a.plan.units[i] = a.plan.heads[i].unit
		}
		a.pair()
		joined := a.plan.back != nil
		if joined != x.want {
			t.Errorf("%v: joined %t", x.heads, joined)
		}
		if joined && (x.heads[a.plan.back.index] != in || x.heads[a.plan.sources[0].index] != out || len(a.plan.sources) != 1) {
			t.Errorf("%v: %+v, %+v", x.heads, a.plan.back, a.plan.sources)
		}
	}
}

// A clock that passes midnight runs on, and so is the log's time beside a date that is coarser; one that starts anew is not, and the date is.
func TestClockBesideADate(t *testing.T) {
	for name, start := range map[string]float64{"past midnight": 86390, "anew": 40} {
		var b strings.Builder
		b.WriteString("Time,Date Time,voltage (V),discharge current (A)\n")
		for k := range 60 {
			at := start + 0.5*float64(k)
			day := 12
			date := at
			if start < 100 && k >= 30 {
				at -= start + 15 // a second run within the log
			}
			if at >= 86400 {
				at, date, day = at-86400, date-86400, 13
			}
			fmt.Fprintf(&b, "%d:%02d:%04.1f,2026-04-%d %02d:%02d:%02d,25,5\n", int(at)/3600, int(at)/60%60, at-60*float64(int(at)/60), day, int(date)/3600, int(date)/60%60, int(date)%60)
		}
		want := "time Time, voltage voltage (V), current discharge current (A)"
		if name == "anew" {
			want = "time Date Time, voltage voltage (V), current discharge current (A)"
		}
		if got := takenOf(t, b.String()); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}
