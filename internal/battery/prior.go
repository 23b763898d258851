package battery

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"voltwright/internal/quantity"
)

// The unknowns of a cell are held as standard normal numbers, one for each
// independent way in which a cell can differ from the typical one of its
// chemistry. Curves (open-circuit voltage, resistances against charge) are
// Gaussian processes on the scale x = ln((z + 0.02)/(1.02 − z)), which stretches
// both ends, with the kernel exp(−|x − x′|/length).
const (
	stretch    = 0.02
	curveKnots = 21
	ohmKnots   = 11
	heatKnots  = 7
	profileLen = 200  // steps of a resistance profile
	curveReach = 0.9  // correlation length of the open-circuit curve on x
	ohmReach   = 1.2  // and of a resistance
	ohmShape   = 0.15 // spread of ln R₀ along the charge: metal and electrolyte hardly change
	fastShape  = 0.35 // the same of R₁
	slowShape  = 0.60 // and of R₂: diffusion gets hard near empty
)

func onScale(z float64) float64 { return math.Log((z + stretch) / (1 + stretch - z)) }

func offScale(x float64) float64 {
	e := math.Exp(x)
	return ((1+stretch)*e - stretch) / (1 + e)
}

// knots are n states of charge, equally far apart on the scale, from 0 to 1.
func knots(n int) []float64 {
	out := make([]float64, n)
	low, high := onScale(0), onScale(1)
	for i := range out {
		out[i] = min(max(offScale(low+(high-low)*float64(i)/float64(n-1)), 0), 1)
	}
	return out
}

// layout says where in the vector of unknowns each of them stands.
type layout struct {
	capacity                  int
	curve                     int // curveKnots of them
	ohm, fast, slow           int // level, then ohmKnots of them
	fastTime, slowTime, lag   int
	energyO, energyB, energyL int
	peukert                   int
	heatCapacity, coolingTime int
	entropic                  int // level, then heatKnots of them
	n                         int
}

var places = func() layout {
	var l layout
	take := func(n int) int { at := l.n; l.n += n; return at }
	l.capacity = take(1)
	l.curve = take(curveKnots)
	l.ohm, l.fast, l.slow = take(1+ohmKnots), take(1+ohmKnots), take(1+ohmKnots)
	l.fastTime, l.slowTime, l.lag = take(1), take(1), take(1)
	l.energyO, l.energyB, l.energyL = take(1), take(1), take(1)
	l.peukert = take(1)
	l.heatCapacity, l.coolingTime = take(1), take(1)
	l.entropic = take(1 + heatKnots)
	return l
}()

// shapes are what is fixed of the Gaussian processes: knots and their roots.
type shapes struct {
	curveAt, ohmAt, heatAt       []float64
	curveRoot, ohmRoot, heatRoot *mat.TriDense // lower Cholesky factors of the kernels
	grid                         []float64     // charges at which the curve is tabled
	gridWeights                  []weight      // of the curve's knots
	gridPlaces                   []int         // see placesOf
	profileWeights               []weight      // of the resistance's knots
	heatWeights                  []weight      // of the entropic coefficient's
}

// weight is a straight line between two knots.
type weight struct {
	i int
	f float64
}

var shape = makeShapes()

func makeShapes() shapes {
	s := shapes{curveAt: knots(curveKnots), ohmAt: knots(ohmKnots), heatAt: knots(heatKnots)}
	s.curveRoot, s.ohmRoot = kernelRoot(s.curveAt, curveReach), kernelRoot(s.ohmAt, ohmReach)
	s.heatRoot = kernelRoot(s.heatAt, ohmReach)
	for z := 0.0; z < 0.1-1e-9; z += 0.01 {
		s.grid = append(s.grid, z)
	}
	for z := 0.1; z < 0.9-1e-9; z += 0.02 {
		s.grid = append(s.grid, z)
	}
	for z := 0.9; z < 1+1e-9; z += 0.01 {
		s.grid = append(s.grid, min(z, 1))
	}
	s.gridPlaces = placesOf(s.grid)
	for _, z := range s.grid {
		s.gridWeights = append(s.gridWeights, between(s.curveAt, z))
	}
	for i := range profileLen + 1 {
		s.profileWeights = append(s.profileWeights, between(s.ohmAt, float64(i)/profileLen))
		s.heatWeights = append(s.heatWeights, between(s.heatAt, float64(i)/profileLen))
	}
	return s
}

