package battery

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// A trace of four rows: each time that it is full every second row goes, and rows are kept half as often from there on, a second apart at first. By hand:
// 0 1 2 3 leave 0 2; 4 5 leave 0 4; 7 9 leave 0 7; 13 17 leave 0 13. The last row is kept whenever it comes.
func TestTraceIsThinnedByHalves(t *testing.T) {
	s := Scenario{Packs: []Pack{NewPack(flatCell(t), 1)}, Demand: Steady(Drawing(1)), TracePoints: 4}
	r, err := newRun(s)
	if err != nil {
		t.Fatal(err)
	}
	told := func() string {
		var out []string
		for _, x := range r.out.Trace {
			out = append(out, fmt.Sprint(float64(x.At)))
		}
		return strings.Join(out, " ")
	}
	want := map[int]string{0: "0", 2: "0 1 2", 3: "0 2", 4: "0 2 4", 5: "0 4", 6: "0 4", 7: "0 4 7", 8: "0 4 7", 9: "0 7", 12: "0 7", 13: "0 7 13", 16: "0 7 13", 17: "0 13"}
	for at := range 18 {
		r.t = float64(at)
		r.row(false)
		if w, ok := want[at]; ok && told() != w {
			t.Errorf("at %d s: %s, want %s", at, told(), w)
		}
	}
	r.t = 17.5
	if r.row(true); told() != "0 13 17.5" {
		t.Errorf("the last: %s", told())
	}
	r.TracePoints, r.out.Trace = 0, nil
	if r.row(true); len(r.out.Trace) != 0 {
		t.Error("a trace that nobody asked for")
	}
}

// Arrhenius' law from −60 °C to 100 °C, and beyond as at either end, written out again: exp(E/R·(1/T − 1/298.15 K)), R = 8.314 462 618 J/(mol K).
func TestWarmthToItsEnds(t *testing.T) {
	c := flatCell(t)
	c.ActivationOhmic, c.ActivationBranch, c.ActivationLag = 20000, 30000, 10000
	e := newElement(NewPack(c, 1))
	for celsius, at := range map[float64]float64{-90: -60, -60: -60, -58: -58, 25: 25, 97: 97, 100: 100, 130: 100} {
		want := func(energy float64) float64 {
			return math.Exp(energy / 8.314462618 * (1/(at+273.15) - 1/298.15))
		}
		ohmic, branch, lag := e.factors(celsius)
		close1(t, fmt.Sprintf("ohmic at %g °C", celsius), ohmic, want(20000), 1e-9)
		close1(t, fmt.Sprintf("branch at %g °C", celsius), branch, want(30000), 1e-9)
		close1(t, fmt.Sprintf("lag at %g °C", celsius), lag, want(10000), 1e-9)
		close1(t, fmt.Sprintf("by name at %g °C", celsius), Arrhenius(20000, quantity.Celsius(celsius), 25), want(20000), 1e-9)
	}
}

// Three unlike packs on one load, by Millman's theorem: V = (ΣE/R − I)/Σ1/R; one that is cut off has no part in it. A power solves V·I = P.
func TestMillman(t *testing.T) {
	p := func(ohms, charge float64) Pack {
		c := flatCell(t)
		c.Ohmic = Profile{ohms}
		p := NewPack(c, 2)
		p.Charge = charge
		return p
	}
	s := Scenario{Packs: []Pack{p(0.03, 1), p(0.06, 0.9), p(0.02, 0.5)}, Demand: Steady(Drawing(4))}
	e, ohms := []float64{8, 7.8, 7}, []float64{0.06, 0.12, 0.04}
	for _, open := range []int{-1, 1} {
		r, err := newRun(s)
		if err != nil {
			t.Fatal(err)
		}
		er, g := 0.0, 0.0
		for k := range e {
			r.net.elements[k].open = k == open
			if k != open {
				er, g = er+e[k]/ohms[k], g+1/ohms[k]
			}
		}
		for _, x := range []struct {
			load        Load
			volts, amps float64
		}{
			{Drawing(4), (er - 4) / g, 4}, {Drawing(-3), (er + 3) / g, -3}, {Across(2), er / (g + 0.5), er / (g + 0.5) / 2}, {holding(7.5), 7.5, er - 7.5*g},
			{Delivering(30), (er + math.Sqrt(er*er-120*g)) / (2 * g), 60 / ((er + math.Sqrt(er*er-120*g)) / g)},
		} {
			volts, amps, err := r.net.solve(x.load, current, false)
			if err != nil {
				t.Fatal(err)
			}
			what := fmt.Sprintf("%s, %d open", x.load, open)
			close1(t, what+", volts", volts, x.volts, 1e-12)
			close1(t, what+", amperes", amps, x.amps, 1e-9)
			sum := 0.0
			for k := range e {
				share := r.net.elements[k].now.amps
				if k == open {
					if share != 0 {
						t.Errorf("%s: %g A through what is open", what, share)
					}
					continue
				}
				close1(t, what+", a share", share, (e[k]-x.volts)/ohms[k], 1e-9)
				sum += share
			}
			close1(t, what+", shares", sum, x.amps, 1e-9)
		}
	}
	r, err := newRun(s)
	if err != nil {
		t.Fatal(err)
	}
	for k := range r.net.elements {
		r.net.elements[k].open = true
	}
	if volts, amps, err := r.net.solve(Drawing(4), current, false); volts != 0 || amps != 0 || err != nil {
		t.Errorf("nothing is joined: %g V, %g A, %v", volts, amps, err)
	}
}
