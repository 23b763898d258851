package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// answers sums, apart for currents out and in, how the voltage answers quick changes of the current: every pack's voltage falls as more
// is drawn, or as less is fed. The greatest change among the rows of the last answerApart is looked at, for from row to row it may
// be less than a digit of the voltage.
type answers struct {
	rows  []answerRow // the last of them, the oldest first
	peak  float64
	sides [2]answerSide // out, in

	joined *[3][blockRows + answerRows]float64 // times, voltages and currents: those that are held, and a block behind them

	silent silent
	grain  decimalGrain // of the voltage
}

type answerRow struct{ t, v, i float64 }

type answerSide struct {
	n      int
	vi     total
	vv, ii total
	first  said
}

// correlation is that of the voltage's change with the current's: −1 for a resistance.
func (a *answerSide) correlation() float64 {
	if size := math.Sqrt(a.vv.value() * a.ii.value()); size > 0 {
		return a.vi.value() / size
	}
	return 0
}

// What a change is, and what is said of its answers; our own choice.
const (
	answerApart   = 10.0 // s
	answerRows    = 32   // of the last answerApart that are held
	answerStep    = 0.05 // part of the greatest current
	answerNothing = 0.02 // part of it that flows neither way
	answerSteps   = 8
	answerSure    = 0.4 // correlation,
	answerAlone   = 0.6 // and where the current flows one way only
)

func (w *answers) row(s *Sample) {
	v, i := s.Values[Voltage], s.Values[Current]
	if math.IsNaN(v) || math.IsNaN(i) {
		return
	}
	if size := math.Abs(i); size > w.peak {
		if size > jumpGrown*w.peak { // what came before was beside nothing
			w.sides, w.silent = [2]answerSide{}, silent{}
		}
		w.peak = size
	}
	w.grain.add(v)
	w.silent.row(s, v, i, w.peak)
	if s.Restart {
		w.rows = w.rows[:0]
	}
	for len(w.rows) > 0 && (s.Time-w.rows[0].t > answerApart || len(w.rows) == answerRows) {
		w.rows = append(w.rows[:0], w.rows[1:]...)
	}
	w.rows = append(w.rows, answerRow{s.Time, v, i})
	if from, side := w.change(); from != nil {
		w.sides[side].add(v-from.v, i-from.i, said{line: s.Line, offset: s.Offset})
	}
}

// follow takes rows as row takes one. Of those that are held it keeps the least and the greatest current, between which lies the
// greatest change where the current flows one way alone.
func (w *answers) follow(r *rows) {
	if !r.plain || w.peak == 0 || r.bounds[Current].most > w.peak {
		r.each(w.row)
		return
	}
	t, v, i := w.join(r)
	held := len(w.rows)
	w.grain.addEach(r.of(Voltage), r.decimals(Voltage))
	nothing, most := answerNothing*w.peak, answerStep*w.peak
	if w.silent.quiet || r.bounds[Current].least <= nothing {
		for k := r.from; k < r.to; k++ {
			w.silent.row(r.sample(k), r.values[Voltage][k], r.values[Current][k], w.peak)
		}
	}
	from := 0
	if r.bounds[Current].low >= -nothing && boundsOf(i[:held]).low >= -nothing {
		from = w.oneWay(t, v, i, held, most, r)
	} else {
		from = w.eitherWay(t, v, i, held, most, r)
	}
	w.rows = w.rows[:0]
	for n := from; n < len(t); n++ {
		w.rows = append(w.rows, answerRow{t[n], v[n], i[n]})
	}
}

// oneWay takes rows in all of which the current flows out, or hardly in; held of them came before. It says which is the oldest that the
// last one is held against.
func (w *answers) oneWay(t, v, i []float64, held int, most float64, r *rows) (from int) {
	n := len(t)
	v, i = v[:n], i[:n]
	x := extremes32{i: i}
	x.begin(0, held)
	var sums answerSums
	count := 0
	for k := held; k < n; k++ {
		if k > 0 {
			x.add(k - 1)
		}
		if k-from == answerRows || t[k]-t[from] > answerApart {
			for from < k && (t[k]-t[from] > answerApart || k-from == answerRows) {
				from++
			}
			if from == k {
				x.begin(k, k+1)
				continue
			}
			x.drop(from, k)
		}
		if k == 0 {
			x.begin(0, 1)
			continue
		}
		is := i[k]
		rise, fall := is-x.least, x.most-is
		if rise < most && fall < most {
			continue
		}
		at := x.low
		if fall > rise {
			at = x.high
		} else if fall == rise && x.high < x.low {
			at = x.high
		}
		if count++; count == 1 && w.sides[0].n == 0 {
			w.sides[0].first = r.said(k - held)
		}
		dv, di := v[k]-v[at], is-i[at]
		sums.vi += dv * di
		sums.vv += dv * dv
		sums.ii += di * di
	}
	w.sides[0].n += count
	w.sides[0].take(&sums)
	return from
}

// extremes32 is the least and the greatest current among the rows that are held, and the oldest row of each.
type extremes32 struct {
	i           []float64
	low, high   int
	least, most float64
}

// begin takes rows from one up to another.
func (x *extremes32) begin(from, to int) {
	x.low, x.high = from, from
	if from < to {
		x.least, x.most = x.i[from], x.i[from]
	}
	for k := from + 1; k < to; k++ {
		x.add(k)
	}
}

func (x *extremes32) add(k int) {
	is := x.i[k]
	if is < x.least {
		x.low, x.least = k, is
	}
	if is > x.most {
		x.high, x.most = k, is
	}
}

