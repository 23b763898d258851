package circuit_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// The factors for bundles, by a second print (bundling.csv): each up to its count, and the next from there on.
func TestBundles(t *testing.T) {
	rows := recorded.Rows(t, "testdata/reference/bundling.csv")
	number := regexp.MustCompile(`\d+`)
	factors := map[string]map[int]float64{"VDE": {}, "NFPA": {}} // by the greatest count
	for _, row := range rows[1:] {
		for name, of := range factors {
			if counts := number.FindAllString(row[1], -1); strings.HasPrefix(row[0], name) {
				to, _ := strconv.Atoi(counts[len(counts)-1])
				factor, err := strconv.ParseFloat(row[2], 64)
				if err != nil {
					t.Fatal(err)
				}
				if strings.Contains(row[1], "more") {
					to = 100
				}
				of[to] = factor
			}
		}
	}
	if len(factors["VDE"]) != 15 || len(factors["NFPA"]) != 6 {
		t.Fatalf("the second print: %v", factors)
	}
	wanted := func(of map[int]float64, count int) float64 {
		best := 101
		for to := range of {
			if count <= to && to < best {
				best = to
			}
		}
		return of[best]
	}
	for conductors := 1; conductors <= 60; conductors++ {
		circuits := (conductors + 1) / 2 // out and back
		for _, tt := range []struct {
			table  circuit.AmpacityTable
			system quantity.Volts
			want   float64
		}{
			{circuit.ElectricalCode, 24, map[bool]float64{true: 1, false: wanted(factors["NFPA"], conductors)}[conductors < 4]},
			{circuit.FederalRegulations, 49.9, wanted(factors["VDE"], circuits)},
			// 33 CFR 183.435(b), from 50 V up by conductors: 3: 0.70, 4 to 6: 0.60, 7 to 24: 0.50, 25 and more: 0.40.
			{circuit.FederalRegulations, 50, min(wanted(factors["VDE"], circuits), wanted(map[int]float64{2: 1, 3: 0.7, 6: 0.6, 24: 0.5, 100: 0.4}, conductors))},
			{circuit.InConduit, 24, map[bool]float64{true: 1, false: wanted(factors["VDE"], circuits)}[conductors <= 3]},
			{circuit.OnSurface, 24, map[bool]float64{true: 1, false: wanted(factors["VDE"], circuits)}[conductors <= 3]},
			{circuit.FlexibleMulticore, 24, map[bool]float64{true: 1, false: wanted(factors["VDE"], circuits)}[conductors <= 3]},
		} {
			a, err := circuit.AmpacityOf(circuit.Metric(4), circuit.Laid{Insulation: 90, Bundle: conductors, System: tt.system}, tt.table)
			if conductors > 40 && tt.table != circuit.ElectricalCode { // twenty circuits are the last of the table
				if err == nil {
					t.Errorf("%s, %d conductors: %+v", tt.table, conductors, a)
				}
				continue
			}
			if err != nil || a.Bundle != tt.want || math.Abs(float64(a.Amperes)-float64(a.Base)*tt.want) > 1e-9 {
				t.Errorf("%s, %v V, %d conductors: %v A of %v A, factor %v, %v; want %v", tt.table, float64(tt.system), conductors, float64(a.Amperes), float64(a.Base), a.Bundle, err, tt.want)
			}
			if named := strings.Contains(a.Source, "VDE 0298-4 table 21") || strings.Contains(a.Source, "183.435") || strings.Contains(a.Source, "310.15"); named != (tt.want < 1) {
				t.Errorf("%s, %d conductors, factor %v: from %s", tt.table, conductors, tt.want, a.Source)
			}
		}
	}
}

