package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// overDischarged asks whether a run took a pack below its floor, and says what to do with it.
var overDischarged = &rule{each: eachRun, judge: judgeOverDischarged, doc: finding.Doc{
	Name: "over-discharged", Signal: finding.SignalWarning,
	Title: "A pack was taken below its floor",
	What: "Holds the lowest voltage of a run that was no charge against the least that data sheets allow for the cells in series. For lithium-ion and sodium-ion a CAUTION, and a WARNING from a deeper line on; " +
		"a NOTICE for other cells.",
	Why:     "A lithium-ion cell that was far below its floor may have dissolved copper from its own foil; charged again, it may short inside. How deep is too deep is disputed: the deeper line is a cautious one.",
	Needs:   "packs of one chemistry and one number of cells in series, and a run with voltages",
	Formula: "deeper line = cells in series × 2.0 V, for iron phosphate 1.5 V; titanate and sodium-ion have none",
	Source:  "Floors stand with each chemistry, with their source and status. 2.0 V: a screening line, disputed; 1.5 V for iron phosphate: own choice, no source. Copper: Hendricks et al., J. Electrochem. Soc. 167 (2020) ab697a (confirmed, abstract).",
	Example: "  cutout: {opens: 23.4 V}",
}}

func judgeOverDischarged(s *subject) []verdict {
	p, ok := s.alike()
	r := s.result()
	if s.run.Type.Value == journal.Charge || !ok || r == nil || !r.LowestVoltage.Known() {
		return nil
	}
	c, series, _ := cellsOf(p)
	rate := 0.0
	if amps, capacity := steady(r), s.version.Capacity(); amps.Known() && capacity.Known() && capacity.Value > 0 {
		rate = float64(amps.Value) / float64(capacity.Value)
	}
	floor, q := c.FloorAt(rate)
	source := q.String()
	lowest := r.LowestVoltage
	if e := r.Cutout; e != nil && !e.Rebound.Peak.Known() { // measured behind the cutout: what vanished was not the pack
		lowest = e.OpenedVoltage
	}
	if !below(lowest.Value, floor*series) {
		return nil
	}
	v := verdict{signal: finding.Caution, at: s.run.EvidenceSpan(), gauge: least("lowest voltage", lowest.Value, floor*series, source),
		text:   fmt.Sprintf("the pack was at %s in this run, and data sheets allow %s no less than %s", lowest, kindOf(c, series), quantity.Brief(floor*series)),
		remedy: "charge it at a tenth of its capacity an hour or less, watched, and measure its cells: one that stays behind the others is at its end. Set the cutout higher before the next run."}
	if !burning(c.Family) {
		v.signal = finding.PropertyNotice
		v.remedy = "charge it the same day, slowly. Set the cutout higher, or stop sooner."
		return said(v)
	}
	if scrap, known := c.Value("scrap-voltage"); known && below(lowest.Value, quantity.Volts(scrap)*series) {
		deep := quantity.Volts(scrap)
		v.signal = finding.SignalWarning
		v.text += fmt.Sprintf("; below %s such cells may short inside when they are charged", quantity.Brief(deep*series))
		v.remedy = "do not charge it again. Put it outdoors on something that does not burn, tape its terminals, and hand it in as a damaged pack; your local collection point or fire service says how."
	}
	return said(v)
}
