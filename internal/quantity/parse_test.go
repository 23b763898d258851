package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// TestParse: what is read, and how it prints again. Oracle for the values:
// the definition of the unit.
func TestParse(t *testing.T) {
	tests := []struct {
		text      string
		dimension Dimension
		value     float64
		prints    string // "" if as written
	}{
		{"7", Plain, 7, ""},
		{"9.80", Plain, 9.8, ""},
		{"23.1 V", Voltage, 23.1, ""},
		{"23.10 V", Voltage, 23.1, ""},
		{"23.1V", Voltage, 23.1, "23.1 V"},
		{"+23.1 V", Voltage, 23.1, "23.1 V"},
		{".5 V", Voltage, 0.5, "0.5 V"},
		{"5. V", Voltage, 5, "5 V"},
		{"2.31e1 V", Voltage, 23.1, "23.1 V"},
		{"250 mV", Voltage, 0.25, ""},
		{"1.2 kV", Voltage, 1200, ""},
		{"24 volts", Voltage, 24, "24 V"},
		{"-8.4 A", Current, -8.4, ""},
		{"−8.4 A", Current, -8.4, "-8.4 A"}, // U+2212
		{"350 mA", Current, 0.35, ""},
		{"5.2 Ah", Charge, 5.2, ""},
		{"5.2 A·h", Charge, 5.2, "5.2 Ah"},
		{"5.2 A⋅h", Charge, 5.2, "5.2 Ah"}, // U+22C5
		{"5200 mAh", Charge, 5.2, ""},
		{"124 Wh", Energy, 124, ""},
		{"1.2 kWh", Energy, 1200, ""},
		{"446.4 kJ", Energy, 124, ""},
		{"180 W", Power, 180, ""},
		{"60 mΩ", Resistance, 0.06, ""},      // U+03A9
		{"60 mΩ", Resistance, 0.06, "60 mΩ"}, // U+2126
		{"60 mohm", Resistance, 0.06, "60 mΩ"},
		{"850 µΩ", Resistance, 0.00085, ""},
		{"850 μΩ", Resistance, 0.00085, "850 µΩ"}, // U+03BC
		{"30.5 s", Time, 30.5, ""},
		{"250 ms", Time, 0.25, ""},
		{"47 min", Time, 2820, ""},
		{"47 minutes", Time, 2820, "47 min"},
		{"1.5 h", Time, 5400, ""},
		{"2 d", Time, 172800, ""},
		{"2 h 7 min 30.5 s", Time, 7650.5, ""},
		{"2h7m30.5s", Time, 7650.5, "2 h 7 min 30.5 s"},
		{"2 h 7 min", Time, 7620, ""},
		{"2 h 7.5 min", Time, 7650, "2 h 7 min 30 s"},
		{"2 h 30 s", Time, 7230, "2 h 0 min 30 s"},
		{"1 d 2 h", Time, 93600, "26 h 0 min"},
		{"-2 h 7 min", Time, -7620, ""},
		{"2:07:30.5", Time, 7650.5, "2 h 7 min 30.5 s"},
		{"7:30", Time, 450, "7 min 30 s"}, // two fields: m:ss
		{"0:30", Time, 30, "30 s"},
		{"120:00", Time, 7200, "2 h 0 min 0 s"},
		{"0.1 s", Time, 0.1, ""},
		{"1 min 0.1 s", Time, 60.1, ""},
		{"186 m", Length, 186, ""},
		{"130 mm", Length, 0.13, ""},
		{"5 in", Length, 0.127, ""},
		{"5″", Length, 0.127, "5 in"},
		{"2.4 km", Length, 2400, ""},
		{"12\u202f000 m", Length, 12000, "12000 m"}, // narrow no-break space between groups
		{"12\u2009000\u2009m", Length, 12000, "12000 m"},
		{"7.2 km/h", Speed, 2, ""},
		{"4 mph", Speed, 1.78816, ""},
		{"2700 rpm", Rotation, 2700, ""},
		{"2700 1/min", Rotation, 2700, "2700 rpm"},
		{"64 kg", Mass, 64, ""},
		{"140 lb", Mass, 63.5029318, ""},
		{"17 °C", Temperature, 17, ""},
		{"17\u00a0°C", Temperature, 17, "17 °C"},
		{"17 deg C", Temperature, 17, "17 °C"},
		{"-4 °F", Temperature, -20, ""},
		{"0 °F", Temperature, -17.77777777777778, ""},
		{"12 K", TemperatureDifference, 12, ""},
		{"9 Δ°F", TemperatureDifference, 5, ""},
		{"2.5 mm²", Area, 2.5, ""},
		{"2.5 mm2", Area, 2.5, "2.5 mm²"},
		{"1.4 N·m", Torque, 1.4, ""},
		{"1.4 Nm", Torque, 1.4, "1.4 N·m"},
		{"60 %", Share, 0.6, ""},
		{"60%", Share, 0.6, "60 %"},
		{"18 Wh/km", EnergyPerLength, 18, ""},
		{"2 kgf", Force, 19.6133, ""},
		{"0.4 m/s2", Acceleration, 0.4, "0.4 m/s²"},
		{"1.8 kWh/100 km", EnergyPerLength, 18, ""},
		{"  23.1 V\t", Voltage, 23.1, "23.1 V"},
	}
	for _, tt := range tests {
		q, err := Parse(tt.text)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		want := tt.prints
		if want == "" {
			want = tt.text
		}
		if q.Dimension != tt.dimension || q.Value != tt.value || q.U != 0 {
			t.Errorf("%q: got %s %v ± %v, want %s %v", tt.text, q.Dimension, q.Value, q.U, tt.dimension, tt.value)
		}
		if got := q.String(); got != want {
			t.Errorf("%q prints %q, want %q", tt.text, got, want)
		}
		if back, err := Parse(q.String()); err != nil || back != q {
			t.Errorf("%q: %#v comes back as %#v (%v)", tt.text, q, back, err)
		}
	}
}

