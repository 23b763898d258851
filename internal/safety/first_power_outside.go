package safety

import (
	"fmt"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/study"
	"voltwright/internal/wiring"
)

// firstPowerOutside holds what a meter showed at the steps of a first power-up against what each has to read.
var firstPowerOutside = &rule{each: eachRun, judge: judgeFirstPower, doc: finding.Doc{
	Name: "first-power-outside", Signal: finding.SignalWarning,
	Title:   "A reading of the first power-up that is outside",
	What:    "Holds each reading of `first-power` against what the step of that name has to read by the version's own circuit. A name that no step has, and a reading in another unit, cannot be judged.",
	Why:     "What reads otherwise is wired otherwise than the drawing says, and the next step puts more behind it.",
	Needs:   "`first-power` of a run, and the version's wiring with the full voltage of its packs",
	Source:  "The circuit solved at each step; the widths: packs from their floor to full, and 1 % and 0.1 V of a meter (common practice, no source)",
	Example: "  first-power: [{step: behind main fuse, reads: 25.6 V}]",
}}

func judgeFirstPower(s *subject) []verdict {
	if len(s.run.FirstPower) == 0 {
		return nil
	}
	steps := study.FirstPower(s.version, s.wired())
	var found []verdict
	for i := range s.run.FirstPower {
		r := &s.run.FirstPower[i]
		at := slices.IndexFunc(steps, func(p wiring.PowerStep) bool { return p.Name == r.Step.Text })
		question := "what was read at “" + r.Step.Text + "”"
		switch {
		case !r.Reads.Set:
		case len(steps) == 0:
			return cannot(r.Span, "the readings of the first power-up", "the version's wiring gives no steps to hold them against", "state the wiring, and the chemistry or full voltage of each pack.")
		case at < 0:
			found = append(found, cannot(r.Step.Span, question, "no step of the first power-up is called so", "write the name that the page of the first power-up gives it.")...)
		default:
			found = append(found, s.powerReading(r.Reads.Quantity, &steps[at], question, r.Reads.Span)...)
		}
	}
	return found
}

// powerReading judges one reading.
func (s *subject) powerReading(q quantity.Quantity, step *wiring.PowerStep, question string, at finding.Span) []verdict {
	of := map[string]quantity.Dimension{"V": quantity.Voltage, "Ω": quantity.Resistance}[step.Reads.Unit]
	if step.Reads.Unit == "" || q.Dimension != of {
		return cannot(at, question, "it is not measured in the unit of the reading", "write it in volts, or in ohms where resistance is measured.")
	}
	if step.Reads.Holds(q.Value) {
		return nil
	}
	return said(verdict{signal: finding.SignalWarning, at: at, numbers: fmt.Sprintf("%s: %s, and not %s", step.Name, brief(q), step.Reads.Said()),
		text:   fmt.Sprintf("at “%s” the meter showed %s, and by the drawing it is %s", step.Name, brief(q), step.Reads.Said()),
		remedy: "draw the fuse of every pack before anything else. " + step.Stop})
}