func kernelRoot(at []float64, reach float64) *mat.TriDense {
	n := len(at)
	k := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			k.SetSym(i, j, math.Exp(-math.Abs(onScale(at[i])-onScale(at[j]))/reach))
		}
	}
	var c mat.Cholesky
	if !c.Factorize(k) {
		panic("battery: the kernel of the knots has no root")
	}
	var root mat.TriDense
	c.LTo(&root)
	return &root
}

// between places z between two knots, straight on the stretched scale.
func between(at []float64, z float64) weight {
	i := 0
	for i < len(at)-2 && z > at[i+1] {
		i++
	}
	x0, x1 := onScale(at[i]), onScale(at[i+1])
	return weight{i, min(max((onScale(z)-x0)/(x1-x0), 0), 1)}
}

func (w weight) of(y []float64) float64 { return y[w.i] + (y[w.i+1]-y[w.i])*w.f }

// correlated turns standard normal numbers into values of the process at its knots.
func correlated(root *mat.TriDense, xi []float64, scale float64) []float64 {
	out := make([]float64, len(xi))
	for i := range out {
		for j := range i + 1 {
			out[i] += root.At(i, j) * xi[j]
		}
		out[i] *= scale
	}
	return out
}

// typical turns unknowns into a cell. rated is the stated capacity.
type typical struct {
	chemistry *Chemistry
	rated     quantity.Measured[quantity.AmpereHours]
	mean      []float64 // of the chemistry's curve on the grid
	spread    []float64 // standard deviation of the curve at its knots
	reference quantity.Celsius
}

func newTypical(c *Chemistry, rated quantity.Measured[quantity.AmpereHours]) (*typical, error) {
	if !rated.Known() || rated.Value <= 0 {
		return nil, fmt.Errorf("a capacity of %g Ah says nothing of a cell", float64(rated.Value))
	}
	t := &typical{chemistry: c, rated: rated, reference: 25}
	for _, z := range shape.grid {
		t.mean = append(t.mean, c.curve.at(z))
	}
	volts, charge := c.value("ocv-volts-spread"), c.value("ocv-charge-spread")
	for _, z := range shape.curveAt {
		// The slope over the spread in charge, so that the steep ends are as unsure as they are.
		low, high := max(0, z-charge), min(1, z+charge)
		slope := (c.curve.at(high) - c.curve.at(low)) / (high - low)
		t.spread = append(t.spread, math.Hypot(volts, charge*slope))
	}
	return t, nil
}

// cell builds the cell that the unknowns xi describe.
func (t *typical) cell(xi []float64) (*Cell, error) {
	c := t.chemistry
	l := places
	q := t.capacity(xi[l.capacity])
	curve, err := t.curve(xi)
	if err != nil {
		return nil, err
	}
	size := t.size(xi[l.capacity])
	cell := &Cell{
		Chemistry: c, Curve: curve, Capacity: quantity.AmpereHours(q), Reference: t.reference,
		Ohmic:            t.ohmic(xi),
		Branches:         []Branch{t.fast(xi), t.slow(xi)},
		Lag:              quantity.Seconds(t.factor("lag-time", xi[l.lag])),
		ActivationOhmic:  t.sum("activation-ohmic", xi[l.energyO]),
		ActivationBranch: t.sum("activation-branch", xi[l.energyB]),
		ActivationLag:    t.sum("activation-lag", xi[l.energyL]),
	}
	cell.HeatCapacity = t.factor("heat-capacity", xi[l.heatCapacity]) * size
	cell.Conductance = cell.HeatCapacity / t.factor("cooling-time", xi[l.coolingTime])
	cell.Entropic = t.entropic(xi[l.entropic : l.entropic+1+heatKnots])
	if t.peukert() {
		k := max(1, t.sum("peukert", xi[l.peukert]))
		hours, _ := c.Value("rated-hours")
		cell.Peukert = &Peukert{Exponent: k, Capacity: cell.Capacity, Rated: quantity.Seconds(3600 * hours)}
	}
	return cell, nil
}

