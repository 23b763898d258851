package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// connectorWornOut asks whether a connector was parted more often than it is made for.
var connectorWornOut = &rule{each: eachVersion, judge: judgeConnectorWornOut, doc: finding.Doc{
	Name: "connector-worn-out", Signal: finding.Caution,
	Title:   "A connector that was parted too often",
	What:    "Holds `parted` of each connector against `parted-most`.",
	Why:     "The plating wears off and the spring gives: the contact has more resistance, heats, and softens what holds it.",
	Needs:   "`parted` and `parted-most` of the connector",
	Source:  "The connector's limit as stated",
	Example: "  parts: [{name: plug, kind: connector, parted: 120, parted-most: 250}]",
}}

func judgeConnectorWornOut(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	var found []verdict
	for _, i := range partsOf(w.Circuit, circuit.Connector) {
		p := &s.version.Wiring.Parts[i]
		if !p.Parted.Set || !p.PartedMost.Set {
			continue
		}
		g := most("times parted", quantity.Number(p.Parted.Value), quantity.Number(p.PartedMost.Value), "")
		if !exceeds(g) {
			continue
		}
		found = append(found, verdict{signal: finding.Caution, at: p.Parted.Span, gauge: g,
			text:   fmt.Sprintf("`%s` was parted %d times, and is made for %d: its contacts have lost plating and spring", p.Name.Text, p.Parted.Value, p.PartedMost.Value),
			remedy: "put in a new pair, both halves. Until then feel it after ten minutes under load; it stays cool enough to hold."})
	}
	return found
}
