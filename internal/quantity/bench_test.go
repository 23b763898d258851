package quantity

import (
	"strconv"
	"testing"
	"time"
)

// BenchmarkParse reports, besides the time, how many times as long Parse takes
// as strconv.ParseFloat on the number alone, both measured in this run.
func BenchmarkParse(b *testing.B) {
	for _, bm := range []struct{ name, text, number string }{
		{"base unit", "23.14 V", "23.14"},
		{"prefix", "60.5 mΩ", "60.5"},
		{"other factor", "6.5 km/h", "6.5"},
		{"uncertainty", "(23.14 ± 0.06) V", "23.14"},
		{"time in parts", "2 h 7 min 30.5 s", "30.5"},
	} {
		b.Run(bm.name, func(b *testing.B) {
			floor := measure(b.N, func() {
				if _, err := strconv.ParseFloat(bm.number, 64); err != nil {
					b.Fatal(err)
				}
			})
			b.ReportAllocs()
			b.ResetTimer()
			took := measure(b.N, func() {
				if _, err := Parse(bm.text); err != nil {
					b.Fatal(err)
				}
			})
			b.ReportMetric(float64(took)/float64(floor), "×ParseFloat")
		})
	}
}

// BenchmarkRounded reports the ratio to strconv.AppendFloat of the value.
func BenchmarkRounded(b *testing.B) {
	for _, bm := range []struct {
		name string
		q    Quantity
	}{
		{"voltage", Quantity{Voltage, 23.1378, 0.03, "V", -1}},
		{"time", Quantity{Time, 7650.48, 0.03, "", -1}},
	} {
		b.Run(bm.name, func(b *testing.B) {
			var buffer [64]byte
			floor := measure(b.N, func() { strconv.AppendFloat(buffer[:0], bm.q.Value, 'f', 2, 64) })
			b.ReportAllocs()
			b.ResetTimer()
			took := measure(b.N, func() { _ = bm.q.Rounded() })
			b.ReportMetric(float64(took)/float64(floor), "×AppendFloat")
		})
	}
}

func measure(n int, f func()) time.Duration {
	start := time.Now()
	for range n {
		f()
	}
	return max(time.Since(start), 1)
}
