package diagram

import "testing"

// TestStepAside puts two boxes at one height whose leads change places: whichever
// lead runs down first, its end would lie on the other's, so that one of them has
// to step aside on a row of its own.
func TestStepAside(t *testing.T) {
	x := named(t, "own-16-reversed")
	s := new(plans).lay(&x.Circuit, Options{}, nil)
	for _, it := range s.items {
		it.y = 0
		if it.fig == nil {
			it.y = 2
		}
	}
	stepped := 0
	for g := range s.channels {
		for _, p := range s.route(g) {
			if p.stepA {
				stepped++
			}
		}
	}
	if stepped != 2 { // before the controller and behind it
		t.Errorf("%d leads step aside", stepped)
	}
	s = new(plans).lay(&x.Circuit, Options{}, nil)
	for _, it := range s.items {
		it.y = 0
		if it.fig == nil {
			it.y = 2
		}
	}
	for i := range s.labels {
		s.labels[i] = [2]string{s.number(i), "300 mm"}
	}
	s.position = contactsOpen
	d := s.finish("")
	clear(t, "stepped", d)
	separate(t, "stepped", &x.Circuit, d)
	if d.Crossings != 2 {
		t.Errorf("%d crossings", d.Crossings)
	}
}
