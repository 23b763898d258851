package battery

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/recorded"
	"voltwright/internal/reference"
)

// valuesOf are the values of a chemistry's file that are not from memory, by name.
func valuesOf(c *Chemistry) map[string]float64 {
	out := map[string]float64{}
	for name, f := range c.Facts {
		if f.Status != reference.FromMemory {
			out[name] = f.Value
		}
	}
	for i, p := range c.CycleLife.Points { // those from memory too, as guesses that makers are told
		out[fmt.Sprintf("cycle-life %d depth", i)], out[fmt.Sprintf("cycle-life %d low", i)] = p.Depth, p.Low
		if p.High != 0 {
			out[fmt.Sprintf("cycle-life %d high", i)] = p.High
		}
	}
	if w := c.ChargeWindows; w != nil {
		for i, p := range w.Points {
			out[fmt.Sprintf("charge-windows %d from", i)], out[fmt.Sprintf("charge-windows %d to", i)], out[fmt.Sprintf("charge-windows %d rate", i)] = p[0], p[1], p[2]
		}
	}
	pairs := func(name string, q Quoted, points [][2]float64) {
		for i, p := range points {
			if q.Status != reference.FromMemory {
				out[fmt.Sprintf("%s %d from", name, i)], out[fmt.Sprintf("%s %d", name, i)] = p[0], p[1]
			}
		}
	}
	if f := c.Floors; f != nil {
		pairs("floors", f.Quoted, f.Points)
	}
	if f := c.CapacityTemperature; f != nil {
		pairs("capacity-temperature", f.Quoted, f.Points)
	}
	pairs("ocv", c.OCV.Quoted, c.OCV.Points)
	return out
}

// TestValuesAreAPrintOfTheirSources holds every value of a chemistry that is not from memory to a second print in the form in which its source
// has it, and the other way round. Curves that are published stand in tables of their own: see TestCurvesArePublished.
func TestValuesAreAPrintOfTheirSources(t *testing.T) {
	rows := recorded.Rows(t, "testdata/reference/chemistry-values.csv")
	published := map[string]map[string]float64{}
	for _, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		parts, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		if published[row[0]] == nil {
			published[row[0]] = map[string]float64{}
		}
		if _, twice := published[row[0]][row[1]]; twice || row[4] == "" || row[5] != "source" && row[5] != "own" {
			t.Errorf("%s, %s: twice, without a source or of no kind", row[0], row[1])
		}
		published[row[0]][row[1]] = v / parts
	}
	held := 0
	for _, c := range Chemistries() {
		have := valuesOf(c)
		for name, want := range published[c.Name] {
			got, is := have[name]
			if !is || math.Abs(got-want) > 1e-5*math.Max(1, math.Abs(want)) {
				t.Errorf("%s, %s: %g, published %g", c.Name, name, got, want)
			}
			held++
		}
		for name, got := range have {
			if _, is := published[c.Name][name]; !is && !(strings.HasPrefix(name, "ocv ") && c.Name != "sodium-ion") {
				t.Errorf("%s, %s: %g has no second print", c.Name, name, got)
			}
		}
	}
	if held < 250 {
		t.Errorf("only %d values are held", held)
	}
}
