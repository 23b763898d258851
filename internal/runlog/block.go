package runlog

import "math"

// blockRows is how many rows a block holds.
const blockRows = 512

// block is some rows in succession, a column for each channel. What looks at rows looks at a block at a time: over rows in which
// nothing can happen that its rule for one row looks for, only its sums move on.
type block struct {
	n       int
	line    []int
	offset  []int64
	time    []float64
	loose   []float64
	restart []bool
	values  [channelCount][]float64 // nil for a channel that no row so far has held
	held    []Channel               // those that are not
	written [channelCount]uint8     // decimals in which the values of a column are written at the most; unknownDecimals …
	told    int                     // … of the rows from this one on
	special bool                    // the time of some row starts again or is loose
	core    coreBounds
	one     Sample // the row that was given last
	some    rows   // the part that was given last
}

// unknownDecimals stands for values of which nobody knows in how many decimals they were written.
const unknownDecimals = math.MaxUint8

func newBlock() *block {
	b := &block{line: make([]int, blockRows), offset: make([]int64, blockRows), time: make([]float64, blockRows),
		loose: make([]float64, blockRows), restart: make([]bool, blockRows)}
	for c := range b.one.Values {
		b.one.Values[c] = math.NaN()
	}
	return b
}

// column gives the room of a channel's values, and makes it where there is none.
func (b *block) column(c Channel) []float64 {
	if b.values[c] == nil {
		b.values[c] = make([]float64, blockRows)
		for k := range b.values[c] {
			b.values[c][k] = math.NaN()
		}
		b.held = append(b.held, c)
	}
	return b.values[c]
}

func (b *block) full() bool { return b.n == blockRows }

// add puts a sample at the end.
func (b *block) add(s *Sample) {
	k := b.n
	b.n++
	b.line[k], b.offset[k], b.time[k], b.loose[k], b.restart[k] = s.Line, s.Offset, s.Time, s.Loose, s.Restart
	b.special = b.special || s.Restart || s.Loose > 0
	b.told = b.n
	for _, c := range b.held {
		b.values[c][k] = s.Values[c]
	}
	for c := range s.Values {
		if b.values[c] == nil && !math.IsNaN(s.Values[c]) {
			b.column(Channel(c))[k] = s.Values[c]
		}
	}
}

// cut takes the rows from one on off the end.
func (b *block) cut(n int) {
	for _, c := range b.held {
		for k := n; k < b.n; k++ {
			b.values[c][k] = math.NaN()
		}
	}
	b.n = n
	b.core.known = false
	b.told = min(b.told, n)
}

// decimals is in how many the values of a column are written at the most, from a row on.
func (b *block) decimals(c Channel, from int) uint8 {
	if from < b.told {
		return unknownDecimals
	}
	return b.written[c]
}

// at is the value of a channel in a row; NaN where there is none.
func (b *block) at(c Channel, k int) float64 {
	if b.values[c] == nil {
		return math.NaN()
	}
	return b.values[c][k]
}

// sample gives a row, until the next call.
func (b *block) sample(k int) *Sample {
	s := &b.one
	s.Line, s.Offset, s.Time, s.Loose, s.Restart = b.line[k], b.offset[k], b.time[k], b.loose[k], b.restart[k]
	for _, c := range b.held {
		s.Values[c] = b.values[c][k]
	}
	return s
}

// drop takes rows off the front.
func (b *block) drop(rows int) {
	copy(b.line, b.line[rows:b.n])
	copy(b.offset, b.offset[rows:b.n])
	copy(b.time, b.time[rows:b.n])
	copy(b.loose, b.loose[rows:b.n])
	copy(b.restart, b.restart[rows:b.n])
	for _, c := range b.held {
		copy(b.values[c], b.values[c][rows:b.n])
	}
	b.n -= rows
	b.core.known = false
	b.special = false
	for k := range b.n {
		b.special = b.special || b.restart[k] || b.loose[k] > 0
	}
	b.told = max(b.told-rows, 0)
}

// rows is a part of a block, from row from up to row to.
type rows struct {
	*block
	from, to int
	bounds   [channelCount]bounds // of the voltage and the current
	filled   [channelCount]int    // values that there are
	plain    bool                 // each row holds a voltage and a current, its time is its own, and no step of a program has one
}

