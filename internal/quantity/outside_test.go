package quantity

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestEveryUnit: what one of every unit is, and of what kind. Sources: the SI brochure, 9th edition, table 7 (prefixes) and
// table 8 (min, h, d, t); NIST SP 811 (2008), appendix B.8, from the exact inch, pound and standard gravity.
func TestEveryUnit(t *testing.T) {
	const inch, pound, g = 0.0254, 0.45359237, 9.80665
	want := map[Dimension]map[string]float64{
		Voltage: {"V": 1, "mV": 1e-3, "kV": 1e3}, Current: {"A": 1, "kA": 1e3, "mA": 1e-3, "µA": 1e-6},
		Charge: {"Ah": 1, "mAh": 1e-3, "As": 1. / 3600}, Energy: {"Wh": 1, "mWh": 1e-3, "kWh": 1e3, "J": 1. / 3600, "kJ": 1 / 3.6, "MJ": 1000 / 3.6},
		Power: {"W": 1, "mW": 1e-3, "kW": 1e3, "hp": 550 * 12 * inch * pound * g}, Resistance: {"Ω": 1, "µΩ": 1e-6, "mΩ": 1e-3, "kΩ": 1e3, "MΩ": 1e6},
		Time:   {"s": 1, "ms": 1e-3, "µs": 1e-6, "ns": 1e-9, "min": 60, "h": 3600, "d": 24 * 3600},
		Length: {"m": 1, "mm": 1e-3, "cm": 1e-2, "km": 1e3, "in": inch, "ft": 12 * inch, "yd": 36 * inch, "mi": 63360 * inch},
		Speed:  {"m/s": 1, "km/h": 1 / 3.6, "mph": 63360 * inch / 3600, "ft/s": 12 * inch}, Rotation: {"rpm": 1, "rad/s": 30 / math.Pi},
		Mass: {"kg": 1, "g": 1e-3, "t": 1e3, "lb": pound, "oz": pound / 16}, Temperature: {"°C": 1, "°F": (1. - 32) * 5 / 9},
		TemperatureDifference: {"K": 1, "mK": 1e-3, "Δ°F": 5. / 9},
		Area:                  {"mm²": 1, "cm²": 100, "m²": 1e6, "in²": inch * inch * 1e6, "kcmil": math.Pi / 4 * 1000 * inch * inch},
		Torque:                {"N·m": 1, "mN·m": 1e-3, "N·cm": 1e-2, "kgf·cm": g / 100, "lbf·ft": pound * g * 12 * inch, "lbf·in": pound * g * inch, "ozf·in": pound / 16 * g * inch},
		Share:                 {"%": 0.01, "‰": 0.001}, EnergyPerLength: {"Wh/km": 1, "Wh/m": 1e3, "kWh/100 km": 10, "Wh/mi": 1000 / (63360 * inch)},
		Force: {"N": 1, "kN": 1e3, "kgf": g, "lbf": pound * g}, Acceleration: {"m/s²": 1, "ft/s²": 12 * inch},
	}
	count := 1 // AWG, which has no multiple
	for dimension, units := range want {
		for symbol, value := range units {
			count++
			q, err := Parse("1 " + symbol)
			if err != nil || q.Dimension != dimension || math.Abs(q.Value-value) > 1e-15*math.Abs(value)*4 {
				t.Errorf("1 %s is %v %v, want %v of %v: %v", symbol, q.Value, q.Dimension, value, dimension, err)
			}
			u, ok := FindUnit(symbol)
			if !ok || math.Abs(u.Base(1)-value) > 1e-14*math.Abs(value) || math.Abs(u.Number(value)-1) > 1e-13 || u.Dimension() != dimension || u.Symbol() != symbol {
				t.Errorf("%s as a unit: %v, %v", symbol, u.Base(1), u.Number(value))
			}
		}
	}
	docs := Units()
	if len(docs) != count {
		t.Errorf("%d units are documented, %d are known here", len(docs), count)
	}
	for _, d := range docs {
		if irrational := d.Symbol == "rad/s" || d.Symbol == "kcmil" || d.Symbol == gauge; d.Exact == irrational {
			t.Errorf("%s: exact is %v", d.Symbol, d.Exact) // each has π in it
		}
		if base := d.Dimension.BaseUnit(); !strings.HasSuffix(d.Base, base) && d.Symbol != gauge {
			t.Errorf("%s is %q, which is not in %s", d.Symbol, d.Base, base)
		}
		if want[d.Dimension][d.Symbol] == 1 && d.Base != strings.TrimSpace("1 "+d.Dimension.BaseUnit()) {
			t.Errorf("%s is its own base and not %q", d.Symbol, d.Base)
		}
	}
}

