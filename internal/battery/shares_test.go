package battery

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// The greatest current of each of two unlike packs is the one that ever finer steps come to: to half a hundredth.
func TestSharesAreThoseOfFinerSteps(t *testing.T) {
	c, err := ChemistryNamed("lfp")
	if err != nil {
		t.Fatal(err)
	}
	var packs []Pack
	for _, held := range []quantity.AmpereHours{14, 9} {
		typical, err := Typical(c, quantity.Of(held, 0.3))
		if err != nil {
			t.Fatal(err)
		}
		stated, err := typical.WithResistance(quantity.Of[quantity.Ohms](0.004, 0.0008))
		if err != nil {
			t.Fatal(err)
		}
		packs = append(packs, Pack{Name: quantity.Brief(held), Cell: stated.Cell(), Series: 6, Parallel: 1, Charge: 1, Temperature: -4})
	}
	load, cutout := Steady(Delivering(120)), &Cutout{Opens: 19.4}
	got, err := Shares(packs, load, cutout, -4)
	if err != nil {
		t.Fatal(err)
	}
	finer, err := rundown(packs, load, cutout, -4)
	if err != nil {
		t.Fatal(err)
	}
	finer.Tolerance = fineSteps / 8
	want, err := Simulate(finer)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range want.Packs {
		if is := float64(got.Packs[i].Most); math.Abs(is/float64(p.Most)-1) > 0.005 || !(is > 1) {
			t.Errorf("%s gives %.4f A at the most; in finer steps it is %.4f A", p.Name, is, float64(p.Most))
		}
	}
	coarse, err := RunTimes(packs, load, cutout, -4)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(coarse.Elapsed/want.Elapsed)-1) > 1e-4 {
		t.Errorf("the time is %.1f s, and in finer steps %.1f s", float64(coarse.Elapsed), float64(want.Elapsed))
	}
}
