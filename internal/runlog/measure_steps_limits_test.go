package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// sagOf runs rows of time, voltage and current through the watch for sags: the sag, the voltage at rest and the lowest after it.
func sagOf(rows ...[3]float64) string {
	w := newSagWatch()
	for _, r := range rows {
		w.add(&instant{t: r[0], v: r[1], i: r[2]})
	}
	w.close()
	return fmt.Sprintf("%.4g from %.4g to %.4g", w.greatest, w.before, w.after)
}

func TestSagAtItsLimits(t *testing.T) {
	type r = [3]float64
	nan := math.NaN()
	for _, x := range []struct {
		name string
		rows []r
		want string
	}{
		{"plain", []r{{0, 26, 0}, {1, 25, 8}, {2, 24.9, 8}}, "1.1 from 26 to 24.9"}, {"none", []r{{0, 26, 0}, {1, 26, 0}}, "NaN from NaN to NaN"}, {"no rest", []r{{0, 26, 8}, {1, 25, 8}}, "NaN from NaN to NaN"},
		{"ten seconds on", []r{{0, 26, 0}, {1, 25, 8}, {11, 24, 8}}, "2 from 26 to 24"}, {"later", []r{{0, 26, 0}, {1, 25, 8}, {11.1, 24, 8}}, "1 from 26 to 25"},
		{"rest of a twentieth", []r{{0, 20, 10}, {1, 26, 0.5}, {2, 25, 8}}, "1 from 26 to 25"}, {"more than that is none", []r{{0, 20, 10}, {1, 26, 0.51}, {2, 25, 8}}, "NaN from NaN to NaN"}, {"a load of less is none", []r{{0, 20, 10}, {1, 26, 0}, {2, 25, 0.5}}, "NaN from NaN to NaN"}, {"of more is", []r{{0, 20, 10}, {1, 26, 0}, {2, 25, 0.51}}, "1 from 26 to 25"},
		{"the greatest of two", []r{{0, 26, 0}, {1, 25, 8}, {2, 26, 0}, {3, 24, 8}}, "2 from 26 to 24"}, {"the greatest of two, first", []r{{0, 26, 0}, {1, 24, 8}, {2, 26, 0}, {3, 25, 8}}, "2 from 26 to 24"},
		{"the voltage first", []r{{0, 26, 0}, {1, 25, 0}, {2, 24.5, 8}}, "1.5 from 26 to 24.5"}, {"by a fifth of the fall", []r{{0, 26, 0}, {1, 25.79, 0}, {2, 25, 8}}, "1 from 26 to 25"}, {"by less", []r{{0, 26, 0}, {1, 25.81, 0}, {2, 25, 8}}, "0.81 from 25.81 to 25"},
		{"the row before was a load", []r{{0, 27, 8}, {1, 26, 0}, {2, 25, 8}}, "1 from 26 to 25"}, {"a charge is no load", []r{{0, 26, 0}, {1, 25, -8}}, "NaN from NaN to NaN"}, {"a charge before it is no rest", []r{{0, 26, -8}, {1, 25, 8}}, "NaN from NaN to NaN"},
		{"the load goes off", []r{{0, 26, 0}, {1, 25, 8}, {2, 25.5, 0}, {3, 20, 0}}, "1 from 26 to 25"}, {"it rises", []r{{0, 26, 0}, {1, 27, 8}}, "-1 from 26 to 27"}, {"a row without a voltage", []r{{0, 26, 0}, {1, nan, 8}, {2, 25, 8}}, "1 from 26 to 25"},
		{"noise before the first load", []r{{0, 26, 0}, {1, 25.9, 0.1}, {2, 26, 0.1}, {3, 25, 8}}, "1 from 26 to 25"},
	} {
		if got := sagOf(x.rows...); got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
	// What coarse stamps leave open: the slope until the lowest times the uncertainty of the time between.
	w := newSagWatch()
	for _, a := range []instant{{t: 0, v: 26}, {t: 1, v: 25, i: 8, u: 0.3}, {t: 5, v: 24, i: 8, u: 0.4}} {
		w.add(&a)
	}
	w.close()
	near(t, "stamps", w.stamps, 0.25*0.5, 1e-12)
}

// stepsOf runs rows of time, voltage and current, an open edge where the current changes by more than 1 A, through the watch for steps.
func stepsOf(rows ...[3]float64) *stepWatch {
	w := newStepWatch()
	for k := 1; k < len(rows); k++ {
		a, b := rows[k-1], rows[k]
		p := passage{a: instant{t: a[0], v: a[1], i: a[2]}, b: instant{t: b[0], v: b[1], i: b[2]}, at: 0.5}
		if k > 1 {
			p.before = &instant{t: rows[k-2][0], v: rows[k-2][1], i: rows[k-2][2]}
		}
		if math.Abs(b[2]-a[2]) > 1 {
			p.kind = openEdge
		}
		w.pass(&p)
	}
	return w
}

func TestStepsAtTheirLimits(t *testing.T) {
	type r = [3]float64
	known := spec{known: true}
	for _, x := range []struct {
		name string
		rows []r
		want string // resistance, settling time, kind, steps and refused ones
		why  string
	}{
		{"plain", []r{{0, 26.001, 0}, {1, 25.2, 8}, {2, 25, 8}, {3, 24.801, 8}}, "0.15 3 rise of the load 1 0", ""},
		{"ten seconds at the most", []r{{0, 26.001, 0}, {1, 25.2, 8}, {10, 25.001, 8}, {11, 20, 8}}, "0.125 10 rise of the load 1 0", ""}, {"one second at the least", []r{{0, 26.001, 0}, {0.5, 25.2, 8}, {1, 25.001, 8}}, "0.125 1 rise of the load 1 0", ""},
		{"less than a second", []r{{0, 26.001, 0}, {0.5, 25.2, 8}, {0.99, 25.001, 8}}, "NaN NaN  0 1", "No current step is followed by a second of steady current."}, {"too far apart", []r{{0, 26.001, 0}, {1, 25.2, 8}, {10.1, 25.001, 8}}, "NaN NaN  0 1", "The samples are too far apart: none falls between 1 s and 10 s after a current step."},
		{"the current moves by a tenth of the step", []r{{0, 26.001, 0}, {1, 25.2, 8}, {2, 25.001, 8.79}, {3, 20, 8.81}}, "0.1138 2 rise of the load 1 0", ""}, {"by more", []r{{0, 26.001, 0}, {1, 25.2, 8}, {2, 25.001, 8.81}}, "NaN NaN  0 1", "The samples are too far apart: none falls between 1 s and 10 s after a current step."},
		{"it comes back after it moved", []r{{0, 26.001, 0}, {1, 25.2, 8}, {2, 25.001, 8.81}, {3, 25.001, 8}}, "NaN NaN  0 1", ""},
		{"too near the last digit", []r{{0, 26.1, 0}, {1, 26, 8}, {2, 25.9, 8}}, "NaN NaN  0 1", "The voltage changes at the current steps are too near its last digit."}, {"three of them", []r{{0, 26.1, 0}, {1, 26, 8}, {2, 25.8, 8}}, "0.0375 2 rise of the load 1 0", ""},
		{"the wrong way", []r{{0, 26.001, 0}, {1, 26.5, 8}, {2, 27, 8}}, "NaN NaN  0 1", "The voltage moves the wrong way at the current steps; the rows may be out of step."},
		{"none", []r{{0, 26, 8}, {1, 26, 8}}, "NaN NaN  0 0", "The current has no step between two steady values."},
		{"the load goes off", []r{{0, 25.001, 8}, {1, 25.8, 0}, {2, 26.001, 0}}, "0.125 2 fall of the current 1 0", ""}, {"a charge", []r{{0, 26.001, 0}, {1, 26.8, -8}, {2, 27.001, -8}}, "0.125 2 rise of the charge current 1 0", ""}, {"a load, a charge and a fall", []r{{0, 26.001, 0}, {1, 25.2, 8}, {2, 25.001, 8}, {3, 26, 0}, {4, 26.001, 0}, {5, 27, -8}, {6, 27.001, -8}}, "0.125 2 rise of the load 1 0", ""},
		{"the voltage first", []r{{0, 26.001, 0}, {1, 25.5, 0}, {2, 25.2, 8}, {3, 25.001, 8}}, "0.125 2 rise of the load 1 0", ""}, {"by a fifth of the fall", []r{{0, 26.001, 0}, {1, 25.839, 0}, {2, 25.201, 8}, {3, 25.001, 8}}, "0.125 2 rise of the load 1 0", ""}, {"by less", []r{{0, 26.001, 0}, {1, 25.843, 0}, {2, 25.201, 8}, {3, 25.001, 8}}, "0.1052 2 rise of the load 1 0", ""},
		{"the other way before it", []r{{0, 26.001, 0}, {1, 26.801, 0}, {2, 25.201, 8}, {3, 25.001, 8}}, "0.225 2 rise of the load 1 0", ""}, {"longer ago", []r{{-10, 27, 0}, {1, 26.001, 0}, {2, 25.2, 8}, {3, 25.001, 8}}, "0.125 2 rise of the load 1 0", ""}, {"just so long ago", []r{{-9, 27.001, 0}, {1, 26.001, 0}, {2, 25.2, 8}, {3, 25.001, 8}}, "0.25 2 rise of the load 1 0", ""},
		{"two: the median", []r{{0, 26.001, 0}, {1, 25.2, 8}, {2, 25.001, 8}, {3, 26, 0}, {4, 26.001, 0}, {5, 24.8, 8}, {7, 24.601, 8}}, "0.15 2.5 rise of the load 2 0", ""},
		{"no voltage at the edge", []r{{0, math.NaN(), 0}, {1, 25.2, 8}, {2, 25.001, 8}}, "NaN NaN  0 0", "The current has no step between two steady values."},
	} {
		w := stepsOf(x.rows...)
		res := w.result(known, known)
		if got := fmt.Sprintf("%.4g %.4g %s %d %d", float64(res.Value), float64(res.Settle), res.Kind, res.Steps, res.Refused); got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
		if x.why != "" && w.whyNone() != x.why {
			t.Errorf("%s: %q", x.name, w.whyNone())
		}
	}
	// Which reason is told where there are several: the one of most steps, and of as many the first in the order of the list.
	words := map[string]string{"slow": "The samples are too far apart", "held": "No current step is followed", "small": "The voltage changes at the current steps are too near", "wrong": "The voltage moves the wrong way"}
	for _, x := range []struct {
		slow, held, small, wrong int
		want                     string
	}{
		{1, 1, 1, 1, "slow"}, {0, 1, 1, 1, "held"}, {0, 0, 1, 1, "small"}, {0, 0, 0, 1, "wrong"}, {1, 2, 1, 1, "held"}, {1, 1, 2, 1, "small"}, {1, 1, 1, 2, "wrong"}, {1, 2, 2, 2, "held"}, {2, 2, 3, 3, "small"}, {2, 2, 1, 3, "wrong"}, {3, 2, 2, 2, "slow"}, {2, 1, 3, 1, "small"}, {2, 1, 1, 3, "wrong"}, {0, 1, 2, 0, "small"}, {0, 1, 0, 2, "wrong"}, {1, 0, 1, 0, "slow"}, {1, 0, 0, 1, "slow"}, {1, 1, 0, 0, "slow"},
	} {
		w := stepWatch{refused: x.slow + x.held + x.small + x.wrong, tooSlow: x.slow, notHeld: x.held, tooSmall: x.small, wrongWay: x.wrong}
		if got := w.whyNone(); !strings.HasPrefix(got, words[x.want]) {
			t.Errorf("%+v: %q", x, got)
		}
	}
	// Its uncertainty: the instruments at the mean fall and the mean step, the scatter of the median, and what coarse stamps leave.
	volts, amps := spec{resolution: 0.01, known: true}, spec{resolution: 0.1, known: true}
	one := stepsOf(r{0, 26.001, 0}, r{1, 25.2, 8}, r{2, 25.001, 8}).result(volts, amps)
	digits := math.Sqrt2 / math.Sqrt(12)
	near(t, "u of one", float64(one.U), 0.125*math.Hypot(digits*0.01/1, digits*0.1/8), 1e-12)
	near(t, "scatter of one", float64(one.Scatter), 0, 0)
	two := stepsOf(r{0, 26.001, 0}, r{1, 25.2, 8}, r{2, 25.001, 8}, r{3, 26, 0}, r{4, 26.001, 0}, r{5, 24.8, 4}, r{7, 24.801, 4}).result(volts, amps)
	near(t, "two", float64(two.Value), (0.125+0.3)/2, 1e-12)
	near(t, "scatter of two", float64(two.Scatter), math.Sqrt(math.Pi/2)*(0.175/math.Sqrt2)/math.Sqrt2, 1e-12)
	near(t, "u of two", float64(two.U), math.Hypot(float64(two.Scatter), 0.2125*math.Hypot(digits*0.01/1.1, digits*0.1/6)), 1e-12)
	higher := stepsOf(r{0, 25.601, 2}, r{1, 25.2, 8}, r{2, 25.001, 8}).result(volts, amps)
	near(t, "u of a step from another load", float64(higher.U), 0.1*math.Hypot(digits*0.01/0.6, digits*0.1/6), 1e-12)
	w := newStepWatch()
	a, b, c := instant{t: 0, v: 26}, instant{t: 1, v: 25.5, i: 8, u: 0.3}, instant{t: 3, v: 25.1, i: 8, u: 0.4}
	w.pass(&passage{a: a, b: b, at: 0.5, kind: openEdge})
	w.pass(&passage{before: &a, a: b, b: c, at: 0.5})
	near(t, "u of coarse stamps", float64(w.result(known, known).U), 0.2*0.5/8, 1e-12)
	if x := w.result(known, known).Listed[0]; x.At != 0 || x.Before != 0 || x.After != 8 || x.Settle != 3 {
		t.Errorf("listed %+v", x)
	}
}

// TestStepsAreListedUpToABound: beyond it they are only counted.
func TestStepsAreListedUpToABound(t *testing.T) {
	for n, want := range map[int]int{999: 999, 1000: 1000, 1002: 1000} {
		var k stepKind
		for range n {
			k.add(ResistanceStep{Before: 2, After: 8, Resistance: 0.1, Settle: 3}, -0.6, 0.2)
		}
		if k.count != n || len(k.listed) != want || len(k.resistances) != want || len(k.settlingTimes) != want {
			t.Errorf("%d steps: %d counted, %d listed", n, k.count, len(k.listed))
		}
		near(t, "steps", k.sumOfSteps, 6*float64(want), 1e-6)
		near(t, "drops", k.sumOfDrops, 0.6*float64(want), 1e-6)
		near(t, "times", k.varTimes, 0.04*float64(want), 1e-6)
	}
}