// drop leaves the rows from one up to another.
func (x *extremes32) drop(from, to int) {
	if x.low < from {
		at, least := from, x.i[from]
		for k, is := range x.i[from+1 : to] {
			if is < least {
				at, least = from+1+k, is
			}
		}
		x.low, x.least = at, least
	}
	if x.high < from {
		at, most := from, x.i[from]
		for k, is := range x.i[from+1 : to] {
			if is > most {
				at, most = from+1+k, is
			}
		}
		x.high, x.most = at, most
	}
}

// eitherWay takes rows as oneWay does, whichever way the current flows.
func (w *answers) eitherWay(t, v, i []float64, held int, most float64, r *rows) (from int) {
	nothing := answerNothing * w.peak
	var sums [2]answerSums
	low, high := 0, 0 // the oldest of those with the least and the greatest current
	for k := range held {
		low, high = lowHigh(i, k, low, high)
	}
	for k := held; k < len(t); k++ {
		if k > 0 {
			low, high = lowHigh(i, k-1, low, high)
		}
		for from < k && (t[k]-t[from] > answerApart || k-from == answerRows) {
			from++
		}
		if from == k {
			low, high = k, k
			continue
		}
		if low < from || high < from {
			low, high = from, from
			for n := from + 1; n < k; n++ {
				low, high = lowHigh(i, n, low, high)
			}
		}
		rise, fall := i[k]-i[low], i[high]-i[k]
		if rise < most && fall < most {
			continue
		}
		lowest, highest := i[low], i[high]
		if rise < 0 {
			lowest = i[k]
		}
		if fall < 0 {
			highest = i[k]
		}
		if lowest < -nothing && highest > nothing {
			w.rows = w.rows[:0]
			for n := from; n <= k; n++ {
				w.rows = append(w.rows, answerRow{t[n], v[n], i[n]})
			}
			if row, side := w.change(); row != nil {
				w.sides[side].add(v[k]-row.v, i[k]-row.i, r.said(k-held))
			}
			continue
		}
		at := low
		if fall > rise || fall == rise && high < low {
			at = high
		}
		side := 0
		if -lowest > highest {
			side = 1
		}
		if w.sides[side].n++; w.sides[side].n == 1 {
			w.sides[side].first = r.said(k - held)
		}
		sums[side].add(v[k]-v[at], i[k]-i[at])
	}
	for k := range sums {
		w.sides[k].take(&sums[k])
	}
	return from
}

// answerSums sums the answers of a block.
type answerSums struct{ vi, vv, ii float64 }

func (s *answerSums) add(dv, di float64) {
	s.vi += dv * di
	s.vv += dv * dv
	s.ii += di * di
}

func (a *answerSide) take(s *answerSums) {
	a.vi.add(s.vi)
	a.vv.add(s.vv)
	a.ii.add(s.ii)
}

// lowHigh takes the k-th current into the places of the least and the greatest.
func lowHigh(i []float64, k, low, high int) (int, int) {
	if i[k] < i[low] {
		low = k
	}
	if i[k] > i[high] {
		high = k
	}
	return low, high
}

// join puts the rows behind those that are held.
func (w *answers) join(r *rows) (t, v, i []float64) {
	if w.joined == nil {
		w.joined = new([3][blockRows + answerRows]float64)
	}
	for k, row := range w.rows {
		w.joined[0][k], w.joined[1][k], w.joined[2][k] = row.t, row.v, row.i
	}
	n := len(w.rows)
	copy(w.joined[0][n:], r.times())
	copy(w.joined[1][n:], r.of(Voltage))
	copy(w.joined[2][n:], r.of(Current))
	n += r.len()
	return w.joined[0][:n], w.joined[1][:n], w.joined[2][:n]
}

// change finds, among the rows that are held, the one from which the current has changed most until the last, as long as it flows one
// way alone between them, and that way; nil where it has not changed.
func (w *answers) change() (from *answerRow, side int) {
	to := &w.rows[len(w.rows)-1]
	low, high, most := to.i, to.i, answerStep*w.peak
	for k := len(w.rows) - 2; k >= 0; k-- {
		row := &w.rows[k]
		lower, higher := min(low, row.i), max(high, row.i)
		if nothing := answerNothing * w.peak; lower < -nothing && higher > nothing {
			break
		}
		low, high = lower, higher
		if step := math.Abs(to.i - row.i); step >= most {
			from, most = row, step
		}
	}
	if -low > high {
		side = 1
	}
	return from, side
}

func (a *answerSide) add(dv, di float64, at said) {
	if a.n == 0 {
		a.first = at
	}
	a.n++
	a.take(&answerSums{dv * di, dv * dv, di * di})
}

// say speaks where the changes of one direction are answered the wrong way round, while those of the other are answered as a pack does,
// or there are none and the wrong answers are plain.
func (w *answers) say() []said {
	for k := range w.sides {
		turned, other := &w.sides[k], &w.sides[1-k]
		elsewhere, sure := "; elsewhere it answers them as a pack does: the sign of a stretch looks turned", answerSure
		switch {
		case other.n < answerSteps:
			elsewhere, sure = ": the sign looks turned", answerAlone
		case other.correlation() > -answerSure:
			continue
		}
		if turned.n < answerSteps || turned.correlation() < sure {
			continue
		}
		way := []string{"out of the pack", "into the pack"}[k]
		return []said{{finding.Warning, fmt.Sprintf("where the current is read as flowing %s, the voltage answers its changes the wrong way, in %s, first here%s",
			way, plural(turned.n, "row"), elsewhere), "look at the sign of the current from there on", turned.first.line, turned.first.offset}}
	}
	return nil
}
