package safety

import (
	"fmt"

	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// hillTooSteep asks whether it climbs, and starts on, its steepest hill.
var hillTooSteep = &rule{each: eachVersion, judge: judgeHillTooSteep, doc: finding.Doc{
	Name: "hill-too-steep", Signal: finding.SignalWarning,
	Title:   "A hill that it does not climb",
	What:    "Looks whether the vehicle climbs its steepest hill at the setting, and on rails whether the wheels grip when it starts there. Where it stands with the motors held, a CAUTION; where it rolls back, a WARNING; where the wheels slip, a NOTICE.",
	Why:     "Motors that stand still and pull burn within seconds; a vehicle that rolls back surprises who walks behind it.",
	Needs:   "`hill` in `drive`; `motors`, `masses`",
	Formula: "see `operating-point` and `start`",
	Source:  "Mechanics (computed): see road-load; grip on dry rails of full-size steel tyres, Koffman 1948 (confirmed). That it should start on its own hill: common practice, no source.",
	Example: "  drive: {hill: 1 in 60}",
}}

func judgeHillTooSteep(s *subject) []verdict {
	d := s.driving()
	if d == nil || d.Hill == nil || d.Hill.Err != "" {
		return nil
	}
	hill := quantity.Fraction(d.Hill.Grade)
	v := verdict{at: s.version.Drive.Hill.Span, remedy: "take less load or a run-up from the level; let go of the control at once when it comes to a stand, and hold it with the brake. Then gear it lower."}
	switch where := grade(d.Hill.Grade); {
	case d.Hill.Point.State == drive.RollsBack:
		v.signal, v.numbers = finding.SignalWarning, where+": rolls back"
		v.text = fmt.Sprintf("on a climb of %s it rolls back against its motors, which burn", where)
		v.remedy = "stay off that climb with this load: only a brake holds it there. Then gear it lower."
	case !d.Hill.HasSpeed():
		v.signal, v.numbers = finding.Caution, where+": stands"
		v.text = fmt.Sprintf("on a climb of %s it stands with its motors held, and they burn within seconds", where)
	case d.LimitedByGrip && above(hill, d.SteepestStart.Value): // motors that climb it start it, too
		v.signal, v.gauge = finding.PropertyNotice, most("grade", hill, d.SteepestStart.Value, "")
		v.text = fmt.Sprintf("its motors would climb %s, but its wheels slip there even on dry rails: it does not start", where)
	default:
		return nil
	}
	return said(v)
}
