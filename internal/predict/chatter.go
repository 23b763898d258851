package predict

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Chatter is what the cutout does after it has opened: whether the voltage comes
// back to the point at which it closes again, and what follows.
type Chatter struct {
	Load     string                            // name of the load that opened it
	Opens    quantity.Volts                    // as set
	Rebound  quantity.Measured[quantity.Volts] // rest voltage four hours after the opening
	Reset    quantity.Volts                    // the point at which it closes; NaN: not stated
	Reaches  bool                              // the rebound comes to it
	Likely   float64                           // probability of that, from the uncertainty of the rebound; NaN: not known
	Openings int                               // how often it opens if nobody takes the load off; 1: once
	Lasts    quantity.Seconds                  // from the first to the last opening
	Off, On  quantity.Seconds                  // mean time open, and closed between two openings; NaN: none
	Words    string
	Err      string // why nothing can be said
}

// farThreshold is a reset threshold that no rebound reaches: the cutout stays open and the rest is watched.
const farThreshold = 1e6

func (k *known) chatter(l Load) *Chatter {
	if k.bank.Cutout == nil {
		return nil
	}
	c := &Chatter{Load: l.Name, Opens: k.bank.Cutout.Opens, Reset: k.bank.Cutout.Opens + k.bank.Cutout.ResetThreshold,
		Rebound: quantity.Missing[quantity.Volts](), Likely: math.NaN(), Off: quantity.Seconds(math.NaN()), On: quantity.Seconds(math.NaN())}
	best, err := k.rebound(l, k.cells(halves, l.Ambient))
	if err != nil {
		c.Err = finding.SentenceOf(err)
		return c
	}
	c.Rebound = quantity.Unsure(quantity.Volts(best))
	var estimates []*battery.Estimate
	packs := k.packs(halves, l.Ambient)
	for _, p := range packs {
		estimates = append(estimates, p.Estimate)
	}
	if s, err := battery.SpreadOver(estimates, func(cells []*battery.Cell) ([]float64, error) {
		var use []battery.Pack
		for i, p := range packs {
			q := p.Pack
			q.Cell = cells[i]
			use = append(use, q)
		}
		v, err := k.rebound(l, use)
		return []float64{v}, err
	}); err == nil {
		c.Rebound.U = quantity.Volts(s[0].U)
	}
	if math.IsNaN(float64(c.Reset)) {
		c.Words = fmt.Sprintf("The pack comes back to %s. The reset threshold is not stated, so whether the cutout closes again is not known.", c.Rebound)
		return c
	}
	if c.Rebound.U > 0 {
		c.Likely = 0.5 * math.Erfc(float64((c.Reset-c.Rebound.Value)/c.Rebound.U)/math.Sqrt2)
	}
	o, err := battery.Simulate(battery.Scenario{Packs: k.cells(halves, l.Ambient), Demand: battery.Steady(l.Load), Ambient: l.Ambient, Cutout: k.bank.Cutout})
	if err != nil {
		c.Err = finding.SentenceOf(err)
		return c
	}
	got, ok := battery.ChatterOf(o)
	if !ok {
		c.Err = "The cutout does not open: " + string(o.Ended) + "."
		return c
	}
	c.Openings, c.Lasts, c.Off, c.On = got.Openings, got.Last-got.First, got.Off, got.On
	c.Reaches = got.Openings > 1 || !got.StaysOpen
	c.Words = c.words(o.Ended)
	return c
}

func (c *Chatter) words(ended battery.Ending) string {
	reset := quantity.Exact(c.Reset)
	if !c.Reaches {
		out := fmt.Sprintf("After the cutout has opened the pack comes back to %s; it closes again at %s, so it stays open.", c.Rebound, reset)
		if c.Likely > 0.025 {
			out += fmt.Sprintf(" That is not sure: by what is known of the pack it closes in %.0f of 100 cases.", 100*c.Likely)
		}
		return out
	}
	out := fmt.Sprintf("After the cutout has opened the pack comes back to %s and the cutout closes at %s, under the load that opened it.", c.Rebound, reset)
	if c.Openings < 2 {
		return out
	}
	often := fmt.Sprintf("%d times in %s", c.Openings, quantity.Clock(c.Lasts, 1))
	if ended == battery.Chattering {
		often = fmt.Sprintf("%d times within %s and goes on", c.Openings, quantity.Clock(c.Lasts, 1))
	}
	return out + fmt.Sprintf(" Left alone it opens %s, %s off and %s on each time, on average.", often, quantity.Clock(c.Off, 0.1), quantity.Clock(c.On, 0.1))
}

// rebound is the voltage hours after the cutout has opened under the load.
func (k *known) rebound(l Load, packs []battery.Pack) (float64, error) {
	cutout := *k.bank.Cutout
	cutout.ResetThreshold = farThreshold
	o, err := battery.Simulate(battery.Scenario{Packs: packs, Demand: battery.Steady(l.Load), Ambient: l.Ambient, Cutout: &cutout})
	if err != nil {
		return math.NaN(), err
	}
	if _, ok := battery.ChatterOf(o); !ok {
		return math.NaN(), errors.New("the cutout does not open: " + string(o.Ended))
	}
	return float64(o.Volts), nil
}
