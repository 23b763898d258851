package runlog

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/quantity"
)

// newResult is a result in which every figure is missing.
func newResult(e Evidence) *Result {
	r := &Result{
		Evidence: e,
		Idle:     quantity.Amperes(math.NaN()),
		Elapsed:  quantity.Missing[quantity.Seconds](), Running: quantity.Missing[quantity.Seconds](), Stopped: quantity.Missing[quantity.Seconds](),
		Charge: missingFlow[quantity.AmpereHours](), Energy: missingFlow[quantity.WattHours](),
		MeanCurrent: quantity.Missing[quantity.Amperes](), PeakCurrent: quantity.Missing[quantity.Amperes](), P95Current: quantity.Missing[quantity.Amperes](),
		MeanVoltage: quantity.Missing[quantity.Volts](), LowestVoltage: quantity.Missing[quantity.Volts](),
		StartVoltage: quantity.Missing[quantity.Volts](), EndVoltage: quantity.Missing[quantity.Volts](), Sag: quantity.Missing[quantity.Volts](),
		Resistance: Resistance{Measured: quantity.Missing[quantity.Ohms](), Settle: quantity.Seconds(math.NaN())},
		Distance:   quantity.Missing[quantity.Metres](), PerDistance: quantity.Missing[quantity.WattHoursPerKilometre](),
		TopSpeed: quantity.Missing[quantity.MetresPerSecond](), MeanSpeed: quantity.Missing[quantity.MetresPerSecond](),
		TemperatureRise: quantity.Missing[quantity.Kelvins](), FullCycles: quantity.Missing[quantity.Number](),
		Phases:  noPhases(),
		missing: map[string]string{}, notes: map[string]string{},
	}
	return r
}

func missingFlow[K quantity.Kind]() Flow[K] {
	none := noPair[K]()
	return Flow[K]{Out: quantity.Missing[K](), In: quantity.Missing[K](), Trapezoid: none, Earlier: none, Later: none, Sampling: none, Counted: none}
}

func noPair[K quantity.Kind]() FlowPair[K] {
	nan := K(math.NaN())
	return FlowPair[K]{nan, nan}
}

// miss says why a figure is missing; the first reason stays.
func (r *Result) miss(name, why string) {
	if r.missing[name] == "" {
		r.missing[name] = why
	}
}

func (r *Result) missAll(why string) {
	for _, f := range figureTable {
		r.miss(f.name, why)
	}
}

func (r *Result) missEnergy(why string) {
	r.Energy = missingFlow[quantity.WattHours]()
	r.miss("energy-out", why)
	r.miss("energy-in", why)
}

func (r *Result) missCutout(why string) {
	for _, name := range cutoutFigures {
		r.miss(name, why)
	}
}

// note adds a sentence to a figure.
func (r *Result) note(name, text string) {
	if r.notes[name] != "" {
		text = r.notes[name] + " " + text
	}
	r.notes[name] = text
}

// finish derives what follows from several figures.
func (r *Result) finish(o *Options) {
	r.wall(o)
	if r.Distance.Known() && r.Distance.Value > 0 && r.Energy.Out.Known() {
		net := quantity.Difference(r.Energy.Out, r.Energy.In)
		r.PerDistance = quantity.Quotient(net, r.Distance, quantity.EnergyPerLengthFrom)
		if r.Energy.In.Value > 0 {
			r.note("energy-per-distance", "Energy out less energy in, by distance.")
		}
	} else if r.Distance.Known() && r.Energy.Out.Known() {
		r.miss("energy-per-distance", "The vehicle did not move.")
	} else if why := r.missing["distance"]; why != "" {
		r.miss("energy-per-distance", why)
	} else {
		r.miss("energy-per-distance", r.missing["energy-out"])
	}
	switch {
	case !o.Rated.Known() || o.Rated.Value <= 0:
		r.miss("full-cycles", "The pack's rated charge is not stated.")
	case !r.Charge.Out.Known():
		r.miss("full-cycles", r.missing["charge-out"])
	default:
		r.FullCycles = quantity.Quotient(r.Charge.Out, o.Rated, func(q, rated quantity.AmpereHours) quantity.Number {
			return quantity.Number(float64(q) / float64(rated))
		})
	}
}

// figureFact is everything that is said of a figure anywhere: its fixed name, its label, the Doc that explains it, its
// dimension and where its value is.
type figureFact struct {
	name, label, formula string
	value                func(*Result) quantity.Quantity
}

