package quantity

import (
	"math"
	"testing"
)

var unknown = math.NaN()

// TestRoundUncertainty: the two cases that JCGM 100:2008, 7.2.6, words, and
// the package's own rule between them.
func TestRoundUncertainty(t *testing.T) {
	tests := []struct {
		u    float64
		want string
	}{
		{10.47, "11"}, // JCGM 100:2008, 7.2.6: 10.47 mΩ to 11 mΩ
		{28.05, "28"}, // JCGM 100:2008, 7.2.6: 28.05 kHz to 28 kHz
		{27, "27"}, {0.0642, "0.07"}, {0.06, "0.06"}, {0.304, "0.30"}, {0.499, "0.5"},
		{0.096, "0.10"}, {0.095, "0.10"}, {0.0104, "0.010"}, {0.01049, "0.011"}, {340, "340"}, {520, "500"}, {5300, "6000"},
		{0.52, "0.5"}, {0.53, "0.6"}, {1, "1.0"}, {9.99, "10"},
	}
	for _, tt := range tests {
		if got, _ := roundUncertainty(tt.u, -maxDecimals); got != tt.want {
			t.Errorf("%v rounds to %s, want %s", tt.u, got, tt.want)
		}
	}
}

func TestRounded(t *testing.T) {
	tests := []struct {
		name string
		q    Quantity
		want string
	}{
		{"the form", Quantity{Voltage, 23.1378, 0.03, "V", -1}, "(23.14 ± 0.06) V"},
		// JCGM 100:2008, 7.2.6: 10.05762 Ω with u_c = 27 mΩ is 10.058 Ω.
		{"value to the place of the uncertainty", Quantity{Resistance, 10.05762, 0.027 / 2, "Ω", -1}, "(10.058 ± 0.027) Ω"},
		{"unit by size", Quantity{Resistance, 0.04812, 0.0015, "", -1}, "(48.1 ± 3.0) mΩ"},
		{"kWh by size", Quantity{Energy, 1234.5, 12, "", -1}, "(1.234 ± 0.024) kWh"},
		{"mA by size", Quantity{Current, 0.0123, unknown, "", -1}, "12.3 mA"},
		{"speed in km/h", Quantity{Speed, 2, 0.01, "", -1}, "(7.20 ± 0.07) km/h"},
		{"share", Quantity{Share, 0.6, 0.01, "", -1}, "(60.0 ± 2.0) %"},
		{"tens", Quantity{Length, 12345, 170, "m", -1}, "(12350 ± 340) m"},
		{"tens are rounded once", Quantity{Length, 1234, 82.443, "m", -1}, "(1230 ± 160) m"},
		{"hundreds", Quantity{Length, 12345, 300, "m", -1}, "(12300 ± 600) m"},
		{"no minus zero", Quantity{Current, -0.0004, 0.03, "A", -1}, "(0.00 ± 0.06) A"},
		{"no minus zero when exact", Quantity{Current, -0.0004, 0, "A", 2}, "0.00 A"},
		{"no minus zero in tens", Quantity{Length, -3, 300, "m", -1}, "(0 ± 600) m"},
		{"negative", Quantity{Current, -8.416, 0.03, "A", -1}, "(-8.42 ± 0.06) A"},
		{"value below its uncertainty", Quantity{Voltage, 0.004, 0.3, "V", -1}, "(0.0 ± 0.6) V"},
		{"exact, as written", Quantity{Voltage, 24, 0, "V", 1}, "24.0 V"},
		{"exact, own digits", Quantity{Voltage, 25.6, 0, "", -1}, "25.6 V"},
		{"exact, noise of the computing left out", Quantity{Voltage, 0.1 + 0.2, 0, "", -1}, "0.3 V"},
		{"unknown, three figures", Quantity{Voltage, 23.1378, unknown, "", -1}, "23.1 V"},
		{"unknown, whole figures stay", Quantity{Rotation, 2713.6, unknown, "", -1}, "2714 rpm"},
		{"unknown, as written", Quantity{Voltage, 23.1378, unknown, "V", 2}, "23.14 V"},
		{"no more decimals than were recorded", Quantity{Voltage, 23.14, 0.003, "V", 2}, "(23.14 ± 0.01) V"},
		{"Fahrenheit", Quantity{Temperature, 20, 0.25, "°F", -1}, "(68.0 ± 0.9) °F"},
		{"difference, whose label says so", Quantity{TemperatureDifference, 12, 0.5, "Δ°F", -1}, "(21.6 ± 1.8) °F"},
		{"missing", Quantity{Voltage, unknown, unknown, "", -1}, "no value"},
		{"infinite", Quantity{Voltage, math.Inf(1), 0, "", -1}, "no value"},
		{"time", Quantity{Time, 7650.4812, 0.26, "", -1}, "2 h 7 min 30.5 s ± 0.5 s"},
		{"time to the hundredth by its record", Quantity{Time, 7650.48, 0.003, "", 2}, "2 h 7 min 30.48 s ± 0.01 s"},
		{"time to the minute", Quantity{Time, 7650, 60, "", -1}, "2 h 8 min ± 2 min"},
		{"time, 53 s are a minute", Quantity{Time, 7650, 26.5, "", -1}, "2 h 8 min ± 1 min"},
		{"time, 61 s are a minute", Quantity{Time, 7650, 30.5, "", -1}, "2 h 8 min ± 1 min"},
		{"time to ten seconds", Quantity{Time, 7654, 25, "", -1}, "2 h 7 min 30 s ± 50 s"},
		{"time to ten minutes", Quantity{Time, 7650, 1800, "", -1}, "2 h 10 min ± 1 h 0 min"},
		{"time that carries", Quantity{Time, 59.98, 0.3, "", -1}, "1 min 0.0 s ± 0.6 s"},
		{"short time", Quantity{Time, 45.23, 0.3, "", -1}, "(45.2 ± 0.6) s"},
		{"exact time", Quantity{Time, 7650.5, 0, "", -1}, "2 h 7 min 30.5 s"},
		{"unknown time", Quantity{Time, 7650.4812, unknown, "", -1}, "2 h 7 min 30 s"},
		{"time in its own unit", Quantity{Time, 2823, 15, "min", -1}, "(47.0 ± 0.5) min"},
		{"very large", Quantity{Voltage, 1.5e30, 0, "", -1}, "1.5e27 kV"},
	}
	for _, tt := range tests {
		got := tt.q.Rounded()
		if got != tt.want {
			t.Errorf("%s: got %s, want %s", tt.name, got, tt.want)
		}
		if got == noValue {
			continue
		}
		back, err := ParseAs(got, tt.q.Dimension)
		if err != nil {
			t.Errorf("%s: %s does not parse: %v", tt.name, got, err)
		} else if again := back.Rounded(); again != got {
			t.Errorf("%s: %s rounds again to %s", tt.name, got, again)
		}
	}
}

