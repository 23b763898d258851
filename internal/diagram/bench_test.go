package diagram

import (
	"testing"

	"voltwright/internal/circuit/circuittest"
)

// The whole shunter, drawn, and its floor: to copy the bytes of the drawing. ns/op
// of one over the other is the ratio; nearly all of it is the search for an order
// with few crossings.
func BenchmarkPower(b *testing.B) {
	x, err := circuittest.Named("20-whole-shunter")
	if err != nil {
		b.Fatal(err)
	}
	sol := solved(x)
	svg := Power(&x.Circuit, sol, Options{}).SVG
	b.Run("floor", func(b *testing.B) {
		var out []byte
		for b.Loop() {
			out = append(out[:0], svg...)
		}
	})
	b.Run("search", func(b *testing.B) {
		for b.Loop() {
			newLayout(analyse(&x.Circuit)).order()
		}
	})
	b.Run("draw", func(b *testing.B) {
		for b.Loop() {
			Power(&x.Circuit, sol, Options{})
		}
	})
}
