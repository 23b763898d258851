package runlog

import (
	"math"
	"slices"
)

// Series is a run reduced for calculation: a staircase of current with the voltage and the temperature that go with each
// step. Row k covers the time from Time[k−1], or from Start, to Time[k].
//
// Σ Current·Δt is the net charge of the run, Charge.Out − Charge.In, with every edge where charge-by-trapezoid puts it: a row
// ends where the current steps and never reaches across. A gap is a row of its own, in which current and voltage are NaN.
type Series struct {
	Start       float64   // s of the log's own clock
	Time        []float64 // s of the same, rising
	Current     []float64 // A, the mean over the row; discharge positive
	Voltage     []float64 // V, at the row's end where the current was steady over the row, else the mean over it
	Temperature []float64 // °C at the row's end; NaN where the log has none

	rows []stretch
	peak float64
	temp *Trace
}

// MaxSeriesRows is the most rows that a Series has.
const MaxSeriesRows = 4000

// How finely a run is kept while there is room, and how that gives way where there is none. The figures are our own choice.
const (
	steadyBand  = 0.03  // of the greatest current: a smaller change is no step
	steadyVolts = 0.001 // of the voltage: a row ends when it has moved by so much …
	moreVolts   = 1.3   // … and this times as much in each round of joining
	sinceStep   = 50    // a row is at most this part of the time since the last step …
	lessSince   = 0.75  // … and this times the part in each round
)

// Reduced is the series in at most so many rows, at least eight. Rows are joined where the current was steady; where that does
// not do, steps that follow each other closely are averaged over. The charge stays.
func (s *Series) Reduced(rows int) *Series {
	if s == nil || len(s.Time) <= rows {
		return s
	}
	kept, _ := coarsen(slices.Clone(s.rows), max(rows, 8), 0, s.peak)
	return newSeries(kept, s.peak, s.temp)
}

// stretch is a row being made.
type stretch struct {
	from, to    float64
	charge      float64 // A s
	low, high   float64 // of the current
	begin, volt float64 // voltage at either end
	area        float64 // V s
	since       float64 // s from the last step to its end
	gap         bool
}

func (r *stretch) length() float64 { return r.to - r.from }

// join puts the next stretch to this one.
func (r *stretch) join(next *stretch) {
	r.to, r.volt, r.since = next.to, next.volt, next.since
	r.charge, r.area = r.charge+next.charge, r.area+next.area
	r.low, r.high = min(r.low, next.low), max(r.high, next.high)
	r.gap = r.gap && next.gap
}

// together says whether two stretches hold one steady current.
func (r *stretch) together(next *stretch, band float64) bool {
	return max(r.high, next.high)-min(r.low, next.low) <= band
}

// seriesBuilder makes the rows while the run streams by.
type seriesBuilder struct {
	rows  []stretch
	peak  float64
	step  float64 // when the current last stepped
	least float64 // s: shorter rows are joined whatever they hold
}

// pass takes an interval between two rows of the log.
func (b *seriesBuilder) pass(p *passage) {
	b.peak = max(b.peak, max(math.Abs(p.a.i), math.Abs(p.b.i)))
	if len(b.rows) == 0 {
		b.step = p.a.t
	}
	switch p.kind {
	case gap:
		b.step = p.b.t
		b.push(stretch{from: p.a.t, to: p.b.t, begin: p.a.v, volt: p.b.v, area: (p.a.v + p.b.v) / 2 * p.length(), gap: true})
	case ramp:
		b.part(p.a.t, p.b.t, p.a.i, p.a.v, p.b.i, p.b.v)
	default:
		at := p.a.t + p.at*p.length()
		b.part(p.a.t, at, p.a.i, p.a.v, p.a.i, p.a.v)
		b.part(at, p.b.t, p.b.i, p.b.v, p.b.i, p.b.v)
	}
}

// part takes a time in which the current goes straight from a to z, and the voltage beside it.
func (b *seriesBuilder) part(from, to, a, aVolts, z, zVolts float64) {
	d := to - from
	if !(d > 0) {
		return
	}
	low, high := a, z
	if z < a {
		low, high = z, a
	}
	charge, area := (a+z)/2*d, (aVolts+zVolts)/2*d
	band := steadyBand * b.peak
	if n := len(b.rows); n > 0 && !b.rows[n-1].gap {
		last := &b.rows[n-1]
		whole := to - last.from
		lowest, highest := last.low, last.high
		if low < lowest {
			lowest = low
		}
		if high > highest {
			highest = high
		}
		together := highest-lowest <= band
		if !together && whole > b.least {
			b.step = from
		}
		since := to - b.step
		if whole <= b.least || together && whole <= max(b.least, since/sinceStep) &&
			!(math.Abs(zVolts-last.begin) > steadyVolts*math.Abs(zVolts)) {
			last.to, last.volt, last.since = to, zVolts, since
			last.charge, last.area = last.charge+charge, last.area+area
			last.low, last.high = lowest, highest
			return
		}
	}
	b.push(stretch{from: from, to: to, charge: charge, low: low, high: high, begin: aVolts, volt: zVolts, area: area, since: to - b.step})
}

