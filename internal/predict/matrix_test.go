package predict

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// Of n runs: n alone, n(n−1)/2 pairs up to five, n with one left out; each once, none of all or of no run.
func TestChoices(t *testing.T) {
	for n, want := range map[int]int{0: 0, 1: 0, 2: 2, 3: 6, 4: 14, 5: 20, 6: 12, 12: 24} {
		got := choices(n)
		if len(got) != want {
			t.Errorf("%d runs: %d choices, not %d: %v", n, len(got), want, got)
		}
		for i, a := range got {
			if len(a) == 0 || len(a) >= n {
				t.Errorf("%d runs: %v", n, a)
			}
			for _, b := range got[:i] {
				if reflect.DeepEqual(a, b) {
					t.Errorf("%d runs: %v twice", n, a)
				}
			}
		}
	}
}

// A run that is only checked leaves what is learned as if it had never been made, and is predicted by that.
func TestOnlyChecked(t *testing.T) {
	b := bank(t, nil)
	slow, quick := trial(t, b, "slow", 4), trial(t, b, "quick", 12)
	alone := Compute(b, []Run{slow}, Options{})
	quick.OnlyChecked = true
	a := Compute(b, []Run{slow, quick}, Options{})
	if !reflect.DeepEqual(a.Basis.Values, alone.Basis.Values) || !a.Basis.Runs[0].Taught {
		t.Errorf("learned %v with the other run, %v without", a.Basis.Values, alone.Basis.Values)
	}
	l := a.Basis.Runs[1]
	if l.Taught || !l.Checked || !strings.HasPrefix(l.Why, "Not taught: left out by taught-by. ") {
		t.Errorf("%+v", l)
	}
	if c := a.Validations[1]; len(c.Checks) == 0 || len(c.CalibratedOn) != 1 || c.CalibratedOn[0] != slow.ID {
		t.Errorf("%+v", c)
	}
}

// All but one of the matrix are the checks with each run left out, whichever runs were chosen to teach.
func TestMatrix(t *testing.T) {
	b := bank(t, nil)
	runs := []Run{trial(t, b, "slow", 4), trial(t, b, "quick", 12), trial(t, b, "middling", 8)}
	a := Compute(b, runs, Options{})
	runs[1].OnlyChecked = true
	var total, done int64
	m := ComputeMatrix(b, runs, Options{}, func(n int64) func(int64) {
		total = n
		return func(n int64) { done += n }
	})
	if total != 6 || done != 6 || len(m.Checks) != 9 || m.Why != "" {
		t.Fatalf("%d of %d told, %d checks: %s", done, total, len(m.Checks), m.Why)
	}
	if m.Level != a.EndsAt() || m.Volts != b.Cutout.Opens {
		t.Errorf("at %s, %v", m.Level, m.Volts)
	}
	same := 0
	for _, c := range m.Checks {
		for _, by := range c.CalibratedOn {
			if by == c.Run {
				t.Errorf("%s was predicted by itself", by)
			}
		}
		got, ok := m.CheckAt(c)
		if !ok {
			t.Errorf("%s did not come down to the cutout", c.Run)
		}
		for _, v := range a.Validations {
			want, _ := m.CheckAt(v)
			if v.Run == c.Run && len(c.CalibratedOn) == 2 {
				same++
				if math.Abs(float64(got.Predicted.Value-want.Predicted.Value)) > 0.002*float64(want.Predicted.Value) || math.Abs(float64(got.Predicted.U/want.Predicted.U)-1) > 0.05 {
					t.Errorf("%s: %s, left out %s", c.Run, got.Words(), want.Words())
				}
			}
		}
	}
	if same != 3 {
		t.Errorf("%d of 3 compared", same)
	}
	if none := ComputeMatrix(b, runs[:1], Options{}, nil); none.Why == "" || len(none.Checks) > 0 {
		t.Errorf("of one run: %+v", none)
	}
}

// The bounds are rounded as what stands after ± is (JCGM 100:2008, 7.2.6): 47 min ± 6.6 min ends at 7.
func TestBoundedTime(t *testing.T) {
	for want, m := range map[string]quantity.Measured[quantity.Seconds]{
		"about 47 min, 41 to 54":                     quantity.Of(quantity.Seconds(47.3*60), quantity.Seconds(3.2*60)),
		"about 3 h 43 min, 2 h 57 min to 4 h 29 min": quantity.Of(quantity.Seconds(223*60), quantity.Seconds(23*60)),
		"about 47 min":                               quantity.Unsure(quantity.Seconds(47 * 60)),
	} {
		if got := BoundedTime(m); got != want {
			t.Errorf("%s, not %s; with ±: %s", got, want, TimeWords(m))
		}
	}
}
