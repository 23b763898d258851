package drive

import (
	"errors"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// deduced is a deduction from values by their places; k, r, i0: NaN where they are not known yet.
func deduced(k, r, i0 float64, given map[int]float64) *deduction {
	var x [plateCount]float64
	for i := range x {
		x[i] = math.NaN()
	}
	x[pRated] = 24
	for i, v := range given {
		x[i] = v
	}
	d := newDeduction(x)
	d.k, d.r, d.i0 = k, r, i0
	return d
}

func alike(a, b float64) bool {
	return math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b))
}

// One turn of each kind of step, by hand for a motor of 0.05 N·m/A, 0.2 Ω and 1 A at 24 V: at 21 A it turns at (24 − 4.2)/0.05 = 396 rad/s
// with 20 A · 0.05 = 1 N·m, so gives 396 W of 504; without a load it turns at 23.8/0.05 = 476 rad/s and held it draws 120 A and gives 5.95 N·m.
func TestStepsOfADeduction(t *testing.T) {
	const k, r, i0 = 0.05, 0.2, 1.0
	speed, noLoad, nan := 396*rpmPerRadian, 476*rpmPerRadian, math.NaN()
	for _, tt := range []struct {
		name       string
		d          *deduction
		step       func(*deduction)
		k, r, i0   float64
		rests, not []int
	}{
		{"a resistance", deduced(nan, nan, nan, map[int]float64{pResistance: r}), (*deduction).direct, nan, r, nan, []int{pRated, pResistance}, []int{pStallCurrent}},
		{"a stall current", deduced(nan, nan, nan, map[int]float64{pStallCurrent: 120}), (*deduction).direct, nan, r, nan, []int{pRated, pStallCurrent}, nil},
		{"what is known is left", deduced(k, r, i0, map[int]float64{pResistance: 9, pStallCurrent: 9, pConstant: 9, pNoLoadCurrent: 9, pStallTorque: 9}), (*deduction).direct, k, r, i0, nil, []int{pResistance, pStallCurrent, pConstant, pNoLoadCurrent, pStallTorque}},
		{"a stall torque", deduced(k, nan, i0, map[int]float64{pStallTorque: 5.95}), (*deduction).direct, k, r, i0, []int{pStallTorque}, nil},
		{"a stall torque alone", deduced(k, nan, nan, map[int]float64{pStallTorque: 5.95}), (*deduction).direct, k, nan, nan, nil, []int{pStallTorque}},
		{"constant by no load", deduced(nan, r, i0, map[int]float64{pNoLoadSpeed: noLoad}), (*deduction).byNoLoad, k, r, i0, []int{pNoLoadSpeed}, nil},
		{"current by no load", deduced(k, r, nan, map[int]float64{pNoLoadSpeed: noLoad}), (*deduction).byNoLoad, k, r, i0, []int{pNoLoadSpeed}, nil},
		{"resistance by no load", deduced(nan, nan, i0, map[int]float64{pNoLoadSpeed: noLoad, pStallTorque: 5.95}), (*deduction).byNoLoad, nan, r, i0, []int{pNoLoadSpeed, pStallTorque}, nil},
		{"all known", deduced(k, r, i0, map[int]float64{pNoLoadSpeed: 9}), (*deduction).byNoLoad, k, r, i0, nil, []int{pNoLoadSpeed}},
		{"too little for a current", deduced(nan, r, nan, map[int]float64{pNoLoadSpeed: noLoad}), (*deduction).byNoLoad, nan, r, nan, nil, []int{pNoLoadSpeed}},
		{"no such speed", deduced(nan, r, i0, nil), (*deduction).byNoLoad, nan, r, i0, nil, []int{pNoLoadSpeed}},
		{"resistance by the rating", deduced(nan, nan, i0, map[int]float64{pCurrent: 21, pPower: 396}), (*deduction).byRating, nan, r, i0, []int{pCurrent, pPower}, []int{pSpeed}},
		{"the same by efficiency", deduced(nan, nan, i0, map[int]float64{pEfficiency: 396. / 504, pPower: 396}), (*deduction).byRating, nan, r, i0, []int{pEfficiency, pPower}, []int{pCurrent}},
		{"constant by the rating", deduced(nan, r, nan, map[int]float64{pCurrent: 21, pSpeed: speed}), (*deduction).byRating, k, r, nan, []int{pCurrent, pSpeed}, nil},
		{"current by the rating", deduced(k, r, nan, map[int]float64{pCurrent: 21, pTorque: 1}), (*deduction).byRating, k, r, i0, []int{pCurrent, pTorque}, nil},
		{"two by speeds and torque", deduced(nan, nan, i0, map[int]float64{pSpeed: speed, pNoLoadSpeed: noLoad, pTorque: 1}), (*deduction).byRating, k, r, i0, []int{pSpeed, pNoLoadSpeed, pTorque}, nil},
		{"not where one is known", deduced(nan, r, i0, map[int]float64{pSpeed: speed, pNoLoadSpeed: noLoad, pTorque: 1}), (*deduction).byRating, nan, r, i0, nil, []int{pTorque}},
		{"nor the other", deduced(k, nan, i0, map[int]float64{pSpeed: speed, pNoLoadSpeed: noLoad, pTorque: 1}), (*deduction).byRating, k, nan, i0, nil, []int{pTorque}},
		{"all three", deduced(nan, nan, nan, map[int]float64{pSpeed: speed, pNoLoadSpeed: noLoad, pTorque: 1, pCurrent: 21}), (*deduction).byRating, k, r, i0, []int{pSpeed, pNoLoadSpeed, pTorque, pCurrent}, nil},
		{"all known, rated", deduced(k, r, i0, map[int]float64{pSpeed: 9, pNoLoadSpeed: 9, pTorque: 9, pCurrent: 9}), (*deduction).byRating, k, r, i0, nil, []int{pSpeed, pTorque, pCurrent}},
	} {
		tt.step(tt.d)
		if !alike(tt.d.k, tt.k) || !alike(tt.d.r, tt.r) || !alike(tt.d.i0, tt.i0) {
			t.Errorf("%s: %g, %g and %g", tt.name, tt.d.k, tt.d.r, tt.d.i0)
		}
		for _, i := range tt.rests {
			if !tt.d.used[i] {
				t.Errorf("%s rests on the %s", tt.name, plateWords[i].name)
			}
		}
		for _, i := range tt.not {
			if tt.d.used[i] {
				t.Errorf("%s does not rest on the %s", tt.name, plateWords[i].name)
			}
		}
	}
}

