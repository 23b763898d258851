package runlog

import (
	"math"
	"testing"
)

// BenchmarkMeter states the cost of a sample beside the floor: the same samples summed by a plain trapezoid.
func BenchmarkMeter(b *testing.B) {
	samples := make([]Sample, 100_000)
	for k := range samples {
		t := float64(k) / 10
		i := 8 + 2*math.Sin(t/3)
		if k%3000 > 2700 {
			i = 0
		}
		samples[k] = vi(t, 25.6-t/5000-0.05*i, i)
	}
	b.Run("floor", func(b *testing.B) {
		sum := 0.0
		for b.Loop() {
			for k := 1; k < len(samples); k++ {
				p, q := &samples[k-1], &samples[k]
				sum += (p.Values[Voltage]*p.Values[Current] + q.Values[Voltage]*q.Values[Current]) / 2 * (q.Time - p.Time)
			}
		}
		if math.IsNaN(sum) {
			b.Fatal("no sum")
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(samples)), "ns/sample")
	})
	b.Run("meter", func(b *testing.B) {
		for b.Loop() {
			m := NewMeter(perfect())
			for k := range samples {
				m.Add(samples[k])
			}
			m.Result()
		}
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(samples)), "ns/sample")
	})
}
