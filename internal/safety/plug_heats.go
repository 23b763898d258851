package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// plugHeats asks whether a version's logs show a plug or a lead that gets hot, or gets worse from run to run.
var plugHeats = &rule{each: eachVersion, judge: judgePlugHeats, doc: finding.Doc{
	Name: "plug-heats", Signal: finding.SignalWarning,
	Title:   "A plug or a lead heats",
	What:    "Holds the heat that a run's plugs and leads make beyond those of the best run like it, mean over the run, against what one small plug may make and what bad joints that start fires make: above the first a CAUTION, above the second a WARNING; of a run that a later one shows mended, nothing. A resistance of plugs and leads that grows with the date, beyond what chance explains over four runs or more, is a CAUTION whatever heat it makes.",
	Why:     "A loose or worn contact heats, the heat takes its spring and plating, and it heats more. It ends with a melted plug, or with a fire where nobody looks. To the cutout it looks like an empty pack.",
	Needs:   "two logs of the same packs that begin at rest and full, within 5 K of each other, at half of the capacity in amperes or more; for the growth four with dates",
	Formula: "P = mean(I²)·R(plug), see plug-resistance",
	Source:  "2.5 W: data sheet of a barrel plug, whose contact may have 100 mΩ after wear at 5 A (second-hand). 30 W: a guide for fire investigators gives 30 W to 40 W for well-developed heating connections at 15 A to 20 A, quoted on a web page (second-hand). Chance: Student's distribution, 95 %, with the scatter of plug-resistance.",
	Example: "  log: {file: field.csv, columns: {time: t, voltage: U, current: I}, time: seconds}",
}}

const (
	plugHeat    quantity.Watts = 2.5 // (100 mΩ)·(5 A)²
	glowingHeat quantity.Watts = 30
)

func judgePlugHeats(s *subject) (found []verdict) {
	a := s.answers()
	if a == nil {
		return nil
	}
	var worst *predict.CalibrationRun
	for i := range a.Basis.Runs {
		r := &a.Basis.Runs[i]
		if r.Contact.Mended == "" && above(r.Contact.Heat, plugHeat) && (worst == nil || r.Contact.Heat > worst.Contact.Heat) {
			worst = r
		}
	}
	if worst != nil {
		if run := s.runOf(worst.Run); run != nil {
			c := worst.Contact
			v := verdict{signal: finding.Caution, at: run.EvidenceSpan(), gauge: most("heat in plugs and leads", c.Heat, plugHeat, "data sheet of a worn barrel plug"),
				text:   fmt.Sprintf("the first ten seconds show %s more in plugs and leads than on %s: %s on average over the run, and one bad contact may have all of it", quantity.Rough(c.More), c.Best, quantity.Rough(c.Heat)),
				remedy: "feel each plug and joint after ten minutes under load, the pack switched off and unplugged before you part any; make up anew what is warmer than the others."}
			if above(c.Heat, glowingHeat) {
				v.signal, v.gauge.Limit, v.gauge.Bound, v.gauge.Source = finding.SignalWarning, float64(glowingHeat), quantity.Brief(glowingHeat), "guide for fire investigators, second-hand"
				v.remedy = "do not run it again as it is. Take the pack off, look at each plug, crimp and screw for browned or softened parts, and put in new ones, both halves."
			}
			found = append(found, v)
		}
	}
	g := a.Basis.Plugs
	if g == nil {
		return found
	}
	run := s.runOf(g.Last)
	if run == nil {
		return found
	}
	v := verdict{signal: finding.Caution, at: run.EvidenceSpan(), gauge: most("rise of the resistance", g.Rise, g.Chance, "chance, 95 %"),
		text:   fmt.Sprintf("over %d runs the resistance of packs, plugs and leads rose by %s, more than the %s that chance explains: a contact gets worse, or the cells age", g.Runs, quantity.Rough(g.Rise), quantity.Rough(g.Chance)),
		remedy: "clean or replace the plugs, both halves, and tighten each screw; then make a run that begins like the last one. If it shows no less, measure the cells."}
	if first := s.runOf(g.First); first != nil {
		v.related = []finding.Related{{Span: first.EvidenceSpan(), Text: "the first of these runs"}}
	}
	return append(found, v)
}

// runOf is the version's run of an ID; nil: it has none.
func (s *subject) runOf(id string) *journal.Run {
	for _, r := range s.version.Runs {
		if string(r.ID()) == id {
			return r
		}
	}
	return nil
}
