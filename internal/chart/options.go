package chart

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

// livePoints is how many points of a series the chart engine gets, at most about.
const livePoints = 1500

// Script returns Options as a script that a page loads, as one that is opened from disk can load nothing else: it puts them into
// voltwrightPlots under the name of their figure. The error is that of Check.
func (p Plot) Script(figure string) ([]byte, error) {
	options, err := p.Options()
	if err != nil {
		return nil, err
	}
	name, err := json.Marshal(figure)
	return fmt.Appendf(nil, "(globalThis.voltwrightPlots ??= {})[%s] = %s;\n", name, options), err
}

// Options returns what the page's script gives to the chart engine, as JSON: an
// object of "option", the engine's options (data, axes, levels, marks, bands, description), and "lettering", how the
// script letters them. Colours, line widths and faces are the script's, which takes them from the page's style sheet.
// Values are rounded to a hundred-thousandth of their axis. Same plot, same bytes. The error is that of Check.
func (p Plot) Options() ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	wide, narrow := compose(p, sheets[0]), compose(p, sheets[1])
	x := wide.x
	c := charts.NewLine()
	c.Accept(engineOptions{description: p.Alt})
	letters := lettering{X: letteredAxis(p.X, x), Places: map[string]places{"wide": wide.places, "narrow": narrow.places}}
	for _, l := range p.Lines {
		letters.Levels = append(letters.Levels, int(l.Panel))
	}
	grids := make([]opts.Grid, len(p.panels()))
	for k, panel := range p.panels() {
		y := wide.y[panel]
		xAxis := opts.XAxis{Type: "value", GridIndex: k, Min: x.min, Max: x.max}
		yAxis := opts.YAxis{Type: "value", GridIndex: k, Min: y.min, Max: y.max}
		if k == 0 {
			c.SetGlobalOptions(charts.WithXAxisOpts(xAxis), charts.WithYAxisOpts(yAxis))
		} else {
			c.ExtendXAxis(xAxis)
			c.ExtendYAxis(yAxis)
		}
		letters.Y = append(letters.Y, letteredAxis(p.axis(panel), y))
	}
	c.SetGlobalOptions(
		charts.WithAnimation(false),
		charts.WithGridOpts(grids...),
		charts.WithDataZoomOpts(opts.DataZoom{Type: "inside"}, opts.DataZoom{Type: "slider"}),
	)

	for i, full := range p.Series {
		s := full.thinned(livePoints)
		y := wide.y[s.Panel]
		one := charts.SingleSeries{
			Name: s.Name, Type: "line", XAxisIndex: int(s.Panel), YAxisIndex: int(s.Panel),
			Data: pairs(s, decimalsFor(x), decimalsFor(y)), ShowSymbol: opts.Bool(s.Shape == Dotted || s.Shape == Loose),
		}
		switch s.Shape {
		case Stepped:
			one.Step = "end"
		case Loose:
			one.Type = "scatter"
		}
		if p.on(s.Panel)[0] == i { // levels, marks and bands hang on the first series of their panel
			one.MarkLines = p.engineLevels(s.Panel)
			one.MarkPoints = p.engineMarks(s.Panel)
			one.MarkAreas = p.engineBands(x, s.Panel == Upper)
		}
		c.MultiSeries = append(c.MultiSeries, one)
		class := wide.class(i)
		letters.Series = append(letters.Series, seriesLettering{
			Line: class, SymbolClass: symbolClass(class), NameClass: nameClass(class), Symbol: symbolNames[wide.nth(i)],
			Panel: int(s.Panel), Decimals: reading(full.Y, y), Named: p.needsName(i),
		})
	}
	c.Validate()
	b, err := json.Marshal(map[string]any{"option": c.JSON(), "lettering": letters})
	if err != nil {
		return nil, fmt.Errorf("plot %q: %w", p.ID, err)
	}
	return b, nil
}

// lettering tells the page's script how to letter the engine's drawing.
type lettering struct {
	X      axisLettering     `json:"x"`
	Y      []axisLettering   `json:"y"` // of each panel
	Series []seriesLettering `json:"series"`
	Levels []int             `json:"levels,omitempty"` // the panel of each
	Places map[string]places `json:"places"`           // of each sheet
}

