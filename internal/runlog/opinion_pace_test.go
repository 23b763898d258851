package runlog

import (
	"fmt"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// What a flow would cost by the pack's own resistance, 5 A at 24.5 V here, after a first row at 24.6 V: that of a step which holds, 0.1 Ω, and else the answer to
// the load that comes on. 246 Ah, of some 49 h, would cost the whole voltage.
func TestWhatAFlowCosts(t *testing.T) {
	write := func(held bool, hours float64) string {
		var b strings.Builder
		b.WriteString("time (s),voltage (V),discharge current (A)\n")
		row := func(at, volts, amps float64) { fmt.Fprintf(&b, "%g,%.2f,%g\n", at, volts, amps) }
		for k := range 10 {
			row(float64(k), 25, 0)
		}
		if held { // 0.1 Ω
			for k := range 8 {
				row(10+float64(k), 24.5+0.1*max(0, 1-float64(k)), 5) // 0.08 Ω at first
			}
		}
		for at := 20.0; at <= 20+hours*3600; at += 1200 {
			row(at, 24.5, 5)
		}
		return b.String()
	}
	for _, x := range []struct {
		held  bool
		hours float64
		want  string
	}{{true, 62, "310 Ah, 1.26 times"}, {false, 62, "310 Ah, 1.27 times"}, {true, 49.4, "246.7 Ah, 1 times"}, {true, 48.5, ""}, {false, 49.4, "246.7 Ah, 1.01 times"}, {false, 48.5, ""}} {
		o := NewOptions()
		o.Gap = 3000
		_, found, err := Measure(finding.NewStream("x.csv"), strings.NewReader(write(x.held, x.hours)), o)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, f := range found {
			if f.Rule == "log-pace" {
				charge, after, _ := strings.Cut(f.Text, " would flow here")
				_, after, _ = strings.Cut(after, "loses ")
				got = charge + ", " + strings.TrimSuffix(after, " its voltage at the current which moves as much in an hour; these times look like milliseconds")
				if f.Level != finding.Error || f.Span.Position().Line != 12 {
					t.Errorf("%v in line %d", f.Level, f.Span.Position().Line)
				}
			}
		}
		if got != x.want {
			t.Errorf("a step that holds: %t, %g h: %q, want %q", x.held, x.hours, got, x.want)
		}
	}
}
