package runlog

import (
	"slices"
	"strings"

	"voltwright/internal/finding"
)

// Rules that name a damage, by what they look at.
var (
	ofOrder  = []string{"log-clock-restart", "log-clock-back", "log-rows-out-of-order", "log-times-disagree", "log-step-time-disagrees", "log-repeated-time"}
	ofClock  = append([]string{"log-interval-disagrees", "log-pace", "log-gap", "log-long-interval", "log-bad-time", "log-unit-open"}, ofOrder...)
	ofTotals = []string{"log-counter-disagrees", "log-energy-counter-disagrees", "log-distance-disagrees", "log-position-disagrees"}
	ofPairs  = []string{"log-power-disagrees", "log-state-disagrees", "log-sign-disagrees", "log-columns-exchanged", "log-current-missing", "log-second-column-disagrees"}
	ofValues = []string{"log-jumps", "log-implausible"}
	ofScale  = []string{"log-scale-changes", "log-digits-change", "log-odd-sample"}
	ofFields = []string{"log-bad-field", "log-bad-time", "log-long-row", "log-short-row", "log-no-time-in-row", "log-rows-above", "log-head-short"}
)

// namesDamage are the rules that name a kind of damage: who reads the finding looks at what was done to the log. Where the time was
// damaged, the rules about the clock do as well.
var namesDamage = map[string][][]string{
	"cells blanked":        {{"log-holes", "log-hole"}},
	"clock jumps":          {ofClock, ofTotals},
	"column dropped":       {{"log-columns-missing", "log-no-time"}},
	"columns exchanged":    {ofValues, ofScale, ofTotals, ofPairs, {"log-bad-field"}},
	"decimal mark changed": {ofFields, ofValues, ofScale, ofTotals, {"log-power-disagrees", "log-decimal-open", "log-decimal-assumed"}},
	"factor 1000":          {ofValues, ofScale, ofTotals, ofPairs, {"log-bad-field"}},
	"heads swapped":        {ofValues, ofTotals, ofPairs},
	"rows duplicated":      {ofOrder, ofTotals},
	"rows shuffled":        {ofOrder},
	"separator changed":    {ofFields},
	"sign turned":          {ofValues, ofTotals, ofPairs, {"log-sign-unknown"}},
	"unit swapped":         {ofValues, ofTotals, ofPairs, {"log-columns-missing"}},
}

// namesTime are the rules that name a damage to the time, beside those of the clock, by its kind.
var namesTime = map[string][]string{"cells blanked": {"log-no-time-in-row"}}

// saysWhich are the rules whose finding is about one column, which it says; saysNoPlace those whose place is not where the damage is.
var (
	saysWhich   = []string{"log-holes", "log-hole", "log-implausible", "log-odd-sample", "log-scale-changes", "log-digits-change", "log-bad-field", "log-jumps"}
	saysNoPlace = append([]string{"log-power-disagrees"}, ofTotals...)
)

// named lists the rules that name the damage: those that fit its kind, speak of the column and of the stretch that were damaged, and say
// what they do not say of the good log.
func named(d *damaged, found, before []finding.Finding) []string {
	rules := slices.Concat(namesDamage[d.kind]...)
	if (d.channel == Time || d.with == Time) && !slices.Contains([]string{"rows duplicated", "rows shuffled", "separator changed"}, d.kind) {
		rules = append(append(rules, ofClock...), namesTime[d.kind]...)
	}
	oneColumn := d.channel != Time && d.with != Time && d.kind != "decimal mark changed" // a comma between commas shifts the columns behind it
	var list []string
	for _, f := range found {
		said := slices.ContainsFunc(before, func(b finding.Finding) bool { return b.Rule == f.Rule && b.Text == f.Text })
		if said || slices.Contains(list, f.Rule) || !slices.Contains(rules, f.Rule) {
			continue
		}
		if oneColumn && slices.Contains(saysWhich, f.Rule) && !strings.Contains(f.Text, d.channel.String()) && !strings.Contains(f.Text, d.with.String()) {
			continue
		}
		if line := f.Span.Position().Line; d.to > 0 && line > 0 && !slices.Contains(saysNoPlace, f.Rule) {
			const beside = 4 // rows that are looked at together
			if first := len(d.sheet.above) + 1; line < first+d.from-beside || line > first+d.to+beside {
				continue
			}
		}
		list = append(list, f.Rule)
	}
	return list
}

// contradictsNothing says why a damage leaves a file that agrees with itself, so that nothing else in it says what was changed; "" where
// something does.
func contradictsNothing(d *damaged, s *sheet) string {
	has := func(channels ...Channel) bool {
		return slices.ContainsFunc(s.columns, func(c Column) bool { return slices.Contains(channels, c.Channel) })
	}
	scaled := d.whole && (d.kind == "factor 1000" || d.kind == "unit swapped")
	turned := d.whole && d.kind == "sign turned"
	warm := (d.channel == Temperature || d.channel == Ambient) && !has(Ambient) &&
		!slices.ContainsFunc(s.compared, func(c Column) bool { return c.Channel == SecondTemperature })
	switch {
	case scaled && warm:
		return "a temperature in another unit throughout"
	case turned && warm:
		return "a temperature of another sign throughout"
	case d.kind == "heads swapped" && (d.what == "temperature with ambient" || d.what == "ambient with temperature") && s.moves(Temperature) < thermometerMoves:
		return "two thermometers exchanged throughout, of which neither moves by 3 K"
	case d.kind == "column dropped":
		scanner, err := NewScanner(finding.NewStream("log"), strings.NewReader(d.sheet.text()), NewOptions())
		if err == nil && slices.ContainsFunc(scanner.Dialect().Columns, func(c Column) bool { return c.Channel == d.channel }) {
			return "one of two columns of a kind taken out"
		}
	case d.channel == Current && (scaled || turned) && !has(Voltage, Power, ChargeCounter, EnergyCounter, State, Distance, Speed):
		return "a current alone in another unit or of another sign throughout"
	case d.channel == Time && scaled && !has(Voltage, Power, ChargeCounter, EnergyCounter, State, Distance, Speed, SecondTime, StepTime):
		return "a time in another unit throughout, beside a current alone"
	case d.kind == "clock jumps" && !has(SecondTime, StepTime, ChargeCounter, EnergyCounter, Distance, Speed):
		if after := s.times[d.row] - s.times[d.row-1] + d.jump; after >= 0 && after <= 1.9*s.longest {
			return "a clock set by no more than the log's own intervals"
		}
	}
	return ""
}
