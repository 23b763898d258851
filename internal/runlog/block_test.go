package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// TestBlocksSayWhatRowsSay: of whole and of damaged logs, of one with every kind of interval and of one with every channel, the same is
// said to the last word, whether the rows are measured in blocks or each by the rules for one row.
func TestBlocksSayWhatRowsSay(t *testing.T) {
	goods := goodLogs(t)
	random := rand.New(rand.NewPCG(14, 1024))
	logs := []string{restlessLog(random, 3000, 0.1, false), restlessLog(random, 4000, 1, true), restlessLog(random, 700, 30, true)}
	for _, g := range goods {
		logs = append(logs, g.sheet.text())
	}
	turns := damageTurns()
	for n := range 120 {
		d, _ := draw(goods, turns[n%len(turns)], random)
		logs = append(logs, d.sheet.text())
	}
	for n, text := range logs {
		s, err := NewScanner(finding.NewStream("log"), strings.NewReader(text), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		var samples []Sample
		for {
			sample, ok := s.Next()
			if !ok {
				break
			}
			samples = append(samples, sample)
		}
		want := toldOf(s, samples, func(m *Meter) {
			m.block.special = true // so that no rows are plain
			if m.block.full() {
				m.measure(false)
			}
		}, true)
		for _, every := range []int{1, 7, blockRows} {
			k := 0
			got := toldOf(s, samples, func(m *Meter) {
				if k++; k%every == 0 {
					m.measure(false)
				}
			}, false)
			if got != want {
				t.Fatalf("log %d, every %d rows:\n%s", n, every, apartLines(got, want))
			}
		}
	}
}

// toldOf is all that is said of the samples, with something done after each; by the rules for one row alone if that is wanted.
func toldOf(s *Scanner, samples []Sample, after func(*Meter), byRow bool) string {
	m := NewMeter(NewOptions())
	m.opinions.dialect = s.Dialect()
	if byRow {
		m.opinions.ofRows = nil
		for k, w := range m.opinions.witnesses {
			if w, ok := w.(hearsRow); ok {
				m.opinions.ofRows = append(m.opinions.ofRows, listener{opinionTable[k].of, func(r *rows) { r.each(w.row) }})
			}
		}
	}
	for k := range samples {
		m.Add(samples[k])
		after(m)
	}
	r, found := m.Result()
	return wordForWord(r, found) + strings.Join(tellResult(r), "\n")
}

// apartLines are the first lines in which two texts differ.
func apartLines(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for k := range min(len(a), len(b)) {
		if a[k] != b[k] {
			return "got  " + a[k] + "\nwant " + b[k]
		}
	}
	return fmt.Sprintf("%d lines and %d", len(a), len(b))
}

// restlessLog is a run with loads, halts and braking, gaps, holes, equal times, slips and jumps.
func restlessLog(random *rand.Rand, rows int, step float64, ride bool) string {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A)")
	if ride {
		b.WriteString(",temperature (°C),speed (km/h),distance (m)")
	}
	b.WriteString("\n")
	t, level, way := 0.0, 5.0, 0.0
	for k := range rows {
		t += step
		switch random.IntN(400) {
		case 0:
			t += step * float64(random.IntN(900))
		case 1:
			t -= step
		case 2, 3, 4:
			level = []float64{0, 12 * random.Float64(), -4 * random.Float64()}[random.IntN(3)]
		}
		amps := level
		if level != 0 {
			amps += 0.2 * random.NormFloat64()
		}
		volts := 27 - 4*float64(k)/float64(rows) - 0.03*amps + 0.004*random.NormFloat64()
		if random.IntN(900) == 0 {
			volts *= 1.3
		}
		u, i := fmt.Sprintf("%.3f", volts), fmt.Sprintf("%.2f", amps)
		if random.IntN(700) == 0 {
			u = ""
		}
		if random.IntN(700) == 0 {
			i = ""
		}
		fmt.Fprintf(&b, "%.2f,%s,%s", t, u, i)
		if ride {
			speed := math.Max(0, 2*amps)
			way += speed / 3.6 * step
			fmt.Fprintf(&b, ",%.1f,%.1f,%.1f", 20+4*float64(k)/float64(rows), speed, way)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// TestPointsTogether: points that come together leave the same trace, and the same extremes and area, as they do one by one.
func TestPointsTogether(t *testing.T) {
	random := rand.New(rand.NewPCG(14, 3))
	for _, n := range []int{1, 5, MaxTracePoints, MaxTracePoints + 1, 40_000} {
		var one, many thinner
		var a, b channelWatch
		var times, values []float64
		at := 0.0
		for range n {
			at += random.Float64() * float64(random.IntN(3))
			times, values = append(times, at), append(values, random.NormFloat64())
		}
		for k := range times {
			one.add(times[k], values[k])
			a.add(times[k], values[k])
		}
		for from := 0; from < n; {
			to := min(n, from+1+random.IntN(900))
			many.addEach(times[from:to], values[from:to])
			b.addEach(times[from:to], values[from:to])
			from = to
		}
		x, y := one.trace(Voltage), many.trace(Voltage)
		if !slices.Equal(x.T, y.T) || !slices.Equal(x.Y, y.Y) {
			t.Errorf("%d points: %d and %d in the trace", n, len(x.T), len(y.T))
		}
		if a != b {
			t.Errorf("%d points: %+v and %+v", n, a, b)
		}
	}
}