// Factors for what is around a lead: each holds up to and with its upper end, and above it the next. NFPA 70 310.15(B)
// steps by 5 K; note 1 of 33 CFR 183.425 ends at 50 °C, ISO 13297 at 60 °C. For the rest the law √((Ti − Ta)/(Ti − 30)).
func TestAmbientSteps(t *testing.T) {
	law := func(insulation, around float64) float64 { return math.Sqrt((insulation - around) / (insulation - 30)) }
	factor := func(table circuit.AmpacityTable, insulation, around float64) (float64, error) {
		a, err := circuit.AmpacityOf(circuit.Metric(4), circuit.Laid{Insulation: quantity.Celsius(insulation), Ambient: quantity.Celsius(around)}, table)
		if err == nil && math.Abs(float64(a.Amperes)-float64(a.Base)*a.Ambient) > 1e-9 {
			t.Errorf("%s, %v °C: %v A", table, around, float64(a.Amperes))
		}
		if stated := strings.Contains(a.Source, "computed"); err == nil && stated != (a.Ambient == law(float64(a.Column), around) && around > 30) {
			t.Errorf("%s, %v °C: factor %v from %s", table, around, a.Ambient, a.Source)
		}
		return a.Ambient, err
	}
	for insulation, last := range map[float64]float64{60: 55, 75: 60, 90: 60} {
		for top := 30.0; top <= 75; top += 5 {
			for _, around := range []float64{top - 4.9, top - 0.1, top} {
				got, err := factor(circuit.ElectricalCode, insulation, around)
				switch {
				case top <= 30:
					if err != nil || got != 1 {
						t.Errorf("NFPA 70, %v °C insulation, %v °C around: %v, %v", insulation, around, got, err)
					}
				case top > last:
					if err == nil {
						t.Errorf("NFPA 70, %v °C insulation, %v °C around: %v, beyond its table", insulation, around, got)
					}
				case err != nil || math.Abs(got-law(insulation, top)) > 0.0081:
					t.Errorf("NFPA 70, %v °C insulation, %v °C around: %v, %v; by the law %.3f", insulation, around, got, err, law(insulation, top))
				}
			}
		}
	}
	for insulation, want := range map[float64]float64{60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 125: 0.89, 200: 1} {
		for _, around := range []float64{30, 30.1, 49.9, 50, 50.1} {
			got, err := factor(circuit.FederalRegulations, insulation, around)
			switch {
			case around <= 30 && (got != 1 || err != nil), around > 30 && around <= 50 && (got != want || err != nil), around > 50 && err == nil:
				t.Errorf("33 CFR 183.425, %v °C insulation, %v °C around: %v, %v", insulation, around, got, err)
			}
		}
	}
	for insulation, want := range map[float64]float64{70: 0.75, 85: 0.82, 105: 0.86, 125: 0.89} {
		for _, around := range []float64{30, 30.1, 60, 60.1} {
			got, err := factor(circuit.SmallCraft, insulation, around)
			switch {
			case around <= 30 && (got != 1 || err != nil), around > 30 && around <= 60 && (got != want || err != nil), around > 60 && err == nil:
				t.Errorf("ISO 13297, %v °C insulation, %v °C around: %v, %v", insulation, around, got, err)
			}
		}
	}
	for _, around := range []float64{30, 35, 69.9} {
		if got, err := factor(circuit.OnSurface, 70, around); err != nil || math.Abs(got-law(70, around)) > 1e-12 {
			t.Errorf("IEC 60364-5-52, %v °C around: %v, %v", around, got, err)
		}
	}
	if _, err := factor(circuit.OnSurface, 70, 70); err == nil {
		t.Error("nothing is carried where it is as warm as the insulation stands")
	}
	// 33 CFR has a table of its own for 105 °C in engine spaces, which the general factor of 0.85 is the last digit of.
	for _, around := range []float64{30.1, 50} {
		a, err := circuit.AmpacityOf(circuit.Gauge(10), circuit.Laid{Insulation: 105, Ambient: quantity.Celsius(around)}, "")
		if err != nil || a.Amperes != 51 || a.Base != 60 {
			t.Errorf("10 AWG, 105 °C, at %v °C: %v A of %v A, %v; want 51 of 60", around, float64(a.Amperes), float64(a.Base), err)
		}
	}
	for _, around := range []float64{50.1, 52, 104} {
		if a, err := circuit.AmpacityOf(circuit.Gauge(10), circuit.Laid{Insulation: 105, Ambient: quantity.Celsius(around)}, ""); err == nil {
			t.Errorf("10 AWG, 105 °C, at %v °C: %v A", around, float64(a.Amperes))
		}
	}
}