func of[K quantity.Kind](get func(*Result) quantity.Measured[K]) func(*Result) quantity.Quantity {
	return func(r *Result) quantity.Quantity { return get(r).Quantity() }
}

// ofCutout gives a figure of the cutout's opening, missing where there was none.
func ofCutout[K quantity.Kind](get func(*CutoutEvent) quantity.Measured[K]) func(*Result) quantity.Quantity {
	return func(r *Result) quantity.Quantity {
		if r.Cutout == nil {
			return quantity.Missing[K]().Quantity()
		}
		return get(r.Cutout).Quantity()
	}
}

func ofFit[K quantity.Kind](get func(*ReboundFit) quantity.Measured[K]) func(*Result) quantity.Quantity {
	return ofCutout(func(c *CutoutEvent) quantity.Measured[K] {
		if c.Rebound.Fit == nil {
			return quantity.Missing[K]()
		}
		return get(c.Rebound.Fit)
	})
}

type (
	inSeconds = quantity.Measured[quantity.Seconds]
	inVolts   = quantity.Measured[quantity.Volts]
	inAmperes = quantity.Measured[quantity.Amperes]
)

// figureTable is the one table of figures, in printing order.
var figureTable = []figureFact{
	{"elapsed-time", "Elapsed time", "elapsed-time", of(func(r *Result) inSeconds { return r.Elapsed })},
	{"running-time", "Running time", "running-time", of(func(r *Result) inSeconds { return r.Running })},
	{"stopped-time", "Time stopped", "running-time", of(func(r *Result) inSeconds { return r.Stopped })},
	{"charge-out", "Charge out", "charge-by-trapezoid", of(func(r *Result) quantity.Measured[quantity.AmpereHours] { return r.Charge.Out })},
	{"charge-in", "Charge in", "charge-by-trapezoid", of(func(r *Result) quantity.Measured[quantity.AmpereHours] { return r.Charge.In })},
	{"energy-out", "Energy out", "energy-by-trapezoid", of(func(r *Result) quantity.Measured[quantity.WattHours] { return r.Energy.Out })},
	{"energy-in", "Energy in", "energy-by-trapezoid", of(func(r *Result) quantity.Measured[quantity.WattHours] { return r.Energy.In })},
	{"mean-current", "Mean current", "mean-current", of(func(r *Result) inAmperes { return r.MeanCurrent })},
	{"peak-current", "Peak current", "peak-current", of(func(r *Result) inAmperes { return r.PeakCurrent })},
	{"p95-current", "Current exceeded 5 % of the time", "p95-current", of(func(r *Result) inAmperes { return r.P95Current })},
	{"mean-voltage", "Mean voltage", "mean-voltage", of(func(r *Result) inVolts { return r.MeanVoltage })},
	{"lowest-voltage", "Lowest voltage", "single-reading", of(func(r *Result) inVolts { return r.LowestVoltage })},
	{"start-voltage", "Voltage at the start", "single-reading", of(func(r *Result) inVolts { return r.StartVoltage })},
	{"end-voltage", "Voltage at the end", "single-reading", of(func(r *Result) inVolts { return r.EndVoltage })},
	{"sag", "Sag", "sag", of(func(r *Result) inVolts { return r.Sag })},
	{"resistance", "Internal resistance", "resistance-from-steps", of(func(r *Result) quantity.Measured[quantity.Ohms] { return r.Resistance.Measured })},
	{"cutout-voltage", "Voltage at which the cutout opened", "cutout-opening", ofCutout(func(c *CutoutEvent) inVolts { return c.OpenedVoltage })},
	{"cutout-time", "Time at which the cutout opened", "cutout-opening", ofCutout(func(c *CutoutEvent) inSeconds { return c.OpenedAt })},
	{"rebound-peak", "Highest rebound", "rebound", ofCutout(func(c *CutoutEvent) inVolts { return c.Rebound.Peak })},
	{"rebound-time", "Time to the highest rebound", "rebound", ofCutout(func(c *CutoutEvent) inSeconds { return c.Rebound.TimeToPeak })},
	{"rebound-asymptote", "Voltage that the rebound tends to", "rebound", ofFit(func(f *ReboundFit) inVolts { return f.Asymptote })},
	{"rebound-time-constant", "Time constant of the rebound", "rebound", ofFit(func(f *ReboundFit) inSeconds { return f.TimeConstant })},
	{"reset-point", "Reset point", "reset-margin", ofCutout(func(c *CutoutEvent) inVolts { return c.ResetPoint })},
	{"reset-margin", "Margin to the reset point", "reset-margin", ofCutout(func(c *CutoutEvent) inVolts { return c.Margin.Margin })},
	{"distance", "Distance", "distance", of(func(r *Result) quantity.Measured[quantity.Metres] { return r.Distance })},
	{"energy-per-distance", "Energy per distance", "energy-per-distance", of(func(r *Result) quantity.Measured[quantity.WattHoursPerKilometre] { return r.PerDistance })},
	{"top-speed", "Top speed", "top-speed", of(func(r *Result) quantity.Measured[quantity.MetresPerSecond] { return r.TopSpeed })},
	{"mean-speed", "Mean speed", "mean-speed", of(func(r *Result) quantity.Measured[quantity.MetresPerSecond] { return r.MeanSpeed })},
	{"temperature-rise", "Temperature rise", "temperature-rise", of(func(r *Result) quantity.Measured[quantity.Kelvins] { return r.TemperatureRise })},
	{"constant-current-time", "Time with the current held", "charge-phases", ofPhases(func(p *ChargePhases) inSeconds { return p.CurrentTime })},
	{"constant-current-charge", "Charge put in with the current held", "charge-phases", ofPhases(func(p *ChargePhases) quantity.Measured[quantity.AmpereHours] { return p.CurrentCharge })},
	{"constant-voltage-time", "Time with the voltage held", "charge-phases", ofPhases(func(p *ChargePhases) inSeconds { return p.VoltageTime })},
	{"constant-voltage-charge", "Charge put in with the voltage held", "charge-phases", ofPhases(func(p *ChargePhases) quantity.Measured[quantity.AmpereHours] { return p.VoltageCharge })},
	{"held-current", "Held current", "charge-phases", ofPhases(func(p *ChargePhases) inAmperes { return p.HeldCurrent })},
	{"held-voltage", "Held voltage", "charge-phases", ofPhases(func(p *ChargePhases) inVolts { return p.HeldVoltage })},
	{"last-current", "Current at the end of the held voltage", "charge-phases", ofPhases(func(p *ChargePhases) inAmperes { return p.LastCurrent })},
	{"wall-energy", "Energy from the wall", "charging-efficiency", ofPhases(func(p *ChargePhases) quantity.Measured[quantity.WattHours] { return p.Wall })},
	{"charging-efficiency", "Energy into the pack by energy from the wall", "charging-efficiency", ofPhases(func(p *ChargePhases) quantity.Measured[quantity.Fraction] { return p.Efficiency })},
	{"full-cycles", "Equivalent full cycles", "full-cycles", of(func(r *Result) quantity.Measured[quantity.Number] { return r.FullCycles })},
}

