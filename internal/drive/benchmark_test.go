package drive

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// BenchmarkOperate measures its floor first, one evaluation of pull less
// resistance, the function whose root a steady point is, and then the point. The
// metric "floors" is the one over the other, points/s what comes of it.
func BenchmarkOperate(b *testing.B) {
	s := shunter()
	g := s.gauge()
	perOp := func(b *testing.B) float64 { return float64(b.Elapsed().Nanoseconds()) / float64(b.N) }
	var floor float64
	b.Run("floor", func(b *testing.B) {
		var sum float64
		v := 0.1
		for b.Loop() {
			sum += s.push(g, v) - float64(s.Vehicle.Resistance(s.Way, quantity.MetresPerSecond(v)).Sum())
			if v += 0.0137; v > 2 {
				v -= 1.9
			}
		}
		if math.IsNaN(sum) {
			b.Fatal("no force")
		}
		floor = perOp(b)
	})
	for _, c := range []struct {
		name   string
		change func(*Setup)
	}{{"level", func(*Setup) {}}, {"hill", func(s *Setup) { s.Way.Grade = 0.02 }}, {"limited", func(s *Setup) { s.Controller.BatteryLimit = 4 }}, {"down", func(s *Setup) { s.Way.Grade = -0.1 }}} {
		b.Run(c.name, func(b *testing.B) {
			at := s
			c.change(&at)
			for b.Loop() {
				if _, err := at.Operate(); err != nil {
					b.Fatal(err)
				}
			}
			if floor > 0 {
				b.ReportMetric(perOp(b)/floor, "floors")
			}
			b.ReportMetric(1e9/perOp(b), "points/s")
		})
	}
}