// TestPrefixesBySize: NIST SP 811, 7.9, has numbers between 0.1 and 1000; each prefix begins where the one below would go
// beyond that. Lengths and masses keep to mm, m, km and g, kg, where a small one is not written 0.5 m.
func TestPrefixesBySize(t *testing.T) {
	for _, x := range []struct {
		d     Dimension
		from  float64
		below string
		unit  string
	}{
		{Voltage, 0.1, "mV", "V"}, {Voltage, 1000, "V", "kV"}, {Current, 0.1, "mA", "A"}, {Charge, 0.1, "mAh", "Ah"}, {Energy, 0.1, "mWh", "Wh"},
		{Energy, 1000, "Wh", "kWh"}, {Power, 0.1, "mW", "W"}, {Power, 1000, "W", "kW"}, {Resistance, 1e-4, "µΩ", "mΩ"}, {Resistance, 0.1, "mΩ", "Ω"},
		{Resistance, 1000, "Ω", "kΩ"}, {Resistance, 1e6, "kΩ", "MΩ"}, {Length, 1, "mm", "m"}, {Length, 1000, "m", "km"}, {Mass, 1, "g", "kg"}, {Force, 1000, "N", "kN"},
	} {
		for _, sign := range []float64{1, -1} {
			if got := ColumnUnit(Quantity{Dimension: x.d, Value: sign * x.from}); got != x.unit {
				t.Errorf("%v of %v in %s, want %s", x.d, sign*x.from, got, x.unit)
			}
			if got := ColumnUnit(Quantity{Dimension: x.d, Value: sign * x.from * 0.999}, Quantity{Dimension: x.d, Value: math.NaN()}); got != x.below {
				t.Errorf("%v just below %v in %s, want %s", x.d, sign*x.from, got, x.below)
			}
		}
	}
	for d, unit := range map[Dimension]string{Plain: "", Time: "", Speed: "km/h", Rotation: "rpm", Temperature: "°C", TemperatureDifference: "K", Area: "mm²", Torque: "N·m", Share: "%", EnergyPerLength: "Wh/km", Acceleration: "m/s²"} {
		for _, v := range []float64{1e-6, 1, 1e6} {
			if got := ColumnUnit(Quantity{Dimension: d, Value: v}); got != unit {
				t.Errorf("%v of %v in %q, want %q", d, v, got, unit)
			}
		}
	}
	for d, unit := range map[Dimension]string{Voltage: "V", Resistance: "Ω", Length: "m", Mass: "kg", Speed: "km/h", Time: ""} {
		if got := ColumnUnit(Quantity{Dimension: d}); got != unit {
			t.Errorf("nothing of %v in %q, want %q", d, got, unit)
		}
	}
}

// TestNoDimension: past the last of the dimensions there is none.
func TestNoDimension(t *testing.T) {
	d := Dimension(dimensionCount)
	if d.Example() != "" || d.BaseUnit() != "" || d.String() != "unknown dimension" || d.WithArticle() != "an unknown dimension" || ColumnUnit(Quantity{Dimension: d}) != "" {
		t.Errorf("there is a dimension %d: %s", dimensionCount, d)
	}
	if last := Dimension(dimensionCount - 1); last.String() != "acceleration" || last.BaseUnit() != "m/s²" || last.Example() == "" {
		t.Errorf("the last dimension is %s", last)
	}
}