// cutoutFigures are missing together where no opening was seen.
var cutoutFigures = []string{"cutout-voltage", "cutout-time", "rebound-peak", "rebound-time", "rebound-asymptote",
	"rebound-time-constant", "reset-point", "reset-margin"}

// FigureNames lists the names of all figures in printing order.
func FigureNames() []string {
	out := make([]string, len(figureTable))
	for k, f := range figureTable {
		out[k] = f.name
	}
	return out
}

// FigureLabel is the label of a figure, and false for a name that is none.
func FigureLabel(name string) (string, bool) {
	for _, f := range figureTable {
		if f.name == name {
			return f.label, true
		}
	}
	return "", false
}

// Figures gives every figure in printing order, the missing ones with the reason.
func (r *Result) Figures() []Figure {
	out := make([]Figure, 0, len(figureTable))
	for _, f := range figureTable {
		out = append(out, r.figure(&f))
	}
	return out
}

// Figure gives the figure of a name, and false for a name that is none.
func (r *Result) Figure(name string) (Figure, bool) {
	for k := range figureTable {
		if figureTable[k].name == name {
			return r.figure(&figureTable[k]), true
		}
	}
	return Figure{}, false
}

func (r *Result) figure(f *figureFact) Figure {
	q := f.value(r)
	out := Figure{Name: f.name, Label: f.label, Dimension: q.Dimension, Formula: f.formula}
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		out.Quantity = quantity.None[quantity.Quantity](r.whyMissing(f.name))
		return out
	}
	if math.IsInf(q.U, 0) {
		q.U = math.NaN()
	}
	out.Note = r.notes[f.name]
	r.describe(&out, q.U)
	for i := range out.Extra {
		out.Extra[i].Quantity = alike(out.Extra[i].Quantity, q)
	}
	out.Quantity = quantity.Some(q)
	return out
}

