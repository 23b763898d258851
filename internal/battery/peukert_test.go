package battery

import (
	"errors"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// Reference values, section 7: 100 Ah at 20 h (computed there from the form with
// the rated hours).
func TestPeukertRatedHours(t *testing.T) {
	for _, tt := range []struct{ k, amps, hours, ah, tolerance float64 }{
		{1.1, 5, 20, 100, 5e-5}, {1.1, 10, 9.3303, 93.30, 5e-5}, {1.1, 20, 4.3528, 87.06, 5e-5}, {1.1, 50, 1.5887, 79.43, 5e-5}, {1.1, 100, 0.7411, 74.11, 5e-5},
		{1.2, 5, 20, 100, 5e-5}, {1.2, 10, 8.7055, 87.06, 5e-5}, {1.2, 20, 3.7893, 75.79, 5e-5}, {1.2, 50, 1.2619, 63.10, 5e-5}, {1.2, 100, 0.5493, 54.93, 5e-5},
	} {
		p := Peukert{Exponent: tt.k, Capacity: 100, Rated: 20 * 3600}
		i := quantity.Amperes(tt.amps)
		if h := float64(p.RunTime(i)) / 3600; math.Abs(h-tt.hours) > tt.tolerance {
			t.Errorf("k %g, %g A: %.5f h, want %g h", tt.k, tt.amps, h, tt.hours)
		}
		if ah := float64(p.Delivered(i)); math.Abs(ah-tt.ah) > 0.006 {
			t.Errorf("k %g, %g A: %.3f Ah, want %g Ah", tt.k, tt.amps, ah, tt.ah)
		}
	}
	// Below the rated current the law would promise more than the rated capacity.
	if q := (Peukert{Exponent: 1.2, Capacity: 100, Rated: 20 * 3600}).Delivered(1); q != 100 {
		t.Errorf("at a fifth of the rated current: %v", q)
	}
}

// electrotechnik.net (2010/01) prints 14.5 h for 100 Ah, k 1.2 and 5 A: the plain
// form with the rated capacity in the place of the capacity at one ampere.
func TestPeukertPlain(t *testing.T) {
	if h := float64(PeukertPlain(100, 5, 1.2)) / 3600; math.Abs(h-14.4956) > 5e-5 {
		t.Errorf("%.5f h, want 14.4956 h", h)
	}
}

// Xantrex Link 2000 manual, pages 26 and 27: reserve minutes at 25 A and 20 h
// capacity, the exponent printed to two places. Two misprinted rows are left out
// (reference values, section 7).
func TestPeukertFromTwoRatings(t *testing.T) {
	for _, tt := range []struct {
		name           string
		minutes, ah, k float64
	}{
		{"8GGC", 375, 180, 1.14}, {"8GU24", 130, 70, 1.13}, {"8GU27", 167, 86, 1.12}, {"8GU30H", 188, 95, 1.12}, {"84D", 388, 180, 1.11}, {"8G8D", 500, 225, 1.10},
		{"T-105", 447, 225, 1.24}, {"T-125", 488, 235, 1.19}, {"T-145", 530, 244, 1.14}, {"J250", 535, 250, 1.17}, {"J305", 660, 305, 1.21}, {"L16", 760, 350, 1.28},
		{"24TM", 135, 85, 1.23}, {"30XHS", 225, 130, 1.24}, {"SCS225", 225, 130, 1.24}, {"EV8D", 450, 216, 1.17},
	} {
		k, err := PeukertFromTwo(20*3600, quantity.Amperes(tt.ah/20), quantity.Seconds(60*tt.minutes), 25)
		if err != nil || math.Abs(k-tt.k) > 0.0051 {
			t.Errorf("%s: %.4f (%v), printed %.2f", tt.name, k, err, tt.k)
		}
	}
	// 8GU1: 140 min for 43 Ah is a misprint and gives 0.8757.
	_, err := PeukertFromTwo(20*3600, 43.0/20, 140*60, 25)
	if e, ok := errors.AsType[*ExponentError](err); !ok || math.Abs(e.Exponent-0.8757) > 5e-5 {
		t.Errorf("the misprinted row: %v", err)
	}
}

// The measured runs of one 17 Ah battery, in the order they were made: mean
// current and hours under load as stated in the data set's SOURCE.md, from the
// logs themselves. The least-squares exponent is 0.95 (stated there: 0.9527); it
// is refused, and the message says that the capacity fell from run to run.
func TestMeasuredLeadAcidIsRefused(t *testing.T) {
	files := []struct {
		name  string
		ah    float64 // SOURCE.md
		hours float64
	}{
		{"unit-a-2017-03-25", 19.7386, 6.486}, {"unit-a-2017-03-26", 19.8217, 7.811}, {"unit-a-2017-03-27", 19.6746, 9.652}, {"unit-a-2017-03-28", 19.2825, 12.554},
		{"unit-a-2017-03-30", 18.9685, 18.357}, {"unit-a-2017-03-31", 18.2943, 17.749}, {"unit-a-2017-04-02", 18.4538, 34.827},
	}
	var amps []quantity.Amperes
	var times []quantity.Seconds
	for _, f := range files {
		l := bboxxLog(t, f.name)
		var first, last, charge float64
		started := false
		for i := 1; i < len(l.Time); i++ {
			if l.Amperes[i] > 0.25 {
				if !started {
					first, started = l.Time[i], true
				} else {
					charge += (l.Amperes[i] + l.Amperes[i-1]) / 2 * (l.Time[i] - l.Time[i-1])
				}
				last = l.Time[i]
			}
		}
		if ah := charge / 3600; math.Abs(ah/f.ah-1) > 0.002 || math.Abs((last-first)/3600/f.hours-1) > 0.001 {
			t.Errorf("%s: %.4f Ah in %.3f h, stated %.4f Ah in %.3f h", f.name, ah, (last-first)/3600, f.ah, f.hours)
		}
		amps, times = append(amps, quantity.Amperes(charge/(last-first))), append(times, quantity.Seconds(last-first))
	}
	_, err := FitPeukert(amps, times)
	e, ok := errors.AsType[*ExponentError](err)
	if !ok || math.Abs(e.Exponent-0.9527) > 0.003 || !e.Faded {
		t.Fatalf("the fit: %v", err)
	}
	if !strings.Contains(err.Error(), "fell from run to run") || !strings.Contains(err.Error(), "below 1") {
		t.Errorf("the message: %v", err)
	}
	t.Log(err)
}

// A sound set: three discharges of a 40 Ah VRLA battery (data sheet: 37.2 Ah in
// 10 h, 34 Ah in 5 h, 24 Ah in 1 h, 40 Ah in 20 h). The exponent is not constant,
// so its uncertainty is large.
func TestFitPeukert(t *testing.T) {
	k, err := FitPeukert([]quantity.Amperes{2, 3.72, 6.8, 24}, []quantity.Seconds{72000, 36000, 18000, 3600})
	if err != nil || k.Value < 1.15 || k.Value > 1.25 || k.U < 0.005 {
		t.Errorf("%v ± %v, %v", k.Value, k.U, err)
	}
}
