package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// grid makes rows whose values stand on a coarse grid, so that bounds are hit and ties are frequent: a current of a few steps that
// goes on for a while, a voltage that answers it or does not, intervals of a few lengths, and now and then a hole, a clock that starts
// again, a shared stamp.
type grid struct {
	*rand.Rand
	t, amps, kelvins, way, speed, charge, energy, back, stepFrom, stepNumber float64
}

func (g *grid) of(list ...float64) float64 { return list[g.IntN(len(list))] }
func (g *grid) rare(n int) bool            { return g.IntN(n) == 0 }

// rows makes so many of them.
func (g *grid) rows(n int) []Sample {
	currents := [][]float64{{0, 1, 2, 4}, {0, 2, -1, -2}, {1, 1.05, 0.95, 2}, {0, 0.02, 1, 0.05}, {3, 1.5, 6, -6}, {0}}[g.IntN(6)]
	intervals := [][]float64{{1}, {1, 1, 1, 1, 1, 1, 1, 2, 5}, {10, 10, 10, 11, 20, 60}, {1, 2, 3}, {0.125, 0.125, 0.125, 0.125, 0.125, 0.125, 0.625, 0.75}}[g.IntN(5)]
	ohms, digits, still, sags := g.of(0, 0.05, 0.25, -0.1), g.of(8, 100, 1000), 3+g.IntN(20), g.of(0, 1, 1, 1)
	holes, jumps, more := g.IntN(3), g.rare(2), g.IntN(64)
	g.amps, g.kelvins = g.of(currents...), 20
	from, damage := g.IntN(n), gridDamages[g.IntN(len(gridDamages))]
	to := from + g.IntN(n-from)
	out := make([]Sample, 0, n)
	for k := range n {
		step := g.of(intervals...)
		if g.rare(200) {
			step = g.of(0, 30, 61, 200, 900, 4000)
		}
		if k == 0 {
			step = 0
		}
		before := g.amps
		if g.rare(still) {
			g.amps = g.of(currents...)
		}
		g.pass(step, before)
		volts := 12 - ohms*g.amps - sags*float64(k/40)/16
		if jumps && g.rare(60) {
			volts += g.of(0.02, -0.03, 0.5, -0.6, 1.2, 6, -12)
		}
		s := row(g.t, map[Channel]float64{Voltage: math.Round(volts*digits) / digits, Current: g.amps})
		s.Line, s.Offset = k+2, int64(20*k)
		g.besides(&s, more)
		for c := range s.Values {
			if often := holes == 1 && (Channel(c) == Voltage || Channel(c) == Current || Channel(c) == Temperature); Channel(c) != Time && (often && g.rare(40) || holes == 2 && g.rare(300)) {
				s.Values[c] = math.NaN()
			}
		}
		if k >= from && k < to {
			damage(g, &s, k)
		}
		s.Restart = s.Restart || g.rare(400) && k > 0
		if g.rare(400) {
			s.Loose = 0.3
		}
		out = append(out, s)
	}
	return out
}

// gridDamages are what is wrong with a stretch of rows.
var gridDamages = []func(g *grid, s *Sample, k int){
	func(*grid, *Sample, int) {},
	func(_ *grid, s *Sample, _ int) { s.Values[Current] *= 1000 },
	func(_ *grid, s *Sample, _ int) { s.Values[Current] *= 10 },
	func(_ *grid, s *Sample, _ int) { s.Values[Current] /= 1000 },
	func(_ *grid, s *Sample, _ int) { s.Values[Voltage] /= 1000 },
	func(_ *grid, s *Sample, _ int) { s.Values[Speed] *= 1000 },
	func(_ *grid, s *Sample, _ int) { s.Values[Power] /= 1000 },
	func(_ *grid, s *Sample, _ int) { s.Values[Current] = -s.Values[Current] },
	func(_ *grid, s *Sample, k int) { s.Values[Current], s.Values[Voltage] = 0, 12-float64(k/10%2)/2 }, // a load that is not written
	func(_ *grid, s *Sample, _ int) {
		s.Values[Voltage], s.Values[Current] = s.Values[Current], s.Values[Voltage]
	},
	func(_ *grid, s *Sample, k int) { s.Restart = k%9 == 8 },
	func(_ *grid, s *Sample, k int) { s.Values[Temperature] = 20 + 4*math.Abs(s.Values[Current]) },
	func(_ *grid, s *Sample, k int) { s.Values[State] = -s.Values[State] },
	func(_ *grid, s *Sample, _ int) { s.Values[Voltage] = math.Round(s.Values[Voltage]) },
	func(_ *grid, s *Sample, _ int) { s.Values[Current] += 0.0001 },
	func(_ *grid, s *Sample, _ int) {
		s.Values[Ambient], s.Values[Temperature] = s.Values[Temperature], s.Values[Ambient]
	},
	func(_ *grid, s *Sample, k int) { s.Values[Voltage] -= 4 * float64(k%2) },
	func(_ *grid, s *Sample, k int) { s.Values[Current] = 1 + 2*float64(k%2) }, // steps that the voltage does not answer
}