// alike gives a quantity the unit and the decimals in which another is printed, so that the two can be compared by eye.
func alike(q, printed quantity.Quantity) quantity.Quantity {
	parts := printed.Parts()
	q.Unit, q.Decimals = parts.Unit, 0
	if at := strings.IndexByte(parts.Value, '.'); at >= 0 {
		q.Decimals = len(parts.Value) - at - 1
	}
	return q
}

func (r *Result) whyMissing(name string) string {
	if why := r.missing[name]; why != "" {
		return why
	}
	if c := r.Cutout; c != nil {
		switch name {
		case "rebound-peak", "rebound-time", "rebound-asymptote", "rebound-time-constant":
			return c.Rebound.NoFit
		case "reset-point":
			return "The cutout's reset threshold is not stated."
		case "reset-margin":
			if !c.ResetPoint.Known() {
				return "The cutout's reset threshold is not stated."
			}
			return c.Rebound.NoFit
		}
	}
	return "The evidence does not give it."
}

// describe adds to a figure with the uncertainty u what follows from the rest of the result.
func (r *Result) describe(f *Figure, u float64) {
	add := func(text string) {
		if f.Note != "" {
			f.Note += " "
		}
		f.Note += text
	}
	switch f.Name {
	case "charge-out":
		f.Extra = flowExtras(&r.Charge, false)
	case "charge-in":
		f.Extra = flowExtras(&r.Charge, true)
	case "energy-out":
		f.Extra = flowExtras(&r.Energy, false)
	case "energy-in":
		f.Extra = flowExtras(&r.Energy, true)
	}
	if math.IsNaN(u) {
		switch f.Name {
		case "charge-out":
			add(unstated(r.Charge.Sampling.Out))
		case "energy-out":
			add(unstated(r.Energy.Sampling.Out))
		}
	}
	c := r.Cutout
	if c == nil {
		return
	}
	switch f.Name {
	case "cutout-voltage", "cutout-time":
		if c.Inferred {
			add("No cutout is stated: the load ended at the lowest voltage and did not come back, which may also have been done by hand.")
		}
		if c.Openings > 1 {
			add(fmt.Sprintf("It opened %d times; this is the first.", c.Openings))
		}
	case "rebound-peak", "reset-margin":
		if c.Rebound.StillRising {
			add("The voltage was still rising when the record of the rebound ended.")
		}
	case "rebound-asymptote", "rebound-time-constant":
		add(fmt.Sprintf("One exponential through %d points, R² = %.4f; what it leaves is counted in the uncertainty.", c.Rebound.Fit.Points, c.Rebound.Fit.R2))
	}
}

// unstated says what is known of an uncertainty where no instrument is.
func unstated[K quantity.Kind](sampling K) string {
	if sampling == 0 || math.IsNaN(float64(sampling)) {
		return "No accuracy is stated for the instruments, so the uncertainty is not known."
	}
	return fmt.Sprintf("No accuracy is stated for the instruments, so the uncertainty is not known; the samples alone leave ±%s.",
		quantity.Quantity{Dimension: sampling.Dimension(), Value: roundTo(quantity.CoverageFactor*float64(sampling), 2), U: 0, Decimals: -1}.String())
}

// flowExtras gives the figures by the other edge rules where the log leaves edges open or the trapezoid is off.
func flowExtras[K quantity.Kind](f *Flow[K], in bool) []Extra {
	pick := func(p FlowPair[K]) K {
		if in {
			return p.In
		}
		return p.Out
	}
	best := f.Out.Value
	if in {
		best = f.In.Value
	}
	differs := func(v K) bool { return math.Abs(float64(v-best)) > 5e-4*math.Abs(float64(best)) }
	trapezoid, earlier, later := pick(f.Trapezoid), pick(f.Earlier), pick(f.Later)
	var out []Extra
	if counted := pick(f.Counted); !math.IsNaN(float64(counted)) {
		out = append(out, Extra{"by the log's own counter", quantity.Exact(counted).Quantity()})
	}
	if differs(trapezoid) {
		out = append(out, Extra{"by straight lines across every load edge", quantity.Exact(trapezoid).Quantity()})
	}
	if f.OpenEdges > 0 && (differs(earlier) || differs(later)) {
		out = append(out,
			Extra{"if every load edge stands at the sample before it", quantity.Exact(earlier).Quantity()},
			Extra{"if every load edge stands at the sample after it", quantity.Exact(later).Quantity()})
	}
	return out
}