// The rated current, power and torque, each as it is given and as it follows.
func TestRatedByWhatIsGiven(t *testing.T) {
	nan, speed := math.NaN(), 396*rpmPerRadian
	for _, tt := range []struct {
		given                  map[int]float64
		current, power, torque float64
	}{
		{map[int]float64{pCurrent: 21}, 21, nan, nan},
		{map[int]float64{pPower: 396}, nan, 396, nan},
		{map[int]float64{pTorque: 1}, nan, nan, 1},
		{map[int]float64{pSpeed: speed}, nan, nan, nan},
		{map[int]float64{pEfficiency: 0.5}, nan, nan, nan},
		{map[int]float64{pPower: 396, pEfficiency: 0.5}, 33, 396, nan},
		{map[int]float64{pTorque: 1, pSpeed: speed}, nan, 396, 1},
		{map[int]float64{pPower: 198, pSpeed: speed}, nan, 198, 0.5},
		{map[int]float64{pCurrent: 33, pEfficiency: 0.5}, 33, 396, nan},
		{map[int]float64{pCurrent: 33, pEfficiency: 0.5, pSpeed: speed}, 33, 396, 1},
	} {
		d := deduced(nan, nan, nan, tt.given)
		current, _ := d.ratedCurrent()
		power, _ := d.ratedPower()
		torque, _ := d.ratedTorque()
		if !alike(current, tt.current) || !alike(power, tt.power) || !alike(torque, tt.torque) {
			t.Errorf("%v: %g A, %g W and %g N·m", tt.given, current, power, torque)
		}
	}
}

