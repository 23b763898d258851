package circuit

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// published reads a table of testdata/reference, whose rows name their sources.
func published(t *testing.T, name string) (head []string, rows [][]string) {
	t.Helper()
	f, err := os.Open("testdata/reference/" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	all[0][0] = strings.TrimPrefix(all[0][0], "\ufeff")
	return all[0], all[1:]
}

func numberOf(t *testing.T, text string) float64 {
	t.Helper()
	if text == "" {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestAmpacitiesArePublished holds every current of the tables that are collected a second time to that print, both ways.
func TestAmpacitiesArePublished(t *testing.T) {
	type key struct {
		table      string
		area       float64
		insulation float64
	}
	want := map[key]float64{}
	collect := func(name, unit string, columns map[string]key) {
		head, rows := published(t, name)
		for _, row := range rows {
			size := row[0]
			q, err := quantity.ParseAs(size+" "+unit, quantity.Area)
			if err != nil {
				t.Fatal(err)
			}
			for i, column := range head {
				if k, ok := columns[column]; ok && row[i] != "" && row[i] != "-" {
					want[key{k.table, q.Value, k.insulation}] = numberOf(t, row[i])
				}
			}
		}
	}
	const boats, engine, nec, iso = "33-cfr-183.425", "33-cfr-183.425-engine-space", "nfpa-70-310.16", "iso-13297"
	collect("ampacity-33cfr183425", "AWG", map[string]key{"A_60C": {boats, 0, 60}, "A_75C": {boats, 0, 75}, "A_80C": {boats, 0, 80}, "A_90C": {boats, 0, 90}, "A_105C": {boats, 0, 105},
		"A_125C": {boats, 0, 125}, "A_200C": {boats, 0, 200}, "A_105C_engine_space": {engine, 0, 105}})
	collect("ampacity-nec310-16", "AWG", map[string]key{"A_60C": {nec, 0, 60}, "A_75C": {nec, 0, 75}, "A_90C": {nec, 0, 90}})
	collect("ampacity-iec60364", "mm²", map[string]key{"B2_A_30C": {"iec-60364-5-52-b2", 0, 70}, "C_A_30C": {"iec-60364-5-52-c", 0, 70}})
	collect("ampacity-iso10133", "mm²", map[string]key{"A_60C": {iso, 0, 60}, "A_70C": {iso, 0, 70}, "A_85_90C": {iso, 0, 85}, "A_105C": {iso, 0, 105}, "A_125C": {iso, 0, 125}, "A_200C": {iso, 0, 200}})
	collect("ampacity-vde", "mm²", map[string]key{"A": {"flexible-multicore", 0, 70}})
	tabled := map[string]bool{}
	for k := range want {
		tabled[k.table] = true
	}
	held := 0
	for _, r := range tables().ampacities {
		if !tabled[r.table] {
			continue
		}
		amperes, ok := want[key{r.table, r.area, r.insulation}]
		if !ok {
			continue // taken from a wider table than the one collected
		}
		held++
		if r.amperes != amperes {
			t.Errorf("%s, %v mm², %v °C: %v A, published are %v A", r.table, r.area, r.insulation, r.amperes, amperes)
		}
		delete(want, key{r.table, r.area, r.insulation})
	}
	for k, amperes := range want {
		t.Errorf("%s has no row of %v mm² at %v °C, where %v A are published", k.table, k.area, k.insulation, amperes)
	}
	t.Logf("%d of %d currents are held to a second print", held, len(tables().ampacities))
}

// TestWarmSurroundings: a conductor's rise is as the square of its current, so that what it may carry in other surroundings
// is √((Tc − Ta)/(Tc − T₀)) of what it may at T₀ (NFPA 70, 310.15(B)(2), which prints this equation; its tables take the
// upper end of a range, to two places, 30 °C for T₀). The notes to 33 CFR 183.425 go by the same law.
func TestWarmSurroundings(t *testing.T) {
	held := 0
	for _, r := range tables().deratings {
		if r.kind != "ambient" || math.IsNaN(r.insulation) {
			continue
		}
		held++
		want, tolerance := math.Sqrt((r.insulation-r.to)/(r.insulation-30)), 0.0081 // two places, cut off or rounded
		switch {
		case r.table == "33-cfr-183.425" && r.insulation == 200:
			want, tolerance = 1, 0 // its note leaves the highest class as it is
		case r.table == "iso-13297": // its own table A.1 for engine spaces, which is laxer than the law; from memory
			want, tolerance = map[float64]float64{70: 0.75, 85: 0.82, 105: 0.86, 125: 0.89}[r.insulation], 0
		}
		if math.Abs(r.factor-want) > tolerance || r.from >= r.to {
			t.Errorf("%s, %v to %v °C with insulation for %v °C: %v, by the law %.3f", r.table, r.from, r.to, r.insulation, r.factor, want)
		}
	}
	if held < 28 {
		t.Errorf("only %d factors were held", held)
	}
}

// TestFusesOpenAsPublished holds the times of data sheets and standards to a second print.
func TestFusesOpenAsPublished(t *testing.T) {
	of := map[string]string{"ATOF 35 A and 40 A": "blade 35 40", "ATOF 10 A": "blade 10 10", "MAXI 299 40 A": "large-blade 40 40", "ISO 8820-3 type C (ATO size) and F (MINI)": "blade 0 40",
		"ISO 8820-3 type E (MAXI size)": "large-blade 20 100", "UL 248-14 cartridge, 0-30 A": "cartridge 0 30", "UL 248-14 cartridge, 35-60 A": "cartridge 35 60"}
	type times struct{ shortest, longest float64 }
	want := map[string]times{}
	_, rows := published(t, "fuse-iso8820")
	for _, row := range rows {
		if row[2] == "no opening" {
			row[2] = "inf"
		}
		want[of[row[0]]+" "+row[1]] = times{numberOf(t, row[2]), numberOf(t, row[3])}
	}
	alike := func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }
	found := 0
	for _, r := range tables().gates {
		name := strings.Join([]string{r.kind, strconv.FormatFloat(r.from, 'f', -1, 64), strconv.FormatFloat(r.to, 'f', -1, 64), strconv.FormatFloat(r.percent, 'f', -1, 64)}, " ")
		w, ok := want[name]
		if !ok {
			continue
		}
		found++
		if !alike(r.shortest, w.shortest) || !alike(r.longest, w.longest) {
			t.Errorf("%s %%: %v s to %v s, published are %v s to %v s", name, r.shortest, r.longest, w.shortest, w.longest)
		}
	}
	if found != len(want) {
		t.Errorf("%d of %d published times are in the table", found, len(want))
	}
}

// TestResistancesArePublished: IEC 60228, greatest resistances at 20 °C.
func TestResistancesArePublished(t *testing.T) {
	head, rows := published(t, "wire-iec60228")
	if strings.Join(head[:4], " ") != "mm2 class5_plain_ohm_per_km_20C_max class5_tinned_ohm_per_km_20C_max class1_2_plain_ohm_per_km_20C_max" {
		t.Fatal(head)
	}
	found := 0
	for _, row := range rows {
		for _, w := range tables().wires {
			if w.area != numberOf(t, row[0]) {
				continue
			}
			found++
			for i, got := range []float64{w.class5, w.tinned, w.stranded} {
				if want := numberOf(t, row[1+i]); got != want {
					t.Errorf("%s mm²: %s is %v, published is %v", row[0], head[1+i], got, want)
				}
			}
		}
	}
	if found != len(tables().wires) {
		t.Errorf("%d of %d sizes are published", found, len(tables().wires))
	}
}

// TestFerrulesArePublished: pins and colours of DIN 46228-4.
func TestFerrulesArePublished(t *testing.T) {
	_, rows := published(t, "ferrules")
	found := 0
	for _, row := range rows {
		for _, f := range tables().ferrules {
			if f.area != numberOf(t, row[0]) {
				continue
			}
			found++
			if colour, _, _ := strings.Cut(row[1], " ("); f.colour != colour {
				t.Errorf("%s mm² is %s, published is %s", row[0], f.colour, colour)
			}
			if pin, _, _ := strings.Cut(row[4], " "); pin != "" {
				if want, err := strconv.ParseFloat(pin, 64); err == nil && f.pin != want {
					t.Errorf("%s mm² has a pin of %v mm, published are %v mm", row[0], f.pin, want)
				}
			}
			if f.strip < f.pin {
				t.Errorf("%s mm² is stripped %v mm for a pin of %v mm", row[0], f.strip, f.pin)
			}
		}
	}
	if found != len(tables().ferrules) {
		t.Errorf("%d of %d ferrules are published", found, len(tables().ferrules))
	}
}

// TestCrimpsFollowOneAnother: the colours divide the sizes between them, with no room between (marks of the trade: red to
// 1.5 mm², blue to 2.5 mm², yellow to 6 mm²; 22 to 18, 16 to 14 and 12 to 10 AWG), and a gauge lies in the metric range.
func TestCrimpsFollowOneAnother(t *testing.T) {
	want := []crimpRow{{colour: "red", from: 0.5, to: 1.5, thin: 22, thick: 18}, {colour: "blue", from: 1.5, to: 2.5, thin: 16, thick: 14}, {colour: "yellow", from: 2.5, to: 6, thin: 12, thick: 10}}
	got := tables().crimps
	if len(got) < len(want) {
		t.Fatalf("%d kinds of crimp terminals", len(got))
	}
	for i, w := range want {
		if g := got[i]; g.colour != w.colour || g.from != w.from || g.to != w.to || g.thin != w.thin || g.thick != w.thick {
			t.Errorf("%+v, published is %+v", g, w)
		}
	}
}
