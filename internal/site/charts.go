package site

import (
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"

	"voltwright/internal/chart"
	"voltwright/internal/journal"
	"voltwright/internal/runlog"
)

// chartView is a chart as a page shows it, in the form that package chart states.
type chartView struct {
	caption
	ID      string
	Engine  string
	Still   template.HTML
	Options template.JS // JSON in which <, > and & are escaped
	Data    string      // the points as CSV, "" where the page has none
	Source  link        // where the chart comes from, where that is another page
	Head    []string
	Rows    [][]string
	Shown   int // rows, of
	Points  int
}

// tableRows is the most rows that the table of a chart's points has; the CSV has all of them.
const tableRows = 40

// dataFile is where the points of a run's plot stand on the site.
func dataFile(run *journal.Run, name string) string {
	return path.Dir(runPage(run)) + "/" + name + ".csv"
}

// chartOf makes the view of a run's plot on a page. words replaces the caption where the maker wrote one.
func (b *builder) chartOf(s *sheet, run *journal.Run, name string, words template.HTML) (*chartView, bool, error) {
	p, ok := b.plot(run, name)
	if !ok {
		return nil, false, nil
	}
	own := s.path == runPage(run)
	wish := name
	if !own {
		wish = run.Slug + "-" + name
	}
	v := &chartView{caption: s.figure(wish), Engine: s.to(chartEngine), Data: s.to(dataFile(run, name))}
	v.ID = v.Anchor
	p.ID = strings.TrimPrefix(v.Anchor, "fig-")
	v.Words, v.Quoted = words, p.Caption
	switch {
	case words == "":
		v.Words = plainHTML(p.Caption)
	case own && strings.Contains(string(words), " "): // one word says no more than the caption does
		v.Words = words + " " + plainHTML(p.Caption)
	case own:
		v.Words = plainHTML(p.Caption)
	}
	if !own {
		v.Source = link{Words: fmt.Sprintf("%s, version %d", runWords(run), run.Version.Number), Href: s.to(runPage(run) + "#fig-" + shownAs(b.result(run), name))}
	}
	if err := v.draw(s, p); err != nil {
		return nil, false, err
	}
	v.Head, v.Rows = p.Table()
	v.Points = len(v.Rows)
	v.Rows = thinRows(v.Rows, tableRows)
	v.Shown = len(v.Rows)
	s.Charts, s.Marks = true, true
	return v, true, nil
}

// Limits of a page's charts, in bytes and in points of a series: a chart that would make the page too heavy is drawn from
// fewer points, with every extreme kept. Its CSV has them all the same.
const (
	chartBudget  = 200_000
	fewestPoints = 75
)

// draw makes the still and the options of a plot, light enough for the page.
func (v *chartView) draw(s *sheet, p chart.Plot) error {
	for points := runlog.MaxTracePoints; ; points /= 2 {
		still, err := p.SVG()
		if err != nil {
			return err
		}
		options, err := p.Options()
		if err != nil {
			return err
		}
		weight := len(still) + len(options)
		if s.charted+weight > chartBudget && points/2 >= fewestPoints {
			p = thinned(p, points/2)
			continue
		}
		s.charted += weight
		v.Still, v.Options = template.HTML(still), template.JS(options)
		return nil
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
