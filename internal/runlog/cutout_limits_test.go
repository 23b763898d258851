package runlog

import (
	"fmt"
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// watched runs rows of time, voltage and current through the watch for a cutout, an open edge where the current changes by more than 1 A.
func watched(w *cutoutWatch, rows ...[3]float64) *CutoutEvent {
	for k, r := range rows {
		b := instant{t: r[0], v: r[1], i: r[2]}
		if k == 0 {
			w.begin(&b)
			continue
		}
		a := instant{t: rows[k-1][0], v: rows[k-1][1], i: rows[k-1][2]}
		p := passage{a: a, b: b, at: 0.5}
		if math.Abs(b.i-a.i) > 1 {
			p.kind, p.loose = openEdge, p.length()/2
		}
		w.pass(&p)
	}
	return w.result(rows[0][0], spec{})
}

// When an opening stands in a slow fall it is known to half the interval, and so it is at an edge that is left open.
func TestWhenItOpened(t *testing.T) {
	o := NewOptions()
	o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(20)), Threshold: quantity.Missing[quantity.Volts]()}
	for _, amps := range []float64{0.9, 20} {
		w := newCutoutWatch(&o, spec{})
		watched(w, [3]float64{0, 25, amps}, [3]float64{1, 20, amps}, [3]float64{4, 21, 0}, [3]float64{12, 21, 0})
		if w.event == nil || w.event.t != 2.5 || w.event.loose != 1.5 {
			t.Errorf("%g A: %+v", amps, w.event)
		}
	}
}