// What is not stated can at best be the best: the bound says how it was come by.
func TestMostAmpacity(t *testing.T) {
	for _, tt := range []struct {
		what string
		size circuit.Size
		laid circuit.Laid
		like circuit.Laid // what it is bounded by
	}{
		{"nothing stated", circuit.Gauge(12), circuit.Laid{}, circuit.Laid{Insulation: 200}},
		{"insulation stated", circuit.Gauge(12), circuit.Laid{Insulation: 75}, circuit.Laid{Insulation: 75}},
		{"a bundle and no insulation", circuit.Gauge(12), circuit.Laid{Bundle: 8}, circuit.Laid{Insulation: 200, Bundle: 8}},
		{"warm surroundings and no insulation", circuit.Gauge(12), circuit.Laid{Ambient: 45, Bundle: 8}, circuit.Laid{Insulation: 200, Ambient: 45, Bundle: 8}},
		{"surroundings beyond the factors", circuit.Gauge(12), circuit.Laid{Insulation: 90, Ambient: 60, Bundle: 8}, circuit.Laid{Insulation: 90, Bundle: 8}},
		{"a bundle beyond the factors", circuit.Gauge(12), circuit.Laid{Insulation: 90, Bundle: 60}, circuit.Laid{Insulation: 90}},
		{"insulation below the table", circuit.Gauge(12), circuit.Laid{Insulation: 50, Bundle: 8}, circuit.Laid{Insulation: 200}},
		{"a bundle at 60 V", circuit.Gauge(12), circuit.Laid{Bundle: 8, System: 60}, circuit.Laid{Insulation: 200, Bundle: 8, System: 60}},
		{"a bundle beyond the factors at 60 V", circuit.Gauge(12), circuit.Laid{Bundle: 60, System: 60}, circuit.Laid{Insulation: 200, System: 60}},
	} {
		want, err := circuit.AmpacityOf(tt.size, tt.like, "")
		if err != nil {
			t.Fatal(err)
		}
		got, known := circuit.MostAmpacity(tt.size, tt.laid, "")
		if !known || got.Amperes != want.Amperes || !strings.Contains(got.Source, "the most that it may be, as not all is stated") {
			t.Errorf("%s: %v A, %v (%s); want %v A", tt.what, float64(got.Amperes), known, got.Source, float64(want.Amperes))
		}
	}
	for _, size := range []circuit.Size{{}, circuit.Metric(-1), circuit.Metric(quantity.SquareMillimetres(math.NaN()))} {
		if a, known := circuit.MostAmpacity(size, circuit.Laid{}, ""); known || a != (circuit.Ampacity{}) {
			t.Errorf("a lead of %v carries at most %+v", size, a)
		}
	}
	if a, known := circuit.MostAmpacity(circuit.Gauge(12), circuit.Laid{}, "mine"); known {
		t.Errorf("in a table that nobody knows: %+v", a)
	}
}

