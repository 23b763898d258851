package runlog

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/recorded"
)

// wordForWord is all that is said of a log, and its parts.
func wordForWord(r *Result, found []finding.Finding) string {
	var b strings.Builder
	for k := range r.Parts {
		p := &r.Parts[k]
		fmt.Fprintf(&b, "\t%s: lines %d to %d, %d rows, %.6g s from %.6g s, %.6g Ah out, %.6g Ah in, %.6g Wh out, %.6g Wh in, %.6g V to %.6g V, between %.6g V and %.6g V, after %.6g s at %.6g V\n",
			p.Name, p.FirstLine, p.LastLine, p.Rows, float64(p.Length), float64(p.Start), float64(p.ChargeOut), float64(p.ChargeIn), float64(p.EnergyOut), float64(p.EnergyIn),
			float64(p.StartVoltage), float64(p.EndVoltage), float64(p.LowestVoltage), float64(p.HighestVoltage), float64(p.RestLength), float64(p.RestVoltage))
	}
	for _, f := range found {
		fmt.Fprintf(&b, "\t%d: %s: %s (%s) [%s]\n", f.Span.Position().Line, f.Level, f.Text, f.Remedy, f.Rule)
	}
	fmt.Fprintf(&b, "\tcharge %.6g ± %.3g Ah out, %.6g ± %.3g Ah in; energy %.6g ± %.3g Wh out, %.6g ± %.3g Wh in\n",
		float64(r.Charge.Out.Value), 2*float64(r.Charge.Sampling.Out), float64(r.Charge.In.Value), 2*float64(r.Charge.Sampling.In),
		float64(r.Energy.Out.Value), 2*float64(r.Energy.Sampling.Out), float64(r.Energy.In.Value), 2*float64(r.Energy.Sampling.In))
	return b.String()
}

// All that is said of sixty damaged logs, word for word.
func TestWhatIsSaidOfDamagedLogs(t *testing.T) {
	goods := goodLogs(t)
	random := rand.New(rand.NewPCG(12, 101))
	var b strings.Builder
	turns := damageTurns()
	for n := range 60 {
		d, good := draw(goods, turns[n%len(turns)], random)
		r, found := measureText(t, d.sheet.text())
		fmt.Fprintf(&b, "%s, %s: %s\n%s", good.name, d.kind, d.what, wordForWord(r, found))
	}
	recorded.Text(t, "testdata/damaged.golden", b.String())
}
