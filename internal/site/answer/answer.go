// Package answer has what pages say first: how long it runs, and where to go for the rest.
package answer

import (
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// computedLine says what is computed for a version beside what a run of it measured.
func computedLine(rd *reading.Reader, s *frame.Sheet, v *journal.Version, c forecast.ComputedRun, that *journal.Run) []numeral.Phrase {
	href := s.To(address.Version(v)) + c.Anchor()
	if s.Path == address.Version(v) {
		href = c.Anchor()
	}
	line := append([]numeral.Phrase{numeral.Say("Computed from full to " + c.To + ", ")}, forecast.Where(rd, s, v, c, that)...)
	line = append(line, numeral.Say(": "), numeral.SayNumber(forecast.RunTime(c.Reach.Running, href)))
	if others := c.Others(href); len(others) > 0 {
		line = append(append(line, numeral.Say(" running, ")), others...)
	}
	return append(line, numeral.Say("."))
}

// Answer is what a page says first, in large letters, and the sentences under it.
type Answer struct {
	Before, Value, Plus string
	Kind                numeral.Kind
	Lines               [][]numeral.Phrase
}

// Answering puts a number in large letters.
func Answering(before string, n numeral.Numeral) *Answer {
	unit := ""
	if n.Unit != "" {
		unit = " " + n.Unit
	}
	a := &Answer{Before: before, Value: n.Int + n.Frac + unit, Kind: n.Kind}
	if n.Plus != "" {
		a.Plus = n.Plus + unit
	}
	return a
}

// Of says how long a version runs, and on what run that was measured; nil where no run says.
func Of(rd *reading.Reader, s *frame.Sheet, v *journal.Version, end string) *Answer {
	run := rd.Best(v)
	c, ok := forecast.ComputedAt(rd, v, run)
	if run == nil && !ok {
		return nil
	}
	if run == nil {
		a := Answering("Computed", forecast.RunTime(c.Reach.Running, ""))
		line := append([]numeral.Phrase{numeral.Say("Not measured yet: from full to " + c.To + ", ")}, forecast.Where(rd, s, v, c, nil)...)
		a.Lines = append(a.Lines, append(line, numeral.Say(end)), forecast.Counted(rd, s, v, c))
		return a
	}
	a := Answering("Ran", rd.Figure(s, run, "running-time"))
	a.Lines = append(a.Lines, []numeral.Phrase{numeral.Say("Measured on a "), {Text: rd.RanOn(run), Href: s.To(address.Run(run))}, numeral.Say(end)})
	var why []string
	if run.Ended.Set {
		why = append(why, "What ended it: "+strings.TrimSuffix(run.Ended.Text, ".")+".")
	}
	if v.Cutout != nil && reading.OpenedCutout(rd.Result(run)) == nil {
		why = append(why, "The cutout did not open, so it is not the longest that it can run.")
	}
	if len(why) > 0 {
		a.Lines = append(a.Lines, []numeral.Phrase{numeral.Say(strings.Join(why, " "))})
	}
	if ok && reading.OpenedCutout(rd.Result(run)) == nil {
		a.Lines = append(a.Lines, computedLine(rd, s, v, c, run))
	}
	return a
}