// base is the ohmic resistance of a typical cell of its size, Ω.
func (t *typical) base(xi []float64) float64 {
	return t.chemistry.Facts["ohmic"].Value / t.size(xi[places.capacity])
}

func (t *typical) ohmic(xi []float64) Profile {
	return profile(t.base(xi), t.chemistry.Facts["ohmic"].U, ohmShape, xi[places.ohm:places.ohm+1+ohmKnots])
}

func (t *typical) fast(xi []float64) Branch {
	f := t.chemistry.Facts["branch-share"]
	return Branch{profile(t.base(xi)*f.Value, f.U, fastShape, xi[places.fast:places.fast+1+ohmKnots]), quantity.Seconds(t.factor("branch-time", xi[places.fastTime]))}
}

func (t *typical) slow(xi []float64) Branch {
	f := t.chemistry.Facts["slow-share"]
	return Branch{profile(t.base(xi)*f.Value, f.U, slowShape, xi[places.slow:places.slow+1+ohmKnots]), quantity.Seconds(t.factor("slow-time", xi[places.slowTime]))}
}

// peukert says whether the chemistry gives less charge the faster it is drawn.
func (t *typical) peukert() bool {
	_, ok := t.chemistry.Value("peukert")
	return ok
}

// factor is a positive fact times exp(u·xi); sum is a fact plus u·xi, not below zero.
func (t *typical) factor(name string, xi float64) float64 {
	f := t.chemistry.Facts[name]
	return f.Value * math.Exp(f.U*xi)
}

func (t *typical) sum(name string, xi float64) float64 {
	f := t.chemistry.Facts[name]
	return max(0, f.Value+f.U*xi)
}

// entropic is the chemistry's coefficient with the correction of the unknowns.
func (t *typical) entropic(xi []float64) Profile {
	f := t.chemistry.Facts["entropic"]
	d := correlated(shape.heatRoot, xi[1:], f.U)
	p := make(Profile, profileLen+1)
	for i, w := range shape.heatWeights {
		p[i] = f.Value + f.U*xi[0]/2 + w.of(d)
	}
	return p
}

func profile(base, level, spread float64, xi []float64) Profile {
	logs := correlated(shape.ohmRoot, xi[1:], spread)
	base *= math.Exp(level * xi[0])
	p := make(Profile, profileLen+1)
	for i, w := range shape.profileWeights {
		p[i] = base * math.Exp(w.of(logs))
	}
	return p
}

// knots are the corrections of the unknowns to the chemistry's curve, V.
func (t *typical) knots(xi []float64) []float64 {
	d := correlated(shape.curveRoot, xi[places.curve:places.curve+curveKnots], 1)
	for i := range d {
		d[i] *= t.spread[i]
	}
	return d
}

func (t *typical) curve(xi []float64) (*Curve, error) { return t.through(t.knots(xi)) }

// through is the chemistry's curve with corrections at the knots, made monotone.
func (t *typical) through(d []float64) (*Curve, error) {
	volts := make([]float64, len(t.mean))
	for i := range volts {
		volts[i] = t.mean[i] + shape.gridWeights[i].of(d)
	}
	rise(volts)
	c, err := newCurve(shape.grid, volts, shape.gridPlaces)
	if err != nil {
		return nil, err
	}
	// Beyond the ends the line is never flatter than the typical one.
	c.under, c.over = max(c.under, t.chemistry.curve.under), max(c.over, t.chemistry.curve.over)
	return c, nil
}

// rise makes a sequence not falling with the least change in the sense of least
// squares (pool adjacent violators).
func rise(y []float64) {
	type block struct {
		mean float64
		n    int
	}
	var blocks []block
	for _, v := range y {
		blocks = append(blocks, block{v, 1})
		for k := len(blocks) - 1; k > 0 && blocks[k].mean < blocks[k-1].mean; k-- {
			a, b := blocks[k-1], blocks[k]
			n := a.n + b.n
			blocks[k-1] = block{(a.mean*float64(a.n) + b.mean*float64(b.n)) / float64(n), n}
			blocks = blocks[:k]
		}
	}
	i := 0
	for _, b := range blocks {
		for range b.n {
			y[i] = b.mean
			i++
		}
	}
}
