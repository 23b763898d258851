package quantity

import (
	"math"
	"testing"
)

// near compares to a number of significant figures as a table prints them.
func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

// TestFactorsOfSP811 holds each factor against NIST SP 811 (2008), appendix
// B.8, at the figures printed there: 7 for rounded ones, all for the exact.
// The print was confirmed in a copy of the whole appendix, except for
// the rows marked "from memory".
func TestFactorsOfSP811(t *testing.T) {
	const printed, exact = 0.5e-6, 1e-15
	tests := []struct {
		entry     string // as SP 811 words it
		text      string
		want      float64 // in the base unit of this package
		tolerance float64
	}{
		{"inch (in) to metre, 2.54 E-02", "1 in", 0.0254, exact},
		{"foot (ft) to metre, 3.048 E-01", "1 ft", 0.3048, exact},
		{"yard (yd) to metre, 9.144 E-01", "1 yd", 0.9144, exact},
		{"mile (mi) to metre, 1.609344 E+03", "1 mi", 1609.344, exact},
		{"mile per hour (mi/h) to metre per second, 4.4704 E-01", "1 mph", 0.44704, exact},
		{"kilometre per hour to metre per second, 2.777778 E-01", "1 km/h", 0.2777778, printed},
		{"foot per second (ft/s) to metre per second, 3.048 E-01", "1 ft/s", 0.3048, exact},
		{"pound (avoirdupois) (lb) to kilogram, 4.535924 E-01", "1 lb", 0.4535924, printed},
		{"ounce (avoirdupois) (oz) to kilogram, 2.834952 E-02", "1 oz", 0.02834952, printed},
		{"horsepower (550 ft·lbf/s) to watt, 7.456999 E+02", "1 hp", 745.6999, printed},
		{"pound-force foot (lbf·ft) to newton metre, 1.355818", "1 lbf·ft", 1.355818, printed},
		{"pound-force inch (lbf·in) to newton metre, 1.129848 E-01", "1 lbf·in", 0.1129848, printed},
		{"ounce-force inch (ozf·in) to newton metre, 7.061552 E-03", "1 ozf·in", 7.061552e-3, printed},
		{"kilogram-force metre to newton metre, 9.80665", "100 kgf·cm", 9.80665, exact},
		{"circular mil to square millimetre, 5.067075 E-04", "1 kcmil", 0.5067075, printed},
		{"square inch (in²) to square metre, 6.4516 E-04 (from memory)", "1 in²", 645.16, exact},
		{"ampere hour (A·h) to coulomb, 3.6 E+03", "3600 As", 1, exact},
		{"watt hour (W·h) to joule, 3.6 E+03", "3600 J", 1, exact},
		{"kilowatt hour to megajoule, 3.6 (from memory)", "3.6 MJ", 1000, exact},
		{"revolution per minute to radian per second, 1.047198 E-01 (from memory)", "0.1047198 rad/s", 1, printed},
		{"minute (min) to second, 6.0 E+01", "1 min", 60, exact},
		{"hour (h) to second, 3.6 E+03", "1 h", 3600, exact},
		{"day (d) to second, 8.64 E+04", "1 d", 86400, exact},
		{"tonne (t) to kilogram, 1.0 E+03", "1 t", 1000, exact},
		{"degree Fahrenheit to degree Celsius, t = (t_F − 32)/1.8 (from memory): ice", "32 °F", 0, 0},
		{"the same: boiling water", "212 °F", 100, exact},
		{"the same: where the scales meet", "-40 °F", -40, exact},
		{"interval of 1 °F in kelvin, 5.555556 E-01 (from memory)", "1 Δ°F", 0.5555556, printed},
	}
	for _, tt := range tests {
		q, err := Parse(tt.text)
		if err != nil {
			t.Errorf("%s: %v", tt.entry, err)
			continue
		}
		if !near(q.Value, tt.want, tt.tolerance) {
			t.Errorf("%s: %s is %.10g %s, want %.10g", tt.entry, tt.text, q.Value, q.Dimension.BaseUnit(), tt.want)
		}
	}
}

// TestPrefixesReadExactly: a prefix must not cost the last bit. Oracle: the
// decimal with its point moved, read by strconv, which rounds correctly.
func TestPrefixesReadExactly(t *testing.T) {
	tests := []struct {
		text string
		want float64
	}{
		{"60 mΩ", 0.060}, {"4.35 mΩ", 0.00435}, {"1.1 µΩ", 0.0000011}, {"0.3 kΩ", 300},
		{"5200 mAh", 5.2}, {"29.3 mV", 0.0293}, {"186.7 mm", 0.1867}, {"7.3 km", 7300},
		{"33.3 %", 0.333}, {"60 %", 0.6}, {"3 ms", 0.003}, {"0.07 kWh", 70},
	}
	for _, tt := range tests {
		if q, err := Parse(tt.text); err != nil || q.Value != tt.want {
			t.Errorf("%s: got %v (%v), want exactly %v", tt.text, q.Value, err, tt.want)
		}
	}
}

