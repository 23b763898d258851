package drive

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// Plate is what is known of a motor: printed on it, in its listing, or measured.
// A value that is not known is quantity.Missing or left zero. Rated is always
// needed. Of the rest, these sets are enough, and more are checked against them:
//
//   - the no-load speed and current with the resistance, or the stall current, or the stall torque;
//   - the no-load speed and current with the rated current (or the rated power and efficiency) and the rated power;
//   - the no-load speed and current with the rated speed and the rated power or torque;
//   - the rated speed, power and current with the no-load speed or the no-load current;
//   - the torque constant in the place of the no-load speed.
type Plate struct {
	Rated         quantity.Measured[quantity.Volts]
	NoLoadSpeed   quantity.Measured[quantity.RevolutionsPerMinute]
	NoLoadCurrent quantity.Measured[quantity.Amperes]
	Resistance    quantity.Measured[quantity.Ohms] // between the terminals at Winding
	StallCurrent  quantity.Measured[quantity.Amperes]
	StallTorque   quantity.Measured[quantity.NewtonMetres]
	Power         quantity.Measured[quantity.Watts] // at the shaft, at the rated point
	Speed         quantity.Measured[quantity.RevolutionsPerMinute]
	Current       quantity.Measured[quantity.Amperes]
	Torque        quantity.Measured[quantity.NewtonMetres]
	Efficiency    quantity.Measured[quantity.Fraction]
	Constant      quantity.Measured[quantity.Number] // k, N·m/A
	Frictionless  bool                               // the no-load current is nought, as in a textbook
	Winding       quantity.Celsius                   // the temperature all this holds for
}

// Places in a plate's list of values.
const (
	pRated = iota
	pNoLoadSpeed
	pNoLoadCurrent
	pResistance
	pStallCurrent
	pStallTorque
	pPower
	pSpeed
	pCurrent
	pTorque
	pEfficiency
	pConstant
	plateCount
)

var plateWords = [plateCount]struct{ name, unit string }{
	{"rated voltage", "V"}, {"no-load speed", "rpm"}, {"no-load current", "A"}, {"resistance", "Ω"},
	{"stall current", "A"}, {"stall torque", "N·m"}, {"rated power", "W"}, {"rated speed", "rpm"},
	{"rated current", "A"}, {"rated torque", "N·m"}, {"rated efficiency", ""}, {"torque constant", "N·m/A"},
}

// values gives the plate as numbers in the units of plateWords, NaN where unknown.
func (p Plate) values() (x, u [plateCount]float64) {
	set := func(i int, v, s float64) {
		if v == 0 {
			v = math.NaN()
		}
		x[i], u[i] = v, s
	}
	set(pRated, float64(p.Rated.Value), float64(p.Rated.U))
	set(pNoLoadSpeed, float64(p.NoLoadSpeed.Value), float64(p.NoLoadSpeed.U))
	set(pNoLoadCurrent, float64(p.NoLoadCurrent.Value), float64(p.NoLoadCurrent.U))
	set(pResistance, float64(p.Resistance.Value), float64(p.Resistance.U))
	set(pStallCurrent, float64(p.StallCurrent.Value), float64(p.StallCurrent.U))
	set(pStallTorque, float64(p.StallTorque.Value), float64(p.StallTorque.U))
	set(pPower, float64(p.Power.Value), float64(p.Power.U))
	set(pSpeed, float64(p.Speed.Value), float64(p.Speed.U))
	set(pCurrent, float64(p.Current.Value), float64(p.Current.U))
	set(pTorque, float64(p.Torque.Value), float64(p.Torque.U))
	set(pEfficiency, float64(p.Efficiency.Value), float64(p.Efficiency.U))
	set(pConstant, float64(p.Constant.Value), float64(p.Constant.U))
	if p.Frictionless {
		x[pNoLoadCurrent], u[pNoLoadCurrent] = 0, 0
	}
	return x, u
}

// Agreement is the relative difference between a given value and the one that
// follows from the others which passes without a word; what is printed on a
// motor is seldom better. The stated uncertainties (k = 2) come on top. It is our
// own choice of figure; common practice, no source.
const Agreement = 0.05

// Motor finds the constants. It gives *InputError for a value that cannot be,
// *MissingError where too little is given, and *ContradictionError where more
// is given than is needed and it does not fit together within Agreement.
func (p Plate) Motor() (Motor, error) {
	x, u := p.values()
	return solvePlate(x, u, p.Winding)
}

