package runlog

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"testing"
	"time"

	"voltwright/internal/finding"
)

// benchLog is an hour at 100 Hz: time, voltage and current.
func benchLog() []byte {
	var b bytes.Buffer
	b.WriteString("time_s,voltage_V,current_A\n")
	for i := range 360000 {
		t := float64(i) / 100
		fmt.Fprintf(&b, "%.2f,%.3f,%.2f\n", t, 26.4-0.0004*t-0.3*math.Sin(t/7), 6+4*math.Sin(t/7))
	}
	return b.Bytes()
}

// BenchmarkScanner reads a log of simple fields and compares with the floor:
// the same bytes read in chunks, their line ends counted.
func BenchmarkScanner(b *testing.B) {
	text := benchLog()
	rows := bytes.Count(text, []byte("\n")) - 1
	b.SetBytes(int64(len(text)))
	const floorRuns = 20
	chunk := make([]byte, 64<<10)
	start := time.Now()
	for range floorRuns {
		r, lines := bytes.NewReader(text), 0
		for {
			n, err := r.Read(chunk)
			lines += bytes.Count(chunk[:n], []byte("\n"))
			if err == io.EOF {
				break
			}
		}
		if lines != rows+1 {
			b.Fatal(lines)
		}
	}
	floor := float64(time.Since(start).Nanoseconds()) / floorRuns
	b.ResetTimer()
	for range b.N {
		s, err := NewScanner(finding.NewStream("bench.csv"), bytes.NewReader(text), NewOptions())
		if err != nil {
			b.Fatal(err)
		}
		n, block := 0, newBlock()
		for more := true; more; {
			more = s.fill(block, func(s Sample) { block.add(&s) })
			n += block.n
			block.drop(block.n)
		}
		if n != rows {
			b.Fatalf("%d rows of %d", n, rows)
		}
	}
	perRow := float64(b.Elapsed().Nanoseconds()) / float64(b.N) / float64(rows)
	b.ReportMetric(1e3/perRow, "Mrows/s")
	b.ReportMetric(3e3/perRow, "Mfields/s")
	b.ReportMetric(perRow*float64(rows)/floor, "times-floor")
}
