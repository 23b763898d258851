package battery

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
)

// Kept is what an estimate has learned, in a form that can be kept and recalled by the estimate that it was learned from. Its
// values mean nothing by themselves.
type Kept struct {
	Values     []float64 // the unknowns
	Covariance []float64 // of them, by rows
	Stated     quantity.Measured[quantity.Ohms]
	Misfit     float64 // reduced χ² of the voltages of the logs
}

// Kept is what the estimate knows beyond what is typical.
func (e *Estimate) Kept() Kept {
	k := Kept{Values: slices.Clone(e.xi), Stated: e.stated, Misfit: e.misfit}
	for i := range places.n {
		for j := range places.n {
			k.Covariance = append(k.Covariance, e.cov.At(i, j))
		}
	}
	return k
}

// Recall is the estimate after it has learned from logs, and from a stated resistance, what was kept then. The error says that
// what was kept is of another program.
func (e *Estimate) Recall(k Kept, logs ...Log) (*Estimate, error) {
	if len(k.Values) != places.n || len(k.Covariance) != places.n*places.n {
		return nil, fmt.Errorf("%d values and %d of their covariance were kept of a cell that has %d", len(k.Values), len(k.Covariance), places.n)
	}
	return (&Estimate{typical: e.typical, xi: k.Values, cov: mat.NewSymDense(places.n, k.Covariance), logs: slices.Concat(e.logs, logs), stated: k.Stated, misfit: k.Misfit}).fixed(), nil
}