// What no motor has is named, the first that is wrong; and lists of names.
func TestWhatNoMotorHas(t *testing.T) {
	for _, tt := range []struct {
		k, r, i0 float64
		says     string
	}{
		{0.05, 0.2, -1, "a no-load current of -1,"}, {-1, -1, -2, "a no-load current of -2,"}, {-2, 0.2, 0, "a torque constant of -2,"}, {0, 0.2, 1, "a torque constant of 0,"},
		{0.05, -3, 0, "a resistance of -3,"}, {-2, 0, 1, "a resistance of 0,"}, {-2, -3, 1, "a resistance of -3,"},
	} {
		if err := deduced(tt.k, tt.r, tt.i0, nil).absurd(); !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%+v: %v", tt, err)
		}
	}
	for want, names := range map[string][]string{"": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"}} {
		if got := join(names); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A no-load current below nought by no more than the last digits of the voltage is none; 24 V at 0.01 Ω, with a constant that is too great by
// a part in 10⁹ and a little less or more.
func TestNoCurrentButForRounding(t *testing.T) {
	for _, tt := range []struct {
		over float64
		ok   bool
	}{{0.9e-9, true}, {1.1e-9, false}} {
		p := Plate{Rated: quantity.Exact(quantity.Volts(24)), NoLoadSpeed: quantity.Exact(quantity.RevolutionsPerMinute(480 * rpmPerRadian)), Resistance: quantity.Exact(quantity.Ohms(0.01)),
			Constant: quantity.Exact(quantity.Number(0.05 * (1 + tt.over)))}
		m, err := p.Motor()
		if (err == nil) != tt.ok || err == nil && m.Friction != 0 {
			t.Errorf("too great by %g: %v, %v", tt.over, m.Friction, err)
		}
	}
}

// What a plate says beyond what is needed is held to the motor, by the rated current, else the torque, else the speed.
func TestWhatDoesNotFit(t *testing.T) {
	base := Plate{Rated: quantity.Exact(quantity.Volts(24)), Constant: quantity.Exact(quantity.Number(0.05)), Resistance: quantity.Exact(quantity.Ohms(0.2)), NoLoadCurrent: quantity.Exact(quantity.Amperes(1))}
	speed := quantity.Exact(quantity.RevolutionsPerMinute(396 * rpmPerRadian))
	for _, tt := range []struct {
		name string
		set  func(*Plate)
		what string
	}{
		{"nothing more", func(*Plate) {}, ""},
		{"torque and speed", func(p *Plate) { p.Torque, p.Speed = quantity.Exact(quantity.NewtonMetres(1)), speed }, ""},
		{"torque and another speed", func(p *Plate) {
			p.Torque, p.Speed = quantity.Exact(quantity.NewtonMetres(1)), quantity.Exact(quantity.RevolutionsPerMinute(300*rpmPerRadian))
		}, "rated speed"},
		{"speed and efficiency", func(p *Plate) { p.Speed, p.Efficiency = speed, quantity.Exact(quantity.Fraction(396./504)) }, ""},
		{"speed and another efficiency", func(p *Plate) { p.Speed, p.Efficiency = speed, quantity.Exact(quantity.Fraction(0.6)) }, "rated efficiency"},
		{"more than the stall current", func(p *Plate) { p.NoLoadCurrent = quantity.Exact(quantity.Amperes(130)) }, "no-load current"},
	} {
		p := base
		tt.set(&p)
		_, err := p.Motor()
		var e *ContradictionError
		if errors.As(err, &e); (err == nil) != (tt.what == "") || err != nil && (e == nil || e.What != tt.what) {
			t.Errorf("%s: %v", tt.name, err)
		}
		if tt.what == "no-load current" && (e == nil || e.Given != 130 || !alike(e.Computed, 120) || !strings.Contains(strings.Join(e.From, ", "), "the rated voltage")) {
			t.Errorf("%+v", e)
		}
	}
	for efficiency, percent := range map[float64]float64{1: 100, 1.25: 125} {
		p := base
		p.Efficiency = quantity.Exact(quantity.Fraction(efficiency))
		var e *InputError
		if _, err := p.Motor(); !errors.As(err, &e) || e.Value != percent {
			t.Errorf("an efficiency of %g: %v", efficiency, err)
		}
	}
	for ohms, ok := range map[float64]bool{1.8: true, 1.9: false} { // that carry 13.3 A and 12.6 A, and it takes 13 A without a load
		p := base
		p.Resistance, p.NoLoadCurrent = quantity.Exact(quantity.Ohms(ohms)), quantity.Exact(quantity.Amperes(13))
		if _, err := p.Motor(); (err == nil) != ok {
			t.Errorf("13 A without a load at %g Ω: %v", ohms, err)
		}
	}
}

// The bounds of any value, and in which words they are told.
func TestWithinAndAbove(t *testing.T) {
	for _, tt := range []struct {
		x, low, high float64
		want         string
	}{
		{1e9, 0, 1e12, ""}, {1.01e9, 0, 1e12, "0 or more, and of a size that exists"}, {-1, 0, 1e9, "0 or more, and of a size that exists"}, {2, 2, 3, ""}, {3, 2, 3, ""}, {3.01, 2, 3, "from 2 to 3"}, {1.99, 2, 3, "from 2 to 3"},
		{0, 0, 1, ""}, {1e-9, 0, 1, ""}, {0.99e-9, 0, 1, "nought or of a size that exists"}, {math.NaN(), 0, 1, "from 0 to 1"}, {math.Inf(1), 0, math.Inf(1), "0 or more, and of a size that exists"},
	} {
		err := within("x", tt.x, "", tt.low, tt.high)
		var e *InputError
		if (err == nil) != (tt.want == "") || errors.As(err, &e) && e.Want != tt.want {
			t.Errorf("%g from %g to %g: %v", tt.x, tt.low, tt.high, err)
		}
	}
	for x, want := range map[float64]string{0: "above zero", -1: "above zero", math.Inf(1): "above zero", 0.99e-9: "of a size that exists", 1e-9: "", 1e9: "", 1.01e9: "of a size that exists"} {
		err := above("x", x, "")
		var e *InputError
		if (err == nil) != (want == "") || errors.As(err, &e) && e.Want != want {
			t.Errorf("%g: %v", x, err)
		}
	}
}
