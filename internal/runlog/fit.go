package runlog

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// fitted is what a least-squares fit gives.
type fitted struct {
	parameters []float64
	deviations []float64 // standard deviation of each parameter, from the covariance s²(JᵀJ)⁻¹
	rss        float64   // residual sum of squares
	sd         float64   // residual standard deviation, √(rss/(n − p))
	r2         float64   // coefficient of determination
	rounds     int
}

var (
	errTooFewPoints = errors.New("fewer points than parameters")
	errNoFit        = errors.New("the fit does not settle")
)

// linearFit finds the parameters of y ≈ X·p by Householder QR of X, its columns first scaled to unit length.
// X is n by p with n > p. Checked with Norris and Longley of NIST StRD.
func linearFit(design *mat.Dense, y []float64) (fitted, error) {
	n, p := design.Dims()
	if n <= p {
		return fitted{}, errTooFewPoints
	}
	scaled := mat.DenseCopyOf(design)
	scale := make([]float64, p)
	for j := range p {
		scale[j] = mat.Norm(scaled.ColView(j), 2)
		if scale[j] == 0 {
			return fitted{}, errNoFit
		}
		for i := range n {
			scaled.Set(i, j, scaled.At(i, j)/scale[j])
		}
	}
	var qr mat.QR
	qr.Factorize(scaled)
	solution := mat.NewVecDense(p, nil)
	if err := solveQR(&qr, solution, y); err != nil {
		return fitted{}, err
	}
	// One round of refinement: the residual is solved for again.
	residual := make([]float64, n)
	for range 2 {
		for i := range n {
			s := total{}
			s.add(y[i])
			for j := range p {
				s.add(-scaled.At(i, j) * solution.AtVec(j))
			}
			residual[i] = s.value()
		}
		correction := mat.NewVecDense(p, nil)
		if err := solveQR(&qr, correction, residual); err != nil {
			return fitted{}, err
		}
		solution.AddVec(solution, correction)
	}
	out := fitted{parameters: make([]float64, p)}
	for i := range n {
		s := total{}
		s.add(y[i])
		for j := range p {
			s.add(-scaled.At(i, j) * solution.AtVec(j))
		}
		residual[i] = s.value()
	}
	out.describe(y, residual, p)
	unit, err := inverseDiagonal(&qr, p)
	if err != nil {
		return fitted{}, err
	}
	out.deviations = make([]float64, p)
	for j := range p {
		out.parameters[j] = solution.AtVec(j) / scale[j]
		out.deviations[j] = out.sd * math.Sqrt(unit[j]) / scale[j]
	}
	return out, nil
}

// describe fills in what follows from the residuals.
func (f *fitted) describe(y, residual []float64, p int) {
	var rss, tss total
	var m moments
	for _, v := range y {
		m.add(v)
	}
	mean := m.average()
	for i, r := range residual {
		rss.add(r * r)
		tss.add((y[i] - mean) * (y[i] - mean))
	}
	f.rss = rss.value()
	f.sd = math.Sqrt(f.rss / float64(len(y)-p))
	f.r2 = math.NaN()
	if t := tss.value(); t > 0 {
		f.r2 = 1 - f.rss/t
	}
}

func solveQR(qr *mat.QR, to *mat.VecDense, y []float64) error {
	err := qr.SolveVecTo(to, false, mat.NewVecDense(len(y), y))
	var condition mat.Condition
	if errors.As(err, &condition) && !math.IsInf(float64(condition), 1) {
		return nil // ill conditioned, but solved; the deviations tell
	}
	return err
}

// inverseDiagonal is the diagonal of (RᵀR)⁻¹.
func inverseDiagonal(qr *mat.QR, p int) ([]float64, error) {
	var r mat.Dense
	qr.RTo(&r)
	upper := mat.NewTriDense(p, mat.Upper, nil)
	for i := range p {
		for j := i; j < p; j++ {
			upper.SetTri(i, j, r.At(i, j))
		}
	}
	var inverse mat.TriDense
	if err := inverse.InverseTri(upper); err != nil {
		var condition mat.Condition
		if !errors.As(err, &condition) || math.IsInf(float64(condition), 1) {
			return nil, err
		}
	}
	diagonal := make([]float64, p)
	for i := range p {
		for j := i; j < p; j++ {
			diagonal[i] += inverse.At(i, j) * inverse.At(i, j)
		}
	}
	return diagonal, nil
}

