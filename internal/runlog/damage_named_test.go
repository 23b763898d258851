package runlog

import (
	"slices"
	"strings"

	"voltwright/internal/finding"
)

// Rules that name a damage, by what they look at.
var (
	ofClock = []string{"log-clock-restart", "log-clock-back", "log-bad-time", "log-rows-out-of-order", "log-times-disagree", "log-step-time-disagrees",
		"log-interval-disagrees", "log-pace", "log-gap", "log-long-interval", "log-repeated-time", "log-unit-open"}
	ofSums   = []string{"log-counter-disagrees", "log-energy-counter-disagrees", "log-power-disagrees", "log-distance-disagrees", "log-position-disagrees", "log-state-disagrees"}
	ofValues = []string{"log-jumps", "log-implausible", "log-odd-sample", "log-scale-changes", "log-digits-change"}
	ofFields = []string{"log-bad-field", "log-bad-time", "log-long-row", "log-short-row", "log-no-time-in-row", "log-rows-above", "log-head-short"}
)

// namesDamage are the rules that name a kind of damage: who reads the finding looks at what was done to the log. Rules about the
// clock count where the time was damaged, or whole rows.
var namesDamage = map[string][][]string{
	"cells blanked":        {{"log-holes", "log-hole", "log-no-time-in-row", "log-gap", "log-long-interval"}},
	"clock jumps":          {ofClock, ofSums},
	"column dropped":       {{"log-columns-missing", "log-no-time", "log-unit-assumed"}},
	"columns exchanged":    {ofValues, ofSums, {"log-columns-exchanged", "log-sign-disagrees", "log-bad-field"}},
	"decimal mark changed": {ofFields, ofValues, ofSums, {"log-decimal-open", "log-decimal-assumed"}},
	"factor 1000":          {ofValues, ofSums, {"log-bad-field", "log-pace"}},
	"heads swapped":        {ofValues, ofSums, {"log-columns-exchanged", "log-sign-disagrees", "log-holes"}},
	"rows duplicated":      {ofClock, ofSums},
	"rows shuffled":        {ofClock, ofSums},
	"separator changed":    {ofFields},
	"sign turned":          {ofValues, ofSums, {"log-sign-disagrees", "log-sign-unknown"}},
	"unit swapped":         {ofValues, ofSums, {"log-pace", "log-columns-missing"}},
}

// saysWhich are the rules whose finding is about one column, which it says.
var saysWhich = []string{"log-holes", "log-hole", "log-implausible", "log-odd-sample", "log-scale-changes", "log-digits-change", "log-bad-field"}

// named lists the rules that name the damage: those that fit its kind, speak of the column that was damaged, and say what they do
// not say of the good log.
func named(d *damaged, found, before []finding.Finding) []string {
	rules := slices.Concat(namesDamage[d.kind]...)
	if d.channel == Time || d.with == Time {
		rules = append(rules, ofClock...)
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
	warm := d.channel == Temperature || d.channel == Ambient
	switch {
	case scaled && warm:
		return "a temperature in another unit throughout"
	case turned && warm:
		return "a temperature of another sign throughout"
	case d.kind == "heads swapped" && (d.what == "temperature with ambient" || d.what == "ambient with temperature"):
		return "two thermometers exchanged throughout"
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
