package standing

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// mostLoads is how many loads an answer tells of: those of the newest runs. All stand in the table of the version's page.
const mostLoads = 3

const fullRun = "A field run from full until the cutout opens, with its log, would settle it."

func runTime(t *teller) {
	for _, r := range t.version.Runs {
		if r.Type.Value == journal.Field {
			t.say(fmt.Sprintf("On {%s/date} it ran {%s/running-time}%s.", r.Slug, r.Slug, t.ended(r)))
		}
	}
	if len(t.Said) > 2 { // the newest of them
		t.Said = t.Said[len(t.Said)-2:]
	}
	measured := len(t.Said)
	a := t.predicted()
	if a == nil || a.Err != "" || len(a.Table.Loads) == 0 {
		t.untold(a)
		return
	}
	for _, l := range newest(a.Table.Loads, mostLoads) {
		t.say(fmt.Sprintf("Computed from full to %s it runs {run-time/%s/own} with the load of: %s.", a.Table.EndsBy, l.Name, l.Label))
	}
	if measured == 0 {
		t.unmeasured(fullRun)
	}
}

// newest are the newest n of the loads, those that were measured before those that are scaled to another payload.
func newest(loads []predict.Load, n int) []predict.Load {
	out := slices.Clone(loads)
	slices.Reverse(out)
	slices.SortStableFunc(out, func(a, b predict.Load) int { return min(len(a.From), 1) - min(len(b.From), 1) })
	return out[:min(n, len(out))]
}

// ended says whether a run went on until the cutout opened.
func (t *teller) ended(r *journal.Run) string {
	if f, ok := t.results.Figure(r.ID(), "cutout-voltage"); ok && f.Quantity.Known() {
		return " until the cutout opened"
	}
	return ", which was not until the cutout opened"
}

// untold says why nothing is computed of the packs.
func (t *teller) untold(a *predict.Prediction) {
	switch {
	case len(t.version.Packs) == 0:
		t.unstated("packs", "what feeds it")
	case a != nil && a.Err != "":
		t.with(a.Err)
		t.unmeasured(fullRun)
	case a != nil && a.Table.None != "":
		t.with(a.Table.None)
		t.unmeasured(fullRun)
	default:
		t.unmeasured(fullRun)
	}
}

func otherSizes(t *teller) {
	a := t.predicted()
	if a == nil || a.Err != "" || len(a.Table.Loads) == 0 {
		t.untold(a)
		return
	}
	l := newest(a.Table.Loads, 1)[0]
	for _, c := range a.Table.Columns {
		with := finding.Sentence(c.Label)
		if len(t.version.Packs) > 1 {
			with = "With " + c.Label
		}
		t.say(fmt.Sprintf("%s: {run-time/%s/%s} to %s, with the load of: %s.", strings.TrimSuffix(with, "."), l.Name, c.Name, a.Table.EndsBy, l.Label))
	}
}

func charging(t *teller) {
	for _, r := range t.version.Runs {
		if r.Type.Value == journal.Charge {
			t.say(fmt.Sprintf("On {%s/date} the charge took {%s/elapsed-time} and put {%s/charge-in} back.", r.Slug, r.Slug, r.Slug))
		}
	}
	measured := len(t.Said) > 0
	if t.version.Charger == nil {
		t.unstated("charger", "with what it is charged")
	} else {
		if !t.say("The charger gives {charger.current} up to {charger.voltage}.") {
			t.unstated("charger.current", "how much the charger gives")
		}
		from := "the cutout"
		if t.version.Cutout == nil {
			from = "empty, as it is run,"
		}
		t.say("From " + from + " to full takes {" + predict.ChargerName + "}.")
		t.say("Until the packs hold 80 % takes {" + predict.ChargerName + "/to-80}.")
		t.say("From the wall it takes {" + predict.ChargerName + "/wall-energy}.")
	}
	switch u := t.version.Charger; {
	case u != nil && u.Unattended.Set && u.Unattended.Value:
		t.with("The maker states that it charges unattended; read the callouts on that first.")
	default:
		t.with("Someone stays with every charge, overnight too: it is not left unattended, on a surface that does not burn, and nothing is charged at or below freezing.")
	}
	if !measured {
		t.unmeasured("A charge from the cutout to full, with its log, would settle it.")
	}
}

