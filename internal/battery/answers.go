package battery

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// The names of the levels that RunTimes watches.
const (
	ConservativeFloor = "conservative floor"
	DatasheetFloor    = "data sheet floor"
	CutoutLevel       = "cutout"
)

// FloorLevels are the two floors of a pack as terminal voltages, and the
// cutout's voltage with its delay where there is a cutout.
func FloorLevels(p Pack, cutout *Cutout) []Level {
	var levels []Level
	if c := p.Cell.Chemistry; c != nil {
		n := quantity.Volts(p.Series)
		levels = append(levels, Level{Name: ConservativeFloor, Volts: c.ConservativeFloor() * n}, Level{Name: DatasheetFloor, Volts: c.DatasheetFloor() * n})
	}
	if cutout != nil {
		levels = append(levels, Level{Name: CutoutLevel, Volts: cutout.Opens, Delay: cutout.Delay})
	}
	return levels
}

// RunTimes runs packs down under a demand and tells when the cutout's voltage,
// the conservative and the data sheet floor are reached, what each leaves in the
// packs, and what was delivered. The cutout is watched but does not open, so that
// one run answers all three. ErrNothingDrawn: the demand draws nothing;
// *CollapseError, *ShortedError: more is asked than the packs can give.
func RunTimes(packs []Pack, d Demand, cutout *Cutout, ambient quantity.Celsius) (*Outcome, error) {
	s, err := rundown(packs, d, cutout, ambient)
	if err != nil {
		return nil, err
	}
	return Simulate(s)
}

// fineSteps is the Tolerance, of one cell, by which the current of each of several packs is told to a hundredth: what the usual 2 mV
// are wrong by drives a quarter of an ampere through 8 mΩ, from one pack to another. Own choice, no source: held to steps eight times finer.
const fineSteps quantity.Volts = 2e-5

// Shares is RunTimes in steps so fine that the greatest current of each pack is told to about a hundredth.
// Its errors are those of RunTimes.
func Shares(packs []Pack, d Demand, cutout *Cutout, ambient quantity.Celsius) (*Outcome, error) {
	s, err := rundown(packs, d, cutout, ambient)
	if err != nil {
		return nil, err
	}
	s.Tolerance = fineSteps
	return Simulate(s)
}

// rundown is the scenario of RunTimes, or why there is none.
func rundown(packs []Pack, d Demand, cutout *Cutout, ambient quantity.Celsius) (Scenario, error) {
	if len(packs) == 0 {
		return Scenario{}, errors.New("there is no pack")
	}
	if err := d.Check(); err != nil {
		return Scenario{}, err
	}
	var short quantity.Amperes
	for _, p := range packs {
		if err := p.Check(); err != nil {
			return Scenario{}, err
		}
		short += quantity.Amperes(float64(p.RestVoltage()) / float64(p.Resistance()))
	}
	draws := false
	for _, p := range d.Parts {
		if p.kind == currentLoad && quantity.Amperes(p.value) > short && p.For > 0 {
			return Scenario{}, &ShortedError{Wanted: quantity.Amperes(p.value), Limit: short}
		}
		draws = draws || p.value > 0 && p.For > 0
	}
	if !draws {
		return Scenario{}, ErrNothingDrawn
	}
	return Scenario{Packs: packs, Demand: d, Ambient: ambient, Levels: FloorLevels(packs[0], cutout)}, nil
}

// Chatter is how a cutout behaved after it first opened.
type Chatter struct {
	Openings  int
	First     quantity.Seconds
	Last      quantity.Seconds // of the openings
	Off       quantity.Seconds // mean time open
	On        quantity.Seconds // mean time closed between two openings
	StaysOpen bool             // after the last opening
}

// ChatterOf counts the openings of the cutout between packs and load in an
// outcome of Simulate without StopAtCutout; false where it never opened.
func ChatterOf(o *Outcome) (Chatter, bool) {
	c := Chatter{Off: quantity.Seconds(math.NaN()), On: quantity.Seconds(math.NaN())}
	var off, on quantity.Seconds
	var closed int
	last := quantity.Seconds(math.NaN())
	for _, p := range o.Openings {
		if p.Pack != "" {
			continue
		}
		if c.Openings == 0 {
			c.First = p.At
		} else {
			on += p.At - last
		}
		c.Openings++
		c.Last, last = p.At, p.ClosedAt
		if !math.IsNaN(float64(p.ClosedAt)) {
			off += p.ClosedAt - p.At
			closed++
		}
	}
	if closed > 0 {
		c.Off = off / quantity.Seconds(closed)
	}
	if c.Openings > 1 {
		c.On = on / quantity.Seconds(c.Openings-1)
	}
	c.StaysOpen = c.Openings > closed
	return c, c.Openings > 0
}

