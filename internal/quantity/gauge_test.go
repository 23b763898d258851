package quantity

import (
	"math"
	"strconv"
	"testing"

	"voltwright/internal/recorded"
)

// TestGauge holds the sizes against testdata/gauge/wire-awg.csv (ASTM B258; see
// the SOURCE.md beside it), at the figures printed there.
func TestGauge(t *testing.T) {
	rows := recorded.Rows(t, "testdata/gauge/wire-awg.csv")
	if len(rows) != 1+34 {
		t.Fatalf("%d rows, want a head and 34 sizes", len(rows))
	}
	column := func(row []string, i int) float64 {
		x, err := strconv.ParseFloat(row[i], 64)
		if err != nil {
			t.Fatalf("size %s: %v", row[0], err)
		}
		return x
	}
	for _, row := range rows[1:] {
		text := row[0] + " AWG"
		q, err := Parse(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		n := int(column(row, 1))
		if d := float64(GaugeDiameter(n)) * 1000; math.Abs(d-column(row, 2)) > 0.5e-4 {
			t.Errorf("%s: diameter %.5f mm, want %s", text, d, row[2])
		}
		if math.Abs(q.Value-column(row, 3)) > 0.5e-4 {
			t.Errorf("%s: area %.5f mm², want %s", text, q.Value, row[3])
		}
		mils, _ := q.In("kcmil")
		if got := mils.scale().number(q.Value) * 1000; math.Abs(got-column(row, 4)) > 0.5 {
			t.Errorf("%s: %.2f circular mils, want %s", text, got, row[4])
		}
		if q.String() != text || q.Rounded() != text {
			t.Errorf("%s prints as %s and %s", text, q, q.Rounded())
		}
		if back, ok := nearestGauge(SquareMillimetres(q.Value)); !ok || back != n {
			t.Errorf("%s: the nearest size to its own area is %d", text, back)
		}
	}
}

func TestGaugeSpellings(t *testing.T) {
	tests := []struct{ text, want string }{
		{"12 AWG", "12 AWG"}, {"AWG 12", "12 AWG"}, {"12 awg", "12 AWG"}, {"12AWG", "12 AWG"},
		{"0 AWG", "1/0 AWG"}, {"00 AWG", "2/0 AWG"}, {"0000 AWG", "4/0 AWG"}, {"3/0 AWG", "3/0 AWG"},
	}
	for _, tt := range tests {
		if q, err := ParseAs(tt.text, Area); err != nil || q.String() != tt.want {
			t.Errorf("%s: got %v (%v), want %s", tt.text, q, err, tt.want)
		}
	}
	for _, text := range []string{"5/0 AWG", "00000 AWG", "41 AWG", "-1 AWG", "+8 AWG", "012 AWG", "2.5 AWG", "AWG", "1/1 AWG", "12 AWG ± 1 AWG", "(12 ± 1) AWG"} {
		if q, err := Parse(text); err == nil {
			t.Errorf("%s was read as %s", text, q)
		}
	}
	// A cross-section that is no size is written in mm², whatever unit is asked.
	odd := Quantity{Dimension: Area, Value: 3, Unit: gauge, Decimals: 0}
	if got := odd.String(); got != "3 mm²" {
		t.Errorf("3 mm² as a gauge prints %s", got)
	}
}
