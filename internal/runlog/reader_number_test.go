package runlog

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"voltwright/internal/quantity"
)

// The oracle for every number is strconv.ParseFloat: the bits must agree.
func checkNumber(t *testing.T, text string) {
	t.Helper()
	v, end, ok := scanNumber([]byte(text), 0, ',', '.')
	if !ok || end != len(text) {
		return
	}
	want, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%q was read as %v, strconv says %v", text, v, err)
	}
	if math.Float64bits(v) != math.Float64bits(want) {
		t.Fatalf("%q gives %v, want %v", text, v, want)
	}
}

func TestScanNumberBitForBit(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200000 {
		f := (r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(30)-12))
		text := strconv.FormatFloat(f, "feg"[r.IntN(3)], r.IntN(20)-1, 64)
		if _, _, ok := scanNumber([]byte(text), 0, ',', '.'); !ok {
			t.Fatalf("%q is not read", text)
		}
		checkNumber(t, text)
	}
}

func TestScanNumberForms(t *testing.T) {
	for _, c := range []struct {
		text    string
		decimal byte
		want    float64
		ok      bool
	}{
		{"12.5", '.', 12.5, true}, {"-0.25", '.', -0.25, true}, {"+7", '.', 7, true}, {".5", '.', 0.5, true}, {"5.", '.', 5, true},
		{"1e3", '.', 1000, true}, {"4.41E-05", '.', 4.41e-05, true}, {"1e400", '.', 0, false}, {"1e", '.', 0, false},
		{"12,5", ',', 12.5, true}, {"12,", ',', 0, false}, {"-1,5e2", ',', -150, true},
		{"", '.', 0, false}, {"-", '.', 0, false}, {".", '.', 0, false}, {"0x10", '.', 0, false}, {"1_000", '.', 0, false},
		{"1.2.3", '.', 0, false}, {"inf", '.', 0, false}, {"9007199254740993", '.', 9007199254740992, true},
		{"0.1234567890123456789", '.', 0.12345678901234568, true},
	} {
		v, end, ok := scanNumber([]byte(c.text), 0, ';', c.decimal)
		if ok = ok && end == len(c.text); ok != c.ok || ok && v != c.want {
			t.Errorf("%q: %v, %t; want %v, %t", c.text, v, ok, c.want, c.ok)
		}
	}
}

func FuzzScanNumber(f *testing.F) {
	for _, s := range []string{"0", "-12.75", "3.873017221300996", "1e-400", "123456789012345678901234567890", ".5e+9", "--1"} {
		f.Add(s)
	}
	f.Fuzz(checkNumber)
}

func TestParseField(t *testing.T) {
	for _, c := range []struct {
		text   string
		want   float64
		suffix string
		state  fieldState
	}{
		{" 12.5 ", 12.5, "", fieldValue}, {"−3.5", -3.5, "", fieldValue}, {"13.17 V", 13.17, "V", fieldValue}, {"250mA", 250, "mA", fieldValue},
		{"", 0, "", fieldHole}, {"  ", 0, "", fieldHole}, {"NaN", 0, "", fieldHole}, {"--", 0, "", fieldHole}, {"n/a", 0, "", fieldHole},
		{"OL", 0, "", fieldBad}, {"1,2", 1, ",2", fieldValue}, {"abc", 0, "", fieldBad},
	} {
		v, suffix, state := parseField([]byte(c.text), '.')
		if state != c.state || suffix != c.suffix || state == fieldValue && v != c.want {
			t.Errorf("%q: %v %q %v", c.text, v, suffix, state)
		}
	}
}

// A unit is worth what package quantity says of it, whatever a head calls it.
func TestUnitsAreQuantitys(t *testing.T) {
	for i := range units {
		u := &units[i]
		if u.kelvin() { // a difference there, a temperature here: SI Brochure, 9th edition, 2.3.1
			if got := u.Base(300); math.Abs(got-26.85) > 1e-9 {
				t.Errorf("300 K: %v °C", got)
			}
			continue
		}
		q, err := quantity.ParseAs("3 "+u.Symbol(), u.Dimension())
		if err != nil {
			t.Errorf("%s: %v", u.Symbol(), err)
			continue
		}
		if got := u.Base(3); math.Abs(got-q.Value) > 1e-12*math.Max(1, math.Abs(q.Value)) {
			t.Errorf("3 %s: %v, parsed %v", u.Symbol(), got, q.Value)
		}
		for _, s := range u.spellings {
			if found := findUnit(s); found != u {
				t.Errorf("%s does not find %s", s, u.Symbol())
			}
		}
	}
}
