package predict

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// levelRows are rows of one voltage each, at times, of a pack whose temperature nobody logged.
func levelRows(times, amps, volts []float64) *Rows {
	r := &Rows{Time: times, Current: amps, Voltage: volts}
	for range times {
		r.Temperature = append(r.Temperature, math.NaN())
	}
	return r
}

// A gap is closed where the currents beside it differ by up to a fifth of the greater, or where half of what they differ by is up to a hundredth of the
// capacity: of 5 Ah 180 A s, which are 72 s between 5 A and nothing.
func TestWhichGapsAreClosed(t *testing.T) {
	nan := math.NaN()
	for _, x := range []struct {
		before, after, seconds float64
		rows                   int
	}{{5, 4.02, 1000, 3}, {5, 3.98, 1000, 1}, {4.02, 5, 1000, 3}, {3.98, 5, 1000, 1}, {-5, -4.02, 1000, 3}, {5, 0, 71, 3}, {5, 0, 73, 1}, {0, 5, 71, 3}, {nan, 5, 10, 0}} {
		r := levelRows([]float64{100, 100 + x.seconds, 200 + x.seconds}, []float64{x.before, nan, x.after}, []float64{25, nan, 24})
		got := r.filled(5)
		if len(got.Time) != x.rows {
			t.Errorf("%+v: %d rows", x, len(got.Time))
		}
		if x.rows == 3 && (got.Current[1] != (x.before+x.after)/2 || got.Voltage[1] != 24.5) {
			t.Errorf("%+v: %g A at %g V", x, got.Current[1], got.Voltage[1])
		}
	}
	ends := levelRows([]float64{1, 2}, []float64{5, nan}, []float64{25, 25})
	if got := ends.filled(5); len(got.Time) != 1 {
		t.Errorf("a gap at the end: %+v", got)
	}
}

// How full the packs were at the first row, each bound from both sides, with voltages of the chemistry's own curve.
func TestHowALogBegins(t *testing.T) {
	for _, name := range []string{"nmc", "lfp"} {
		c, err := battery.ChemistryNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		e, err := battery.Typical(c, quantity.Exact(quantity.AmpereHours(5)))
		if err != nil {
			t.Fatal(err)
		}
		cell := e.Cell()
		at := func(z float64) float64 { v, _ := c.Curve().At(z); return 7 * float64(v) }
		steep := func(slope float64) float64 { // the first charge from empty up at which the curve rises by no more, in V
			for z := 0.02; z < 0.95; z += 1e-4 {
				if c.Curve().Slope(z) <= slope {
					return z
				}
			}
			t.Fatalf("%s rises by more than %g V everywhere", name, slope)
			return 0
		}
		rested := func(volts, seconds float64) *Rows {
			return levelRows([]float64{seconds / 2, seconds, seconds + 60}, []float64{0, 0, 5}, []float64{volts, volts, volts - 1})
		}
		loaded := func(off float64) *Rows { // 5 A, off by so many volts a cell from the most that a cell of four fifths may show
			v := at(0.8)/7 - 5*2*float64(cell.ResistanceAt(0.8, 25, 600)) + off
			return levelRows([]float64{1, 2}, []float64{5, 5}, []float64{7 * v, 7 * v})
		}
		rests := 0.05 // where either curve is steep
		for _, x := range []struct {
			what string
			rows *Rows
			full bool
			says string
		}{
			{"full", rested(at(0.972), 10), true, "The packs were full."}, {"not quite", rested(at(0.968), 10), false, "after too short a rest"},
			{"under load, full", loaded(0.001), true, "taken to have been full"}, {"under load, below", loaded(-0.001), false, "below what full packs show"},
			{"rested", rested(at(rests), 605), false, "by their rest voltage"}, {"hardly rested", rested(at(rests), 595), false, "after too short a rest"},
		} {
			full, use, how, why := x.rows.begins(cell, 7, 5)
			if full != x.full || !strings.Contains(how+why, x.says) || (use != nil) == (why != "") {
				t.Errorf("%s, %s: full %t, %q, %q", name, x.what, full, how, why)
			}
		}
		if name != "lfp" { // no part of the other curve is so flat
			continue
		}
		for slope, tells := range map[float64]bool{0.098: false, 0.102: true} {
			z := steep(slope)
			_, use, how, why := rested(at(z), 700).begins(cell, 7, 5)
			if (use != nil) != tells || tells != strings.Contains(how, "by their rest voltage") || tells == strings.Contains(why, "hardly changes") {
				t.Errorf("a rise of %g V: %q, %q", slope, how, why)
			}
		}
	}
}
