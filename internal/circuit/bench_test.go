package circuit_test

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/circuit"
)

// The whole shunter, solved once, and its floor: the factorisation of one dense
// matrix of about as many unknowns. ns/op of one over the other is the ratio.
func BenchmarkSolve(b *testing.B) {
	x := example(b, "20-whole-shunter")
	b.Run("floor", func(b *testing.B) {
		unknowns := len(x.Circuit.Leads) + 1
		for i := range x.Circuit.Parts {
			unknowns += len(x.Circuit.Parts[i].Terminals()) + 1
		}
		dense := mat.NewDense(unknowns, unknowns, nil)
		for i := range unknowns {
			dense.Set(i, i, 2)
			dense.Set(i, (i+7)%unknowns, -1)
		}
		for b.Loop() {
			var lu mat.LU
			lu.Factorize(dense)
		}
	})
	b.Run("solve", func(b *testing.B) {
		for b.Loop() {
			if _, err := x.Circuit.Solve(x.Points[0]); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// Every verdict on the whole shunter, also with as many more switches as reach
// the bound of 4096 combinations; the floor is BenchmarkSolve/solve.
func BenchmarkJudge(b *testing.B) {
	for _, switches := range []int{0, 7} {
		b.Run(fmt.Sprint(switches, " more switches"), func(b *testing.B) {
			x := example(b, "20-whole-shunter")
			s, err := x.Circuit.Solve(x.Points[0])
			if err != nil {
				b.Fatal(err)
			}
			for k := range switches {
				x.Circuit.Parts = append(x.Circuit.Parts, circuit.Part{Name: fmt.Sprint("s", k), Kind: circuit.Switch, Resistance: 0.01})
			}
			for b.Loop() {
				x.Circuit.Judge([]*circuit.Solution{s})
			}
		})
	}
}
