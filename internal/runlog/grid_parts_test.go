package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/recorded"
)

// gridFlows is a log of flows and rests whose currents are parts of the greatest that a rule has a bound at, and whose times are such
// times; a row a multiple of five seconds. Between two flows of unlike sign the current is nothing for a row.
func gridFlows(g *rand.Rand) []Sample {
	of := func(list ...float64) float64 { return list[g.IntN(len(list))] }
	var out []Sample
	every, volts := of(5, 10, 30), []float64{26, 25.9, 25.8, 25.7, 25.6}
	t, was, scale := 0.0, 0.0, of(8, 1, 0.5)
	add := func(amps float64) {
		s := vi(t, volts[g.IntN(len(volts))], amps*scale)
		s.Line, s.Offset = len(out)+2, int64(10*len(out))
		out = append(out, s)
		t += every
	}
	for range 3 + g.IntN(9) {
		amps := of(1, 1, -1, -1, 0.1, -0.1, 0.01, -0.01, 0.005, -0.005, 0.5, -0.2, 0, 0, 0)
		if sameWay(was, -amps) {
			add(0)
		}
		was = amps
		for range max(1, int(of(30, 60, 90, 120, 300, 600, 630, 1000, 2000)/every)) {
			add(amps)
		}
	}
	return out
}

// TestPartsAreSums: what is said of a part is the sum, or the extreme, of the rows that it holds, by straight lines between them, and
// the rest before it is the part before it.
func TestPartsAreSums(t *testing.T) {
	var b strings.Builder
	for n := range 240 {
		samples := gridFlows(rand.New(rand.NewPCG(33, uint64(n))))
		r := meter(samples, perfect())
		checkParts(t, fmt.Sprint(n), r)
		fmt.Fprintf(&b, "%d:", n)
		rows, counts := 0, map[PartKind]int{}
		for k, p := range r.Parts {
			fmt.Fprintf(&b, " %s %d–%d,", p.Name, p.FirstLine, p.LastLine)
			counts[p.Kind]++
			if p.Name != fmt.Sprintf("%s %d", p.Kind, counts[p.Kind]) {
				t.Errorf("%d: part %d of kind %s is called %s", n, k, p.Kind, p.Name)
			}
			first, last := p.FirstLine-2, p.LastLine-2
			low, high := math.Inf(1), math.Inf(-1)
			var charge, energy [2]float64
			for j := first; j <= last; j++ {
				v, i := samples[j].Values[Voltage], samples[j].Values[Current]
				low, high = min(low, v), max(high, v)
				if j == first {
					continue
				}
				before, d := samples[j-1].Values, samples[j].Time-samples[j-1].Time
				way := 0
				if i+before[Current] < 0 {
					way = 1
				}
				charge[way] += math.Abs(i+before[Current]) / 2 * d / 3600
				energy[way] += math.Abs(i*v+before[Current]*before[Voltage]) / 2 * d / 3600
			}
			for what, x := range map[string][2]float64{
				"start": {float64(p.Start), samples[first].Time}, "length": {float64(p.Length), samples[last].Time - samples[first].Time}, "charge out": {float64(p.ChargeOut), charge[0]}, "charge in": {float64(p.ChargeIn), charge[1]},
				"energy out": {float64(p.EnergyOut), energy[0]}, "energy in": {float64(p.EnergyIn), energy[1]}, "lowest": {float64(p.LowestVoltage), low}, "highest": {float64(p.HighestVoltage), high},
				"start voltage": {float64(p.StartVoltage), samples[first].Values[Voltage]}, "offset": {float64(p.Offset), float64(samples[first].Offset)},
			} {
				if math.Abs(x[0]-x[1]) > 1e-9*(1+math.Abs(x[1])) {
					t.Errorf("%d: %s, %s: %v, want %v", n, p.Name, what, x[0], x[1])
				}
			}
			own := last - first
			if k == 0 {
				own++
			}
			if rows += own; p.Rows != own {
				t.Errorf("%d: %s has %d rows, want %d", n, p.Name, p.Rows, own)
			}
			wasRest := k > 0 && r.Parts[k-1].Kind == PartRest
			if wasRest && (p.RestVoltage != r.Parts[k-1].EndVoltage || p.RestLength != r.Parts[k-1].Length) || !wasRest && (!math.IsNaN(float64(p.RestVoltage)) || p.RestLength != 0) {
				t.Errorf("%d: %s: %v after %v s", n, p.Name, p.RestVoltage, p.RestLength)
			}
		}
		if rows != len(samples) {
			t.Errorf("%d: %d rows in the parts, %d in the log", n, rows, len(samples))
		}
		b.WriteByte('\n')
	}
	recorded.Text(t, "testdata/cut.golden", b.String())
}
