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

// Options returns what the page's script gives to the chart engine, as JSON that may stand in a script element:
//
//	{"option": the engine's options: data, axes, levels, bands, marks, description
//	 "lettering": how the script letters it: {"x": axis, "y": [axis, axis], "series": [{"class", "name", "axis"}]}}
//
// where an axis is {"format": "number" or "clock", "head", "label", "unit", "decimals", "ticks"}. Colours, lines and
// faces are the script's, which takes them from the page's style sheet. Values are rounded to a hundred-thousandth of
// their axis. Same plot, same bytes.
func (p Plot) Options() ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	x, left, right := p.scales(9, 6)
	c := charts.NewLine()
	c.Accept(engineOptions{description: p.Alt})
	c.SetGlobalOptions(
		charts.WithAnimation(false),
		charts.WithTooltipOpts(opts.Tooltip{Show: opts.Bool(true), Trigger: "axis"}),
		charts.WithAriaOpts(&opts.Aria{Enabled: opts.Bool(true), Label: &opts.AriaLabel{Enabled: opts.Bool(true), Description: p.Alt}}),
		charts.WithXAxisOpts(opts.XAxis{Type: "value", Min: x.min, Max: x.max}),
		charts.WithYAxisOpts(opts.YAxis{Type: "value", Position: "left", Min: left.min, Max: left.max, Show: opts.Bool(p.uses(Left))}),
		charts.WithDataZoomOpts(
			opts.DataZoom{Type: "inside", FilterMode: "none"},
			opts.DataZoom{Type: "slider", FilterMode: "none"},
		),
	)
	letters := lettering{X: letteredAxis(p.X, x), Y: []axisLettering{letteredAxis(p.Left, left)}}
	if p.uses(Right) {
		c.ExtendYAxis(opts.YAxis{Type: "value", Position: "right", Min: right.min, Max: right.max, Show: opts.Bool(true)})
		letters.Y = append(letters.Y, letteredAxis(p.Right, right))
	}

	named := newDrawing(p, sheets[0]) // the looks and the names of the series, as on the still
	for i, full := range p.Series {
		s := full.thinned(livePoints)
		sy := left
		if s.Axis == Right {
			sy = right
		}
		one := charts.SingleSeries{
			Name: s.Name, Type: "line", YAxisIndex: int(s.Axis),
			Data: pairs(s, decimalsFor(x), decimalsFor(sy)), ShowSymbol: opts.Bool(s.Shape == Dotted || s.Shape == Loose),
		}
		if s.Shape == Stepped {
			one.Step = "end"
		}
		if s.Shape == Loose {
			one.Type = "scatter"
		}
		if first := p.on(s.Axis)[0]; first == i { // levels and marks hang on the first series of their axis
			one.MarkLines = p.engineLevels(s.Axis)
			one.MarkPoints = p.engineMarks(s.Axis)
		}
		if i == 0 {
			one.MarkAreas = p.engineBands(x)
		}
		c.MultiSeries = append(c.MultiSeries, one)
		letters.Series = append(letters.Series, seriesLettering{
			Class: named.class(i), Name: s.Name, Axis: int(s.Axis), Decimals: reading(full.Y, sy),
			Symbol: []string{"circle", "rect", "triangle", "diamond"}[named.nth(i)],
			Label:  len(p.on(s.Axis)) > 1 || s.Name != p.axis(s.Axis).Label,
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
	Y      []axisLettering   `json:"y"`
	Series []seriesLettering `json:"series"`
}

type axisLettering struct {
	Format   string    `json:"format"` // "number" or "clock"
	Head     string    `json:"head"`
	Label    string    `json:"label"`
	Unit     string    `json:"unit"`
	Decimals int       `json:"decimals"` // of the ticks
	Ticks    []float64 `json:"ticks,omitempty"`
}

type seriesLettering struct {
	Class    string `json:"class"` // the classes of its line on the still
	Name     string `json:"name"`
	Axis     int    `json:"axis"`
	Decimals int    `json:"decimals"` // of a value that is read off
	Symbol   string `json:"symbol"`
	Label    bool   `json:"label"` // named beside the line; else the head of its axis names it
}

func letteredAxis(a Axis, s scale) axisLettering {
	l := axisLettering{Format: "number", Head: headed(a.Label, s.unit), Label: a.Label, Unit: a.unit(), Decimals: decimalsOf(s.step), Ticks: s.ticks}
	if a.Format == Clock {
		l.Format = "clock"
	}
	return l
}

// decimalsOf is the number of decimals that letters a step of 1, 2 or 5 times a power of ten.
func decimalsOf(step float64) int { return max(0, -int(math.Floor(math.Log10(step)+1e-9))) }

// decimalsFor is the number of decimals that resolves a hundred-thousandth of a scale.
func decimalsFor(s scale) int { return max(0, 5-int(math.Ceil(math.Log10(s.max-s.min)))) }

// reading is the number of decimals that a value is read off with: as many as the data have, as far as the scale
// can tell them apart.
func reading(y []float64, s scale) int {
	limit := max(0, decimalsFor(s)-2)
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
	return math.Round(v*unit) / unit
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

func (p Plot) engineLevels(side Side) *opts.MarkLines {
	var data []any
	for _, l := range p.Lines {
		if l.Axis == side {
			data = append(data, map[string]any{"yAxis": l.Value, "name": l.Label})
		}
	}
	if data == nil {
		return nil
	}
	return &opts.MarkLines{Data: data}
}

func (p Plot) engineMarks(side Side) *opts.MarkPoints {
	var data []any
	for _, m := range p.Marks {
		if m.Axis == side {
			data = append(data, map[string]any{"coord": [2]float64{m.X, m.Y}, "name": m.Label})
		}
	}
	if data == nil {
		return nil
	}
	return &opts.MarkPoints{Data: data}
}

func (p Plot) engineBands(x scale) *opts.MarkAreas {
	var data []any
	for _, b := range p.Bands {
		from, to := max(b.From, x.min), min(b.To, x.max)
		if from <= to {
			data = append(data, [2]map[string]any{{"xAxis": from, "name": b.Label}, {"xAxis": to}})
		}
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
	for _, unused := range []string{"legend", "toolbox", "title", "color", "backgroundColor"} {
		delete(option, unused)
	}
	// The read-out is drawn, not an HTML element: its style attributes would break the pages' security policy.
	option["tooltip"] = map[string]any{"trigger": "axis", "renderMode": "richText", "confine": true}
	option["aria"] = map[string]any{"enabled": true, "label": map[string]any{"enabled": true, "description": e.description}}
}
