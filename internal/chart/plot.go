// Package chart draws a plot of measured or computed points: as a still picture that needs neither script nor
// network, as options for the chart engine that a page loads when a reader reaches for the chart, as a table and as
// delimited text. All four come from one Plot, so they cannot disagree.
//
// A plot is refused, with the place and the reason, if it holds no point, a value that is not a finite number, or an
// x that steps back. What the package cannot catch: a wrong unit, a series put on the wrong axis, an Alt that says
// something else than the picture.
//
// # Figure
//
// The page holds a plot in this form; themes/workshop/charts.js and charts.css rely on it. ENGINE is the path of
// charts-engine.js, PLOT that of a file with Script("fig-ID"), CSV that of the data, all relative to the page:
//
//	<figure class="chart" id="fig-ID" data-engine="ENGINE" data-plot="PLOT">
//	  <div class="chart-still">SVG()</div>
//	  <div class="chart-live" hidden></div>
//	  <p class="chart-tools"><button type="button" class="chart-closer" hidden>Look closer</button> <a href="CSV" download>Data (CSV)</a></p>
//	  <figcaption>Caption</figcaption>
//	</figure>
//
// HTML wants a caption first or last in its figure; charts.css puts it under the picture, before the tools. The script
// unhides the button; without script there is none to press. Engine and plot are loaded when a reader reaches for the chart.
package chart

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Format says how the values of an axis are lettered.
type Format uint8

const (
	// Number is a plain decimal number.
	Number Format = iota
	// Clock is a time in seconds, lettered in the unit that its range calls for: s, min, h:min.
	Clock
	// Day is a calendar day, counted by [Days] and lettered by the calendar.
	Day
)

// Panel is where a series, mark or level is drawn. Two quantities are not laid over one another on two scales, which
// would let them cross where nothing crosses; they stand one above the other on a common x axis.
type Panel uint8

// The two panels of a plot.
const (
	Upper Panel = iota
	Lower
)

// Kind is where the numbers of a series come from; it decides the dash and the colour.
type Kind uint8

// The three kinds of number.
const (
	Measured Kind = iota // continuous line
	Computed             // dashed line
	Quoted               // chain line
)

// Shape says how the points of a series are joined.
type Shape uint8

const (
	// Joined draws straight lines from point to point.
	Joined Shape = iota
	// Stepped holds each value until the next point.
	Stepped
	// Dotted draws a symbol at each point, joined by a thin line: few readings, taken by hand.
	Dotted
	// Loose draws a symbol at each point and joins none.
	Loose
)

// Axis is one axis of a plot.
type Axis struct {
	Label  string // "Voltage"
	Unit   string // "V"; of a Clock axis it must be "s" or empty
	Format Format
	// Min and Max are the ends of the axis. If they are equal, the ends are chosen from what is drawn.
	Min, Max float64
}

// fixed reports whether the ends of the axis were given.
func (a Axis) fixed() bool { return a.Min != a.Max }

// head is the label with its unit, in the form of IEC 60050 and DIN 461: "Voltage in V".
func (a Axis) head() string { return headed(a.Label, a.unit()) }

// unit is the unit of the values as they are stored.
func (a Axis) unit() string {
	switch a.Format {
	case Clock:
		return "s"
	case Day:
		return ""
	}
	return a.Unit
}

func headed(label, unit string) string {
	if unit == "" {
		return label
	}
	return label + " in " + unit
}

// Series is a run of points.
type Series struct {
	Name  string // names the series in the picture, the read-out and the table
	Unit  string // empty: that of its axis; anything else must be that of its axis
	Panel Panel
	Kind  Kind
	Shape Shape
	X, Y  []float64 // same length, finite; X does not step back
	// Breaks lists the indices before which the line is interrupted, in rising order: with 5 in it, points 4 and 5 are
	// not joined.
	Breaks []int
}

// Band is a span of the x axis that is shaded and named, such as a stop.
type Band struct {
	From, To float64
	Label    string
}

