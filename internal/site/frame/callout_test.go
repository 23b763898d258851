package frame

import (
	"math"
	"testing"

	"voltwright/internal/finding"
)

// The drawing of a gauge keeps to its line, marks the side on which the number must not lie, and never divides by nothing.
func TestGaugeDrawing(t *testing.T) {
	for _, g := range []finding.Gauge{
		{What: "a", Value: 22, Limit: 24, Least: true}, {What: "a", Value: 60, Limit: 40}, {What: "a", Value: -12, Limit: 0, Least: true},
		{What: "a", Value: 0.5, Limit: 0}, {What: "a", Value: 1, Limit: 1}, {What: "a", Value: 0, Limit: 0}, {What: "a", Value: 34.01, Limit: 34}, {What: "a", Value: -25, Limit: -20, Least: true},
	} {
		v := NewGauge(&g)
		for _, x := range []float64{v.ValueX, v.LimitX, v.BeyondX, v.BeyondX + v.BeyondWidth} {
			if math.IsNaN(x) || x < gaugeLeft-1 || x > gaugeRight+1 {
				t.Errorf("%+v runs off its line: %+v", g, v)
			}
		}
		over := g.Value > g.Limit
		if g.Value != g.Limit && over != (v.ValueX > v.LimitX) {
			t.Errorf("%+v is drawn on the wrong side of its limit: %+v", g, v)
		}
		if inside := v.ValueX >= v.BeyondX && v.ValueX <= v.BeyondX+v.BeyondWidth; g.Value != g.Limit && inside != (over != g.Least) {
			t.Errorf("%+v lies outside what is marked: %+v", g, v)
		}
	}
}
