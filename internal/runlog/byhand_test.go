package runlog

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// TestWholeReadingsByHand and TestWholeStopwatch: all that a few lines noted by hand give. In a file of testdata/byhand a log is
// seconds, volts, amperes, degrees, metres a second and metres, empty where not read; or the laps and the stops of a stopwatch.
func TestWholeReadingsByHand(t *testing.T) {
	holdReadings(t, "testdata/byhand/readings.txt", readingsByHand)
}

func TestWholeStopwatch(t *testing.T) { holdReadings(t, "testdata/byhand/stopwatch.txt", lapsByHand) }

func readingsByHand(t *testing.T, c *readingCase) []string {
	var rows []Reading
	for line := range strings.Lines(c.log) {
		fields := append(strings.Split(strings.TrimSpace(line), ","), make([]string, 6)...)
		value := func(k int) float64 { return numberOr(t, fields[k], math.NaN()) }
		rows = append(rows, Reading{At: quantity.Seconds(value(0)), Voltage: quantity.Volts(value(1)), Current: quantity.Amperes(value(2)),
			Temperature: quantity.Celsius(value(3)), Speed: quantity.MetresPerSecond(value(4)), Distance: quantity.Metres(value(5))})
	}
	r, found := FromReadings(rows, c.options)
	return append(told(r), foundLines(found)...)
}

func told(r *Result) []string {
	rows := []string{strconv.Itoa(r.Rows) + " used, " + strconv.Itoa(r.Skipped) + " left out"}
	return append(rows, tellResult(r)...)
}

func numberOr(t *testing.T, text string, without float64) float64 {
	t.Helper()
	if text == "" {
		return without
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// lapsByHand reads "watch 0.01", "lap 240 1", "start 26.4", "end 24 0.1", "took 190" and "stop 2 50 for water".
func lapsByHand(t *testing.T, c *readingCase) []string {
	w := NewStopwatch()
	for line := range strings.Lines(c.log) {
		words := strings.Fields(line)
		value := func(k int) float64 {
			if k >= len(words) {
				return 0
			}
			return numberOr(t, words[k], 0)
		}
		volts := func() quantity.Measured[quantity.Volts] {
			return quantity.Of(quantity.Volts(value(1)), quantity.Volts(value(2)))
		}
		switch words[0] {
		case "watch":
			w.Resolution = quantity.Seconds(value(1))
		case "lap":
			w.Lap = quantity.Of(quantity.Metres(value(1)), quantity.Metres(value(2)))
		case "start":
			w.Start = volts()
		case "end":
			w.End = volts()
		case "took":
			w.Laps = append(w.Laps, quantity.Seconds(value(1)))
			if at := slices.Index(words, "at"); at > 0 {
				src := finding.NewStream("note")
				src.Mark(int64(value(at+1)), int(value(at+1)), 1)
				w.Spans = append(w.Spans, src.At(int64(value(at+1)), 1))
			}
		case "stop":
			w.Stops = append(w.Stops, LapStop{Lap: int(value(1)), Lasted: quantity.Seconds(value(2)), Why: strings.Join(words[3:], " ")})
		default:
			t.Fatalf("%q", line)
		}
	}
	r, found := FromStopwatch(w, c.options)
	return append(told(r), foundLines(found)...)
}

// TestReadingsThatTurnRound: between a reading out and one in, the charge of either side can be all or nothing of the interval; both
// stay within what is printed.
func TestReadingsThatTurnRound(t *testing.T) {
	r, _ := FromReadings([]Reading{reading(0, 26, 4), reading(10, 27, -2), reading(20, 27, -2)}, perfect())
	for _, truth := range []struct {
		name    string
		out, in float64 // Ah
	}{{"the first current all the while", 4. / 6, 2. / 6}, {"the second", 0, 4. / 6}} {
		if d := math.Abs(float64(r.Charge.Out.Value) - truth.out); d > 2*float64(r.Charge.Out.U) {
			t.Errorf("%s: out %.3f Ah is %.3f away, U = %.3f", truth.name, truth.out, d, 2*r.Charge.Out.U)
		}
		if d := math.Abs(float64(r.Charge.In.Value) - truth.in); d > 2*float64(r.Charge.In.U) {
			t.Errorf("%s: in %.3f Ah is %.3f away, U = %.3f", truth.name, truth.in, d, 2*r.Charge.In.U)
		}
	}
}
