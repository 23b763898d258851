package safety

import (
	"fmt"
	"slices"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// stopMissing asks whether a hand can take the supply from the motors.
var stopMissing = &rule{each: eachVersion, judge: judgeStopMissing, doc: finding.Doc{
	Name: "stop-missing", Signal: finding.SignalWarning,
	Title:   "No switch or stop besides the controller",
	What:    "Takes every switch, emergency stop, breaker, contactor and relay out of the wiring, as if all were open, and looks whether motors and controllers are then without supply. A changeover without a middle position does not count. A WARNING; where nobody rides, a CAUTION.",
	Why:     "Controllers fail full on. Then only a contact in the supply stops the vehicle.",
	Needs:   "`wiring`",
	Source:  "That a hand can take the supply from the motors: common practice, no source",
	Example: "  parts: [{name: stop, kind: emergency-stop, current: 100 A, volts: 48 V}]",
}}

func judgeStopMissing(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	fed := fedByNoHand(w.Circuit)
	if len(fed) == 0 {
		return nil
	}
	names := make([]string, len(fed))
	for i, k := range fed {
		names[i] = "`" + w.Circuit.Parts[k].Name + "`"
	}
	v := verdict{signal: finding.SignalWarning, at: s.atPart(fed[0]), numbers: "no stop by hand",
		text:   fmt.Sprintf("no switch or stop takes the supply from %s: if the controller fails full on, only the fuse or a pulled plug stops it", listed(names)),
		remedy: "practise pulling the pack's plug or fuse. Then fit a stop within reach where all current of the motors passes, rated to open it as direct current."}
	if u := s.version.Use; u != nil && u.Rider.Value == journal.Nobody {
		v.signal = finding.Caution
	}
	return said(v)
}

// byHand tells whether a part is a contact that a hand opens, by itself or through its coil.
func byHand(p *circuit.Part) bool {
	switch p.Kind {
	case circuit.EmergencyStop, circuit.Breaker:
		return true
	case circuit.Switch, circuit.Contactor, circuit.Relay:
		return p.Throws < 2 || p.OffBetween
	}
	return false
}

// fedByNoHand lists the motors and controllers that can be fed with every contact open that a hand opens.
func fedByNoHand(c *circuit.Circuit) []int {
	open := *c
	open.Parts = slices.Clone(c.Parts)
	open.Leads = slices.DeleteFunc(slices.Clone(c.Leads), func(l circuit.Lead) bool {
		return slices.ContainsFunc(c.Parts, func(p circuit.Part) bool { return byHand(&p) && (l.From.Part == p.Name || l.To.Part == p.Name) })
	})
	// Live opens one part; here it is one that joins nothing.
	open.Parts = append(open.Parts, circuit.Part{Name: "\x00", Kind: circuit.EmergencyStop})
	live, _ := open.Live(len(open.Parts) - 1)
	var fed []int
	for _, i := range live.Fed {
		if k := open.Parts[i].Kind; k == circuit.Motor || k == circuit.Controller {
			fed = append(fed, i)
		}
	}
	return fed
}