// TestOneRounding: a shift by powers of ten is rounded once (IEEE 754, 4.3), as exact fractions tell.
func TestOneRounding(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		for unit, power := range map[string]int64{"mV": 1000, "µA": 1_000_000, "ns": 1_000_000_000, "cm": 100} {
			s := bySymbol[unit]
			base := r.Float64() * math.Pow(10, float64(r.IntN(6)-3))
			want, _ := new(big.Rat).Mul(new(big.Rat).SetFloat64(base), new(big.Rat).SetInt64(power)).Float64()
			if got := s.amount(base); got != want {
				t.Fatalf("%v in %s is %v, want %v", base, unit, got, want)
			}
			if got := s.number(-base); got != -want {
				t.Fatalf("%v in %s is %v, want %v", -base, unit, got, -want)
			}
			back, _ := new(big.Rat).Quo(new(big.Rat).SetFloat64(base), new(big.Rat).SetInt64(power)).Float64()
			if got := (Unit{s}).Base(base); got != back {
				t.Fatalf("%v %s is %v, want %v", base, unit, got, back)
			}
		}
	}
}

// TestDecimalsAreKeptOrNotKnown: as many as are written, up to thirty.
func TestDecimalsAreKeptOrNotKnown(t *testing.T) {
	for n, want := range map[int]int{1: 1, 30: 30, 31: -1, 40: -1} {
		q, err := Parse("0." + strings.Repeat("0", n-1) + "1 V")
		if err != nil || q.Decimals != want {
			t.Errorf("%d decimals: %d, %v", n, q.Decimals, err)
		}
	}
}

