package photos

import (
	"math/rand/v2"
	"testing"
)

// Whatever is marked: no two leaders cross, numbers keep their distance and stay on the strip.
func TestLeadersDoNotCross(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	for n := 1; n <= 14; n++ {
		for range 200 {
			var all []spot
			for range n {
				all = append(all, spot{x: 100 * chance.Float64(), y: 100 * chance.Float64()})
			}
			for _, edge := range []float64{0, 100} {
				list := append([]spot(nil), all...)
				strip(list, edge)
				for i := range list {
					if list[i].at < firstAt-1e-9 || list[i].at > lastAt+1e-9 {
						t.Fatalf("%d marks: one at %.1f", n, list[i].at)
					}
					for j := range list[:i] {
						if cross(list[i], list[j], edge) {
							t.Fatalf("%d marks: leaders cross: %+v %+v", n, list[i], list[j])
						}
						if d := list[i].at - list[j].at; d < 88.0/13-1e-9 && d > -88.0/13+1e-9 {
							t.Fatalf("%d marks: two numbers %.1f apart", n, d)
						}
					}
				}
			}
		}
	}
}

// Each mark goes to the nearer edge, and more than seven take two rows.
func TestStrips(t *testing.T) {
	var all []spot
	for i := range 9 {
		all = append(all, spot{x: float64(10 * i), y: 20})
	}
	all = append(all, spot{x: 50, y: 80})
	above, high, below, low := strips(all)
	if len(above) != 9 || high != 2*balloonRow || len(below) != 1 || low != balloonRow {
		t.Errorf("%d over in %d, %d under in %d", len(above), high, len(below), low)
	}
}
