package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var packVoltageDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-not-this-pack", Level: finding.Warning, Title: "A voltage that is not the stated pack's",
	What: "Divides the mean voltage of the log by the stated number of cells in series and holds it against the least and the greatest voltage that a cell of the stated chemistry works at, 0.8 and 4.6 V where none is stated. Beyond them is said, by more than a factor of 1.5 it is an error, with the number of cells or the unit that would fit.",
	Why:  "A log of one cell beside the spec of a pack, a head in the wrong unit, or a count of cells that is wrong: each makes every value of energy wrong.", Source: ownRule,
	Example: "  packs: [{chemistry: lfp, series: 8}]",
}

var packChargeDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-beyond-capacity", Level: finding.Warning, Title: "More charge than the pack holds",
	What: "Holds the greatest flow of charge one way against the stated capacity: more than 1.2 times is said, more than 1.5 times is an error.",
	Why:  "No pack gives half as much again as its label. The unit of the current or of the time is wrong, or the label is.", Source: ownRule, Example: "  packs: [{capacity: 20 Ah}]",
}

type packVoltage struct{}

func (w *packVoltage) say(h *hearing) []said {
	series, v := h.options.Series, &h.meter.voltage
	if series < 1 || v.n < 3 || h.meter.walker.count < 3 {
		return nil
	}
	mean := (v.first + v.last) / 2
	if r := h.result; r.Charge.Out.Value > 0 && r.Energy.Out.Known() && r.Charge.Out.Value >= r.Charge.In.Value {
		mean = float64(r.Energy.Out.Value) / float64(r.Charge.Out.Value) // a logger behind the cutout sees nothing once it is open
	} else if v.span > 0 {
		mean = v.area.value() / v.span
	}
	low, high := h.options.CellLowest, h.options.CellHighest
	if !(high > low) {
		low, high = 0.8, 4.6
	}
	cell := mean / float64(series)
	ratio := 1.0
	switch {
	case cell > high:
		ratio = cell / high
	case cell < low:
		ratio = cell / low
	default:
		return nil
	}
	text := fmt.Sprintf("the voltage is %s in the mean, %s a cell for %d in series; such cells work between %s and %s", plain(mean, quantity.Voltage),
		plain(cell, quantity.Voltage), series, plain(low, quantity.Voltage), plain(high, quantity.Voltage))
	looks, remedy := "", "look at `series:` and at the unit of the voltage in the head"
	middle := (low + high) / 2
	switch found := h.likely(mean/(middle*float64(series)), false, Voltage); {
	case len(found) > 0:
		looks, remedy = either(found, remedy)
	case math.Round(mean/middle) >= 1 && int(math.Round(mean/middle)) != series:
		n := int(math.Round(mean / middle))
		looks, remedy = fmt.Sprintf("; it looks like %d in series", n), fmt.Sprintf("if the pack has %s in series, say `series: %d`; if the log is of a part of the pack only, say so in the note", plural(n, "cell"), n)
	}
	return []said{{grave(ratio), text + looks, remedy, 0, 0}}
}

type packCharge struct{}

func (w *packCharge) say(h *hearing) []said {
	rated := h.options.Rated
	if !rated.Known() || rated.Value <= 0 {
		return nil
	}
	most := 0.0
	c := &h.meter.cutter
	for _, s := range c.swings() {
		sum := c.sum(s.first, s.last)
		most = max(most, math.Abs(sum.net())/secondsPerHour)
	}
	ratio := most / float64(rated.Value)
	if ratio <= 1.2 {
		return nil
	}
	looks, remedy := either(h.likely(ratio, true, Current), "look at the units of current and time in the head, and at the pack's capacity")
	return []said{{grave(ratio), fmt.Sprintf("%s flow one way, and the pack is stated to hold %s%s", plain(most, quantity.Charge), plain(float64(rated.Value), quantity.Charge), looks), remedy, 0, 0}}
}
