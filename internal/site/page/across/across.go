package across

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/chart"
	"voltwright/internal/compare"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/answer"
	"voltwright/internal/site/charts"
	"voltwright/internal/site/comparison"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// acrossView is a vehicle's versions side by side: what the newest step changed, what differs value by value, and folded what is the
// same on every version, the runs that are alike, and figures over time.
type acrossView struct {
	Vehicle frame.Link
	Answer  *answer.Answer
	Differs *spec.Table
	Same    *spec.Table
	Likes   *likeTable
	Alone   []comparison.Refusal // runs with nothing to be held against
	Charts  []*charts.ChartView
	Steps   []step // what changed from each version to the next, the newest first
	Method  string
	Leaves  frame.Leaves
}

// step is what changed from a version to the next, in one line.
type step struct {
	frame.Link
	Face []numeral.Phrase
}

// likeTable is the runs that are alike across versions, a body for each set of conditions and figure.
type likeTable struct {
	frame.Caption
	Bodies []likeBody
}

type likeBody struct {
	Like, Figure string
	Rows         []likeRow
}

type likeRow struct {
	Run     frame.Link
	Version frame.Link
	Date    *frame.Day
	Value   numeral.Numeral
	Change  numeral.Numeral // against the first row
	Verdict string
}

func lay(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle) error {
	view := acrossView{Vehicle: frame.Link{Words: v.Name.Text, Href: s.To(address.Vehicle(v))}, Method: rd.FormulaLink(s, "difference"), Leaves: frame.Leaves{}}
	view.Answer, view.Steps = steps(rd, s, v)
	sideBySide(rd, s, v, &view)
	view.Likes, view.Alone = likes(rd, s, v)
	view.Leaves.Add("alike", "", "Runs that are alike", likesFace(view.Likes, len(view.Alone))...)
	if err := acrossCharts(rd, s, v, &view); err != nil {
		return err
	}
	if len(view.Charts) > 0 {
		view.Leaves.Add("over-time", "", "Over time", numeral.Say(numeral.Count(len(view.Charts), "chart")+" of every field run by its date."))
	}
	rd.Inspect(s, nil, nil)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Comparison", frame.DayOf(frame.Newest(reading.DatesOf(v)...)), numeral.Count(len(v.Versions), "version")
	s.Marks, s.Body = true, view
	return nil
}

// classes sorts a vehicle's runs into sets that are alike, in the order of their first run.
func classes(rd *reading.Reader, v *journal.Vehicle) [][]*journal.Run {
	var out [][]*journal.Run
	for _, kind := range reading.RunTypes {
		var of [][]*journal.Run
		for _, version := range v.Versions {
			for _, r := range reading.OfType(version, kind) {
				i := slices.IndexFunc(of, func(class []*journal.Run) bool {
					return !slices.ContainsFunc(class, func(other *journal.Run) bool { return len(rd.Unlike(other, r)) > 0 })
				})
				if i < 0 {
					of = append(of, []*journal.Run{r})
				} else {
					of[i] = append(of[i], r)
				}
			}
		}
		out = append(out, of...)
	}
	return out
}

func likes(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle) (*likeTable, []comparison.Refusal) {
	t := &likeTable{}
	var alone []comparison.Refusal
	for _, class := range classes(rd, v) {
		versions := map[*journal.Version]bool{}
		for _, r := range class {
			versions[r.Version] = true
		}
		switch {
		case class[0].Type.Value == journal.Charge:
			continue
		case len(versions) < 2:
			alone = append(alone, comparison.Refusal{What: comparison.LikeWords(rd, class[0]), Why: "only of version " + reading.VersionNumber(class[0].Version) + "."})
			continue
		}
		for _, name := range comparison.ComparedFigures[class[0].Type.Value] {
			body := bodyOf(rd, s, class, name)
			if len(body.Rows) > 1 {
				t.Bodies = append(t.Bodies, body)
			}
		}
	}
	if len(chargesOf(rd, v)) > 1 {
		alone = append(alone, comparison.Refusal{What: "Charges", Why: "how much went back depends on the day before."})
	}
	if len(t.Bodies) == 0 {
		return nil, alone
	}
	t.Caption = s.Table("alike", "Runs that are alike across the versions: the same type, payload, surface and setting. The change is against the first of them; its ± covers the true change in 95 of 100 cases.")
	return t, alone
}

