package forecast

import (
	"math"
	"strconv"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Ranges are running times as bars from nothing on one scale: text and boxes, so that they are read aloud and need no script.
type Ranges struct {
	frame.Caption
	Rows []rangeRow
}

type rangeRow struct {
	Of         frame.Link
	Note       string
	Value      numeral.Numeral
	Bar        string // length, in hundredths of the scale
	From, To   string // of the uncertainty, k = 2; "" where it is not known
	time, wide quantity.Seconds
}

// LoadRanges are the running times of a version by load, each with what was measured at it; nil where there are fewer than two bars.
func LoadRanges(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *Ranges {
	a := rd.Answers(v)
	if a == nil || a.Err != "" {
		return nil
	}
	out := &Ranges{}
	for i, l := range a.Table.Loads {
		if c := a.Table.Cells[i][0]; c.Err == "" && c.End().Err == "" {
			out.add(frame.Link{Words: numeral.Sentenceless(numeral.OnPage(l.Label))}, "to "+a.Table.EndsBy, RunTime(c.End().Running, ""), c.End().Running)
		}
		if r, ok := rd.Journal.Run(journal.RunID(l.Run)); ok {
			out.measured(rd, s, r)
		}
	}
	return out.done(s, "running-times", "How long it runs: hatched as it is computed from full, with its uncertainty, solid as a run measured it. A run that something else ended says only that it runs so long at least.")
}

// VersionRanges are the running times of a vehicle's versions; nil where there are fewer than two bars.
func VersionRanges(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle) *Ranges {
	out := &Ranges{}
	for _, version := range v.Versions {
		run := rd.Best(version)
		if c, ok := ComputedAt(rd, version, run); ok {
			out.add(frame.Link{Words: reading.VersionWords(version), Href: s.To(address.Version(version))}, "to "+c.To, RunTime(c.Reach.Running, ""), c.Reach.Running)
		}
		if run != nil {
			out.measured(rd, s, run)
		}
	}
	return out.done(s, "running-times", "How long each version runs: hatched as it is computed from full, with its uncertainty, solid as its best run measured it.")
}

func (o *Ranges) measured(rd *reading.Reader, s *frame.Sheet, r *journal.Run) {
	if result := rd.Result(r); result != nil && result.Running.Known() {
		how := r.Name.Text
		if end := r.EndClause(); end != "" {
			how += ", " + end
		}
		o.add(frame.Link{Words: reading.RunWords(r), Href: s.To(address.Run(r))}, how, rd.Figure(s, r, "running-time"), result.Running)
	}
}

func (o *Ranges) add(of frame.Link, note string, value numeral.Numeral, t quantity.Measured[quantity.Seconds]) {
	if !t.Known() || !value.Set || t.Value <= 0 {
		return
	}
	row := rangeRow{Of: of, Note: note, Value: value, time: t.Value}
	if !math.IsNaN(float64(t.U)) {
		row.wide = quantity.CoverageFactor * t.U
	}
	o.Rows = append(o.Rows, row)
}

// done puts the bars on a scale that holds the longest with its uncertainty.
func (o *Ranges) done(s *frame.Sheet, wish, words string) *Ranges {
	if len(o.Rows) < 2 {
		return nil
	}
	longest := quantity.Seconds(0)
	for _, r := range o.Rows {
		longest = max(longest, r.time+r.wide)
	}
	share := func(t quantity.Seconds) string {
		return strconv.FormatFloat(100*float64(t)/float64(longest), 'f', 1, 64) + "%"
	}
	for i := range o.Rows {
		r := &o.Rows[i]
		r.Bar = share(r.time)
		if r.wide > 0 {
			r.From, r.To = share(max(0, r.time-r.wide)), share(r.time+r.wide)
		}
	}
	o.Caption = s.Figure(wish)
	o.Words, o.Quoted = numeral.PlainHTML(words), words
	s.Marks = true
	return o
}
