package runlog

import (
	"io"
	"math"
	"runtime"
	"strconv"
	"testing"

	"voltwright/internal/finding"
)

// rowMaker writes an hour at 1 kHz as it is read: a run-down with stops, cut off after 58 minutes.
type rowMaker struct {
	row, rows int
	rest      []byte
	buffer    []byte
	peak      uint64 // greatest heap seen while reading
}

func (m *rowMaker) Read(p []byte) (int, error) {
	if len(m.rest) == 0 {
		if m.row >= m.rows {
			return 0, io.EOF
		}
		b := m.buffer[:0]
		if m.row == 0 {
			b = append(b, "time (s),voltage (V),current (A),temperature (°C)\n"...)
		}
		for range 256 {
			if m.row >= m.rows {
				break
			}
			t := float64(m.row) / 1000
			i := 8 + 2*math.Sin(t/3)
			if int(t)%300 >= 270 {
				i = 0.03
			}
			v := 25.6 - 3*t/3600
			if m.row >= m.rows*58/60 {
				i, v = 0, 24-1.2*math.Exp(-(t-3480)/40)
			}
			b = strconv.AppendFloat(b, t, 'f', 3, 64)
			b = append(b, ',')
			b = strconv.AppendFloat(b, v-0.05*i, 'f', 3, 64)
			b = append(b, ',')
			b = strconv.AppendFloat(b, i, 'f', 3, 64)
			b = append(b, ',')
			b = strconv.AppendFloat(b, 18+t/600, 'f', 1, 64)
			b = append(b, '\n')
			m.row++
		}
		m.buffer, m.rest = b, b
		if m.row%(1<<17) < 256 {
			var s runtime.MemStats
			runtime.ReadMemStats(&s)
			m.peak = max(m.peak, s.HeapInuse)
		}
	}
	n := copy(p, m.rest)
	m.rest = m.rest[n:]
	return n, nil
}

// A log of 3.6 million rows is measured in one pass; the heap in use stays far below what the rows would take.
func TestLongLogInBoundedMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("3.6 million rows")
	}
	runtime.GC()
	var before runtime.MemStats
	runtime.ReadMemStats(&before)
	maker := &rowMaker{rows: 3_600_000}
	o := perfect()
	o.PauseAfter = 10
	r, _, err := Measure(finding.NewStream("hour.csv"), maker, o)
	if err != nil {
		t.Fatal(err)
	}
	if r.Rows != 3_600_000 {
		t.Fatalf("%d rows", r.Rows)
	}
	t.Logf("heap in use: %.1f MiB before, %.1f MiB at its greatest", float64(before.HeapInuse)/(1<<20), float64(maker.peak)/(1<<20))
	if maker.peak > 64<<20 {
		t.Errorf("heap in use reached %d MiB, want less than 64 MiB", maker.peak>>20)
	}
	// Eleven stops of 30 s before the cutout, and the time after it.
	near(t, "running time", float64(r.Running.Value), 3480-11*30, 0.01)
	if r.Cutout == nil {
		t.Fatal("no opening seen")
	}
	near(t, "opened at", float64(r.Cutout.OpenedAt.Value), 3480, 0.01)
	near(t, "time constant", float64(r.Cutout.Rebound.Fit.TimeConstant.Value), 40, 0.5)
	points := 0
	for _, tr := range append(r.Traces, r.ReboundTraces...) {
		if len(tr.T) > MaxTracePoints {
			t.Errorf("%s has %d points", tr.Channel, len(tr.T))
		}
		points += len(tr.T)
	}
	t.Logf("%d points for the page in all", points)
}