// ramps takes intervals in succession, as pass takes one.
func (b *seriesBuilder) ramps(r *ramps) {
	if len(b.rows) == 0 {
		b.step = r.t[0]
	}
	for k := range r.d {
		if i := math.Abs(r.i[k]); i > b.peak {
			b.peak = i
		}
		if i := math.Abs(r.i[k+1]); i > b.peak {
			b.peak = i
		}
		b.part(r.t[k], r.t[k+1], r.i[k], r.v[k], r.i[k+1], r.v[k+1])
	}
}

func (b *seriesBuilder) push(r stretch) {
	if len(b.rows) >= MaxSeriesRows {
		b.rows, b.least = coarsen(b.rows, MaxSeriesRows/2, b.least, b.peak)
	}
	if len(b.rows) == cap(b.rows) && len(b.rows) > MaxSeriesRows/16 {
		b.rows = slices.Grow(b.rows, MaxSeriesRows-len(b.rows)) // a long run, which fills it
	}
	b.rows = append(b.rows, r)
}

// coarsen joins rows until there are at most so many: first those of one steady current, the longer the farther from the step
// before them; then, where that does not do, whatever is shorter than a time that doubles until it does. least is that
// time, 0 where it was not needed; to go on from an earlier one it is handed in.
func coarsen(rows []stretch, most int, least, peak float64) (kept []stretch, shortest float64) {
	if len(rows) == 0 {
		return rows, least
	}
	total := rows[len(rows)-1].to - rows[0].from
	rule := joining{longest: total / float64(4*most), volts: steadyVolts, since: sinceStep, band: steadyBand * peak, least: least}
	for len(rows) > most {
		if rule.longest < total {
			rule.longest, rule.volts, rule.since = 2*rule.longest, moreVolts*rule.volts, lessSince*rule.since
		} else {
			rule.least = max(2*rule.least, total/float64(16*most))
		}
		rows = rule.join(rows)
	}
	return rows, rule.least
}

// joining says which neighbouring rows become one.
type joining struct {
	longest, least, since float64
	volts, band           float64
}

func (j *joining) join(rows []stretch) []stretch {
	kept := 0
	for k := 1; k < len(rows); k++ {
		last, next := &rows[kept], &rows[k]
		whole := next.to - last.from
		steady := whole <= j.longest && whole <= next.since/j.since && last.together(next, j.band) &&
			!(math.Abs(next.volt-last.begin) > j.volts*math.Abs(next.volt))
		if last.gap != next.gap {
			steady, whole = false, 16*whole // a gap goes last
		}
		if steady || whole <= j.least {
			last.join(next)
			continue
		}
		if kept++; kept < k {
			rows[kept] = *next
		}
	}
	return rows[:kept+1]
}

func newSeries(rows []stretch, peak float64, temp *Trace) *Series {
	column := func() []float64 { return make([]float64, 0, len(rows)) }
	s := &Series{Start: rows[0].from, rows: rows, peak: peak, temp: temp, Time: column(), Current: column(), Voltage: column(), Temperature: column()}
	at := 0
	for k := range rows {
		r := &rows[k]
		amps, volts := r.charge/r.length(), r.volt
		if r.high-r.low > steadyBand*peak {
			volts = r.area / r.length()
		}
		if r.gap {
			amps, volts = math.NaN(), math.NaN()
		}
		celsius := math.NaN()
		if temp != nil {
			celsius, at = temp.between(r.to, at)
		}
		s.Time, s.Current = append(s.Time, r.to), append(s.Current, amps)
		s.Voltage, s.Temperature = append(s.Voltage, volts), append(s.Temperature, celsius)
	}
	return s
}

// between is the value on the straight line between the points before and after t, or of the nearer end; from is where to
// begin looking and the place found.
func (c *Trace) between(t float64, from int) (y float64, at int) {
	for from < len(c.T)-1 && c.T[from+1] <= t {
		from++
	}
	if t <= c.T[from] || from == len(c.T)-1 {
		return c.Y[from], from
	}
	part := (t - c.T[from]) / (c.T[from+1] - c.T[from])
	return c.Y[from] + part*(c.Y[from+1]-c.Y[from]), from
}

// reducedRun ends the making; nil for a run without voltage and current.
func (m *Meter) reducedRun(traces []Trace) *Series {
	if m.voltage.n == 0 || len(m.series.rows) == 0 {
		return nil
	}
	var temp *Trace
	for k := range traces {
		if traces[k].Channel == Temperature {
			temp = &traces[k]
		}
	}
	return newSeries(slices.Clone(m.series.rows), m.series.peak, temp) // the room that was left for more goes
}