// TestIn checks conversions and that they claim no more digits than they had.
func TestIn(t *testing.T) {
	tests := []struct{ text, unit, want string }{
		{"64 kg", "lb", "141 lb"},
		{"5 km", "mi", "3.1 mi"},
		{"6.5 km/h", "mph", "4.04 mph"},
		{"130 mm", "in", "5.12 in"},
		{"186 m", "ft", "610 ft"},
		{"25 °C", "°F", "77 °F"},
		{"(20.0 ± 0.5) °C", "°F", "(68.0 ± 0.9) °F"},
		{"12 K", "°F", "22 °F"},
		{"12 AWG", "mm²", "3.31 mm²"}, // wire-awg.csv: 3.3088
		{"4/0 AWG", "mm2", "107 mm²"}, // wire-awg.csv: 107.2193
		{"90 s", "min", "1.50 min"},
		{"2 h 30 min", "h", "2.50 h"},
		{"7650.5 s", "h min s", "2 h 7 min 30.5 s"},
		{"7650 s", "h min", "2 h 8 min"},
		{"1.20 kWh", "Wh", "1200 Wh"},
		{"0.5 Ω", "mohm", "500 mΩ"},
		{"60 mΩ", "", "60 mΩ"},
		{"0.06 Ω", "", "60 mΩ"},
	}
	for _, tt := range tests {
		q, err := Parse(tt.text)
		if err != nil {
			t.Errorf("%s: %v", tt.text, err)
			continue
		}
		in, err := q.In(tt.unit)
		if err != nil {
			t.Errorf("%s in %s: %v", tt.text, tt.unit, err)
			continue
		}
		if got := in.Rounded(); got != tt.want {
			t.Errorf("%s in %s: got %s, want %s", tt.text, tt.unit, got, tt.want)
		}
		if in.Value != q.Value || in.U != q.U {
			t.Errorf("%s in %s: the value itself changed", tt.text, tt.unit)
		}
	}
}

// TestTwinOfAComputedValue: an exact value that was not written, too, claims no
// more digits in the other system than it has.
func TestTwinOfAComputedValue(t *testing.T) {
	for _, tt := range []struct {
		q    Quantity
		want string
	}{
		{Exact(Metres(186)).Quantity(), "610 ft"},
		{Exact(Kilograms(64.5)).Quantity(), "142.2 lb"},
		{Unsure(Metres(186)).Quantity(), "610 ft"},
		{Of[Celsius](20, 0.25).Quantity(), "(68.0 ± 0.9) °F"},
	} {
		if twin, ok := tt.q.Customary(); !ok || twin.Rounded() != tt.want {
			t.Errorf("twin of %s: %s (%v), want %s", tt.q, twin.Rounded(), ok, tt.want)
		}
	}
}

func TestInRefuses(t *testing.T) {
	volts := Quantity{Dimension: Voltage, Value: 23, Decimals: 0}
	area := Quantity{Dimension: Area, Value: 2.5, Decimals: 1}
	tests := []struct {
		q          Quantity
		unit, want string
	}{
		{volts, "A", "A measures a current; a unit of voltage is wanted"},
		{volts, "mv", `"mv" is not a known unit; the nearest is mV`},
		{area, "AWG", "2.5 mm² is not a size of the American wire gauge"},
	}
	for _, tt := range tests {
		_, err := tt.q.In(tt.unit)
		if err == nil || err.Error() != tt.want {
			t.Errorf("%s in %s: got %v, want %s", tt.q, tt.unit, err, tt.want)
		}
	}
}

