// Package wiring tells what one version's wiring does: what is wrong with it, which currents flow, what is lost on the way and
// gets hot, what stays live, and which leads have to be cut. The sums are those of circuit, which is asked in order here.
package wiring

import (
	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// CutAllowance is what a cut list adds to every length for what is trimmed off
// and for the wrong cut: a tenth. Common practice, no source.
const CutAllowance quantity.Fraction = 0.1

// Analysis is a version's wiring, checked, solved and judged. With a fault in it
// there are no solutions and no verdicts, since they would be of another
// circuit than the one that was meant; the cut list is there all the same.
type Analysis struct {
	Circuit   *circuit.Circuit
	Faults    []circuit.Fault
	Solutions []*circuit.Solution // in the order of the points, without those in Unsolved
	Unsolved  []Unsolved
	Verdicts  []circuit.Verdict
	Live      []circuit.Live // one for each cutout and emergency stop; where there is none, for each switch
	Whips     []circuit.Whip
	Totals    []circuit.Total
}

// Unsolved is an operating point for which there is no solution, and why: a
// whole sentence.
type Unsolved struct{ Point, Reason string }

// NotSolved says that a point has no solution.
func NotSolved(point string, why error) Unsolved { return Unsolved{point, finding.SentenceOf(why)} }

// Compute computes a circuit at operating points.
func Compute(c *circuit.Circuit, points []circuit.OperatingPoint) *Analysis {
	w := &Analysis{Circuit: c, Faults: c.Check()}
	w.Whips, w.Totals = c.CutList(CutAllowance)
	if len(w.Faults) > 0 {
		return w
	}
	for _, p := range points {
		s, err := c.Solve(p)
		if err != nil {
			w.Unsolved = append(w.Unsolved, NotSolved(p.Name, err))
			continue
		}
		w.Solutions = append(w.Solutions, s)
	}
	w.Verdicts = c.Judge(w.Solutions)
	for _, i := range openers(c) {
		// Too many combinations leave out some that are live and name none that is not; the verdict says so.
		live, _ := c.Live(i)
		w.Live = append(w.Live, live)
	}
	return w
}

// openers are the parts by which the circuit is made dead.
func openers(c *circuit.Circuit) []int {
	var stops, switches []int
	for i := range c.Parts {
		switch c.Parts[i].Kind {
		case circuit.Cutout, circuit.EmergencyStop:
			stops = append(stops, i)
		case circuit.Switch:
			switches = append(switches, i)
		}
	}
	if len(stops) > 0 {
		return stops
	}
	return switches
}
