package drivetrain

import (
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// A child rides: 2.5 s to react in place of the 1.5 s that is an average of the
// literature (reactions-additions.csv of the reference; AASHTO), and where no
// payload is stated the 95th centile of its age, 31.3 kg at seven (child-mass.csv,
// from the CDC 2000 growth charts).
func TestChildRides(t *testing.T) {
	taken := func(d *Performance, what string) Assumption {
		for _, a := range d.Assumed {
			if a.What == what {
				return a
			}
		}
		return Assumption{}
	}
	grown := garden(t)
	child := grown
	child.Inattentive, child.ChildAge, child.Payload = true, 7, quantity.Missing[quantity.Kilograms]()
	d, c := Compute(grown), Compute(child)
	if a := taken(d, "reaction time"); !strings.HasPrefix(a.Words, "1.5 s: an average, and no floor") || a.Status != "second-hand" {
		t.Errorf("%+v", a)
	}
	if a := taken(c, "reaction time"); !strings.HasPrefix(a.Words, "2.5 s: a child rides") || !strings.Contains(a.Source, "AASHTO") {
		t.Errorf("%+v", a)
	}
	if a := taken(c, "payload"); !strings.HasPrefix(a.Words, "31.3 kg, as a child of 7 rides") || a.Status != "computed" {
		t.Errorf("%+v", a)
	}
	if len(d.Stops) == 0 || len(c.Stops) == 0 {
		t.Fatal("no stop was computed")
	}
	// The same speed is held for a second longer; the lighter train is no slower.
	if longer := float64(c.Stops[0].Distance.Value - d.Stops[0].Distance.Value); longer < 0.9*float64(d.Top.Speed.Value) {
		t.Errorf("the stop is %.2f m longer at %.2f m/s", longer, float64(d.Top.Speed.Value))
	}
	child.ChildAge = 30 // no child of the table
	if a := taken(Compute(child), "payload"); a.Words != "none" {
		t.Errorf("%+v", a)
	}
}