// TestCustomary lists which values get a twin for readers in the US.
func TestCustomary(t *testing.T) {
	tests := []struct{ text, twin, metric string }{
		{"6.5 km/h", "4.04 mph", ""},
		{"1.8 m/s", "4.0 mph", ""},
		{"186 m", "610 ft", ""},
		{"2.4 km", "1.49 mi", ""},
		{"64 kg", "141 lb", ""},
		{"17 °C", "63 °F", ""},
		{"12 K", "22 °F", ""},
		{"130 mm", "5.12 in", ""},
		{"2.5 mm²", "13 AWG", ""}, // areas 2.624 and 2.081 mm²: wire-awg.csv
		{"4 mm²", "11 AWG", ""},   // 4.172
		{"500 mm²", "", ""},       // thicker than 4/0
		{"18 Wh/km", "29 Wh/mi", ""},
		{"1.4 N·m", "1.03 lbf·ft", ""},
		{"23.1 V", "", ""},
		{"8.4 A", "", ""},
		{"5.2 Ah", "", ""},
		{"124 Wh", "", ""},
		{"90 s", "", ""},
		{"60 mΩ", "", ""},
		{"4 mph", "", "6 km/h"},
		{"12 AWG", "", "3.31 mm²"},
		{"41 °F", "", "5.0 °C"},
		{"0.5 hp", "", "373 W"},
	}
	for _, tt := range tests {
		q, err := Parse(tt.text)
		if err != nil {
			t.Errorf("%s: %v", tt.text, err)
			continue
		}
		twin, ok := q.Customary()
		if ok != (tt.twin != "") || ok && twin.Rounded() != tt.twin {
			t.Errorf("customary twin of %s: got %s (%v), want %q", tt.text, twin.Rounded(), ok, tt.twin)
		}
		metric, ok := q.Metric()
		if ok != (tt.metric != "") || ok && metric.Rounded() != tt.metric {
			t.Errorf("metric twin of %s: got %s (%v), want %q", tt.text, metric.Rounded(), ok, tt.metric)
		}
	}
}

// TestUnitTable holds the table to its own promises.
func TestUnitTable(t *testing.T) {
	for _, s := range scales {
		if s.source == "" {
			t.Errorf("unit %q names no source", s.symbol)
		}
		if s.twin != "" {
			twin := bySymbol[s.twin]
			if twin == nil || twin.dimension != s.dimension || twin.us == s.us {
				t.Errorf("unit %q has the twin %q, which is no unit of the other system", s.symbol, s.twin)
			}
		}
	}
	for d := range Dimension(dimensionCount) {
		example, err := Parse(d.Example())
		if err != nil || example.Dimension != d {
			t.Errorf("example %q of %s reads as %s (%v)", d.Example(), d, example.Dimension, err)
		}
		if s := bySymbol[d.BaseUnit()]; s == nil || d != Share && (s.dimension != d || s.times != 1) {
			t.Errorf("base unit %q of %s is not the unit 1 of the table", d.BaseUnit(), d)
		}
		for _, step := range dimensionWords[d].shown {
			if s := bySymbol[step.unit]; step.unit != "" && (s == nil || s.dimension != d) {
				t.Errorf("%s is to be shown in %q", d, step.unit)
			}
		}
	}
	for _, u := range Units() {
		if u.Symbol == "" || u.Base == "" || u.Source == "" {
			t.Errorf("incomplete documentation: %+v", u)
		}
	}
	if n := len(Units()); n != len(unitTable)-1 {
		t.Errorf("%d units documented of %d", n, len(unitTable)-1)
	}
}

// TestFindUnit: the quick conversion of bare numbers agrees with Parse.
func TestFindUnit(t *testing.T) {
	for _, d := range Units() {
		u, ok := FindUnit(d.Symbol)
		if ok == (d.Symbol == gauge) {
			t.Errorf("FindUnit(%s) is %v", d.Symbol, ok)
		}
		if !ok {
			continue
		}
		q, err := Parse("12.7 " + d.Symbol)
		if err != nil {
			t.Errorf("%s: %v", d.Symbol, err)
			continue
		}
		if got := u.Base(12.7); !near(got, q.Value, 4e-16) || u.Dimension() != q.Dimension {
			t.Errorf("12.7 %s: %v by FindUnit, %v by Parse", d.Symbol, got, q.Value)
		}
		if back := u.Number(q.Value); !near(back, 12.7, 1e-15) {
			t.Errorf("12.7 %s there and back is %v", d.Symbol, back)
		}
	}
}

// A quantity that is written in its own unit, or a wire by its area and back, is as it was; nought has no sign.
func TestInAndBack(t *testing.T) {
	third := Quantity{Dimension: Voltage, Value: 1.0 / 3, Unit: "V", Decimals: -1}
	if got, err := third.In("V"); err != nil || got != third {
		t.Errorf("in its own unit: %+v, %v", got, err)
	}
	wire, err := Parse("10 AWG")
	if err != nil {
		t.Fatal(err)
	}
	area, err := wire.In("mm²")
	if err != nil {
		t.Fatal(err)
	}
	if back, err := area.In("AWG"); err != nil || back != wire {
		t.Errorf("%s and back: %+v, %v, want %+v", area, back, err, wire)
	}
	for _, text := range []string{"-0 V", "−0.0 °C", "-0 mV"} {
		if q, err := Parse(text); err != nil || q.Dimension == Voltage && math.Signbit(q.Value) {
			t.Errorf("%q: %v, %v", text, q.Value, err)
		}
	}
}
