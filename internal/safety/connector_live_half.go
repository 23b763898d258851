package safety

import (
	"fmt"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// connectorLiveHalf asks whether a connector that is parted leaves live pins in reach.
var connectorLiveHalf = &rule{each: eachVersion, judge: judgeConnectorLiveHalf, doc: finding.Doc{
	Name: "connector-live-half", Signal: finding.SignalWarning,
	Title:   "A connector whose live half has the pins",
	What:    "Takes each connector of the wiring whose `pins-on` is stated apart, and looks whether the half with the pins is still joined to the packs: with both their ends a WARNING, with one a CAUTION.",
	Why:     "Whatever bridges two live pins, a key, a ring or the frame, is a short behind nothing but the fuse. The half on the pack's side is the one that must be covered.",
	Needs:   "`pins-on` of the connector",
	Source:  "Covered contacts on the live side: common practice, no source. What is live: search of the circuit.",
	Example: "  parts: [{name: plug, kind: connector, poles: 2, pins-on: out}]",
}}

func judgeConnectorLiveHalf(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	var found []verdict
	for _, i := range partsOf(w.Circuit, circuit.Connector) {
		stated := &s.version.Wiring.Parts[i].PinsOn
		if !stated.Set || stated.Value == journal.PinsNowhere {
			continue
		}
		p := &w.Circuit.Parts[i]
		plus, minus := false, false
		for _, end := range p.Terminals() {
			if strings.HasPrefix(end.Name, string(stated.Value)) {
				plus = plus || s.liveAt(p.Name, end.Name, "+")
				minus = minus || s.liveAt(p.Name, end.Name, "-")
			}
		}
		v := verdict{signal: finding.Caution, at: stated.Span, numbers: fmt.Sprintf("%s: pins on %s", p.Name, stated.Value),
			text:   fmt.Sprintf("parted, the pins of `%s` are on the half that stays joined to a pack: a pin against the frame or a tool may be a short", p.Name),
			remedy: "cap the pins whenever it is parted. Then change the halves over, so that the pack's side has the contacts that nothing reaches."}
		switch {
		case plus && minus:
			v.signal = finding.SignalWarning
			v.text = fmt.Sprintf("parted, both live pins of `%s` are in reach: a key or a ring across them is a short of the pack", p.Name)
		case !plus && !minus:
			continue
		}
		found = append(found, v)
	}
	return found
}