func cutout(t *teller) {
	v := t.version
	if v.Cutout == nil {
		if len(v.Packs) > 0 && v.Packs[0].Protection.Opens.Set {
			t.say("It has no cutout of its own; the pack's protection switches off at {packs.1.protection.opens}.")
		}
		t.unstated("cutout", "at what voltage it opens")
		return
	}
	t.say("The cutout is set to open at {cutout.opens}.")
	measured := false
	for _, r := range v.Runs {
		if t.say(fmt.Sprintf("On {%s/date} it opened at {%s/cutout-voltage}.", r.Slug, r.Slug)) {
			measured = true
		}
	}
	if c, ok := t.chemistry(); ok {
		n := quantity.Volts(v.Series())
		t.with("Why there: "+c.Title+" is best not taken below {}, and never below the {} of data sheets, for the cells in series; the cutout has to open above that, early enough that sag and the last metres do not carry it below.",
			number(t, "Careful floor of the cells in series", value.Computed, c.ConservativeFloor()*n), number(t, "Data sheet floor of the cells in series", value.Computed, c.DatasheetFloor()*n))
	}
	if a := t.predicted(); a != nil && a.Err == "" && len(a.Table.Loads) > 0 {
		t.say(fmt.Sprintf("When it opens, {run-time/%s/own/left} are still in the packs.", newest(a.Table.Loads, 1)[0].Name))
	}
	if !measured {
		t.unmeasured("A run until the cutout opens, with its voltage logged, would settle where it really opens.")
	}
}

// chemistry is that of the first pack.
func (t *teller) chemistry() (*battery.Chemistry, bool) {
	if len(t.version.Packs) == 0 {
		return nil, false
	}
	return t.version.Packs[0].Cells()
}

func reset(t *teller) {
	if t.version.Cutout == nil {
		t.unstated("cutout", "at what voltage it opens and closes again")
		return
	}
	if !t.say("It closes again at {reset-point}: {cutout.reset-threshold} above where it opens.") {
		t.unstated("cutout.reset-threshold", "how far the voltage has to come back before it closes")
	}
	measured := false
	for _, r := range t.version.Runs {
		if t.say(fmt.Sprintf("On {%s/date} the packs came back to {%s/rebound-peak}; the margin to closing was {%s/reset-margin}.", r.Slug, r.Slug, r.Slug)) {
			measured = true
		}
	}
	if a := t.predicted(); a != nil && a.Chatter != nil && a.Chatter.Err == "" && a.Chatter.Words != "" {
		t.with(finding.Sentence(a.Chatter.Words))
	}
	if !measured {
		t.unmeasured("A run until the cutout opens, logged for half an hour after that, would settle it.")
	}
}

func temperature(t *teller) {
	c, ok := t.chemistry()
	if !ok {
		t.unstated("packs.chemistry", "what its cells are")
		return
	}
	range2 := func(low, high string) (value.Value, value.Value, bool) {
		l, a := c.Value(low)
		h, b := c.Value(high)
		return number(t, low, value.Quoted, quantity.Celsius(l)), number(t, high, value.Quoted, quantity.Celsius(h)), a && b
	}
	if l, h, ok := range2("charge-lowest-temperature", "charge-highest-temperature"); ok {
		why := "data sheets of " + c.Title + " allow no other."
		if c.Plates() {
			why = c.Title + " charged in frost is harmed for good."
		}
		t.with("Charge it between {} and {} only: "+why, l, h)
	}
	if l, h, ok := range2("discharge-lowest-temperature", "discharge-highest-temperature"); ok {
		t.with("Its cells may be run between {} and {}.", l, h)
	}
	if f := c.CapacityFactor(0); f > 0 && f < 0.999 {
		t.with("In the cold it runs shorter: at {} such cells typically give {} of their capacity.", number(t, "Temperature", value.Quoted, quantity.Celsius(0)), number(t, "Capacity at 0 °C", value.Computed, quantity.Fraction(f)))
	}
	if f := c.CapacityFactor(0); !(f < 0.999) {
		t.with("In the cold its resistance grows, so it runs shorter; by how much, only a run in the cold would show.")
	}
	warm := false
	for _, r := range t.version.Runs {
		warm = t.say(fmt.Sprintf("On {%s/date} the run warmed the packs by {%s/temperature-rise}.", r.Slug, r.Slug)) || warm
	}
	if !warm {
		t.unmeasured("A run with a temperature at the pack in its log would settle how warm it gets.")
	}
}

func storing(t *teller) {
	if len(t.version.Packs) == 0 {
		t.unstated("packs", "what feeds it")
		return
	}
	t.say("Store the packs at {storage-voltage} at rest, cool and dry, with the isolator open so that nothing drains them.")
	rested := false
	for _, r := range t.version.Runs {
		if r.Type.Value == journal.Rest {
			rested = t.say(fmt.Sprintf("Left standing on {%s/date}, {%s/charge-out} went in {%s/elapsed-time}.", r.Slug, r.Slug, r.Slug)) || rested
		}
	}
	if !rested {
		t.unmeasured("A rest of some days, with the current logged, would settle what is lost while it stands.")
	}
}