// part gives rows of the block, until the next call.
func (b *block) part(from, to int) *rows {
	r := &b.some
	*r = rows{block: b, from: from, to: to}
	for _, c := range []Channel{Voltage, Current} {
		r.bounds[c] = b.boundsIn(c, from, to)
		r.filled[c] = r.bounds[c].n
	}
	for _, c := range b.held {
		switch c {
		case Voltage, Current:
		case Time:
			if r.filled[c] = to - from; b.time[to-1] > greatestUsable {
				r.filled[c] = boundsOf(r.of(c)).n
			}
		default:
			r.filled[c] = b.boundsIn(c, from, to).n
		}
	}
	r.plain = !b.special && !b.holds(StepTime) && r.bounds[Voltage].n == r.len() && r.bounds[Current].n == r.len()
	return r
}

func (r *rows) len() int { return r.to - r.from }

// of is the channel's values; nil where there are none.
func (r *rows) of(c Channel) []float64 {
	if r.values[c] == nil {
		return nil
	}
	return r.values[c][r.from:r.to]
}

func (r *rows) times() []float64 { return r.time[r.from:r.to] }

// decimals is in how many the values of a column are written at the most.
func (r *rows) decimals(c Channel) uint8 { return r.block.decimals(c, r.from) }

// each gives the rows one by one.
func (r *rows) each(take func(*Sample)) {
	for k := r.from; k < r.to; k++ {
		s := r.sample(k)
		take(s)
	}
}

// said is where a row stands, counted from the first of these.
func (r *rows) said(k int) said { return said{line: r.line[r.from+k], offset: r.offset[r.from+k]} }

// bounds are the number of values that there are, the least and the greatest of them, and of their magnitudes; the least magnitude may
// be given too small where they go both ways.
type bounds struct {
	n                      int
	low, high, least, most float64
}

func boundsOf(values []float64) bounds {
	low, high, n := math.Inf(1), math.Inf(-1), len(values)
	for _, x := range values {
		if x >= low && x <= high {
			continue
		}
		if x < low {
			low = x
		}
		if x > high {
			high = x
		}
		if x != x {
			n--
		}
	}
	return boundsFrom(n, low, high)
}

func boundsFrom(n int, low, high float64) bounds {
	b := bounds{n: n, low: low, high: high, most: max(-low, high)}
	switch {
	case low > 0:
		b.least = low
	case high < 0:
		b.least = -high
	}
	return b
}

// coreBounds are the bounds of rows in the middle of those that came last, which all who look at them share.
type coreBounds struct {
	known    bool
	from, to int
	of       [channelCount]bounds
	moves    float64 // greatest difference of the voltages of two rows in succession
}

// coreAround is how many rows beside these are looked at one by one.
const coreAround = 6

// findCore finds the bounds of the rows from one up to another.
func (b *block) findCore(from, to int) {
	b.core.known, b.core.from, b.core.to = true, from, to
	for _, c := range b.held {
		if c != Time {
			b.core.of[c] = boundsOf(b.values[c][from:to])
		}
	}
	if v := b.values[Voltage]; v != nil {
		b.core.moves = movesOf(v[from:to])
	}
}

// movesOf is the greatest difference of two values in succession.
func movesOf(values []float64) float64 {
	least, most := 0.0, 0.0
	if len(values) == 0 {
		return 0
	}
	before := values[0]
	for _, x := range values[1:] {
		d := x - before
		if before = x; d > most {
			most = d
		}
		if d < least {
			least = d
		}
	}
	return max(most, -least)
}

// voltsMove is the greatest difference of the voltages of two rows in succession, from one row up to another; what lacks a voltage is
// passed over.
func (b *block) voltsMove(from, to int) float64 {
	x, k := b.values[Voltage], &b.core
	if !k.known || from > k.from || from < k.from-coreAround || to < k.to || to > k.to+coreAround {
		return movesOf(x[from:to])
	}
	return max(k.moves, movesOf(x[from:k.from+1]), movesOf(x[k.to-1:to]))
}

// boundsIn are the bounds of a channel from one row up to another.
func (b *block) boundsIn(c Channel, from, to int) bounds {
	x := b.values[c]
	if x == nil {
		return boundsOf(nil)
	}
	k := &b.core
	if !k.known || from > k.from || from < k.from-coreAround || to < k.to || to > k.to+coreAround {
		return boundsOf(x[from:to])
	}
	out := k.of[c]
	for _, beside := range [2][]float64{x[from:k.from], x[k.to:to]} {
		if len(beside) > 0 {
			out = out.with(boundsOf(beside))
		}
	}
	return out
}

// with are the bounds of two stretches.
func (b bounds) with(more bounds) bounds {
	return boundsFrom(b.n+more.n, min(b.low, more.low), max(b.high, more.high))
}

// holds says whether the log has held a value of the channel so far.
func (b *block) holds(c Channel) bool { return b.values[c] != nil }