func solvePlate(x, u [plateCount]float64, winding quantity.Celsius) (Motor, error) {
	for i, v := range x {
		if math.IsNaN(v) || i == pNoLoadCurrent && v == 0 {
			continue
		}
		if err := above("the motor's "+plateWords[i].name, v, plateWords[i].unit); err != nil {
			return Motor{}, err
		}
	}
	if math.IsNaN(x[pRated]) {
		return Motor{}, &MissingError{[]string{"constants"}, "give its rated voltage, which all the rest refers to"}
	}
	if e := x[pEfficiency]; e >= 1 {
		return Motor{}, &InputError{"the motor's rated efficiency", 100 * e, "%", "below 100 %"}
	}
	d := newDeduction(x)
	d.run()
	if missing := d.missing(); missing != nil {
		return Motor{}, missing
	}
	if d.i0 < 0 && d.i0 > -1e-9*x[pRated]/d.r { // nothing but rounding
		d.i0 = 0
	}
	if !(d.r > 0) || !(d.k > 0) || !(d.i0 >= 0) || !finite(d.r) || !finite(d.k) || !finite(d.i0) {
		return Motor{}, d.absurd()
	}
	m := Motor{K: d.k, R: quantity.Ohms(d.r), Friction: d.k * d.i0, Winding: winding}
	if err := m.Check(); err != nil {
		return Motor{}, err
	}
	if !(d.i0 < x[pRated]/d.r) {
		return Motor{}, &ContradictionError{"no-load current", d.i0, x[pRated] / d.r, "A (the stall current)", d.names(), 0}
	}
	return m, d.contradiction(m, x, u)
}

// deduction finds k, R and I₀ by closed forms, one after another, from whatever
// is known; used remembers which of the given values it rests on.
type deduction struct {
	x        [plateCount]float64
	k, r, i0 float64 // NaN: not yet known
	used     [plateCount]bool
}

func newDeduction(x [plateCount]float64) *deduction {
	return &deduction{x: x, k: math.NaN(), r: math.NaN(), i0: math.NaN()}
}

func (d *deduction) has(places ...int) bool {
	for _, i := range places {
		if math.IsNaN(d.x[i]) {
			return false
		}
	}
	return true
}

func (d *deduction) use(places ...int) {
	d.used[pRated] = true
	for _, i := range places {
		d.used[i] = true
	}
}

func known(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) {
			return false
		}
	}
	return true
}

// ratedCurrent is I, or P/(η·V), with the places it rests on.
func (d *deduction) ratedCurrent() (float64, []int) {
	if d.has(pCurrent) {
		return d.x[pCurrent], []int{pCurrent}
	}
	if d.has(pPower, pEfficiency) {
		return d.x[pPower] / d.x[pEfficiency] / d.x[pRated], []int{pPower, pEfficiency}
	}
	return math.NaN(), nil
}

// ratedPower is P, or T·ω, or η·V·I.
func (d *deduction) ratedPower() (float64, []int) {
	switch {
	case d.has(pPower):
		return d.x[pPower], []int{pPower}
	case d.has(pTorque, pSpeed):
		return d.x[pTorque] * d.x[pSpeed] / rpmPerRadian, []int{pTorque, pSpeed}
	case d.has(pCurrent, pEfficiency):
		return d.x[pEfficiency] * d.x[pRated] * d.x[pCurrent], []int{pCurrent, pEfficiency}
	}
	return math.NaN(), nil
}

// ratedTorque is T, or P/ω.
func (d *deduction) ratedTorque() (float64, []int) {
	if d.has(pTorque) {
		return d.x[pTorque], []int{pTorque}
	}
	if p, from := d.ratedPower(); known(p) && d.has(pSpeed) {
		return p / (d.x[pSpeed] / rpmPerRadian), append(from, pSpeed)
	}
	return math.NaN(), nil
}

func (d *deduction) run() {
	for {
		before := [3]bool{known(d.k), known(d.r), known(d.i0)}
		d.direct()
		d.byNoLoad()
		d.byRating()
		after := [3]bool{known(d.k), known(d.r), known(d.i0)}
		if before == after {
			return
		}
	}
}

// direct takes what is given as it stands, and what follows from two of the three.
func (d *deduction) direct() {
	v := d.x[pRated]
	if !known(d.r) && d.has(pResistance) {
		d.r = d.x[pResistance]
		d.use(pResistance)
	}
	if !known(d.r) && d.has(pStallCurrent) {
		d.r = v / d.x[pStallCurrent]
		d.use(pStallCurrent)
	}
	if !known(d.k) && d.has(pConstant) {
		d.k = d.x[pConstant]
		d.use(pConstant)
	}
	if !known(d.i0) && d.has(pNoLoadCurrent) {
		d.i0 = d.x[pNoLoadCurrent]
		d.use(pNoLoadCurrent)
	}
	if !known(d.r) && known(d.k, d.i0) && d.has(pStallTorque) { // T = k·(V/R − I₀)
		d.r = v / (d.x[pStallTorque]/d.k + d.i0)
		d.use(pStallTorque)
	}
}

