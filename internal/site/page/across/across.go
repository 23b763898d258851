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
	"voltwright/internal/site/charts"
	"voltwright/internal/site/comparison"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// acrossView is a vehicle's versions side by side.
type acrossView struct {
	Vehicle frame.Link
	Built   *builtTable
	Likes   *likeTable
	Alone   []comparison.Refusal // runs with nothing to be held against
	Charts  []*charts.ChartView
	Steps   []frame.Link // what changed from each version to the next
	Method  string
}

// builtTable is what the versions are made of, a column each.
type builtTable struct {
	frame.Caption
	Versions []frame.Link
	Rows     []builtRow
}

type builtRow struct {
	Label string
	Cells []spec.Cell
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
	view := acrossView{Vehicle: frame.Link{Words: v.Name.Text, Href: s.To(address.Vehicle(v))}, Method: rd.FormulaLink(s, "difference")}
	view.Built = built(rd, s, v)
	view.Likes, view.Alone = likes(rd, s, v)
	if err := acrossCharts(rd, s, v, &view); err != nil {
		return err
	}
	for _, version := range v.Versions {
		if version.Before != nil {
			view.Steps = append(view.Steps, frame.Link{Words: reading.VersionWords(version), Href: s.To(address.Version(version)) + "#what-changed"})
		}
	}
	rd.Inspect(s, nil, nil)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Comparison", frame.DayOf(frame.Newest(reading.DatesOf(v)...)), numeral.Count(len(v.Versions), "version")
	s.Marks, s.Body = true, view
	return nil
}

// built sets the main things beside each other: packs, cutout, masses, money.
func built(rd *reading.Reader, s *frame.Sheet, v *journal.Vehicle) *builtTable {
	t := &builtTable{Caption: s.Table("built", "What each version is made of. What differs from the version before is in bold with an arrow.")}
	rows := map[string]*builtRow{}
	var order []string
	put := func(k int, label string, n numeral.Numeral) {
		if !n.Set {
			return
		}
		if rows[label] == nil {
			rows[label] = &builtRow{Label: label, Cells: make([]spec.Cell, len(v.Versions))}
			order = append(order, label)
		}
		n = rd.Units(n)
		n.Twin = ""
		rows[label].Cells[k].Value = n
	}
	for k, version := range v.Versions {
		t.Versions = append(t.Versions, frame.Link{Words: "Version " + reading.VersionNumber(version), Href: s.To(address.Version(version))})
		var packs []string
		for _, p := range version.Packs {
			packs = append(packs, strings.TrimSpace(fmt.Sprintf("%s %s, %d in series", numeral.Stated(p.Capacity).Whole, numeral.Meaning(p.Chemistry), p.Series.Value)))
		}
		put(k, "Packs", numeral.Words(strings.Join(packs, " and ")))
		if c := version.Cutout; c != nil {
			put(k, "Cutout opens", numeral.Stated(c.Opens))
			put(k, "Reset threshold", numeral.Stated(c.Threshold))
		} else {
			put(k, "Cutout opens", numeral.Words("no cutout"))
		}
		if version.Controller != nil {
			put(k, "Controller setting", numeral.Stated(version.Controller.Setting))
		}
		if version.Drive != nil {
			put(k, "Ratio, motor to wheel", numeral.Stated(version.Drive.Ratio))
		}
		if version.Masses != nil {
			put(k, "Mass of the vehicle", numeral.Stated(version.Masses.Vehicle))
		}
		if len(version.Parts) > 0 {
			a := rd.Journal.Account(version)
			if text := partslist.SumWords(a.Change, a.UnpricedChange); text != "" && (version.Before == nil || len(version.Before.Parts) > 0) {
				put(k, "What the change cost", numeral.Amount(text, numeral.Computed, ""))
			}
			if text := partslist.SumWords(a.Vehicle, a.UnpricedVehicle); text != "" {
				put(k, "What it cost as it stands", numeral.Amount(text, numeral.Computed, ""))
			}
			if a.Mass.Known() {
				m := rd.Units(numeral.Summed("", a.Mass))
				m.Twin = ""
				if a.Unweighed > 0 {
					m.Whole += fmt.Sprintf(", without %s of unknown mass", numeral.Count(a.Unweighed, "part"))
				}
				put(k, "Mass of the parts on it", m)
			}
		}
		if c, ok := version.Circuit(); ok {
			put(k, "Wiring", numeral.Words(fmt.Sprintf("%s, %s", numeral.Count(len(c.Parts), "part"), numeral.Count(len(c.Leads), "lead"))))
		}
		if a := rd.Answers(version); a != nil && a.Err == "" && a.Basis.Calibrated {
			for _, value := range a.Basis.Values {
				if value.Name == "capacity" {
					put(k, "Capacity, as calibrated", numeral.Printed(value.Quantity, numeral.Computed, rd.FormulaLink(s, "calibration")))
				}
			}
		}
		if run := rd.Best(version); run != nil {
			n := rd.Figure(s, run, "running-time")
			n.Whole += ", " + rd.RanOn(run)
			put(k, "Ran", n)
		}
	}
	for _, label := range order {
		row := *rows[label]
		for k := 1; k < len(row.Cells); k++ {
			row.Cells[k].Changed = row.Cells[k].Value.Whole != row.Cells[k-1].Value.Whole
		}
		t.Rows = append(t.Rows, row)
	}
	return t
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
