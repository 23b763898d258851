package runlog

import (
	"math"
	"sort"
)

// thinner keeps a bounded picture of one channel while it streams by. It keeps every point while there are at most
// MaxTracePoints; after that it lays equal spans of time over the run and keeps the lowest and the highest point of each.
// A run that outgrows the spans doubles their width and merges them in pairs, so that lowest and highest stay what they
// are. First and last point are always kept.
type thinner struct {
	t, y        []float64 // while exact
	start, span float64   // of the spans
	spans       []extremes
	firstT      float64
	firstY      float64
	lastT       float64
	lastY       float64
	any         bool
}

// extremes are the lowest and the highest point of a span.
type extremes struct {
	any                    bool
	lowT, low, highT, high float64
}

const traceSpans = (MaxTracePoints - 2) / 2

func (e *extremes) add(t, y float64) {
	if !e.any {
		*e = extremes{true, t, y, t, y}
		return
	}
	if y < e.low {
		e.lowT, e.low = t, y
	}
	if y > e.high {
		e.highT, e.high = t, y
	}
}

func (e *extremes) merge(other extremes) {
	if other.any {
		e.add(other.lowT, other.low)
		e.add(other.highT, other.high)
	}
}

func (h *thinner) add(t, y float64) {
	if !h.any {
		h.any, h.firstT, h.firstY = true, t, y
	}
	h.lastT, h.lastY = t, y
	if h.spans == nil {
		if len(h.t) < MaxTracePoints {
			h.t, h.y = append(h.t, t), append(h.y, y)
			return
		}
		h.start = h.t[0]
		h.span = (t - h.start) / (traceSpans / 2)
		if !(h.span > 0) {
			h.span = 1e-9 // every point so far has one time
		}
		h.spans = make([]extremes, traceSpans)
		for k := range h.t {
			h.place(h.t[k], h.y[k])
		}
		h.t, h.y = nil, nil
	}
	h.place(t, y)
}

// addEach adds points in succession of which none lacks its value.
func (h *thinner) addEach(t, y []float64) {
	for len(t) > 0 && (h.spans == nil || (t[len(t)-1]-h.start)/h.span >= traceSpans) {
		h.add(t[0], y[0])
		t, y = t[1:], y[1:]
	}
	if len(t) == 0 {
		return
	}
	h.lastT, h.lastY = t[len(t)-1], y[len(t)-1]
	for len(t) > 0 {
		span := h.spanOf(t[0])
		n := len(t) // of the points that lie in that span
		if h.spanOf(t[n-1]) != span {
			n = sort.Search(n, func(k int) bool { return h.spanOf(t[k]) > span })
		}
		e := &h.spans[span]
		e.add(t[0], y[0])
		low, high, lowAt, highAt := e.low, e.high, -1, -1
		for k, y := range y[:n] {
			if y >= low && y <= high {
				continue
			}
			if y < low {
				low, lowAt = y, k
			}
			if y > high {
				high, highAt = y, k
			}
		}
		if lowAt >= 0 {
			e.lowT, e.low = t[lowAt], low
		}
		if highAt >= 0 {
			e.highT, e.high = t[highAt], high
		}
		t, y = t[n:], y[n:]
	}
}

// spanOf is the span in which a time lies.
func (h *thinner) spanOf(t float64) int { return min(int((t-h.start)/h.span), traceSpans-1) }

func (h *thinner) place(t, y float64) {
	for (t-h.start)/h.span >= traceSpans {
		for k := range traceSpans {
			var e extremes
			for from := 2 * k; from < min(2*k+2, traceSpans); from++ {
				e.merge(h.spans[from])
			}
			h.spans[k] = e
		}
		h.span *= 2
	}
	h.spans[h.spanOf(t)].add(t, y)
}

// trace gives what was kept, in the order of time.
func (h *thinner) trace(c Channel) Trace {
	out := Trace{Channel: c}
	if !h.any {
		return out
	}
	if h.spans == nil {
		out.T, out.Y = append(out.T, h.t...), append(out.Y, h.y...)
		return out
	}
	keep := func(t, y float64) {
		if n := len(out.T); n > 0 && out.T[n-1] == t && out.Y[n-1] == y {
			return
		}
		out.T, out.Y = append(out.T, t), append(out.Y, y)
	}
	keep(h.firstT, h.firstY)
	for _, e := range h.spans {
		if !e.any {
			continue
		}
		if e.lowT <= e.highT {
			keep(e.lowT, e.low)
			keep(e.highT, e.high)
		} else {
			keep(e.highT, e.high)
			keep(e.lowT, e.low)
		}
	}
	keep(h.lastT, h.lastY)
	return out
}

// decimator keeps evenly spread points of a stream, at most fitPoints of them: every one at first, then every second,
// every fourth …
type decimator struct {
	x, y  []float64
	every int
	seen  int
}

const fitPoints = 512

func (d *decimator) add(x, y float64) {
	if d.every == 0 {
		d.every = 1
	}
	if d.seen%d.every == 0 {
		if len(d.x) == fitPoints {
			half := 0
			for k := 0; k < len(d.x); k += 2 {
				d.x[half], d.y[half] = d.x[k], d.y[k]
				half++
			}
			d.x, d.y = d.x[:half], d.y[:half]
			d.every *= 2
		}
		if d.seen%d.every == 0 {
			d.x, d.y = append(d.x, x), append(d.y, y)
		}
	}
	d.seen++
}

// recent is the last few points of a stream.
type recent[T any] struct {
	ring []T
	next int
	size int
}

func newRecent[T any](size int) *recent[T] { return &recent[T]{size: size} }

func (r *recent[T]) add(x T) {
	if len(r.ring) < r.size {
		r.ring = append(r.ring, x)
		return
	}
	r.ring[r.next] = x
	r.next = (r.next + 1) % r.size
}

// back gives the point that came so many before the newest, and false where there is none.
func (r *recent[T]) back(k int) (x T, ok bool) {
	n := len(r.ring)
	if k >= n {
		return x, false
	}
	return r.ring[(r.next+2*n-1-k)%n], true
}

// all gives them in order.
func (r *recent[T]) all() []T {
	return append(append([]T(nil), r.ring[r.next:]...), r.ring[:r.next]...)
}

// usable says whether a value of a log can be computed with: a number, and of a size that anything measured can have.
func usable(x float64) bool { return math.Abs(x) <= greatestUsable }

const greatestUsable = 1e12

// magnitude is that of a value, 0 where there is none.
func magnitude(x float64) float64 {
	if x != x {
		return 0
	}
	return math.Abs(x)
}
