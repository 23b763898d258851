package drive

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// A vehicle whose motors cannot give back rolls downhill until the air holds it. Up to twice the speed that its motors reach without load it coasts,
// beyond that it runs away. The drag area for a speed follows from ½·ρ·A·v² = what the hill pulls with, less the rolling resistance; no load is at
// v = U·r/(k·n).
func TestHowFastItRunsAway(t *testing.T) {
	for _, x := range []struct {
		times float64
		want  State
	}{{1.95, Coasts}, {2.05, RunsAway}} {
		s := shunter()
		s.Vehicle.Motor.Friction, s.Controller.Regenerates, s.Way.Grade = 0, false, -0.1
		free := 26 / (0.083 * 9.8 / 0.065)
		v := quantity.MetresPerSecond(x.times * free)
		s.Vehicle.DragArea = 1
		r := s.Vehicle.Resistance(s.Way, v)
		s.Vehicle.DragArea = -float64(r.Climbing+r.Rolling) / float64(r.Air)
		p, err := s.Operate()
		if err != nil || p.State != x.want || math.Abs(float64(p.Speed)/float64(v)-1) > 1e-9 {
			t.Errorf("at %g times its speed without load: %s at %v m/s of %v, %v", x.times, p.State, p.Speed, v, err)
		}
	}
}

// A grade in words: one in 60 is 1.7 %, one in 7 is 14 %.
func TestGradesInWords(t *testing.T) {
	for g, want := range map[Grade]string{1. / 60: "1 in 60 up (1.7 %)", -1. / 60: "1 in 60 down (-1.7 %)", 1. / 7: "1 in 7 up (14 %)", -1. / 7: "1 in 7 down (-14 %)", 0: "level"} {
		if got := g.String(); got != want {
			t.Errorf("%g: %s, want %s", float64(g), got, want)
		}
	}
}