// Mark is a point that is pointed out, such as the opening of a cutout.
type Mark struct {
	X, Y  float64
	Panel Panel
	Label string
}

// Level is a horizontal line across the plot, such as a reset point.
type Level struct {
	Value float64
	Panel Panel
	Label string
}

// Plot is all that is drawn in one chart.
type Plot struct {
	ID      string // a letter, then letters, digits, '-' or '_'; unique on the page
	Title   string // short name, the accessible name of the picture
	Caption string // what to see in it; printed under the picture by the page
	Alt     string // the picture in words, for who does not see it
	X       Axis
	Upper   Axis // the vertical axis of the upper panel, which must have a series
	Lower   Axis // that of the lower panel, which is drawn if something is in it
	Series  []Series
	Bands   []Band
	Marks   []Mark
	Lines   []Level
}

// Check returns what is wrong with the plot, all of it, or nil.
func (p Plot) Check() error {
	var errs []error
	bad := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }

	if !identifier(p.ID) {
		bad("plot: id %q must be a letter followed by letters, digits, '-' or '_'", p.ID)
	}
	if p.Title == "" {
		bad("plot %q: has no title", p.ID)
	}
	if p.Alt == "" {
		bad("plot %q: is not described in words", p.ID)
	}
	for _, a := range []struct {
		name string
		axis Axis
		used bool
	}{{"x axis", p.X, true}, {"upper axis", p.Upper, p.uses(Upper)}, {"lower axis", p.Lower, p.uses(Lower)}} {
		switch {
		case !a.used:
		case a.axis.Label == "":
			bad("plot %q: %s has no label", p.ID, a.name)
		case a.axis.Format > Day:
			bad("plot %q: %s: unknown format %d", p.ID, a.name, a.axis.Format)
		case a.axis.Format == Clock && a.axis.Unit != "" && a.axis.Unit != "s":
			bad("plot %q: %s: a clock counts seconds, not %q", p.ID, a.name, a.axis.Unit)
		case a.axis.Format == Day && (a.axis.Unit != "" || a.name != "x axis"):
			bad("plot %q: %s: days are counted along the x axis, without a unit", p.ID, a.name)
		case !finite(a.axis.Min, a.axis.Max) || a.axis.Min > a.axis.Max:
			bad("plot %q: %s cannot run from %v to %v", p.ID, a.name, a.axis.Min, a.axis.Max)
		}
	}
	if len(p.on(Upper)) == 0 {
		bad("plot %q: has no series in its upper panel", p.ID)
	}
	names := map[string]bool{}
	for _, s := range p.Series {
		if names[s.Name] {
			bad("plot %q: two series are named %q", p.ID, s.Name)
		}
		names[s.Name] = true
		if err := s.check(p.axis(s.Panel)); err != nil {
			bad("plot %q: series %q: %w", p.ID, s.Name, err)
		}
	}
	for _, b := range p.Bands {
		if !finite(b.From, b.To) || b.From > b.To {
			bad("plot %q: band %q cannot run from %v to %v", p.ID, b.Label, b.From, b.To)
		}
	}
	for _, m := range p.Marks {
		if !finite(m.X, m.Y) {
			bad("plot %q: mark %q is at (%v, %v), which is no place", p.ID, m.Label, m.X, m.Y)
		}
	}
	for _, l := range p.Lines {
		if !finite(l.Value) {
			bad("plot %q: level %q is at %v, which is no place", p.ID, l.Label, l.Value)
		}
	}
	return errors.Join(errs...)
}