// byNoLoad uses V = k·ω₀ + I₀·R.
func (d *deduction) byNoLoad() {
	if !d.has(pNoLoadSpeed) {
		return
	}
	v, w0 := d.x[pRated], d.x[pNoLoadSpeed]/rpmPerRadian
	switch {
	case !known(d.k) && known(d.r, d.i0):
		d.k = (v - d.i0*d.r) / w0
		d.use(pNoLoadSpeed)
	case known(d.k, d.r) && !known(d.i0):
		d.i0 = (v - d.k*w0) / d.r
		d.use(pNoLoadSpeed)
	case !known(d.k, d.r) && known(d.i0) && d.has(pStallTorque):
		// T = (V − I₀R)²/(ω₀R): I₀²R² − (2VI₀ + Tω₀)R + V² = 0, the lesser root.
		d.r = lesserRoot(d.i0*d.i0, -(2*v*d.i0 + d.x[pStallTorque]*w0), v*v)
		d.use(pNoLoadSpeed, pStallTorque)
	}
}

// byRating uses the rated point, V = k·ω + I·R and P = (I − I₀)·(V − I·R).
func (d *deduction) byRating() {
	v := d.x[pRated]
	i, iFrom := d.ratedCurrent()
	p, pFrom := d.ratedPower()
	torque, tFrom := d.ratedTorque()
	w := d.x[pSpeed] / rpmPerRadian
	w0 := d.x[pNoLoadSpeed] / rpmPerRadian
	switch {
	case !known(d.r) && known(d.i0, i, p):
		d.r = (v - p/(i-d.i0)) / i
		d.use(append(iFrom, pFrom...)...)
	case !known(d.k) && known(d.r, i, w):
		d.k = (v - i*d.r) / w
		d.use(append(iFrom, pSpeed)...)
	case !known(d.i0) && known(d.k, i, torque):
		d.i0 = i - torque/d.k
		d.use(append(iFrom, tFrom...)...)
	case !known(d.k) && !known(d.r) && known(d.i0, w, w0, torque):
		// k·(ω₀ − ω) = R·T/k with V = k·ω₀ + I₀·R: a·k² + ω₀·k − V = 0.
		a := d.i0 * (w0 - w) / torque
		d.k = positiveRoot(a, w0, -v)
		d.r = d.k * d.k * (w0 - w) / torque
		d.use(append(tFrom, pSpeed, pNoLoadSpeed)...)
	case !known(d.i0) && known(w, w0, torque, i): // nor k and R, or one of the cases above would hold
		// The same slope with R = (V − k·ω)/I: k²·(ω₀ − ω) + k·T·ω/I − T·V/I = 0.
		d.k = positiveRoot(w0-w, torque*w/i, -torque*v/i)
		d.r = (v - d.k*w) / i
		d.i0 = i - torque/d.k
		d.use(append(append(tFrom, iFrom...), pSpeed, pNoLoadSpeed)...)
	}
}

// positiveRoot is the one root above zero of a·x² + b·x + c with b > 0 > c and a ≥ 0.
func positiveRoot(a, b, c float64) float64 {
	return 2 * -c / (b + math.Sqrt(b*b-4*a*c))
}

// lesserRoot is the lesser root of a·x² + b·x + c with b < 0 < c and a ≥ 0.
func lesserRoot(a, b, c float64) float64 {
	return 2 * c / (-b + math.Sqrt(b*b-4*a*c))
}

func (d *deduction) names() []string {
	var out []string
	for i, used := range d.used {
		if used {
			out = append(out, "the "+plateWords[i].name)
		}
	}
	return out
}

func (d *deduction) missing() error {
	e := &MissingError{}
	if !known(d.k) {
		e.Unknown = append(e.Unknown, "torque constant")
	}
	if !known(d.r) {
		e.Unknown = append(e.Unknown, "resistance")
	}
	if !known(d.i0) {
		e.Unknown = append(e.Unknown, "friction")
	}
	if len(e.Unknown) == 0 {
		return nil
	}
	var add []string
	if !d.has(pNoLoadSpeed) && !known(d.k) {
		add = append(add, "the no-load speed")
	}
	if !d.has(pNoLoadCurrent) {
		add = append(add, "the no-load current")
	}
	if !known(d.r) {
		add = append(add, "one of resistance, stall current, or rated power with the rated current, speed or efficiency")
	}
	if len(add) == 0 {
		add = append(add, "one value more of its rating")
	}
	e.Remedy = "add " + add[0]
	for i, a := range add[1:] {
		if i == len(add)-2 {
			e.Remedy += " and " + a
		} else {
			e.Remedy += ", " + a
		}
	}
	return e
}

