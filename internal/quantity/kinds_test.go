package quantity

import "testing"

// TestKinds: each kind prints in the unit of its name, so that its dimension
// and its base unit cannot part.
func TestKinds(t *testing.T) {
	tests := []struct {
		q    Quantity
		want string
	}{
		{Exact(Number(2)).Quantity(), "2"},
		{Exact(Volts(2)).Quantity(), "2 V"},
		{Exact(Amperes(2)).Quantity(), "2 A"},
		{Exact(AmpereHours(2)).Quantity(), "2 Ah"},
		{Exact(WattHours(2)).Quantity(), "2 Wh"},
		{Exact(Watts(2)).Quantity(), "2 W"},
		{Exact(Ohms(2)).Quantity(), "2 Ω"},
		{Exact(Seconds(2)).Quantity(), "2 s"},
		{Exact(Metres(2)).Quantity(), "2 m"},
		{Exact(MetresPerSecond(2)).Quantity(), "7.2 km/h"},
		{Exact(RevolutionsPerMinute(2)).Quantity(), "2 rpm"},
		{Exact(Kilograms(2)).Quantity(), "2 kg"},
		{Exact(Celsius(2)).Quantity(), "2 °C"},
		{Exact(Kelvins(2)).Quantity(), "2 K"},
		{Exact(SquareMillimetres(2)).Quantity(), "2 mm²"},
		{Exact(NewtonMetres(2)).Quantity(), "2 N·m"},
		{Exact(Fraction(0.02)).Quantity(), "2 %"},
		{Exact(WattHoursPerKilometre(2)).Quantity(), "2 Wh/km"},
		{Exact(Newtons(85)).Quantity(), "85 N"},
		{Exact(MetresPerSecondSquare(0.4)).Quantity(), "0.4 m/s²"},
	}
	seen := map[Dimension]bool{}
	for _, tt := range tests {
		seen[tt.q.Dimension] = true
		if got := tt.q.String(); got != tt.want {
			t.Errorf("%s: prints %s, want %s", tt.q.Dimension, got, tt.want)
		}
		if !tt.q.Known() {
			t.Errorf("%s is not known", tt.want)
		}
	}
	if len(seen) != dimensionCount {
		t.Errorf("%d dimensions have a kind of %d", len(seen), dimensionCount)
	}
	if got := (Of[Volts](23, 0.5)).Expanded(); got != 1 {
		t.Errorf("expanded uncertainty %v, want 1", got)
	}
}

// TestUnknownDimension: a dimension out of range is the fault of the program,
// but never a panic on a page.
func TestUnknownDimension(t *testing.T) {
	d := Dimension(200)
	q := Quantity{Dimension: d, Value: 2, Decimals: -1}
	if d.String() != "unknown dimension" || d.WithArticle() != "an unknown dimension" || d.Example() != "" || d.BaseUnit() != "" {
		t.Errorf("%s, %s, %q, %q", d, d.WithArticle(), d.Example(), d.BaseUnit())
	}
	if q.String() != "2" || q.Rounded() != "2" {
		t.Errorf("prints %s and %s", q, q.Rounded())
	}
}