// TestOpeningsAtTheirLimits: a load of 20 A that goes off. What is stated of the cutout is 20 V; of each rule a pair just inside and just
// outside. After the opening come six seconds of rest at 21 V.
func TestOpeningsAtTheirLimits(t *testing.T) {
	type r = [3]float64
	rest := []r{{10, 21, 0}, {12, 21, 0}, {16, 21, 0}}
	with := func(rows ...r) []r { return append(rows, rest...) }
	none := "none"
	for _, x := range []struct {
		name   string
		stated bool
		rows   []r
		want   string
	}{
		{"plain", true, with(r{0, 25, 20}, r{1, 20, 20}), "20 V 20 A at 5.5, 1 openings, peak 21, watched 10.5"}, {"one per cent above", true, with(r{0, 25, 20}, r{1, 20.19, 20}), "20.19 V 20 A at 5.5, 1 openings, peak 21, watched 10.5"}, {"more above", true, with(r{0, 25, 20}, r{1, 20.21, 20}), none},
		{"a current of a fifth of the greatest", true, with(r{0, 25, 20}, r{1, 22, 1.2}, r{2, 22, 1.2}, r{3, 22, 1.2}, r{4, 20, 4.01}), "20 V 4.01 A at 7, 1 openings, peak 21, watched 9"}, {"less", true, with(r{0, 25, 20}, r{1, 22, 1.2}, r{2, 22, 1.2}, r{3, 22, 1.2}, r{4, 20, 3.99}), none},
		{"to a twentieth", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0.99}, {9, 21, 0}}, "20 V 20 A at 1.5, 1 openings, peak 21, watched 7.5"}, {"to more", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 1.01}, {9, 21, 1.01}}, none}, {"by way of a sample between", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 20.5, 9}, {3, 21, 0}, {9, 21, 0}}, "20 V 20 A at 2.5, 1 openings, peak 21, watched 6.5"},
		{"the lowest of the last three", true, with(r{0, 25, 20}, r{1, 19.9, 20}, r{2, 20.1, 20}, r{3, 20.1, 20}), "19.9 V 20 A at 6.5, 1 openings, peak 21, watched 9.5"}, {"and not of four", true, with(r{0, 25, 20}, r{1, 19.8, 20}, r{2, 20.1, 20}, r{3, 20.05, 20}, r{4, 20.1, 20}), "20.05 V 20 A at 7, 1 openings, peak 21, watched 9"}, {"of half the current", true, with(r{0, 25, 20}, r{1, 20.1, 20}, r{2, 19.9, 10.1}), "19.9 V 10.1 A at 6, 1 openings, peak 21, watched 10"}, {"of less than half", true, with(r{0, 25, 20}, r{1, 20.1, 20}, r{2, 19.9, 9.9}), "20.1 V 20 A at 6, 1 openings, peak 21, watched 10"},
		{"the peak of the rebound", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {4, 22, 0}, {5, 21.5, 0}}, "20 V 20 A at 1.5, 1 openings, peak 22, watched 3.5"}, {"it is loaded again by a fifth", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {4, 22, 4.1}, {4.2, 22, 4.1}, {4.4, 22, 4.1}, {5, 23, 0}}, "20 V 20 A at 1.5, 1 openings, peak 21, watched 0.5"}, {"by less than that", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {4, 22, 3.9}, {5, 23, 0}}, "20 V 20 A at 1.5, 1 openings, peak 23, watched 3.5"},
		{"charge", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {4, 22, -1.01}, {5, 23, 0}}, "20 V 20 A at 1.5, 1 openings, peak 21, watched 0.5"}, {"a breath of it", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {4, 22, -0.99}, {5, 23, 0}}, "20 V 20 A at 1.5, 1 openings, peak 23, watched 3.5"},
		{"it opens twice", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {4, 19.9, 20}, {5, 22, 0}}, "20 V 20 A at 1.5, 2 openings, peak 21, watched 0.5"}, {"behind it", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 9.99, 0}, {4, 9.99, 0}}, "20 V 20 A at 1.5, 1 openings, behind"}, {"half of it is left", true, []r{{0, 25, 20}, {1, 20, 20}, {2, 10, 0}, {4, 10, 0}}, "20 V 20 A at 1.5, 1 openings, peak 10, watched 2.5"},
		{"no load before", true, with(r{0, 25, 0}, r{1, 20, 0}), none}, {"a charge goes off", true, with(r{0, 20, -20}, r{1, 20, -20}), none},

		{"not stated", false, with(r{0, 25, 20}, r{1, 20, 20}), "20 V 20 A at 5.5, 1 openings, peak 21, watched 10.5"}, {"three per cent below the first", false, with(r{0, 20.63, 20}, r{1, 20, 20}), "20 V 20 A at 5.5, 1 openings, peak 21, watched 10.5"}, {"less", false, with(r{0, 20.61, 20}, r{1, 20, 20}), none}, {"one per cent above the lowest", false, with(r{0, 25, 20}, r{1, 19.81, 20}, r{2, 20, 20}, r{3, 20, 20}, r{4, 20, 20}), "20 V 20 A at 7, 1 openings, peak 21, watched 9"}, {"more above it", false, with(r{0, 25, 20}, r{1, 19.79, 20}, r{2, 20, 20}, r{3, 20, 20}, r{4, 20, 20}), none},
		{"five seconds", false, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {6.5, 21, 0}}, "20 V 20 A at 1.5, 1 openings, peak 21, watched 5"}, {"fewer", false, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {6.4, 21, 0}}, none}, {"a rebound of one per cent", false, []r{{0, 25, 20}, {1, 20, 20}, {2, 20.21, 0}, {9, 20.21, 0}}, "20 V 20 A at 1.5, 1 openings, peak 20.21, watched 7.5"}, {"of less", false, []r{{0, 25, 20}, {1, 20, 20}, {2, 20.19, 0}, {9, 20.19, 0}}, none}, {"it was only switched off", false, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {9, 21, 0}, {10, 20, 20}}, none}, {"and then it went off for good", false, []r{{0, 25, 20}, {1, 20, 20}, {2, 21, 0}, {9, 21, 0}, {10, 19, 20}, {11, 21, 0}, {19, 21, 0}}, "19 V 20 A at 10.5, 1 openings, peak 21, watched 8.5"}, {"behind it, not stated", false, []r{{0, 25, 20}, {1, 20, 20}, {2, 0, 0}, {9, 0, 0}}, "20 V 20 A at 1.5, 1 openings, behind"},
	} {
		o := NewOptions()
		if x.stated {
			o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(20)), Threshold: quantity.Missing[quantity.Volts]()}
		}
		w := newCutoutWatch(&o, spec{})
		e := watched(w, x.rows...)
		got := none
		if e != nil {
			got = fmt.Sprintf("%.4g V %.4g A at %.4g, %d openings, ", float64(e.OpenedVoltage.Value), float64(e.Current.Value), float64(e.OpenedAt.Value), e.Openings)
			if e.Rebound.Peak.Known() {
				got += fmt.Sprintf("peak %.4g, watched %.4g", float64(e.Rebound.Peak.Value), float64(e.Rebound.Watched))
			} else {
				got += "behind"
			}
			if e.Inferred == x.stated {
				t.Errorf("%s: inferred %t", x.name, e.Inferred)
			}
		}
		if got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
	// An opening voltage and a meter that are not sure of themselves reach as far as twice what they are not sure of.
	for _, x := range []struct {
		u, meter, v float64
		want        bool
	}{{0, 0, 20.2, true}, {0, 0, 20.21, false}, {0.2, 0, 20.39, true}, {0.2, 0, 20.41, false}, {0, 0.3, 20.59, true}, {0, 0.3, 20.61, false}} {
		o := NewOptions()
		o.Cutout = &Cutout{Opens: quantity.Of[quantity.Volts](20, quantity.Volts(x.u))}
		w := newCutoutWatch(&o, spec{resolution: x.meter * math.Sqrt(12), known: true})
		if got := w.atOpening(x.v); got != x.want {
			t.Errorf("%+v: %t", x, got)
		}
	}
	// A peak in the last twentieth of what was watched is still rising, where it is above the first.
	for _, x := range []struct {
		peak, end, first float64
		want             bool
	}{{9.51, 10, 21, true}, {9.49, 10, 21, false}, {10, 10, 22, false}} {
		o := NewOptions()
		o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(20))}
		w := newCutoutWatch(&o, spec{})
		w.event = &opening{last: instant{v: 20, i: 8}, first: instant{v: x.first}, peak: 22, peakT: x.peak, end: x.end}
		if e := w.result(0, spec{}); e.Rebound.StillRising != x.want {
			t.Errorf("%+v: %t", x, e.Rebound.StillRising)
		}
	}
	// Why there was none.
	for _, x := range []struct {
		stated bool
		rows   []r
		want   string
	}{
		{true, []r{{0, 25, 0}, {1, 25, -5}}, noDischarge}, {true, []r{{0, 25, 20}, {1, 22, 20}}, "The log ends under load at its lowest voltage, so no opening is seen."}, {true, []r{{0, 25, 20}, {1, 20, 20}, {2, 20.19, 20}}, "The log ends under load at its lowest voltage, so no opening is seen."}, {true, []r{{0, 25, 20}, {1, 20, 20}, {2, 20.21, 20}}, "The log ends under load, so no opening is seen."}, {true, []r{{0, 25, 20}, {1, 22, 1.01}}, "The log ends under load at its lowest voltage, so no opening is seen."},
		{true, []r{{0, 25, 20}, {1, 22, 0.99}}, "The load was never cut off at or below the voltage at which the cutout opens."}, {false, []r{{0, 25, 20}, {1, 25, 0}}, "The load was not cut off at the lowest voltage of the run."},
	} {
		o := NewOptions()
		if x.stated {
			o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(10))}
		}
		w := newCutoutWatch(&o, spec{})
		watched(w, x.rows...)
		if got := w.whyNone(); got != x.want {
			t.Errorf("%v: %q, want %q", x.rows, got, x.want)
		}
	}
}

