package circuit

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// linear solves the network as it stands. Unknowns: the voltage of every node,
// the current of every branch, and the duty of every controller.
func (n *network) linear() ([]float64, error) {
	g, ground, _ := n.islands()
	nn, nb := len(n.nodes.named), len(n.branches)
	size := nn + nb + len(n.controllers)
	a := mat.NewDense(size, size, nil)
	b := mat.NewVecDense(size, nil)
	grounded := make([]bool, nn)
	for _, i := range ground {
		grounded[i] = true
		a.Set(i, i, 1)
	}
	for i, br := range n.branches {
		at := nn + i
		if !grounded[br.from] {
			a.Set(br.from, at, a.At(br.from, at)+1)
		}
		if !grounded[br.to] {
			a.Set(br.to, at, a.At(br.to, at)-1)
		}
		switch br.law {
		case resistive:
			a.Set(at, br.from, a.At(at, br.from)+1)
			a.Set(at, br.to, a.At(at, br.to)-1)
			a.Set(at, at, -br.ohms)
			b.SetVec(at, br.drop)
		case source:
			if g.root(br.from) != g.root(br.to) {
				return nil, &UnsettledError{n.op.Name}
			}
			a.Set(at, at, 1)
			b.SetVec(at, br.amps)
		case open:
			a.Set(at, at, 1)
		}
	}
	for i, k := range n.controllers {
		n.stampController(a, b, k, nn+nb+i)
	}
	var lu mat.LU
	lu.Factorize(a)
	if math.IsInf(lu.Cond(), 1) {
		return nil, &UnsettledError{n.op.Name}
	}
	x := mat.NewVecDense(size, nil)
	_ = lu.SolveVecTo(x, false, b) // what is badly conditioned, as by µΩ beside GΩ, is solved all the same
	for i := range size {
		if v := x.AtVec(i); math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, &UnsettledError{n.op.Name}
		}
	}
	return x.RawVector().Data, nil
}

// stampController writes the three equations of a controller: its output, its
// input, its duty.
func (n *network) stampController(a *mat.Dense, b *mat.VecDense, k *regulator, duty int) {
	nn := len(n.nodes.named)
	in, out := n.branches[k.in], n.branches[k.out]
	atIn, atOut := nn+k.in, nn+k.out
	a.Set(duty, duty, 1)
	if in.law != input {
		return // off: both branches are open, and the duty is 0
	}
	loss := k.loss()
	plus := func(row, column int, v float64) { a.Set(row, column, a.At(row, column)+v) }
	if !k.limited {
		// V(out+) − V(out−) − d·Vin + R·Iout = 0, with out.from = out−
		plus(atOut, out.to, 1)
		plus(atOut, out.from, -1)
		plus(atOut, in.from, -k.duty)
		plus(atOut, in.to, k.duty)
		plus(atOut, atOut, k.ohms)
		plus(atIn, atIn, 1)
		plus(atIn, atOut, -k.duty*loss)
		return
	}
	held := math.Copysign(k.limit, k.gain)
	plus(atOut, atOut, 1)
	b.SetVec(atOut, held)
	plus(atIn, atIn, 1)
	if k.fresh {
		return // first the voltages without its input current
	}
	plus(atIn, duty, -held*loss)
	// V(out) + R·I = d·Vin, linear about d₀ = gain and V₀ = around
	a.Set(duty, duty, -k.around)
	plus(duty, out.to, 1)
	plus(duty, out.from, -1)
	plus(duty, in.from, -k.gain)
	plus(duty, in.to, k.gain)
	b.SetVec(duty, -k.ohms*held-k.gain*k.around)
}

// loss is by how much more the input carries than the duty says.
func (k *regulator) loss() float64 {
	if k.brakes {
		return k.efficiency
	}
	return 1 / k.efficiency
}