func TestParseUncertainty(t *testing.T) {
	tests := []struct {
		text    string
		value   float64
		u       float64
		prints  string
		rounded string
	}{
		{"23.14 V ± 0.06 V", 23.14, 0.03, "23.14 V ± 0.06 V", "(23.14 ± 0.06) V"},
		{"(23.14 ± 0.06) V", 23.14, 0.03, "23.14 V ± 0.06 V", "(23.14 ± 0.06) V"},
		{"23.14 ± 0.06 V", 23.14, 0.03, "23.14 V ± 0.06 V", "(23.14 ± 0.06) V"},
		{"23.14 V +/- 60 mV", 23.14, 0.03, "23.14 V ± 0.06 V", "(23.14 ± 0.06) V"},
		{"20 °C ± 0.5 K", 20, 0.25, "20.0 °C ± 0.5 °C", "(20.0 ± 0.5) °C"},
		{"(68.0 ± 0.9) °F", 20, 0.25, "68.0 °F ± 0.9 °F", "(68.0 ± 0.9) °F"},
		{"48 mΩ ± 3 mΩ", 0.048, 0.0015, "48 mΩ ± 3 mΩ", "(48 ± 3) mΩ"},
		{"2 h 7 min 30.5 s ± 0.3 s", 7650.5, 0.15, "2 h 7 min 30.5 s ± 0.3 s", "2 h 7 min 30.5 s ± 0.3 s"},
		{"2 h ± 1 min 30 s", 7200, 45, "2.000 h ± 0.025 h", "(2.000 ± 0.025) h"},
		{"1 h 41 min ± 2 min", 6060, 60, "1 h 41 min ± 120 s", "1 h 41 min ± 2 min"},
		{"9.8 ± 0.2", 9.8, 0.1, "9.8 ± 0.2", "9.8 ± 0.2"},
		{"5 V ± 0 V", 5, 0, "5 V", "5 V"},
		{"60 % ± 2 %", 0.6, 0.01, "60 % ± 2 %", "(60 ± 2) %"},
	}
	for _, tt := range tests {
		q, err := Parse(tt.text)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		if !near(q.Value, tt.value, 1e-15) || !near(q.U, tt.u, 1e-15) {
			t.Errorf("%q: got %v with u = %v, want %v with %v", tt.text, q.Value, q.U, tt.value, tt.u)
		}
		if q.String() != tt.prints || q.Rounded() != tt.rounded {
			t.Errorf("%q: prints %q and %q, want %q and %q", tt.text, q, q.Rounded(), tt.prints, tt.rounded)
		}
	}
}

