package standing

import (
	"fmt"
	"math"

	"voltwright/internal/journal"
	"voltwright/internal/value"
)

func speed(t *teller) {
	measured := false
	for _, r := range t.version.Runs {
		measured = t.say(fmt.Sprintf("On {%s/date} it reached {%s/top-speed} and averaged {%s/mean-speed}.", r.Slug, r.Slug, r.Slug)) || measured
	}
	if !t.version.StatesDrive() {
		t.unstated("drive", "gearing and wheels")
	}
	t.say("Computed, just charged, it goes {top-speed} at most on the level.")
	t.say("Up the steepest hill stated, {drive.hill}, it goes {hill-speed}.")
	if !t.say("Who rides: {use.rider}.") {
		t.unstated("use.rider", "who rides, passengers or children or nobody")
	}
	if !measured {
		t.unmeasured("A field run with the speed in its log would settle it.")
	}
}

func stopping(t *teller) {
	if !t.version.StatesDrive() {
		t.unstated("drive", "how it is driven")
		return
	}
	if !t.say("From its top speed on the level it stops in {stopping-distance}.") {
		t.unstated("drive.braking", "how it brakes")
	}
	t.say("Down the steepest climb it stops in {stopping-distance-downhill}.")
	t.say("That is with a braking of {drive.braking.deceleration}.")
	t.unmeasured("A stop from top speed, loaded and measured with a tape on a closed way, would settle it.")
}

func weight(t *teller) {
	if t.version.Masses == nil {
		t.unstated("masses", "what it weighs and carries")
		return
	}
	if !t.say("It weighs {masses.vehicle} itself.") {
		t.unstated("masses.vehicle", "what it weighs")
	}
	if !t.say("The heaviest payload or train that is stated is {masses.payload}, which makes {moved-mass} that are moved.") {
		t.unstated("masses.payload", "what it carries or pulls")
	}
	t.say("With that it still starts on a climb of {steepest-start}, and the steepest hill stated is {drive.hill}.")
	var most *journal.Run
	for _, r := range t.version.Runs {
		if p := r.Conditions.Payload; p.Set && (most == nil || p.Stated().Value > most.Conditions.Payload.Stated().Value) {
			most = r
		}
	}
	if most == nil {
		t.unmeasured("A field run that states its payload would say what it has pulled.")
		return
	}
	t.say(fmt.Sprintf("The heaviest that it pulled on a run was {%s/conditions.payload}, on {%s/date}.", most.Slug, most.Slug))
}

// compared are the values that are set against the version before, each with a name.
var compared = []struct{ name, words string }{
	{"pack-capacity", "The capacity of the packs is different by {}"},
	{"cutout.opens", "The cutout opens at a voltage different by {}"},
	{"pack-mass", "The packs' mass is different by {}"},
	{"top-speed", "The top speed computed is different by {}"},
}

func changed(t *teller) {
	before := t.version.Before
	if before == nil {
		t.with("It is the first version: there is none before it.")
		return
	}
	t.with(fmt.Sprintf("It follows version %d, %s. Last time and now, side by side:", before.Number, before.Name.Text))
	told := false
	for _, c := range compared {
		v, err := t.index.Find(t.version.Place(), fmt.Sprintf("%s/less/%s/%s", c.name, before.Slug, c.name))
		q, ok := v.Quantity.Get()
		if err != nil || !ok || q.Value == 0 {
			continue
		}
		told = true
		t.with(c.words+chance(q.Value, q.U), v)
	}
	t.say("The change cost {change-cost}.")
	if !told {
		t.unstated("packs.capacity", "what could be set against the version before")
	}
	if !t.repeated() || !(&teller{asker: &asker{index: t.index, journal: t.journal, version: before, results: t.results}}).repeated() {
		t.unmeasured("Whether its runs are better by more than chance, two runs of one kind on each version would settle; one run has no spread.")
	}
}

// chance says of a difference whether it is more than its expanded uncertainty; of what is stated there is none to say.
func chance(difference, u float64) string {
	switch {
	case !(u > 0):
		return ", as both are stated."
	case math.Abs(difference) > 2*u:
		return ", which is more than its uncertainty: hardly chance."
	}
	return ", which is no more than its uncertainty: it may be chance."
}

// repeated tells whether two runs of one type were made.
func (t *teller) repeated() bool {
	n := map[journal.RunType]int{}
	for _, r := range t.version.Runs {
		if n[r.Type.Value]++; n[r.Type.Value] > 1 && r.Type.Value != journal.Charge {
			return true
		}
	}
	return false
}

func takenBack(t *teller) {
	places := []journal.Place{t.version.Place()}
	for _, r := range t.version.Runs {
		places = append(places, r.Place())
	}
	seen := map[*journal.NotePage]bool{}
	for _, p := range places {
		for _, n := range t.journal.CorrectionsOf(p) {
			if !seen[n] {
				seen[n] = true
				t.with(fmt.Sprintf("Put right on {}: %s.", n.Title.Text), value.Value{Label: "Date of the correction", Place: journal.Place{Page: n}, Form: value.FormDate, Kind: value.Quoted, Day: n.Date})
			}
		}
	}
	if len(seen) == 0 {
		t.with("Nothing that was said of it has been taken back: no mistake is known, and no correction concerns it.")
	}
}