// TestClock. The rows marked trade are common practice, no source.
func TestClock(t *testing.T) {
	tests := []struct {
		s, resolution float64
		want          string
	}{
		{6068.52, 0.01, "1 h 41 min 8.52 s"}, // trade: a stopwatch that shows hundredths
		{6068.52, 60, "1 h 41 min"},          // trade: the same to the minute
		{7650.5, 0.1, "2 h 7 min 30.5 s"},
		{7650.5, 0.5, "2 h 7 min 30.5 s"},
		{7650.5, 1, "2 h 7 min 30 s"}, // half to even, as strconv rounds
		{7651.5, 1, "2 h 7 min 32 s"},
		{7656, 10, "2 h 7 min 40 s"},
		{7650.5, 0, "2 h 7 min 30.5 s"},
		{7650.5, unknown, "2 h 7 min 30.5 s"},
		{7650.5, 3600, "2 h"},
		{59.996, 0.01, "1 min 0.00 s"},
		{3599.996, 0.01, "1 h 0 min 0.00 s"},
		{3599, 60, "1 h 0 min"},
		{59.994, 0.01, "59.99 s"},
		{0, 0.01, "0.00 s"},
		{-0.001, 0.01, "0.00 s"},
		{-90.5, 0.1, "-1 min 30.5 s"},
		{3600, 1, "1 h 0 min 0 s"},
		{360000, 1, "100 h 0 min 0 s"},
		{20, 60, "0 min"},
		{unknown, 1, "no value"},
		{math.Inf(1), 1, "no value"},
		{1e16, 1, "10000000000000000 s"},
	}
	for _, tt := range tests {
		if got := Clock(Seconds(tt.s), Seconds(tt.resolution)); got != tt.want {
			t.Errorf("Clock(%v, %v) = %s, want %s", tt.s, tt.resolution, got, tt.want)
		}
	}
}

func TestColumnUnit(t *testing.T) {
	column := func(d Dimension, values ...float64) (qs []Quantity) {
		for _, v := range values {
			qs = append(qs, Quantity{Dimension: d, Value: v, U: unknown, Decimals: -1})
		}
		return qs
	}
	tests := []struct {
		qs   []Quantity
		want string
	}{
		{column(Resistance, 0.048, 0.0021), "mΩ"},
		{column(Resistance, 0.048, 0.21), "Ω"},
		{column(Resistance, 0.21, unknown, 0.048), "Ω"},
		{column(Energy, 800, 1200), "kWh"},
		{column(Energy, 0, 0), "Wh"},
		{column(Speed, 0), "km/h"},
		{column(Time, 4000), ""},
		{column(Length, -1500), "km"},
		{nil, ""},
	}
	for _, tt := range tests {
		if got := ColumnUnit(tt.qs...); got != tt.want {
			t.Errorf("column %v: got %q, want %q", tt.qs, got, tt.want)
		}
	}
	q := Quantity{Dimension: Resistance, Value: 0.0021, U: 0.0001, Decimals: -1}
	if p, err := q.PartsIn("Ω"); err != nil || p != (Parts{"0.00210", "0.00020", "Ω"}) {
		t.Errorf("2.1 mΩ in ohms: %+v, %v", p, err)
	}
	if _, err := q.PartsIn("V"); err == nil {
		t.Error("a resistance was printed in volts")
	}
}

// An uncertainty of an hour and more is said in hours and minutes, and reads back.
func TestLongTimesSayTheirUncertaintyInHours(t *testing.T) {
	for _, tt := range []struct {
		value, u float64
		want     string
	}{
		{47400, 12300, "13 h 10 min ± 6 h 50 min"},
		{7200, 1500, "2 h 0 min ± 50 min"},
		{7200, 1800, "2 h 0 min ± 1 h 0 min"},
	} {
		got := Quantity{Dimension: Time, Value: tt.value, U: tt.u, Decimals: -1}.Rounded()
		if got != tt.want {
			t.Errorf("%v ± %v prints %q, want %q", tt.value, tt.u, got, tt.want)
		}
		back, err := Parse(got)
		if err != nil || back.U <= 0 {
			t.Errorf("%q reads back as %+v, %v", got, back, err)
		}
	}
}