// TestOpeningsAcrossGaps: an opening may fall into a gap; not where the clock started again, as nobody knows what was between.
func TestOpeningsAcrossGaps(t *testing.T) {
	for _, anew := range []bool{false, true} {
		o := NewOptions()
		o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(20))}
		w := newCutoutWatch(&o, spec{})
		a, b, c := instant{t: 0, v: 25, i: 20}, instant{t: 1, v: 20, i: 20}, instant{t: 100, v: 21, restart: anew}
		w.begin(&a)
		w.pass(&passage{a: a, b: b, at: 0.5})
		w.pass(&passage{before: &a, a: b, b: c, at: 0.5, kind: gap})
		if e := w.result(0, spec{}); (e != nil) == anew {
			t.Errorf("anew %t: %+v", anew, e)
		}
	}
	// A gap ends what is watched of a rebound.
	o := NewOptions()
	o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(20))}
	w := newCutoutWatch(&o, spec{})
	rows := []instant{{t: 0, v: 25, i: 20}, {t: 1, v: 20, i: 20}, {t: 2, v: 21}, {t: 3, v: 21.5}, {t: 90, v: 23}, {t: 91, v: 24}}
	w.begin(&rows[0])
	for k := 1; k < len(rows); k++ {
		p := passage{a: rows[k-1], b: rows[k], at: 0.5}
		if k == 2 {
			p.kind = openEdge
		} else if k == 4 {
			p.kind = gap
		}
		w.pass(&p)
	}
	if e := w.result(0.25, spec{}); e == nil || e.OpenedAt.Value != 1.25 || e.Rebound.TimeToPeak.Value != 1.5 { // since the first sample
		t.Errorf("%+v", e)
	}
	if e := w.result(0, spec{}); e == nil || e.Rebound.Peak.Value != 21.5 || float64(e.Rebound.Watched) != 1.5 {
		t.Errorf("%+v", e)
	}
}
