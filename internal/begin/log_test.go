package begin

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

const starterLog = "trolley/1-first-pack/bench-2026-01-17.csv"

// The log of the starter is what this formula gives, and nothing was measured: a cell's voltage as a flat line with a
// steep end and a little slope, a resistance that grows towards empty, and one slow branch for the sag and its recovery.
func invented() []byte {
	const (
		step     = 10.0 // s
		capacity = 9.7  // Ah
		cells    = 4
		ohms     = 0.024
		slowOhms = 0.016
		slowTime = 70.0 // s
		opens    = 11.8
		after    = 600.0 // s that the log goes on
	)
	var b bytes.Buffer
	b.WriteString("# invented: made by a formula, not by a meter\nTime (s),Voltage (V),Current (A)\n")
	soc, slow, opened := 1.0, 0.0, math.Inf(1)
	for t := 0.0; t <= opened+after; t += step {
		amps := 0.0
		if t >= 60 && math.IsInf(opened, 1) {
			amps = 6 + 0.04*math.Sin(t/41) + 0.03*math.Sin(t/13)
		}
		grown := 1 + 3*math.Exp(-soc/0.05)
		cell := 3.24 + 0.09*soc + 0.12*math.Exp((soc-1)/0.02) - 0.42*math.Exp(-soc/0.035)
		volts := cells*cell - slow - amps*ohms*grown
		fmt.Fprintf(&b, "%.0f,%.2f,%.2f\n", t, volts, amps)
		if amps > 0 && volts < opens {
			opened = t
		}
		slow += (slowOhms*grown*amps - slow) * (1 - math.Exp(-step/slowTime))
		soc -= amps * step / 3600 / capacity
	}
	return b.Bytes()
}

// To write it anew: VOLTWRIGHT_UPDATE=1 go test ./internal/begin
func TestStarterLogIsInvented(t *testing.T) {
	want, file := invented(), filepath.Join("starter", filepath.FromSlash(starterLog))
	if os.Getenv("VOLTWRIGHT_UPDATE") != "" {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what the formula gives", starterLog)
	}
}