func chargesOf(rd *reading.Reader, v *journal.Vehicle) []*journal.Run {
	var out []*journal.Run
	for _, version := range v.Versions {
		out = append(out, reading.OfType(version, journal.Charge)...)
	}
	return out
}

func bodyOf(rd *reading.Reader, s *frame.Sheet, class []*journal.Run, name string) likeBody {
	label, _ := runlog.FigureLabel(name)
	body := likeBody{Like: comparison.LikeWords(rd, class[0]), Figure: label}
	var first compare.Sample
	for _, r := range class {
		q, _ := rd.FigureValue(r, name).Get()
		n := rd.Figure(s, r, name)
		if !n.Set || slices.Contains(comparison.ByTheClock, name) && comparison.StopsOf(r) != comparison.StopsOf(class[0]) {
			continue
		}
		n.Twin = ""
		row := likeRow{Run: frame.Link{Words: reading.RunWords(r), Href: s.To(address.Run(r))}, Version: frame.Link{Words: "Version " + reading.VersionNumber(r.Version), Href: s.To(address.Version(r.Version))}, Date: frame.DayOf(r.Date), Value: n}
		if len(body.Rows) == 0 {
			first = comparison.Single(q)
		} else {
			held := comparison.Held(rd, label, q, numeral.Measured, first, comparison.Single(q))
			row.Change, row.Verdict = held.Change, held.Verdict
		}
		body.Rows = append(body.Rows, row)
	}
	return body
}

// daysOf is a date on the axis of a chart.
func daysOf(d notes.Date) float64 { return chart.Days(d.Time().Date()) }

// apart gives a series a name that none has yet: runs of one load may be unlike in the warmth of the air.
func apart(rd *reading.Reader, name string, r *journal.Run, have []chart.Series) string {
	taken := func(name string) bool {
		return slices.ContainsFunc(have, func(s chart.Series) bool { return s.Name == name })
	}
	if t := r.Conditions.Temperature; taken(name) && t.Known() {
		name += ", " + t.Written
	}
	for n := 2; taken(name); n++ {
		name = fmt.Sprintf("%s (%d)", strings.TrimSuffix(name, fmt.Sprintf(" (%d)", n-1)), n)
	}
	return name
}

// acrossCharts draws figures against the date, a series for each set of runs that are alike.
func acrossCharts(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle, view *acrossView) error {
	for _, name := range []string{"energy-per-distance", "mean-speed"} {
		label, _ := runlog.FigureLabel(name)
		p := chart.Plot{ID: "across-" + name, Title: label + " over time", X: chart.Axis{Label: "Date", Format: chart.Day}}
		points := 0
		var said []string
		for _, class := range classes(rd, v) {
			series := chart.Series{Name: strings.TrimPrefix(comparison.LikeWords(rd, class[0]), "Field runs, "), Kind: chart.Measured, Shape: chart.Dotted}
			if class[0].Type.Value != journal.Field {
				continue
			}
			runs := slices.Clone(class)
			slices.SortStableFunc(runs, func(a, c *journal.Run) int { return strings.Compare(a.Date.String(), c.Date.String()) })
			for _, r := range runs {
				q, ok := rd.FigureValue(r, name).Get()
				parts := q.Parts()
				y, err := strconv.ParseFloat(parts.Value, 64)
				if !ok || err != nil || !r.Date.Set {
					continue
				}
				p.Upper = chart.Axis{Label: label, Unit: parts.Unit}
				series.X, series.Y = append(series.X, daysOf(r.Date)), append(series.Y, y)
				said = append(said, fmt.Sprintf("%s, version %d, %s: %s.", frame.DayOf(r.Date).Long, r.Version.Number, series.Name, numeral.OnPage(q.Rounded())))
				points++
			}
			if len(series.X) > 0 {
				series.Name = apart(rd, series.Name, class[0], p.Series)
				p.Series = append(p.Series, series)
			}
		}
		if points < 2 {
			continue
		}
		p.Caption = fmt.Sprintf("%s of every field run against its date. Points that are joined are alike in payload, surface and setting; others may not be held against each other.", label)
		p.Alt = strings.Join(said, " ")
		c, err := charts.On(rd, s, p)
		if err != nil {
			return err
		}
		view.Charts = append(view.Charts, c)
	}
	return nil
}