// pass lets some time pass.
func (g *grid) pass(step, before float64) {
	g.t += step
	if mean := (before + g.amps) / 2 * step / 3600; mean > 0 {
		g.charge += mean
		g.energy += 12 * mean
	} else {
		g.back -= mean
	}
	g.way += g.speed * step
	if g.rare(9) {
		g.speed = g.of(0, 0.5, 1, 2)
	}
	if g.rare(8) {
		g.kelvins += g.of(0.5, -0.5, 1.5, 1.6, 3, -3.5, 10, -11)
	}
	if g.rare(25) {
		g.stepFrom, g.stepNumber = g.t, g.stepNumber+1
	}
}

// besides are the other columns of a row.
func (g *grid) besides(s *Sample, more int) {
	volts, amps := s.Values[Voltage], s.Values[Current]
	set := func(bit int, c Channel, x float64) {
		if more&bit != 0 {
			s.Values[c] = x
		}
	}
	set(1, Temperature, g.kelvins)
	set(2, Speed, g.speed)
	set(2, Distance, g.way)
	set(4, ChargeCounter, math.Round(1e4*g.charge)/1e4)
	set(4, EnergyCounter, math.Round(1e3*g.energy)/1e3)
	set(4, ChargeReturned, math.Round(1e4*g.back)/1e4)
	set(8, Power, math.Round(100*volts*amps*g.of(1, 1, 1, 1, 1, 1, 1, 1, 1, 1.1, 1.2))/100)
	set(8, State, map[bool]float64{true: StateDischarge, false: StateRest}[amps > 0])
	set(16, Step, g.stepNumber)
	set(16, StepTime, g.t-g.stepFrom)
	set(16, SecondTime, g.t+g.of(0, 0, 0, 0, 0, 0, 2, 3))
	set(32, SecondVoltage, volts-g.of(0, 0.125))
	set(32, SecondCurrent, amps*g.of(1, 1, 1, -1))
	set(32, Ambient, 20+g.of(0, 0.5, 3))
}

// gridOptions states something of some logs.
func gridOptions(n int) Options {
	o := NewOptions()
	if n%3 == 0 {
		o.PauseAfter = 20
	}
	if n%5 == 0 {
		o.Gap = 60
	}
	if n%5 == 1 {
		o.Idle = 0.5
	}
	if n%4 == 0 {
		o.Rated, o.Series = quantity.Exact(quantity.AmpereHours(0.5)), 4
		o.CellLowest, o.CellHighest = 2.75, 3
		o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(11.5)), Threshold: quantity.Exact(quantity.Volts(0.25))}
		o.Instruments = []Instrument{{Channel: Voltage, Resolution: 0.125}, {Channel: Current, Resolution: 0.05}}
	}
	return o
}

// toldOfRows is all that is said of rows: of each by itself, or of so many together.
func toldOfRows(samples []Sample, every int, o Options) string {
	m := NewMeter(o)
	m.source = finding.NewStream("log")
	m.opinions.dialect.TimeForm = timeSeconds.word()
	if every == 0 {
		m.opinions.ofRows = nil
		for k, w := range m.opinions.witnesses {
			if w, ok := w.(hearsRow); ok {
				m.opinions.ofRows = append(m.opinions.ofRows, listener{opinionTable[k].of, func(r *rows) { r.each(w.row) }})
			}
		}
	}
	for k := range samples {
		m.Add(samples[k])
		switch {
		case every == 0:
			m.block.special = true // so that no rows are plain
			if m.block.full() {
				m.measure(false)
			}
		case (k+1)%every == 0:
			m.measure(false)
		}
	}
	r, found := m.Result()
	return wordForWord(r, found) + strings.Join(tellResult(r), "\n")
}

// TestGridRowsInBlocks: of short logs on a coarse grid the same is said of rows in blocks as of each row by itself.
func TestGridRowsInBlocks(t *testing.T) {
	for n := range 243 {
		g := grid{Rand: rand.New(rand.NewPCG(31, uint64(n)))}
		size := []int{12, 40, 90, 200, 520, 700}[n%6]
		if n >= 240 {
			size = 5000 // of so many, quantiles are kept in bins
		}
		samples, o := g.rows(size), gridOptions(n)
		want := toldOfRows(samples, 0, o)
		for _, every := range []int{5, 33, 4000} {
			if got := toldOfRows(samples, every, o); got != want {
				t.Fatalf("log %d, %d rows together:\n%s", n, every, apartLines(got, want))
			}
		}
	}
}

// All that is said of logs on a coarse grid, number by number and word for word: a net for what is just at a bound.
func TestLogsOnAGrid(t *testing.T) {
	var b strings.Builder
	for n := range 72 {
		g := grid{Rand: rand.New(rand.NewPCG(32, uint64(n)))}
		fmt.Fprintf(&b, "== %d\n%s\n", n, toldOfRows(g.rows(20+2*(n%50)), 4000, gridOptions(n)))
	}
	recorded.Text(t, "testdata/grid.golden", b.String())
}