// TestParseErrors: each says what is wrong, where, and what to write.
func TestParseErrors(t *testing.T) {
	const none = anyDimension
	tests := []struct {
		text   string
		want   Dimension
		offset int
		error  string
	}{
		{"", none, 0, "nothing is written; a value such as 23.1 V is wanted"},
		{"  ", Charge, 0, "nothing is written; a charge such as 5.2 Ah is wanted"},
		{"23.1", Voltage, 4, "23.1 has no unit; a voltage such as 23.1 V is wanted"},
		{"4 V", Charge, 0, "4 V is a voltage; a charge such as 5.2 Ah is wanted"},
		{" 4 V ", Energy, 1, "4 V is a voltage; an energy such as 124 Wh is wanted"},
		{"5 %", Plain, 0, "5 % is a share; a plain number such as 7 is wanted"},
		{"5 K", Temperature, 0, "5 K is a temperature difference; a temperature such as 17 °C is wanted"},
		{"23,1 V", none, 2, "23,1 has a decimal comma; write it with a point: 23.1"},
		{"0,125 V", none, 1, "0,125 has a decimal comma; write it with a point: 0.125"},
		{"1,000 m", none, 1, "1,000 has a comma, which may mean a decimal point or thousands; write 1.000 or 1000"},
		{"5 v", none, 2, `"v" is not a known unit; the nearest is V`},
		{"5 mv", Voltage, 2, `"mv" is not a known unit; the nearest is mV`},
		{"5 ma", none, 2, `"ma" is not a known unit; the nearest is mA`},
		{"5 Amper", none, 2, `"Amper" is not a known unit; the nearest is A`},
		{"5 AWh", Charge, 2, `"AWh" is not a known unit; the nearest is Ah`},
		{"5 AWh", Energy, 2, `"AWh" is not a known unit; the nearest is Wh`},
		{"5 furlongs", none, 2, `"furlongs" is not a known unit`},
		{"5 x", none, 2, `"x" is not a known unit`},
		{"V", none, 0, `"V" does not begin with a number; a value such as 23.1 V is wanted`},
		{"NaN V", none, 0, `"NaN V" does not begin with a number; a value such as 23.1 V is wanted`},
		{"inf V", none, 0, `"inf V" does not begin with a number; a value such as 23.1 V is wanted`},
		{"0x10 V", none, 1, `"x10 V" is not a known unit`},
		{"1_000 V", none, 1, `"_000 V" is not a known unit`},
		{"1.2.3 V", none, 3, "a number has only one point"},
		{"12 000 m", none, 3, "a second number follows the first; write a number without spaces in it"},
		{"18 V to 32 V", none, 3, "a range is written where one value is wanted"},
		{"1e400 V", none, 1, "the number is out of range"},
		{"1e98 kV", none, 0, "the number is out of range"},
		{"1e98 mi", none, 0, "the number is out of range"},
		{"1e-98 mV", none, 0, "the number is out of range"},
		{"1e-140 V", none, 0, "the number is out of range"},
		{"5 V ± 1e-140 V", none, 7, "the number is out of range"},
		{"1e99999999999 V", none, 1, "the number is out of range"},
		{"-300 °C", none, 0, "-300 °C is below absolute zero"},
		{"-500 °F", none, 0, "-500 °F is below absolute zero"},
		{"5 V ±", none, 6, "nothing follows the ± sign"},
		{"± 5 V", none, 0, "an uncertainty is written without a value; a value such as 23.1 V is wanted"},
		{"5 V ± 3 %", none, 7, "an uncertainty in per cent is not read; write it in V"},
		{"5 V ± 3 A", none, 7, "3 A is a current; the uncertainty of a voltage is wanted"},
		{"5 V ± 3", none, 8, "3 has no unit; write the uncertainty in V"},
		{"5 V ± -3 V", none, 7, "an uncertainty is not negative"},
		{"(5 ± 3 V", none, 0, "the bracket is not closed"},
		{"(5) V", none, 0, "a bracket is for a value with its uncertainty, as in (23.14 ± 0.06) V"},
		{"(5 V ± 3) V", none, 3, "the unit stands twice; write it once, after the bracket"},
		{"2 h 75 min", none, 4, "75 min after h is too much; it goes up to 59"},
		{"2.5 h 7 min", none, 0, "only the last part of a time may have a decimal point"},
		{"7 min 2 h", none, 8, "the parts of a time go from large to small: 2 h 7 min 30 s"},
		{"7 min 2 V", none, 6, `"2 V" does not go on as a time does; one is written 2 h 7 min 30 s`},
		{"2:7:30", none, 0, `"2:7:30" is no time; with colons it is h:mm:ss or m:ss, minutes and seconds from 00 to 59`},
		{"2:07:61", none, 0, `"2:07:61" is no time; with colons it is h:mm:ss or m:ss, minutes and seconds from 00 to 59`},
		{"1:02:03:04", none, 0, "a time with colons is h:mm:ss or m:ss"},
		{"41 AWG", none, 0, `"41" is no size of the American wire gauge; sizes run from 4/0 to 40`},
		{"\xff V", none, 0, "the text is not valid UTF-8"},
		{strings.Repeat("1", 61) + " V", none, 0, "the number has too many digits"},
		{strings.Repeat(" ", 201), none, 0, "the text is too long for a value; a value such as 23.1 V is wanted"},
	}
	for _, tt := range tests {
		q, err := parse(tt.text, tt.want)
		var pe *ParseError
		if !errors.As(err, &pe) {
			t.Errorf("%q as %v: got %v and %v, want the error %q", tt.text, tt.want, q, err, tt.error)
			continue
		}
		if pe.Error() != tt.error || pe.Offset != tt.offset || pe.Text != tt.text {
			t.Errorf("%q as %v: got %q at %d, want %q at %d", tt.text, tt.want, pe, pe.Offset, tt.error, tt.offset)
		}
		if q != (Quantity{}) {
			t.Errorf("%q: an error came with the value %#v", tt.text, q)
		}
	}
}