// TestBoundsOfReading: both sides of every bound that the documentation states.
func TestBoundsOfReading(t *testing.T) {
	for text, ok := range map[string]bool{
		"1e100": true, "1.1e100": false, "1e-100": true, "0.9e-100": false, "1e150": false, "1e151": false, "0e150": true, "0e151": false,
		strings.Repeat("1", 60): true, strings.Repeat("1", 61): false, "1" + strings.Repeat(" ", 197) + " V": true, "1" + strings.Repeat(" ", 198) + " V": false,
		"277 777 777 777 h 46 min 40 s": false, "1000000000000000 s": true, "-273.15 °C": true, "-273.16 °C": false, "-459.67 °F": true, "-459.68 °F": false,
		"5 min 5 min": false, "5 s 5 s": false, "1 h 59 min 59.9 s": true, "1 h 60 min": false, "1 min 60 s": false, "1 min 59 s": true, "1 d 23 h": true, "1 d 24 h": false,
		"1 h 75 s": true, "90 min 30 s": true, "277777777777 h 1 s": true, "277777777778 h 1 s": false, "1 h 1000000000000001 s": false,
		"4/0 AWG": true, "5/0 AWG": false, "40 AWG": true, "41 AWG": false, "0000 AWG": true, "00000 AWG": false, "0 AWG": true, "0/0 AWG": false, "1/0 AWG": true, "+5 AWG": false, "05 AWG": false,
		"277777777777:00:00": true, "277777777778:00:00": false, "1:59:59": true, "1:60:00": false, "0:60": false, "1:5:00": false, "1:2:3:4": false, "0:01." + strings.Repeat("0", 30): true, "0:01." + strings.Repeat("0", 31): false,
		"6 h 50 min ± -1 h 5 min": false, "6 h 50 min ± 1 h 5 min": true, "1 V ± -1 mV": false, "1 V ± 0 mV": true, "12 AWG ± 1 mm²": false,
	} {
		if _, err := Parse(text); (err == nil) != ok {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestTimesInParts: by the definition of the minute, the hour and the day (SI brochure, table 8), both ways.
func TestTimesInParts(t *testing.T) {
	for _, x := range []struct {
		text string
		want float64
	}{
		{"2 d 3 h 4 min 5.25 s", 2*86400 + 3*3600 + 4*60 + 5.25}, {"-1 h 1 s", -3601}, {"1:02:03.5", 3723.5}, {"-7:30", -450}, {"90 min 30 s", 5430}, {"1.5 h", 5400},
		{"3 h 2.5 min", 3*3600 + 150}, {"2 d 1.5 h", 2*86400 + 5400}, {"59 s", 59}, {"0 h 1 s", 1}, {"1 h 2 m", 3720}, {"1 h 2 m 3 s", 3723},
	} {
		q, err := ParseAs(x.text, Time)
		if err != nil || q.Value != x.want {
			t.Errorf("%s is %v s, want %v: %v", x.text, q.Value, x.want, err)
		}
		again, err := ParseAs(q.String(), Time)
		if err != nil || again.Value != q.Value {
			t.Errorf("%s, written %s, is %v s: %v", x.text, q, again.Value, err)
		}
	}
	for text, unit := range map[string]string{"0 h 0 min 59 s": "s", "0 h 1 min 0 s": toTheSecond, "0 h 59 min": "min", "1 h 0 min": toTheMinute, "0 min 58 s": "s"} {
		if q, err := Parse(text); err != nil || q.Unit != unit {
			t.Errorf("%s is written in %q: %v", text, q.Unit, err)
		}
	}
	for _, x := range []struct {
		s, step Seconds
		want    string
	}{
		{7650, 60, "2 h 8 min"}, {7649, 60, "2 h 7 min"}, {7650, 59, "2 h 7 min 30 s"}, {7650, 3600, "2 h"}, {9001, 3600, "3 h"}, {7650, 3599, "2 h 8 min"}, {59.996, 0.01, "1 min 0.00 s"},
		{3599.6, 1, "1 h 0 min 0 s"}, {3600, 1, "1 h 0 min 0 s"}, {3599, 1, "59 min 59 s"}, {60, 1, "1 min 0 s"}, {59, 1, "59 s"}, {0.0004, 0.001, "0.000 s"}, {-0.0004, 0.001, "0.000 s"}, {-0.6, 1, "-1 s"},
		{-90, 1, "-1 min 30 s"}, {0, 0, "0 s"}, {59.5, 0, "59.5 s"}, {61.25, 0, "1 min 1.25 s"}, {999_999_999_999_999, 60, "277777777777 h 47 min"}, {1e15, 60, "1000000000000000 s"}, {123, 0.02, "2 min 3.00 s"},
	} {
		if got := Clock(x.s, x.step); got != x.want {
			t.Errorf("%v s to %v s is %s, want %s", float64(x.s), float64(x.step), got, x.want)
		}
	}
}

// TestZeroHasNoSignAndNoNoughts: nothing is nothing in any unit.
func TestZeroHasNoSignAndNoNoughts(t *testing.T) {
	for _, unit := range []string{"mV", "V", "kV"} {
		for _, v := range []float64{0, math.Copysign(0, -1)} {
			if got := (Quantity{Voltage, v, 0, unit, -1}).String(); got != "0 "+unit {
				t.Errorf("%v %s is %s", v, unit, got)
			}
		}
	}
	if got := (Quantity{Voltage, 23.1, 0.03, "V", 1}).String(); got != "23.10 V ± 0.06 V" {
		t.Errorf("a value with fewer decimals than its uncertainty is written %s", got)
	}
	if q, err := Parse("23.1 V ± 50 mV"); err != nil || q.Decimals != 2 || q.U != 0.025 {
		t.Errorf("0.05 V has two decimals: %+v, %v", q, err)
	}
	// The rule of Parts: up where nearest would make it more than 4 % smaller; 6 is exactly 4 % less than 6.25.
	if got, _ := roundUncertainty(6.25, -maxDecimals); got != "6" {
		t.Errorf("6.25 rounds to %s", got)
	}
}

// TestGaugesOfASTM: B258 has the ratio of areas between neighbours as 92^(2/39), and number and area lead back to each other.
func TestGaugesOfASTM(t *testing.T) {
	for n := thickestGauge; n <= thinnestGauge; n++ {
		if got := GaugeNumber(GaugeArea(n)); math.Abs(got-float64(n)) > 1e-9 {
			t.Errorf("the area of gauge %d is that of gauge %v", n, got)
		}
		if ratio := float64(GaugeArea(n-1) / GaugeArea(n)); math.Abs(ratio-math.Pow(92, 2./39)) > 1e-12 {
			t.Errorf("gauge %d is to its neighbour as %v", n, ratio)
		}
		for _, part := range []float64{0.95, 1.05} { // nearer to it than to the next
			if got, ok := nearestGauge(SquareMillimetres(part) * GaugeArea(n)); !ok || got != n {
				t.Errorf("%v of the area of gauge %d is nearest to %d", part, n, got)
			}
		}
	}
	for _, n := range []int{thickestGauge - 1, thinnestGauge + 1} {
		if got, ok := nearestGauge(GaugeArea(n)); ok {
			t.Errorf("a wire beyond the gauges is nearest to %d", got)
		}
	}
	if _, ok := nearestGauge(0); ok {
		t.Error("no wire has a gauge")
	}
}

// TestNearestUnit: a spelling is told by what is near it.
func TestNearestUnit(t *testing.T) {
	for name, want := range map[string]string{"": "", strings.Repeat("v", 24): "", "Vt": "V", "kmh/": "km/h", "mpg": "mph", "q": "", "voltt": "V", "zzzzzz": ""} {
		if got := nearestUnit(name, anyDimension); got != want {
			t.Errorf("near %q is %q, want %q", name, got, want)
		}
	}
}

// TestDerivatives: of a function whose derivative is known, at values far larger than their uncertainty, where a step that
// did not grow with the value would be lost in rounding; an input without uncertainty is not varied.
func TestDerivatives(t *testing.T) {
	calls := 0
	square := func(x []float64) float64 { calls++; return x[0]*x[0] + 3*x[1] }
	c := Sensitivities(square, []float64{1e9, 5}, []float64{1e-3, 0})
	if math.Abs(c[0]/2e9-1) > 1e-6 || c[1] != 0 || calls != 2 {
		t.Errorf("the derivatives are %v after %d calls", c, calls)
	}
	c = Sensitivities(square, []float64{2, 5}, []float64{0.1, -0.2})
	if math.Abs(c[0]-4) > 1e-9 || math.Abs(c[1]-3) > 1e-9 {
		t.Errorf("the derivatives are %v", c)
	}
}

// TestSameInAnotherUnit: the last place in the new unit is the power of ten at or below what the last place was in the old.
func TestSameInAnotherUnit(t *testing.T) {
	for _, x := range []struct{ text, unit, want string }{
		{"90 min", "h min s", "1 h 30 min 0 s"}, {"90 min", "h min", "1 h 30 min"}, {"1.5 h", "min", "90 min"}, {"5400 s", "", "1 h 30 min 0 s"}, {"5400.0 s", "", "1 h 30 min 0.0 s"},
		{"1 h 30 min", "s", "5400 s"}, {"1 h 30 min 5 s", "min", "90.08 min"}, {"5 km", "mi", "3.1 mi"}, {"64 kg", "lb", "141 lb"}, {"1 A", "mA", "1000 mA"}, {"1234 mA", "A", "1.234 A"}, {"2.50 mm²", "in²", "0.00388 in²"}, {"9 Δ°F", "°C", "5.0 K"},
	} {
		q, err := Parse(x.text)
		if err != nil {
			t.Fatal(err)
		}
		in, err := q.In(x.unit)
		if err != nil || in.Value != q.Value || in.U != q.U {
			t.Errorf("%s in %s: %+v, %v", x.text, x.unit, in, err)
		}
		if got := in.Rounded(); got != x.want {
			t.Errorf("%s in %s is %s, want %s", x.text, x.unit, got, x.want)
		}
	}
}
