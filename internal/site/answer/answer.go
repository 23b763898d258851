// Package answer has what pages say first: how long it runs, and where to go for the rest.
package answer

import (
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Answer is what a page says first, in large letters, and the sentences under it.
type Answer struct {
	Before, Value, Plus string
	Kind                numeral.Kind
	Lines               [][]numeral.Phrase
	Moved               []forecast.MovedLine // what was said for it before
}

// Then are its lines, each number in them on one line with its unit.
func (a Answer) Then() [][]numeral.Phrase {
	var out [][]numeral.Phrase
	for _, line := range a.Lines {
		kept := slices.Clone(line)
		for i := range kept {
			kept[i].Text = numeral.Unbroken(kept[i].Text)
		}
		out = append(out, kept)
	}
	return out
}

// Said is an answer for machines: its number, and its first sentence as text.
func (a *Answer) Said() frame.Said {
	if a == nil {
		return frame.Said{}
	}
	said := frame.Said{Before: a.Before, Number: a.Value, Plus: a.Plus}
	if len(a.Lines) > 0 {
		for _, p := range a.Lines[0] {
			if p.Num != nil {
				said.Then += p.Num.Whole
			} else {
				said.Then += p.Text
			}
		}
	}
	return said
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

// Of says how long a version runs; nil where no run and no computing says. What was measured stands first where the cutout
// ended it: a run that ended for a reason of its own says nothing of how long it can be, and then what is computed does.
func Of(rd *reading.Reader, s *frame.Sheet, v *journal.Version, end string) *Answer {
	run := rd.Best(v)
	c, ok := forecast.ComputedAt(rd, v, run)
	whole := run != nil && reading.OpenedCutout(rd.Result(run)) != nil
	switch {
	case run == nil && !ok:
		return nil
	case whole || !ok:
		a := Answering("Ran", rd.Figure(s, run, "running-time"))
		line := []numeral.Phrase{numeral.Say("Measured on a "), {Text: rd.RanOn(run), Href: s.To(address.Run(run))}, numeral.Say(end)}
		if end := strings.TrimSuffix(run.EndWords(), "."); end != "" {
			line = append(line, numeral.Say(" What ended it: "+end+"."))
		}
		a.Lines = append(a.Lines, line)
		if !whole && v.Cutout != nil {
			a.Lines = append(a.Lines, []numeral.Phrase{numeral.Say("The cutout did not open, so it is not the longest that it can run.")})
		}
		return a
	}
	a := Answering("Runs", forecast.RunTime(c.Reach.Running, ""))
	a.Moved = forecast.Moved(rd, s, v, c.Name)
	line := append([]numeral.Phrase{numeral.Say("Computed from full to " + c.To + ", ")}, forecast.Where(rd, s, v, c, nil)...)
	a.Lines = append(a.Lines, append(line, numeral.Say(end)))
	if run == nil {
		a.Lines = append(a.Lines, append([]numeral.Phrase{numeral.Say("Not measured yet. ")}, forecast.Counted(rd, s, v, c)...))
		return a
	}
	measured := []numeral.Phrase{numeral.Say("The longest measured is "), numeral.SayNumber(rd.Figure(s, run, "running-time")), numeral.Say(" on a "), {Text: rd.RanOn(run), Href: s.To(address.Run(run))}}
	if end := run.EndClause(); end != "" {
		measured = append(measured, numeral.Say(", "+end))
	}
	a.Lines = append(a.Lines, append(measured, numeral.Say(".")))
	return a
}
