package site

import (
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/chart"
	"voltwright/internal/compare"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

func acrossPage(v *journal.Vehicle) string { return v.Slug + "/across/index.html" }

// hasAcross tells whether a vehicle has versions enough to be set beside each other.
func hasAcross(v *journal.Vehicle) bool { return len(v.Versions) > 1 }

// acrossView is a vehicle's versions side by side.
type acrossView struct {
	Vehicle link
	Built   *builtTable
	Likes   *likeTable
	Alone   []refusal // runs with nothing to be held against
	Charts  []*chartView
	Steps   []link // what changed from each version to the next
	Method  string
}

// builtTable is what the versions are made of, a column each.
type builtTable struct {
	caption
	Versions []link
	Rows     []builtRow
}

type builtRow struct {
	Label string
	Cells []specCell
}

// likeTable is the runs that are alike across versions, a body for each set of conditions and figure.
type likeTable struct {
	caption
	Bodies []likeBody
}

type likeBody struct {
	Like, Figure string
	Rows         []likeRow
}

type likeRow struct {
	Run     link
	Version link
	Date    *day
	Value   numeral
	Change  numeral // against the first row
	Verdict string
}

func (b *builder) across(s *sheet, v *journal.Vehicle) error {
	view := acrossView{Vehicle: link{Words: v.Name.Text, Href: s.to(vehiclePage(v))}, Method: b.formulaLink(s, "difference")}
	view.Built = b.built(s, v)
	view.Likes, view.Alone = b.likes(s, v)
	if err := b.acrossCharts(s, v, &view); err != nil {
		return err
	}
	for _, version := range v.Versions {
		if version.Before != nil {
			view.Steps = append(view.Steps, link{Words: versionWords(version), Href: s.to(versionPage(version)) + "#what-changed"})
		}
	}
	b.inspect(s, nil, nil)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Comparison", dayOf(newest(datesOf(v)...)), count(len(v.Versions), "version")
	s.Marks, s.Body = true, view
	return nil
}

// built sets the main things beside each other: packs, cutout, masses, money.
func (b *builder) built(s *sheet, v *journal.Vehicle) *builtTable {
	t := &builtTable{caption: s.table("built", "What each version is made of. What differs from the version before is in bold with an arrow.")}
	rows := map[string]*builtRow{}
	var order []string
	put := func(k int, label string, n numeral) {
		if !n.Set {
			return
		}
		if rows[label] == nil {
			rows[label] = &builtRow{Label: label, Cells: make([]specCell, len(v.Versions))}
			order = append(order, label)
		}
		n = b.units(n)
		n.Twin = ""
		rows[label].Cells[k].Value = n
	}
	for k, version := range v.Versions {
		t.Versions = append(t.Versions, link{Words: "Version " + versionNumber(version), Href: s.to(versionPage(version))})
		var packs []string
		for _, p := range version.Packs {
			packs = append(packs, strings.TrimSpace(fmt.Sprintf("%s %s, %d in series", stated(p.Capacity).Whole, meaning(p.Chemistry), p.Series.Value)))
		}
		put(k, "Packs", words(strings.Join(packs, " and ")))
		if c := version.Cutout; c != nil {
			put(k, "Cutout opens", stated(c.Opens))
			put(k, "Reset threshold", stated(c.Threshold))
		} else {
			put(k, "Cutout opens", words("no cutout"))
		}
		if version.Controller != nil {
			put(k, "Controller setting", stated(version.Controller.Setting))
		}
		if version.Drive != nil {
			put(k, "Ratio, motor to wheel", stated(version.Drive.Ratio))
		}
		if version.Masses != nil {
			put(k, "Mass of the vehicle", stated(version.Masses.Vehicle))
		}
		if len(version.Parts) > 0 {
			a := b.in.Journal.Account(version)
			if text := sumWords(a.Change, a.UnpricedChange); text != "" && (version.Before == nil || len(version.Before.Parts) > 0) {
				put(k, "What the change cost", amount(text, computed, ""))
			}
			if text := sumWords(a.Vehicle, a.UnpricedVehicle); text != "" {
				put(k, "What it cost as it stands", amount(text, computed, ""))
			}
			if a.Mass.Known() {
				m := b.units(summed("", a.Mass))
				m.Twin = ""
				if a.Unweighed > 0 {
					m.Whole += fmt.Sprintf(", without %s of unknown mass", count(a.Unweighed, "part"))
				}
				put(k, "Mass of the parts on it", m)
			}
		}
		if c, ok := version.Circuit(); ok {
			put(k, "Wiring", words(fmt.Sprintf("%s, %s", count(len(c.Parts), "part"), count(len(c.Leads), "lead"))))
		}
		if a := b.answers(version); a != nil && a.Err == "" && a.Basis.Calibrated {
			for _, value := range a.Basis.Values {
				if value.Name == "capacity" {
					put(k, "Capacity, as calibrated", printed(value.Quantity, computed, b.formulaLink(s, "calibration")))
				}
			}
		}
		if run := b.best(version); run != nil {
			n := b.figure(s, run, "running-time")
			n.Whole += ", " + b.ranOn(run)
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
func (b *builder) classes(v *journal.Vehicle) [][]*journal.Run {
	var out [][]*journal.Run
	for _, kind := range runTypes {
		var of [][]*journal.Run
		for _, version := range v.Versions {
			for _, r := range ofType(version, kind) {
				i := slices.IndexFunc(of, func(class []*journal.Run) bool {
					return !slices.ContainsFunc(class, func(other *journal.Run) bool { return len(b.unlike(other, r)) > 0 })
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

func (b *builder) likes(s *sheet, v *journal.Vehicle) (*likeTable, []refusal) {
	t := &likeTable{}
	var alone []refusal
	for _, class := range b.classes(v) {
		versions := map[*journal.Version]bool{}
		for _, r := range class {
			versions[r.Version] = true
		}
		switch {
		case class[0].Type.Value == journal.Charge:
			continue
		case len(versions) < 2:
			alone = append(alone, refusal{b.likeWords(class[0]), "only of version " + versionNumber(class[0].Version) + "."})
			continue
		}
		for _, name := range comparedFigures[class[0].Type.Value] {
			body := b.likeBody(s, class, name)
			if len(body.Rows) > 1 {
				t.Bodies = append(t.Bodies, body)
			}
		}
	}
	if len(b.chargesOf(v)) > 1 {
		alone = append(alone, refusal{"Charges", "how much went back depends on the day before."})
	}
	if len(t.Bodies) == 0 {
		return nil, alone
	}
	t.caption = s.table("alike", "Runs that are alike across the versions: the same type, payload, surface and setting. The change is against the first of them; its ± covers the true change in 95 of 100 cases.")
	return t, alone
}

func (b *builder) chargesOf(v *journal.Vehicle) []*journal.Run {
	var out []*journal.Run
	for _, version := range v.Versions {
		out = append(out, ofType(version, journal.Charge)...)
	}
	return out
}

func (b *builder) likeBody(s *sheet, class []*journal.Run, name string) likeBody {
	label, _ := runlog.FigureLabel(name)
	body := likeBody{Like: b.likeWords(class[0]), Figure: label}
	var first compare.Sample
	for _, r := range class {
		q := b.figureValue(r, name)
		n := b.figure(s, r, name)
		if !n.Set || slices.Contains(byTheClock, name) && stopsOf(r) != stopsOf(class[0]) {
			continue
		}
		n.Twin = ""
		row := likeRow{Run: link{Words: runWords(r), Href: s.to(runPage(r))}, Version: link{Words: "Version " + versionNumber(r.Version), Href: s.to(versionPage(r.Version))}, Date: dayOf(r.Date), Value: n}
		if len(body.Rows) == 0 {
			first = single(q)
		} else {
			held := b.heldResult(label, q, measured, first, single(q))
			row.Change, row.Verdict = held.Change, held.Verdict
		}
		body.Rows = append(body.Rows, row)
	}
	return body
}

// chartOn makes the view of a plot that belongs to the page itself, with its points as a file beside it.
func (b *builder) chartOn(s *sheet, p chart.Plot) (*chartView, error) {
	file := path.Dir(s.path) + "/" + p.ID + ".csv"
	data, err := p.CSV()
	if err != nil {
		return nil, err
	}
	if err := b.pages.put(file, data); err != nil {
		return nil, err
	}
	v := &chartView{caption: s.figure(p.ID), Engine: s.to(chartEngine), Data: s.to(file)}
	v.ID = v.Anchor
	v.Words, v.Quoted = plainHTML(p.Caption), p.Caption
	if err := v.draw(s, p); err != nil {
		return nil, err
	}
	v.Head, v.Rows = p.Table()
	v.Points, v.Shown = len(v.Rows), len(v.Rows)
	s.Charts, s.Marks = true, true
	return v, nil
}

// daysOf is a date on the axis of a chart.
func daysOf(d notes.Date) float64 { return chart.Days(d.Time().Date()) }

// apart gives a series a name that none has yet: runs of one load may be unlike in the warmth of the air.
func (b *builder) apart(name string, r *journal.Run, have []chart.Series) string {
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
func (b *builder) acrossCharts(s *sheet, v *journal.Vehicle, view *acrossView) error {
	for _, name := range []string{"energy-per-distance", "mean-speed"} {
		label, _ := runlog.FigureLabel(name)
		p := chart.Plot{ID: "across-" + name, Title: label + " over time", X: chart.Axis{Label: "Date", Format: chart.Day}}
		points := 0
		var said []string
		for _, class := range b.classes(v) {
			series := chart.Series{Name: strings.TrimPrefix(b.likeWords(class[0]), "Field runs, "), Kind: chart.Measured, Shape: chart.Dotted}
			if class[0].Type.Value != journal.Field {
				continue
			}
			runs := slices.Clone(class)
			slices.SortStableFunc(runs, func(a, c *journal.Run) int { return strings.Compare(a.Date.String(), c.Date.String()) })
			for _, r := range runs {
				q := b.figureValue(r, name)
				parts := q.Parts()
				y, err := strconv.ParseFloat(parts.Value, 64)
				if err != nil || !r.Date.Set {
					continue
				}
				p.Upper = chart.Axis{Label: label, Unit: parts.Unit}
				series.X, series.Y = append(series.X, daysOf(r.Date)), append(series.Y, y)
				said = append(said, fmt.Sprintf("%s, version %d, %s: %s.", dayOf(r.Date).Long, r.Version.Number, series.Name, onPage(q.Rounded())))
				points++
			}
			if len(series.X) > 0 {
				series.Name = b.apart(series.Name, class[0], p.Series)
				p.Series = append(p.Series, series)
			}
		}
		if points < 2 {
			continue
		}
		p.Caption = fmt.Sprintf("%s of every field run against its date. Points that are joined are alike in payload, surface and setting; others may not be held against each other.", label)
		p.Alt = strings.Join(said, " ")
		c, err := b.chartOn(s, p)
		if err != nil {
			return err
		}
		view.Charts = append(view.Charts, c)
	}
	return nil
}