// FullCycles is the charge taken out over the capacity: equivalent full cycles.
func FullCycles(out, capacity quantity.AmpereHours) quantity.Number {
	return quantity.Number(out / capacity)
}

// MoreCyclesError says that a source gives no range of cycles, only what it is beyond.
type MoreCyclesError struct {
	Chemistry string
	Low       quantity.Number
	Below     quantity.Fraction // the depth above which there is a range
}

func (e *MoreCyclesError) Error() string {
	return fmt.Sprintf("more than %.0f cycles: the source for %s says no more of depths below %.3g %%", float64(e.Low), e.Chemistry, 100*float64(e.Below))
}

// depthDigit is half of the last digit of a depth in whole percent, as sources give it.
const depthDigit = 0.005

// Cycles is how many cycles of a depth of discharge are typical of the
// chemistry, low and high, along straight lines of the logarithm between the
// points of its table. *MoreCyclesError: the source knows the low one alone, which
// is given. A depth beyond the table is an error: no source says.
func (c *Chemistry) Cycles(depth quantity.Fraction) (low, high quantity.Number, err error) {
	p := c.CycleLife.Points // falling depth
	d := float64(depth)
	none := quantity.Number(math.NaN())
	for i := range p {
		switch {
		case p[i].High == 0 && i > 0 && d < p[i-1].Depth && d >= p[i].Depth:
			low = quantity.Number(p[i].Low)
			return low, none, &MoreCyclesError{c.Title, low, quantity.Fraction(p[i-1].Depth)}
		case math.Abs(p[i].Depth-d) < 1e-9, i == 0 && d > p[i].Depth && d < p[i].Depth+depthDigit:
			return quantity.Number(p[i].Low), quantity.Number(p[i].High), nil
		case i > 0 && d < p[i-1].Depth && d > p[i].Depth:
			f := (p[i-1].Depth - d) / (p[i-1].Depth - p[i].Depth)
			along := func(a, b float64) quantity.Number {
				return quantity.Number(math.Exp(math.Log(a) + f*(math.Log(b)-math.Log(a))))
			}
			return along(p[i-1].Low, p[i].Low), along(p[i-1].High, p[i].High), nil
		}
	}
	return none, none, fmt.Errorf("no source here gives the cycle life of %s at a depth of %.3g %%", c.Title, 100*d)
}

// EffectiveLoad is the mean current and power of a log while it was under load,
// with the standard deviation of its rows, and the part of the time under load.
type EffectiveLoad struct {
	Current quantity.Measured[quantity.Amperes]
	Power   quantity.Measured[quantity.Watts]
	Duty    quantity.Fraction
}

// LoadOf finds the effective load of a log, each row weighted by its time. A row
// counts as loaded above a fiftieth of the capacity in amperes. The error is that of Log.Check, or ErrNothingDrawn.
func LoadOf(l Log, capacity quantity.AmpereHours) (EffectiveLoad, error) {
	if err := l.Check(); err != nil {
		return EffectiveLoad{}, err
	}
	var time, all, i1, i2, p1, p2 float64
	rows := usableRows(l)
	for k, n := range rows {
		before, after := rows[max(0, k-1)], rows[min(len(rows)-1, k+1)]
		dt := (l.Time[after] - l.Time[before]) / 2
		all += dt
		if i := l.Amperes[n]; i > 0.02*float64(capacity) {
			p := i * l.Volts[n]
			time += dt
			i1, i2, p1, p2 = i1+i*dt, i2+i*i*dt, p1+p*dt, p2+p*p*dt
		}
	}
	if time == 0 {
		return EffectiveLoad{}, ErrNothingDrawn
	}
	mean := func(s1, s2 float64) (m, u float64) {
		m = s1 / time
		return m, math.Sqrt(max(0, s2/time-m*m))
	}
	var e EffectiveLoad
	im, iu := mean(i1, i2)
	pm, pu := mean(p1, p2)
	e.Current = quantity.Of(quantity.Amperes(im), quantity.Amperes(iu))
	e.Power = quantity.Of(quantity.Watts(pm), quantity.Watts(pu))
	e.Duty = quantity.Fraction(time / all)
	return e, nil
}
