package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// usedCellsUnmeasured asks what was measured of cells that are not new.
var usedCellsUnmeasured = &rule{each: eachPack, judge: judgeUsedCellsUnmeasured, doc: finding.Doc{
	Name: "used-cells-unmeasured", Signal: finding.SignalWarning,
	Title:   "Used cells of which too little was measured",
	What:    "Asks of each pack that is `second-hand` for four things: its capacity beside that when new, its resistance beside that when new, what it loses in a month at rest, and when it was made. With none of them a WARNING where the cells can burn, else a CAUTION that names what is missing.",
	Why:     "A cell that was frozen, run flat or overheated looks like any other. It shows only in what it holds, how it sags and whether it keeps its charge; age says how much is left to lose.",
	Needs:   "`as-found` of the pack; `label` and `capacity`, `new-resistance` and `resistance`, `loses` of `used`; `made`",
	Source:  "Never a pack with re-used cells: CPSC 2025; treat a used battery as dangerous: a public guide to dangerous batteries of Finland (second-hand). Which four: common practice, no source.",
	Example: "  packs: [{chemistry: nmc, series: 7, capacity: 12 Ah, as-found: [second-hand], used: {label: 14 Ah, capacity: 12.1 Ah}}]",
}}

func judgeUsedCellsUnmeasured(s *subject) []verdict {
	at, is := s.pack.AsFound.Is(journal.SecondHand)
	if !is {
		return nil
	}
	missing, known := unmeasured(s.pack)
	if len(missing) == 0 {
		return nil
	}
	v := verdict{signal: finding.Caution, at: at, numbers: fmt.Sprintf("%d of 4 known", known),
		text:   fmt.Sprintf("%s is second-hand, and nobody has stated %s", s.thePack(), listed(missing)),
		remedy: "do not charge it with nobody by. Measure what is missing, and let it stand a month, full, by itself and away from all that burns, before it is built in."}
	if known == 0 && burns(s.pack) {
		v.signal = finding.SignalWarning
	}
	return said(v)
}

// unmeasured lists what is not known of used cells, and counts what is.
func unmeasured(p *journal.Pack) (missing []string, known int) {
	u := p.Used
	if u == nil {
		u = &journal.Used{}
	}
	for _, one := range []struct {
		is   bool
		what string
	}{
		{u.Label.Known() && u.Capacity.Known(), "what it still holds"},
		{u.NewResistance.Known() && u.Resistance.Known(), "how its resistance has grown"},
		{u.Loses.Known(), "what it loses at rest"},
		{p.Made.Set, "when it was made"},
	} {
		if one.is {
			known++
		} else {
			missing = append(missing, one.what)
		}
	}
	return missing, known
}
