package quantity

import (
	"math"
	"testing"
)

func TestOptional(t *testing.T) {
	var unset Optional[float64]
	for name, tt := range map[string]struct {
		is    Optional[float64]
		known bool
		value float64
		why   string
	}{
		"nobody filled it in":   {unset, false, 7, "It is not known."},
		"a zero that is known":  {Some(0.0), true, 0, ""},
		"a value":               {Some(3.0), true, 3, ""},
		"none, and why":         {None[float64]("There is no log."), false, 7, "There is no log."},
		"none, nobody says why": {None[float64](""), false, 7, "It is not known."},
	} {
		if v, ok := tt.is.Get(); tt.is.Known() != tt.known || ok != tt.known || tt.known && v != tt.value || tt.is.Or(7) != tt.value || tt.is.Why() != tt.why {
			t.Errorf("%s: %v %v, %q", name, v, ok, tt.is.Why())
		}
	}
}

func TestMeasuredOrZero(t *testing.T) {
	for _, tt := range []struct {
		m    Measured[Volts]
		want Volts
	}{{Exact(Volts(3)), 3}, {Of(Volts(-2), Volts(1)), -2}, {Unsure(Volts(5)), 5}, {Missing[Volts](), 0}, {Measured[Volts]{}, 0}, {Exact(Volts(math.NaN())), 0}, {Exact(Volts(math.Inf(1))), 0}} {
		if got := tt.m.OrZero(); got != tt.want {
			t.Errorf("%+v: %v, want %v", tt.m, got, tt.want)
		}
	}
}

func TestMeasuredOrWhy(t *testing.T) {
	for name, tt := range map[string]struct {
		m    Measured[Volts]
		why  string
		want string
	}{
		"known":                   {Exact(Volts(24)), "", ""},
		"known, whatever is said": {Exact(Volts(24)), "There is no log.", ""},
		"a zero that is known":    {Exact(Volts(0)), "", ""},
		"not known":               {Missing[Volts](), "", "It is not known."},
		"not known, and why":      {Missing[Volts](), "There is no log.", "There is no log."},
	} {
		if got := tt.m.OrWhy(tt.why); got.Why() != tt.want || got.Known() && got.Or(Quantity{}).Value != float64(tt.m.Value) {
			t.Errorf("%s: %q, want %q", name, got.Why(), tt.want)
		}
	}
}