// absurd explains constants that no motor has.
func (d *deduction) absurd() error {
	what, v := "resistance", d.r
	switch {
	case !(d.i0 >= 0):
		what, v = "no-load current", d.i0
	case d.r > 0 && !(d.k > 0):
		what, v = "torque constant", d.k
	}
	return fmt.Errorf("%s would give the motor a %s of %.3g, which no motor has: one of them is wrong, or the rated power is that of the input and not of the shaft", join(d.names()), what, v)
}

func join(names []string) string {
	s := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			s += " and "
		default:
			s += ", "
		}
		s += n
	}
	return s
}

// contradiction compares the given values that were not used with the motor.
func (d *deduction) contradiction(m Motor, x, u [plateCount]float64) error {
	v := quantity.Volts(x[pRated])
	say := func(i int, computed float64) error {
		allowed := Agreement
		if u[i] > 0 {
			allowed += quantity.CoverageFactor * u[i] / x[i]
		}
		if d.used[i] || math.IsNaN(x[i]) || math.IsNaN(computed) || math.Abs(x[i]-computed) <= allowed*computed {
			return nil
		}
		return &ContradictionError{plateWords[i].name, x[i], computed, plateWords[i].unit, d.names(), allowed}
	}
	rated := Load{Rotation: quantity.RevolutionsPerMinute(math.NaN()), Out: quantity.Watts(math.NaN()), Current: quantity.Amperes(math.NaN()),
		Torque: quantity.NewtonMetres(math.NaN()), Efficiency: quantity.Fraction(math.NaN())}
	// Speed follows from current or torque far more surely than they from it.
	i, _ := d.ratedCurrent()
	torque, _ := d.ratedTorque()
	switch {
	case known(i):
		rated = m.AtCurrent(v, quantity.Amperes(i))
	case known(torque):
		rated = m.AtTorque(v, quantity.NewtonMetres(torque))
	case d.has(pSpeed):
		rated = m.AtSpeed(v, quantity.RevolutionsPerMinute(x[pSpeed]))
	}
	for _, row := range []struct {
		place    int
		computed float64
	}{
		{pNoLoadSpeed, float64(m.NoLoadSpeed(v))}, {pNoLoadCurrent, float64(m.NoLoadCurrent())}, {pResistance, float64(m.R)},
		{pConstant, m.K}, {pStallCurrent, float64(m.StallCurrent(v))}, {pStallTorque, float64(m.StallTorque(v))},
		{pCurrent, float64(rated.Current)}, {pPower, float64(rated.Out)}, {pTorque, float64(rated.Torque)},
		{pEfficiency, float64(rated.Efficiency)}, {pSpeed, float64(rated.Rotation)},
	} {
		if err := say(row.place, row.computed); err != nil {
			return err
		}
	}
	return nil
}

// Constants are those of a motor with the uncertainty that a plate's values leave.
type Constants struct {
	K             quantity.Measured[quantity.Number] // N·m/A
	R             quantity.Measured[quantity.Ohms]
	NoLoadCurrent quantity.Measured[quantity.Amperes]
}

// Constants finds the constants with their standard uncertainty, to first order
// (JCGM 100:2008, 5.1.2); the values of the plate count as independent.
// A plate that states too little, or what contradicts itself, is an error.
func (p Plate) Constants() (Constants, error) {
	m, err := p.Motor()
	if err != nil {
		return Constants{}, err
	}
	x, u := p.values()
	return Constants{
		K:             quantity.Of(quantity.Number(m.K), quantity.Number(spreadPlate(x, u, func(m Motor) float64 { return m.K }))),
		R:             quantity.Of(m.R, quantity.Ohms(spreadPlate(x, u, func(m Motor) float64 { return float64(m.R) }))),
		NoLoadCurrent: quantity.Of(m.NoLoadCurrent(), quantity.Amperes(spreadPlate(x, u, func(m Motor) float64 { return float64(m.NoLoadCurrent()) }))),
	}, nil
}

func spreadPlate(x, u [plateCount]float64, of func(Motor) float64) float64 {
	var places []int
	var xs, us []float64
	for i := range x {
		if !math.IsNaN(x[i]) && u[i] != 0 {
			places, xs, us = append(places, i), append(xs, x[i]), append(us, u[i])
		}
	}
	_, uy := quantity.Propagate(func(v []float64) float64 {
		at := x
		for n, i := range places {
			at[i] = v[n]
		}
		d := newDeduction(at)
		d.run()
		return of(Motor{K: d.k, R: quantity.Ohms(d.r), Friction: d.k * d.i0})
	}, xs, us, nil)
	return uy
}