type axisLettering struct {
	Format   string    `json:"format"` // "number", "clock" or "day"
	Label    string    `json:"label"`
	Unit     string    `json:"unit"`     // of the values
	Head     string    `json:"head"`     // "Voltage in V"
	Decimals int       `json:"decimals"` // of the ticks
	Ticks    []float64 `json:"ticks"`
}

type seriesLettering struct {
	Line        string `json:"line"` // the classes on the still, of the line, its symbols and its name
	SymbolClass string `json:"symbolClass"`
	NameClass   string `json:"nameClass"`
	Symbol      string `json:"symbol"`
	Panel       int    `json:"panel"`
	Decimals    int    `json:"decimals"` // of a value that is read off
	Named       bool   `json:"named"`    // beside the line; else the head of its axis names it
}

func letteredAxis(a Axis, s scale) axisLettering {
	l := axisLettering{Format: "number", Label: a.Label, Unit: a.unit(), Head: headed(a.Label, s.unit), Decimals: decimalsOf(s.step), Ticks: s.ticks}
	switch a.Format {
	case Clock:
		l.Format = "clock"
	case Day:
		l.Format = "day"
	}
	return l
}

// decimalsOf is the number of decimals that letters a step of 1, 2 or 5 times a power of ten.
func decimalsOf(step float64) int { return max(0, -int(math.Floor(math.Log10(step)+1e-9))) }

// decimalsFor is the number of decimals that resolves a hundred-thousandth of a scale.
func decimalsFor(s scale) int { return max(0, 5-int(math.Ceil(math.Log10(s.max-s.min)-1e-9))) }

// reading is the number of decimals that a value is read off with: as many as the data have, as far as a
// ten-thousandth of the scale.
func reading(y []float64, s scale) int {
	limit := max(0, decimalsFor(s)-1)
	for d := range limit {
		exact := true
		for _, v := range y {
			if exact = roundTo(v, d) == v; !exact {
				break
			}
		}
		if exact {
			return d
		}
	}
	return limit
}

func roundTo(v float64, decimals int) float64 {
	unit := math.Pow10(decimals)
	return math.Round(v*unit)/unit + 0 // no negative zero
}

// pairs are the points as the engine takes them: [x, y], and [x, null] where the line is interrupted.
func pairs(s Series, dx, dy int) [][2]any {
	list := make([][2]any, 0, len(s.X)+len(s.Breaks))
	next := 0
	for i := range s.X {
		x := roundTo(s.X[i], dx)
		if next < len(s.Breaks) && s.Breaks[next] == i {
			list = append(list, [2]any{x, nil})
			next++
		}
		list = append(list, [2]any{x, roundTo(s.Y[i], dy)})
	}
	return list
}

func (p Plot) engineLevels(k Panel) *opts.MarkLines {
	var data []any
	for _, l := range p.Lines {
		if l.Panel == k {
			data = append(data, map[string]any{"yAxis": l.Value, "name": l.Label})
		}
	}
	if data == nil {
		return nil
	}
	return &opts.MarkLines{Data: data}
}

func (p Plot) engineMarks(k Panel) *opts.MarkPoints {
	var data []any
	for i, m := range p.Marks {
		if m.Panel == k {
			data = append(data, map[string]any{"coord": [2]float64{m.X, m.Y}, "name": m.Label, "value": i})
		}
	}
	if data == nil {
		return nil
	}
	return &opts.MarkPoints{Data: data}
}

func (p Plot) engineBands(x scale, named bool) *opts.MarkAreas {
	var data []any
	for _, b := range p.Bands {
		from, to := max(b.From, x.min), min(b.To, x.max)
		if from > to {
			continue
		}
		start := map[string]any{"xAxis": from}
		if named {
			start["name"] = b.Label
		}
		data = append(data, [2]map[string]any{start, {"xAxis": to}})
	}
	if data == nil {
		return nil
	}
	return &opts.MarkAreas{Data: data}
}

// engineOptions sets what the option builder has no field for, and takes out what it adds unasked.
type engineOptions struct {
	charts.BaseConfigurationVisitor
	description string
}

// Visit edits the finished options.
func (e engineOptions) Visit(option map[string]any) {
	for _, unused := range []string{"legend", "toolbox", "title", "tooltip", "color", "backgroundColor"} {
		delete(option, unused)
	}
	option["aria"] = map[string]any{"enabled": true, "label": map[string]any{"enabled": true, "description": e.description}}
}
