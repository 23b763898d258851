// Package charts draws the plots of runs as figures of a page.
package charts

import (
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"

	"voltwright/internal/chart"
	"voltwright/internal/journal"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// ChartView is a chart as a page shows it, in the form that package chart states.
type ChartView struct {
	frame.Caption
	ID     string
	Engine string
	Still  template.HTML
	Plot   string     // the script with what the engine draws
	Data   string     // the points as CSV, "" where the page has none
	Source frame.Link // where the chart comes from, where that is another page
	Head   []string
	Rows   [][]string
	Shown  int // rows, of
	Points int
}

// tableRows is the most rows that the table of a chart's points has; the CSV has all of them.
const tableRows = 40

// Of makes the view of a run's plot on a page. words replaces the caption where the maker wrote one.
func Of(rd *reading.Reader, s *frame.Sheet, run *journal.Run, name string, words template.HTML) (*ChartView, bool, error) {
	p, ok := Plot(rd, run, name)
	if !ok {
		return nil, false, nil
	}
	own := s.Path == address.Run(run)
	wish := name
	if !own {
		wish = run.Slug + "-" + name
	}
	v := &ChartView{Caption: s.Figure(wish), Engine: s.To(frame.ChartEngine), Data: s.To(address.DataFile(run, name))}
	v.ID = v.Anchor
	p.ID = strings.TrimPrefix(v.Anchor, "fig-")
	v.Words, v.Quoted = words, p.Caption
	switch {
	case words == "":
		v.Words = numeral.PlainHTML(p.Caption)
	case own && strings.Contains(string(words), " "): // one word says no more than the caption does
		v.Words = words + " " + numeral.PlainHTML(p.Caption)
	case own:
		v.Words = numeral.PlainHTML(p.Caption)
	}
	if !own {
		v.Source = frame.Link{Words: fmt.Sprintf("%s, version %d", reading.RunWords(run), run.Version.Number), Href: s.To(address.Run(run) + "#fig-" + shownAs(rd.Result(run), name))}
	}
	if err := v.draw(rd, s, p); err != nil {
		return nil, false, err
	}
	v.Head, v.Rows = p.Table()
	v.Points = len(v.Rows)
	v.Rows = thinRows(v.Rows, tableRows)
	v.Shown = len(v.Rows)
	s.Charts, s.Marks = true, true
	return v, true, nil
}

// Limits of a page's stills, in bytes and in points of a series: a chart that would make the page too heavy is drawn from
// fewer points, with every extreme kept. Its CSV has them all the same.
const (
	chartBudget  = 100_000
	fewestPoints = 75
)

// drawn is what a page takes of a plot: the still, and the script beside the page for who looks closer.
type drawn struct{ Still, Script string }

// draw makes the still of a plot, light enough for the page, and the script beside it, or takes those of the same plot on as full a page.
func (v *ChartView) draw(rd *reading.Reader, s *frame.Sheet, p chart.Plot) error {
	var d drawn
	err := rd.Keep("chart of a page", &d, func() (err error) {
		d, err = light(p, v.Anchor, chartBudget-s.Charted)
		return err
	}, p, v.Anchor, s.Charted)
	if err != nil {
		return err
	}
	s.Charted += len(d.Still)
	file := path.Join(path.Dir(s.Path), v.Anchor+".js")
	v.Still, v.Plot = template.HTML(d.Still), s.To(file)
	return rd.Pages.Put(file, []byte(d.Script))
}

// light draws a plot in at most so many bytes, where that is possible with fewer points. figure is the anchor that it stands at.
func light(p chart.Plot, figure string, room int) (drawn, error) {
	for points := runlog.MaxTracePoints; ; points /= 2 {
		still, err := p.SVG()
		if err != nil {
			return drawn{}, err
		}
		if len(still) <= room || points/2 < fewestPoints {
			script, err := p.Script(figure)
			return drawn{string(still), string(script)}, err
		}
		p = thinned(p, points/2)
	}
}

// thinned is a plot with at most n points in each series.
func thinned(p chart.Plot, n int) chart.Plot {
	p.Series = slices.Clone(p.Series)
	for i, s := range p.Series {
		kept := chart.Thin(s.X, s.Y, n)
		thin := s
		thin.X, thin.Y, thin.Breaks = make([]float64, len(kept)), make([]float64, len(kept)), nil
		for k, at := range kept {
			thin.X[k], thin.Y[k] = s.X[at], s.Y[at]
			if k > 0 && slices.ContainsFunc(s.Breaks, func(b int) bool { return b > kept[k-1] && b <= at }) {
				thin.Breaks = append(thin.Breaks, k)
			}
		}
		p.Series[i] = thin
	}
	return p
}

// thinRows keeps at most n rows, evenly spread, the first and the last among them.
func thinRows(rows [][]string, n int) [][]string {
	if len(rows) <= n {
		return rows
	}
	out := make([][]string, n)
	for i := range out {
		out[i] = rows[i*(len(rows)-1)/(n-1)]
	}
	return out
}

// On makes the view of a plot that belongs to the page itself, with its points as a file beside it.
func On(rd *reading.Reader, s *frame.Sheet, p chart.Plot) (*ChartView, error) {
	file := path.Dir(s.Path) + "/" + p.ID + ".csv"
	data, err := p.CSV()
	if err != nil {
		return nil, err
	}
	if err := rd.Pages.Put(file, data); err != nil {
		return nil, err
	}
	v := &ChartView{Caption: s.Figure(p.ID), Engine: s.To(frame.ChartEngine), Data: s.To(file)}
	v.ID = v.Anchor
	v.Words, v.Quoted = numeral.PlainHTML(p.Caption), p.Caption
	if err := v.draw(rd, s, p); err != nil {
		return nil, err
	}
	v.Head, v.Rows = p.Table()
	v.Points, v.Shown = len(v.Rows), len(v.Rows)
	s.Charts, s.Marks = true, true
	return v, nil
}
