package quantity

import "fmt"

// Quantity is a value whose dimension is known only when the program runs:
// one that was parsed, or one that is to be printed.
type Quantity struct {
	Dimension Dimension
	Value     float64 // in the dimension's base unit; NaN: there is no value
	U         float64 // standard uncertainty (k = 1) in the base unit; 0 exact, NaN unknown
	Unit      string  // the unit as written, in this package's spelling; "" is the default for the size
	Decimals  int     // decimals as written, in Unit; -1 unknown
}

// As makes a typed value of q; the dimension must be that of K.
func As[K Kind](q Quantity) (Measured[K], error) {
	var k K
	if d := k.Dimension(); q.Dimension != d {
		return Missing[K](), fmt.Errorf("%s is %s; %s such as %s is wanted",
			q, q.Dimension.WithArticle(), d.WithArticle(), d.Example())
	}
	return Measured[K]{Value: K(q.Value), U: K(q.U)}, nil
}