// curve gives the model's value at x and writes its derivative by each parameter into slope.
type curve func(x float64, parameters, slope []float64) float64

// curveFit finds the parameters of y ≈ f(x) from a start by the Levenberg–Marquardt method, with the damping scaled by
// the columns of the Jacobian (Marquardt 1963; Moré 1978). Each step solves the damped problem by QR, not by the normal
// equations. Checked with Misra1a and Thurber of NIST StRD from both of their starts.
func curveFit(f curve, start, x, y []float64) (fitted, error) {
	n, p := len(x), len(start)
	if n <= p {
		return fitted{}, errTooFewPoints
	}
	at := append([]float64(nil), start...)
	trial := make([]float64, p)
	slope := make([]float64, p)
	residual := make([]float64, n)
	squares := func(parameters []float64, fill []float64) float64 {
		var s total
		for i := range n {
			r := y[i] - f(x[i], parameters, slope)
			if fill != nil {
				fill[i] = r
			}
			s.add(r * r)
		}
		return s.value()
	}
	rss := squares(at, residual)
	if math.IsNaN(rss) || math.IsInf(rss, 0) {
		return fitted{}, errNoFit
	}
	const rounds = 500
	damping := 1e-3
	widest := make([]float64, p) // the greatest length each column has had
	jacobian := mat.NewDense(n, p, nil)
	stacked := mat.NewDense(n+p, p, nil)
	right := make([]float64, n+p)
	settled := false
	round := 0
	for ; round < rounds && !settled; round++ {
		for i := range n {
			f(x[i], at, slope)
			jacobian.SetRow(i, slope)
		}
		for j := range p {
			length := mat.Norm(jacobian.ColView(j), 2)
			if length == 0 || math.IsNaN(length) || math.IsInf(length, 0) {
				return fitted{}, errNoFit
			}
			widest[j] = max(widest[j], length)
		}
		for improved := false; !improved; {
			stacked.Slice(0, n, 0, p).(*mat.Dense).Copy(jacobian)
			copy(right, residual)
			for j := range p {
				stacked.Set(n+j, j, math.Sqrt(damping)*widest[j])
			}
			var qr mat.QR
			qr.Factorize(stacked)
			step := mat.NewVecDense(p, nil)
			if err := solveQR(&qr, step, right); err != nil {
				return fitted{}, errNoFit
			}
			tiny := true
			for j := range p {
				trial[j] = at[j] + step.AtVec(j)
				tiny = tiny && math.Abs(step.AtVec(j)) <= 1e-13*max(math.Abs(at[j]), 1e-300)
			}
			next := squares(trial, nil)
			switch {
			case next <= rss:
				improved = true
				settled = tiny || rss-next <= 1e-15*rss
				copy(at, trial)
				rss = squares(at, residual)
				damping = max(damping/10, 1e-15)
			case tiny || damping > 1e12:
				improved, settled = true, true
			default: // also where next is not a number
				damping *= 10
			}
		}
	}
	if !settled {
		return fitted{}, errNoFit
	}
	out := fitted{parameters: at, rounds: round}
	out.describe(y, residual, p)
	var qr mat.QR
	for i := range n {
		f(x[i], at, slope)
		jacobian.SetRow(i, slope)
	}
	qr.Factorize(jacobian)
	unit, err := inverseDiagonal(&qr, p)
	if err != nil {
		return fitted{}, errNoFit
	}
	out.deviations = make([]float64, p)
	for j := range p {
		out.deviations[j] = out.sd * math.Sqrt(unit[j])
		if math.IsNaN(out.deviations[j]) || math.IsInf(out.deviations[j], 0) {
			return fitted{}, errNoFit
		}
	}
	return out, nil
}
