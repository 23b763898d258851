package forecast

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// RunTimeFace is how long a version runs in one line: as it is computed, and the longest that was measured.
func RunTimeFace(rd *reading.Reader, s *frame.Sheet, v *journal.Version) []numeral.Phrase {
	run := rd.Best(v)
	var out []numeral.Phrase
	if c, ok := ComputedAt(rd, v, run); ok {
		out = append(out, numeral.SayNumber(RunTime(c.Reach.Running, "")), numeral.Say(" from full to "+c.To))
	} else {
		out = append(out, numeral.Say("Not computed"))
	}
	if run == nil {
		return append(out, numeral.Say("; not measured yet."))
	}
	return append(out, numeral.Say("; measured "), numeral.SayNumber(rd.Figure(s, run, "running-time")), numeral.Say("."))
}

// ChargingFace is charging and wear in one line: how long the version's own charger takes, and how many cycles are typical.
func ChargingFace(rd *reading.Reader, v *journal.Version) []numeral.Phrase {
	a := rd.Answers(v)
	if a == nil || a.Err != "" {
		return []numeral.Phrase{numeral.Say("Not computed.")}
	}
	var out []numeral.Phrase
	for _, c := range a.Charges {
		switch {
		case !c.Own:
		case c.Err != "" || c.Against != "":
			out = append(out, numeral.Say("No time for the charger that is stated"))
		default:
			out = append(out, numeral.Say("Full again in "), numeral.SayNumber(numeral.Printed(c.Total.Quantity(), numeral.Computed, "")))
		}
	}
	if len(out) == 0 {
		out = append(out, numeral.Say("No charger is stated"))
	}
	for _, d := range a.Life.At {
		if d.Err == "" {
			n := numeral.Numeral{Kind: numeral.Quoted, Whole: numeral.TwoFigured(float64(d.Low)) + " to " + numeral.TwoFigured(float64(d.High)), Set: true}
			out = append(out, numeral.Say("; "), numeral.SayNumber(n), numeral.Say(" cycles are typical"))
			break
		}
	}
	return append(out, numeral.Say("."))
}

// Face says what matters most, and what changing it does: "Most on the load: 10 % less gives 2 h 53 min."
func (m *MatterView) Face() string {
	if m.Why != "" || len(m.Rows) == 0 {
		return "Not computed."
	}
	r := m.Rows[0]
	change, time := r.Less, r.LessTime
	if change == "" {
		change, time = r.More, r.MoreTime
	}
	return "Most on the " + numeral.MidSentence(r.Input) + ": " + change + " gives " + numeral.MidSentence(numeral.Sentence(time))
}