func (s Series) check(axis Axis) error {
	switch {
	case s.Name == "":
		return errors.New("has no name")
	case s.Unit != "" && s.Unit != axis.unit():
		return fmt.Errorf("is in %s, but its axis is in %s", s.Unit, axis.unit())
	case len(s.X) == 0:
		return errors.New("has no points")
	case len(s.X) != len(s.Y):
		return fmt.Errorf("has %d x and %d y values", len(s.X), len(s.Y))
	case s.Panel > Lower || s.Kind > Quoted || s.Shape > Loose:
		return errors.New("has an unknown panel, kind or shape")
	}
	for i := range s.X {
		if !finite(s.X[i], s.Y[i]) {
			return fmt.Errorf("point %d is (%v, %v); a gap is given in Breaks, not by a value", i, s.X[i], s.Y[i])
		}
		if i > 0 && s.X[i] < s.X[i-1] {
			return fmt.Errorf("x steps back at point %d, from %v to %v", i, s.X[i-1], s.X[i])
		}
	}
	for i, b := range s.Breaks {
		if b <= 0 || b >= len(s.X) || i > 0 && b <= s.Breaks[i-1] {
			return fmt.Errorf("break before point %d: must lie inside the series, in rising order", b)
		}
	}
	return nil
}

// Zoom returns the plot of the window from one x to another: what the plot shows there, larger. The points just
// outside the window stay, so that the line runs to its edges and no point is made up; bands are cut to it, marks
// outside it are left out. It is an error if no series has a point inside the window.
func (p Plot) Zoom(from, to float64) (Plot, error) {
	if !finite(from, to) || from >= to {
		return Plot{}, fmt.Errorf("plot %q: cannot enlarge from %v to %v", p.ID, from, to)
	}
	z := p
	z.ID += "-enlarged"
	z.X.Min, z.X.Max = from, to
	z.Series, z.Bands, z.Marks = nil, nil, nil
	inside := false
	for _, s := range p.Series {
		first, _ := slices.BinarySearch(s.X, from) // first point at or after the window's start
		last, _ := slices.BinarySearchFunc(s.X, to, func(x, to float64) int {
			if x <= to {
				return -1
			}
			return 1
		}) // first point after the window's end
		inside = inside || first < last
		first, last = max(first-1, 0), min(last+1, len(s.X))
		w := s
		w.X, w.Y, w.Breaks = s.X[first:last], s.Y[first:last], nil
		for _, b := range s.Breaks {
			if b > first && b < last {
				w.Breaks = append(w.Breaks, b-first)
			}
		}
		if len(w.X) > 0 {
			z.Series = append(z.Series, w)
		}
	}
	if !inside {
		return Plot{}, fmt.Errorf("plot %q: no point between %v and %v", p.ID, from, to)
	}
	for _, b := range p.Bands {
		if b.From < to && b.To > from {
			z.Bands = append(z.Bands, Band{From: max(b.From, from), To: min(b.To, to), Label: b.Label})
		}
	}
	for _, m := range p.Marks {
		if m.X >= from && m.X <= to {
			z.Marks = append(z.Marks, m)
		}
	}
	return z, nil
}

// axis is the vertical axis of a panel.
func (p Plot) axis(k Panel) Axis {
	if k == Lower {
		return p.Lower
	}
	return p.Upper
}

// uses reports whether anything is in a panel.
func (p Plot) uses(k Panel) bool {
	return slices.ContainsFunc(p.Series, func(s Series) bool { return s.Panel == k }) ||
		slices.ContainsFunc(p.Marks, func(m Mark) bool { return m.Panel == k }) ||
		slices.ContainsFunc(p.Lines, func(l Level) bool { return l.Panel == k })
}

// panels lists the panels in use.
func (p Plot) panels() []Panel {
	if p.uses(Lower) {
		return []Panel{Upper, Lower}
	}
	return []Panel{Upper}
}

// on lists the indices of the series in a panel.
func (p Plot) on(k Panel) []int {
	var list []int
	for i, s := range p.Series {
		if s.Panel == k {
			list = append(list, i)
		}
	}
	return list
}

func identifier(s string) bool {
	for i, r := range s {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !letter && (i == 0 || !(r >= '0' && r <= '9' || r == '-' || r == '_')) {
			return false
		}
	}
	return s != ""
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