// Thin leads lie as thick ones do: in bundles, in warm surroundings, and never better than the least row of the table.
func TestThinLeadsAsTheyLie(t *testing.T) {
	for _, tt := range []struct {
		what  string
		size  circuit.Size
		laid  circuit.Laid
		table circuit.AmpacityTable
		want  float64
	}{
		// 22 AWG goes by 0.25 mm², 5 A, insulation for 70 °C.
		{"alone", circuit.Gauge(22), circuit.Laid{Insulation: 70}, "", 5},
		{"in a bundle of two circuits", circuit.Gauge(22), circuit.Laid{Insulation: 70, Bundle: 4}, "", 5 * 0.8},
		{"at 40 °C", circuit.Gauge(22), circuit.Laid{Insulation: 70, Ambient: 40}, "iso-13297", 5 * math.Sqrt(30./40)},
		{"at 60 °C, with insulation for more than the table's 70 °C", circuit.Gauge(22), circuit.Laid{Insulation: 90, Ambient: 60}, "iso-13297", 5 * math.Sqrt(10./40)},
		{"insulation for 60 °C", circuit.Gauge(22), circuit.Laid{Insulation: 60}, "", 5 * math.Sqrt(30./40)},
		{"a size that is a row of the thin table, exactly", circuit.Metric(0.5), circuit.Laid{Insulation: 90}, "", 12},
		{"a little less than that", circuit.Metric(0.499), circuit.Laid{Insulation: 90}, "", 8},
		{"just below its smallest row", circuit.Metric(0.078), circuit.Laid{Insulation: 90}, "", 1.5 * 0.078 / 0.08},
		{"below its smallest row, by area", circuit.Metric(0.04), circuit.Laid{Insulation: 90}, "", 0.75},
	} {
		a, err := circuit.AmpacityOf(tt.size, tt.laid, tt.table)
		if err != nil || math.Abs(float64(a.Amperes)-tt.want) > 1e-9 {
			t.Errorf("%s: %v A (base %v, ambient %v, bundle %v), %v; want %v A", tt.what, float64(a.Amperes), float64(a.Base), a.Ambient, a.Bundle, err, tt.want)
		}
		if byArea := strings.Contains(a.Source, "below the smallest row by area"); byArea != (tt.size.Area < 0.08) {
			t.Errorf("%s: from %s", tt.what, a.Source)
		}
	}
	// Each row at 50 °C, where insulation for 70 °C leaves √(20/40), under the 15 A of 14 AWG in NFPA 70.
	for area, amperes := range map[float64]float64{0.08: 1.5, 0.14: 3, 0.25: 5, 0.34: 8, 0.5: 12, 0.75: 15, 1: 19} {
		a, err := circuit.AmpacityOf(circuit.Metric(quantity.SquareMillimetres(area)), circuit.Laid{Insulation: 75, Ambient: 50}, circuit.ElectricalCode)
		if err != nil || math.Abs(float64(a.Amperes)-amperes*math.Sqrt(20./40)) > 1e-9 {
			t.Errorf("%v mm² at 50 °C: %v A, %v; want %v", area, float64(a.Amperes), err, amperes*math.Sqrt(20./40))
		}
	}
	for _, laid := range []circuit.Laid{{Insulation: 90, Ambient: 95}, {Insulation: 90, Bundle: 60}, {Insulation: 25}} {
		if a, err := circuit.AmpacityOf(circuit.Gauge(24), laid, ""); err == nil {
			t.Errorf("%+v: %v A", laid, float64(a.Amperes))
		}
	}
}

// The sizes of the list of flexible cables that the second print does not have.
func TestThinFlexibleCables(t *testing.T) {
	for area, want := range map[float64]quantity.Amperes{0.08: 1, 0.14: 2, 0.2: 2} {
		if a, err := circuit.AmpacityOf(circuit.Metric(quantity.SquareMillimetres(area)), circuit.Laid{Insulation: 70}, circuit.FlexibleMulticore); err != nil || a.Amperes != want {
			t.Errorf("%v mm²: %v A, %v; want %v A", area, float64(a.Amperes), err, float64(want))
		}
	}
}

// Below the least size that IEC 60228 has, the margin of the least over pure copper.
func TestOhmsBelowTheTable(t *testing.T) {
	c, err := circuit.OhmsPerMetre(circuit.Metric(0.34), circuit.Flexible, false)
	if err != nil || math.Abs(float64(c.PerMetre)-0.0390*0.5/0.34) > 1e-12 || c.Note != "no row of IEC 60228 has 0.34 mm²; reckoned from 0.5 mm²" {
		t.Errorf("%+v, %v; IEC 60228 has 39.0 Ω/km for 0.5 mm²", c, err)
	}
}

// A fuse that nothing is joined to, in a circuit without a pack.
func TestFaultWithoutAPack(t *testing.T) {
	c := circuit.Circuit{Parts: []circuit.Part{{Name: "fuse", Kind: circuit.Fuse}}}
	if amps, err := c.FaultCurrent(0); err == nil || err.Error() != "there is no pack" {
		t.Errorf("%v A, %v", float64(amps), err)
	}
}

// UL 248-14 gives cartridges of 35 to 60 A one time, at 200 %: 240 s at most. Below that it says nothing.
func TestGatesOfLargeCartridges(t *testing.T) {
	g, err := circuit.GateAt("cartridge", 40, 80)
	if err != nil || g.Longest != 240 || !math.IsNaN(float64(g.Shortest)) {
		t.Errorf("%+v, %v", g, err)
	}
	if g, err := circuit.GateAt("cartridge", 40, 60); err == nil || !strings.Contains(err.Error(), "says nothing at 1.5 times its rating") {
		t.Errorf("%+v, %v", g, err)
	}
}
