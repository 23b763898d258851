package runlog

import (
	"math"
	"testing"
)

// TestOddAtItsLimits: three rows, of which the one in the middle may stand alone; the greatest current before them is 10 A. What is
// left out is NaN. Of each rule a pair just inside and just outside.
func TestOddAtItsLimits(t *testing.T) {
	type vit struct{ v, i, c float64 }
	nan := math.NaN()
	for _, x := range []struct {
		name              string
		before, at, after vit
		v, i, c           bool // left out
	}{
		{"three per cent and a bit", vit{100, 8, nan}, vit{103.1, 8, nan}, vit{100, 8, nan}, true, false, false}, {"a bit less", vit{100, 8, nan}, vit{102.9, 8, nan}, vit{100, 8, nan}, false, false, false}, {"below", vit{100, 8, nan}, vit{96.9, 8, nan}, vit{100, 8, nan}, true, false, false},
		{"two hundredths of a volt and a bit", vit{0.4, 8, nan}, vit{0.4205, 8, nan}, vit{0.4, 8, nan}, true, false, false}, {"a bit less near nothing", vit{0.4, 8, nan}, vit{0.4195, 8, nan}, vit{0.4, 8, nan}, false, false, false},
		{"neighbours that differ by a tenth of it", vit{100, 8, nan}, vit{110, 8, nan}, vit{101, 8, nan}, false, false, false}, {"by less", vit{100, 8, nan}, vit{110.6, 8, nan}, vit{101, 8, nan}, true, false, false},
		{"the current moves by a tenth", vit{100, 8, nan}, vit{110, 8.79, nan}, vit{100, 8, nan}, true, false, false}, {"by more", vit{100, 8, nan}, vit{110, 8.81, nan}, vit{100, 8, nan}, false, false, false},
		{"by a tenth of what it changes by, where that is more", vit{100, -4, nan}, vit{110, 0.79, nan}, vit{100, 4, nan}, true, false, false}, {"by more than that", vit{100, -4, nan}, vit{110, 0.81, nan}, vit{100, 4, nan}, false, false, false},
		{"noise of a hundredth of the greatest", vit{100, 0.2, nan}, vit{110, 0.299, nan}, vit{100, 0.2, nan}, true, false, false}, {"more than noise", vit{100, 0.2, nan}, vit{110, 0.301, nan}, vit{100, 0.2, nan}, false, false, false},
		{"no current: a fifth and a bit", vit{100, nan, nan}, vit{120.1, nan, nan}, vit{100, nan, nan}, true, false, false}, {"no current: a bit less", vit{100, nan, nan}, vit{119.9, nan, nan}, vit{100, nan, nan}, false, false, false}, {"no current at one of them", vit{100, 8, nan}, vit{119.9, nan, nan}, vit{100, 8, nan}, false, false, false},
		{"fifteen kelvin and a bit", vit{25, 8, 20}, vit{25, 8, 35.1}, vit{25, 8, 20}, false, false, true}, {"a bit less warm", vit{25, 8, 20}, vit{25, 8, 34.9}, vit{25, 8, 20}, false, false, false}, {"colder", vit{25, 8, 20}, vit{25, 8, 4.9}, vit{25, 8, 20}, false, false, true},
		{"neighbours two kelvin apart", vit{25, 8, 20}, vit{25, 8, 90}, vit{25, 8, 22}, false, false, true}, {"more", vit{25, 8, 20}, vit{25, 8, 90}, vit{25, 8, 22.1}, false, false, false},
		{"a row of zeros", vit{25, 8, nan}, vit{0, 0, nan}, vit{25, 8, nan}, true, true, false}, {"a zero of the current", vit{25, 8, nan}, vit{25, 0, nan}, vit{25, 8, nan}, false, true, false}, {"of a charge", vit{25, -8, nan}, vit{25, 0, nan}, vit{25, -8, nan}, false, true, false},
		{"the voltage springs back", vit{25, 8, nan}, vit{25.0126, 0, nan}, vit{25, 8, nan}, false, false, false}, {"it does not", vit{25, 8, nan}, vit{25.0124, 0, nan}, vit{25, 8, nan}, false, true, false}, {"against the row after", vit{25, 8, nan}, vit{25.0062, 0, nan}, vit{24.9936, 8, nan}, false, false, false},
		{"a fifth of the greatest", vit{25, 2.01, nan}, vit{25, 0, nan}, vit{25, 2.01, nan}, false, true, false}, {"less", vit{25, 1.99, nan}, vit{25, 0, nan}, vit{25, 1.99, nan}, false, false, false},
		{"neighbours a tenth apart", vit{25, 8, nan}, vit{25, 0, nan}, vit{25, 8.79, nan}, false, true, false}, {"farther apart", vit{25, 8, nan}, vit{25, 0, nan}, vit{25, 8.81, nan}, false, false, false}, {"not quite zero", vit{25, 8, nan}, vit{25, 0.001, nan}, vit{25, 8, nan}, false, false, false},
		{"no voltage before it", vit{nan, 8, nan}, vit{25, 0, nan}, vit{25, 8, nan}, false, false, false}, {"no voltage at all", vit{nan, 8, nan}, vit{nan, 0, nan}, vit{nan, 8, nan}, false, false, false}, {"the voltage was zero before", vit{0, 8, nan}, vit{0, 0, nan}, vit{0, 8, nan}, false, false, false},
		{"below zero", vit{25, 8, nan}, vit{-25, 8, nan}, vit{25, 8, nan}, false, false, false},
	} {
		for _, anew := range []string{"", "at", "after"} {
			w := oddWatch{peak: 10}
			rows := make([]Sample, 3)
			for k, at := range []vit{x.before, x.at, x.after} {
				rows[k] = row(float64(k), map[Channel]float64{Voltage: at.v, Current: at.i, Temperature: at.c})
			}
			rows[1].Restart, rows[2].Restart = anew == "at", anew == "after"
			got := w.lookedAt(rows).sample(1)
			for _, c := range []struct {
				channel Channel
				was     float64
				left    bool
			}{{Voltage, x.at.v, x.v}, {Current, x.at.i, x.i}, {Temperature, x.at.c, x.c}} {
				if math.IsNaN(c.was) {
					continue
				}
				if want := c.left && anew == ""; want == got.Has(c.channel) || want != (w.left[c.channel] == 1) {
					t.Errorf("%s %s: the %s stays: %t", x.name, anew, c.channel, got.Has(c.channel))
				}
			}
		}
	}
	// A load whose last digit is a third of it may well read zero: 2.1 A in whole amperes of 10.
	w := oddWatch{peak: 10}
	for _, x := range []struct {
		was, at float64
		left    bool
	}{{3, 3, false}, {4, 4, true}} {
		w = oddWatch{peak: 10}
		rows := []Sample{vi(0, 25, x.was), vi(1, 25, 0), vi(2, 25, x.at)}
		if got := !w.lookedAt(rows).sample(1).Has(Current); got != x.left {
			t.Errorf("%v A in whole amperes: left out %t", x.was, got)
		}
	}
	// What alternates is no battery from then on.
	w = oddWatch{peak: 10}
	var rows []Sample
	for k, v := range []float64{25, -25, 25, 25, 0, 25, 25} {
		rows = append(rows, vi(float64(k), v, 8))
	}
	w.lookedAt(rows)
	if w.found != 0 {
		t.Errorf("%d of an alternating voltage are odd", w.found)
	}
}

// lookedAt is what becomes of rows of which all but the first and the last are judged.
func (w *oddWatch) lookedAt(rows []Sample) *block {
	b := newBlock()
	for k := range rows {
		b.add(&rows[k])
	}
	w.begin(b)
	w.look(b, 1, b.n-1)
	return b
}
