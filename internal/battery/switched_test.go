package battery

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// Where a pack's protection opens and the other cannot give the load alone, the run ends there, and says what was wanted and what
// that pack can give at the most: by hand a quarter of the square of its voltage by its resistance.
func TestWhatIsLeftCollapses(t *testing.T) {
	c, err := ChemistryNamed("nmc")
	if err != nil {
		t.Fatal(err)
	}
	typical, err := Typical(c, quantity.Of[quantity.AmpereHours](10, 0.3))
	if err != nil {
		t.Fatal(err)
	}
	pack := Pack{Cell: typical.Cell(), Series: 6, Parallel: 1, Charge: 0.9, Temperature: 25}
	strong, weak := pack, pack
	strong.Name, weak.Name = "strong", "weak"
	strong.Charge = 0.2
	strong.Protection = &Cutout{Opens: 20.5, ResetThreshold: quantity.Volts(math.NaN())}
	weak.Leads = 2
	o, err := Simulate(Scenario{Packs: []Pack{strong, weak}, Demand: Steady(Delivering(150)), Ambient: 25})
	if err != nil {
		t.Fatal(err)
	}
	if o.Ended != Collapsed || o.Collapse == nil {
		t.Fatalf("it ended as %q, with %+v; %+v", o.Ended, o.Collapse, o.Openings)
	}
	rest := 6 * float64(typical.Cell().Curve.at(0.85))
	most := rest * rest / 4 / (2 + 6*0.02)
	if got := float64(o.Collapse.Limit); o.Collapse.Wanted != 150 || math.Abs(got/most-1) > 0.1 {
		t.Errorf("wanted %v, at the most %.1f W, by hand %.1f W", o.Collapse.Wanted, got, most)
	}
	if last := o.Openings[len(o.Openings)-1]; last.Pack != "strong" || o.Collapse.At != last.At {
		t.Errorf("%+v and %+v", o.Collapse, last)
	}
}
