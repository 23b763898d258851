package battery

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// TestLabelAgainstCounting: the law of the label's error written out: exp(s·x) within two standard deviations, beyond them times exp(0.35·(x − 2)³) as
// well, and nothing beyond four (our own choice of figures); there and back.
func TestLabelAgainstCounting(t *testing.T) {
	tp, err := newTypical(chemistry(t, "nmc"), quantity.Of[quantity.AmpereHours](10, 0.5))
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ xi, want float64 }{{0, 10}, {1, 10 * math.Exp(0.05)}, {2, 10 * math.Exp(0.1)}, {-2, 10 * math.Exp(-0.1)}, {3, 10 * math.Exp(0.15+0.35)}, {-3, 10 * math.Exp(-0.15-0.35)}, {4, 10 * math.Exp(0.2+0.35*8)}, {5, 10 * math.Exp(0.2+0.35*8)}, {-9, 10 * math.Exp(-0.2-0.35*8)}} {
		close1(t, "capacity", tp.capacity(x.xi), x.want, 1e-12)
		if math.Abs(x.xi) <= 4 {
			close1(t, "and back", 10+tp.unknownOf(x.want), 10+x.xi, 1e-9)
		}
	}
	// What a log counts: charge out since it was fullest, less what went in after; by hand.
	nan := math.NaN()
	l := NewLog("a", 7, []float64{0, 3600, 7200, 7200, 10800, 14400, 18000}, []float64{2, 2, 2, nan, -4, -4, 6}, []float64{28, 27, 26, 26, 29, 29, 22}, nil)
	// 2, 4 Ah out; then (2 − 4)/2 = −1, −4: 3, −1; then +1: 0, of which the fullest is −1.
	out, low := l.counted(3.2)
	close1(t, "counted", out, 4, 1e-12)
	if !low {
		t.Error("22 V of seven cells under load are 3.14 V")
	}
	if _, low = l.counted(3.1); low {
		t.Error("and not below 3.1 V")
	}
	l.Drawn = quantity.Exact(quantity.AmpereHours(1.5))
	if out, _ = l.counted(0); math.Abs(out-5.5) > 1e-12 {
		t.Errorf("with 1.5 Ah drawn before: %v", out)
	}
	l = NewLog("b", 1, []float64{0, 3600, 7200}, []float64{-2, -2, 6}, []float64{4, 4, 2}, nil)
	if out, _ = l.counted(0); math.Abs(out-2) > 1e-12 { // −2, then (−2 + 6)/2 = 2 from there
		t.Errorf("since it was fullest: %v", out)
	}
	// More than the label is what it is at the least; less than half of it only where the log runs down.
	log := func(ah, volts float64) Log {
		return NewLog("c", 1, []float64{0, 3600}, []float64{ah, ah}, []float64{4, volts}, nil)
	}
	floor := float64(chemistry(t, "nmc").ConservativeFloor())
	for _, x := range []struct{ ah, volts, want float64 }{{12, 3.5, 12}, {9, 3.5, 10}, {4.9, floor * 1.04, 4.9}, {4.9, floor * 1.06, 10}, {5.1, floor * 1.04, 10}} {
		close1(t, "starts from", tp.counted([]Log{log(x.ah, x.volts)}), x.want, 1e-12)
	}
	close1(t, "of two the more", tp.counted([]Log{log(11, 3.5), log(13, 3.5)}), 13, 1e-12)
	close1(t, "of none the label", tp.counted(nil), 10, 0)
}
