package battery

import (
	"testing"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
)

// What an estimate has learned is the same where it is recalled, and goes on learning as if it had not been laid aside; what is of another size is refused.
func TestKeptIsRecalled(t *testing.T) {
	short := plainNMC
	short.longest, short.end, short.every = 2000, 0, 60
	log := short.log(t, "short")
	cal := learned(t, "nmc", ampereHours(5), 0.03, log)
	e, err := Typical(chemistry(t, "nmc"), ampereHours(5))
	if err != nil {
		t.Fatal(err)
	}
	kept := cal.After.Kept()
	again, err := e.Recall(kept, log)
	if err != nil {
		t.Fatal(err)
	}
	if !mat.Equal(again.cov, cal.After.cov) || again.stated != cal.After.stated || len(again.Logs()) != 1 || again.Cell().Capacity != cal.After.Cell().Capacity {
		t.Errorf("%v, %v", again.stated, again.Logs())
	}
	for i := range kept.Values {
		if again.xi[i] != cal.After.xi[i] {
			t.Errorf("unknown %d: %g, and was %g", i, again.xi[i], cal.After.xi[i])
		}
	}
	kept.Values[places.capacity]++ // what was given away is its own
	if again, err = e.Recall(cal.After.Kept()); err != nil || again.xi[places.capacity] != cal.After.xi[places.capacity] || kept.Values[places.capacity] == again.xi[places.capacity] || len(again.Logs()) != 0 {
		t.Errorf("%v, %v", again, err)
	}
	for _, bad := range []Kept{{}, {Values: kept.Values}, {Covariance: kept.Covariance}, {Values: kept.Values[1:], Covariance: kept.Covariance}, {Values: kept.Values, Covariance: kept.Covariance[1:]}} {
		if _, err := e.Recall(bad); err == nil {
			t.Errorf("%d values and %d of their covariance are recalled", len(bad.Values), len(bad.Covariance))
		}
	}
	if e.Kept().Stated.Known() || cal.After.Kept().Stated.Value != quantity.Ohms(0.03) {
		t.Error("which resistance was stated")
	}
}
