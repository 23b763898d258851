package runlog

import "math"

// Add takes the next sample. A sample before the last one in time is left out and counted, and so is a value that is no
// finite number of a size that can be measured.
func (m *Meter) Add(s Sample) {
	if m.to > 0 && (s.Line < m.from || s.Line > m.to) {
		m.outside++
		return
	}
	if !usable(s.Time) || m.rows+m.block.n-m.seen > 0 && s.Time < m.newest() {
		m.skipped++
		return
	}
	if m.block.full() {
		m.measure(false)
	}
	m.block.add(&s)
}

// newest is the time of the last sample.
func (m *Meter) newest() float64 {
	if n := m.block.n; n > 0 {
		return m.block.time[n-1]
	}
	return m.last
}

const (
	blockBefore = 3 // rows that are measured which stay, for who looks back
	coreBehind  = 3 // rows at the end that may not be measured with the others
)

// measure takes the rows of the block into every account. Of a log that goes on, the last row is held back until the next shows
// whether it stands alone.
func (m *Meter) measure(end bool) {
	b := m.block
	m.admit()
	to := b.n
	if !end {
		to = max(to-1, m.given)
	}
	if m.given == 0 {
		m.odd.begin(b)
	}
	if from := max(m.given, 1); from < b.n-1 {
		m.odd.look(b, from, b.n-1)
	}
	if to > m.given {
		m.take(b.part(m.given, to))
	}
	m.given = to
	if drop := min(to-blockBefore, b.n-blockBefore-1); drop > 0 {
		b.drop(drop)
		m.given, m.seen = m.given-drop, m.seen-drop
	}
}

// admit leaves out values that cannot be, and counts the rows that have come since.
func (m *Meter) admit() {
	b := m.block
	from, n := m.seen, b.n-m.seen
	if n == 0 {
		return
	}
	if m.rows == 0 {
		m.first, m.loose[0] = b.time[0], b.loose[0]
	}
	m.rows += n
	m.last, m.loose[1] = b.time[b.n-1], b.loose[b.n-1]
	if !b.special {
		m.grain.addEachTo(b.time[from:b.n], b.decimals(Time, from), finestTime)
	}
	for k := from; b.special && k < b.n; k++ {
		if b.loose[k] == 0 {
			m.grain.addTo(b.time[k], finestTime)
		}
	}
	if core := b.n - coreBehind; core > from {
		b.findCore(from, core)
	}
	m.ranges.admit(b, from, &m.unusable)
	m.seen = b.n
}

// take takes rows into every channel's account.
func (m *Meter) take(r *rows) {
	for _, c := range r.held {
		m.held[c] += r.filled[c]
	}
	m.opinions.rows(r)
	for _, c := range tracedChannels {
		if !r.holds(c) {
			continue
		}
		if h := m.traces[c]; h != nil && r.filled[c] == r.len() {
			h.addEach(r.times(), r.of(c))
			continue
		}
		eachRun(r.times(), r.of(c), func(t, y []float64) {
			if m.traces[c] == nil {
				m.traces[c] = &thinner{}
			}
			m.traces[c].addEach(t, y)
		})
	}
	if volts := &r.bounds[Voltage]; volts.n == r.len() && m.voltage.n > 0 {
		m.voltage.addBounded(r.times(), r.of(Voltage), volts.low, volts.high)
	} else {
		eachRun(r.times(), r.of(Voltage), m.voltage.addEach)
	}
	eachRun(r.times(), r.of(Temperature), m.temperature.addEach)
	eachRun(r.times(), r.of(Distance), m.addDistance)
	for k, v := range r.of(Speed) {
		if v == v {
			k += r.from
			m.addSpeed(r.time[k], math.Abs(v), r.loose[k], r.restart[k])
		}
	}
	if r.plain && len(m.joiner.pending) == 0 {
		m.follow(r)
	} else {
		r.each(m.joiner.add)
	}
}

// eachRun gives the points of a column that hold a value, as many together as there are without one between them that does not.
func eachRun(t, y []float64, take func(t, y []float64)) {
	for len(y) > 0 {
		n := 0
		for n < len(y) && y[n] == y[n] {
			n++
		}
		if n > 0 {
			take(t[:n], y[:n])
		}
		for n < len(y) && y[n] != y[n] {
			n++
		}
		t, y = t[n:], y[n:]
	}
}

func (m *Meter) addDistance(t, x []float64) {
	for k := range x {
		if m.distance.n > 0 && x[k] > m.distance.last {
			m.forward.add(x[k] - m.distance.last)
		} else if m.distance.n > 0 {
			m.backward.add(m.distance.last - x[k])
		}
		m.distance.add(t[k], x[k])
	}
}

// follow takes plain rows, as instant takes one.
func (m *Meter) follow(r *rows) {
	last := r.to - 1
	m.joiner.t, m.joiner.v = r.time[last], r.values[Voltage][last]
	m.written.addEach(r.of(Current), r.decimals(Current))
	if r.bounds[Current].most > math.Abs(m.peak) {
		for _, i := range r.of(Current) {
			if math.Abs(i) > math.Abs(m.peak) {
				m.peak = i
			}
		}
	}
	m.sag.follow(r)
	if m.walker.count == 0 && len(m.walker.opening) == 0 {
		m.cutout.begin(&instant{t: r.time[r.from], v: r.of(Voltage)[0], i: r.of(Current)[0], line: r.line[r.from], offset: r.offset[r.from], stepAt: math.NaN()})
	}
	m.walker.follow(r)
}

// ramps takes intervals in succession, as pass takes one.
func (m *Meter) ramps(r *ramps) {
	m.cutter.ramps(r)
	m.opinions.ramps(r)
	m.time.ramps(r)
	m.accounts.ramps(r)
	m.stops.ramps(r)
	m.steps.ramps(r)
	m.cutout.ramps(r)
	m.series.ramps(r)
	m.weigh(r)
}

// weigh weighs the current of each row by the half of the interval on either side, and by the charge.
func (m *Meter) weigh(r *ramps) {
	if m.drawn.bins == nil || m.flowed.bins == nil {
		for k, d := range r.d {
			for _, i := range r.i[k : k+2] {
				m.drawn.add(i, d/2)
				m.flowed.add(i, math.Abs(i)*(d/2))
			}
		}
		return
	}
	table, charge, before := quantileTable(), 0.0, 0.0
	drawn, flowed := m.drawn.bins[:quantileBins], m.flowed.bins[:quantileBins]
	n := len(r.d)
	for k, i := range r.i[:n+1] {
		after := 0.0
		if k < n {
			after = r.d[k] / 2
		}
		at, weight := 0, before+after
		if i = math.Abs(i); i > quantileFloor {
			at = table.bin(i)
		}
		flows := i * weight
		drawn[at] += weight
		flowed[at] += flows
		charge += flows
		before = after
	}
	time := r.t[n] - r.t[0]
	m.drawn.weight += time
	m.flowed.weight += charge
	m.drawn.peak, m.flowed.peak = max(m.drawn.peak, r.amps.most), max(m.flowed.peak, r.amps.most)
}