func TestParseAsDifference(t *testing.T) {
	tests := []struct {
		text   string
		kelvin float64
		prints string
	}{
		{"5 °C", 5, "5 K"}, {"5 K", 5, "5 K"}, {"9 °F", 5, "9 Δ°F"}, {"-3 °C", -3, "-3 K"}, {"-300 K", -300, "-300 K"},
	}
	for _, tt := range tests {
		q, err := ParseAs(tt.text, TemperatureDifference)
		if err != nil || q.Dimension != TemperatureDifference || q.Value != tt.kelvin || q.String() != tt.prints {
			t.Errorf("%s as a difference: got %s (%v), want %s", tt.text, q, err, tt.prints)
		}
	}
}

func TestParseKind(t *testing.T) {
	v, err := ParseKind[Volts]("(23.14 ± 0.06) V")
	if err != nil || v.Value != 23.14 || v.U != 0.03 {
		t.Errorf("got %v, %v, %v", v.Value, v.U, err)
	}
	a, err := ParseKind[Amperes]("23 V")
	if err == nil || a.Known() || err.Error() != "23 V is a voltage; a current such as 8.4 A is wanted" {
		t.Errorf("23 V as amperes: %v, %v", a, err)
	}
	if _, err = As[WattHours](Quantity{Dimension: Voltage, Value: 4, Decimals: -1}); err == nil ||
		err.Error() != "4 V is a voltage; an energy such as 124 Wh is wanted" {
		t.Errorf("4 V as watt-hours: %v", err)
	}
	if !math.IsNaN(float64(Missing[Volts]().Value)) || Missing[Volts]().Known() || !Exact(Volts(0)).Known() {
		t.Error("Missing is known, or Exact is not")
	}
}

func TestParseRange(t *testing.T) {
	low, high, err := ParseRange("18 V to 32 V", Voltage)
	if err != nil || low.Value != 18 || high.Value != 32 {
		t.Errorf("got %v to %v (%v)", low, high, err)
	}
	low, _, err = ParseRange("18 to 32 V", Voltage)
	if err != nil || low.Value != 18 {
		t.Errorf("got %v (%v)", low, err)
	}
	for text, want := range map[string]string{
		"18 V":         `"18 V" is no range; one is written with the word to: 23.1 V to …`,
		"32 V to 18 V": "the range begins above its end; write the lower value first",
		"18 V to 32 A": "32 A is a current; a voltage such as 23.1 V is wanted",
		"18 A to 32 V": "18 A is a current; a voltage such as 23.1 V is wanted",
		"18 V to":      `"18 V to" is no range; one is written with the word to: 23.1 V to …`,
	} {
		if _, _, err := ParseRange(text, Voltage); err == nil || err.Error() != want {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
}

// TestSmallNumbers: below a thousand-millionth a power of ten is written, with
// the decimals that were written.
func TestSmallNumbers(t *testing.T) {
	for text, want := range map[string]string{
		"0.0000000012 V": "0.0000000012 V", "0.00000000015 V": "1.5e-10 V", "1.50e-12 A": "1.50e-12 A",
		"1e-99 V": "1e-99 V", "0.00000000000010 V": "1.0e-13 V", "1e21 V": "1e21 V", "1e20 V": "100000000000000000000 V",
	} {
		q, err := Parse(text)
		if err != nil || q.String() != want {
			t.Errorf("%s: got %s (%v), want %s", text, q, err, want)
			continue
		}
		if back, err := Parse(want); err != nil || back != q {
			t.Errorf("%s: %#v came back as %#v (%v)", text, q, back, err)
		}
	}
}

func TestLastPlace(t *testing.T) {
	for _, tt := range []struct {
		text string
		want float64 // NaN: none
	}{
		{"24.6 V", 0.1}, {"24 V", 1}, {"950 mV", 1e-3}, {"0.90 V", 0.01}, {"64.5 °F", 0.1 / 1.8}, {"12 %", 0.01},
		{"2 h 7 min", math.NaN()}, {"12 AWG", math.NaN()},
	} {
		q, err := Parse(tt.text)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := q.LastPlace()
		if ok == math.IsNaN(tt.want) || ok && math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("LastPlace of %s is %v, %v; want %v", tt.text, got, ok, tt.want)
		}
	}
}
