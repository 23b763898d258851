package frame

import (
	"html/template"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
)

// Callout is a finding that concerns safety, printed on the page that it concerns.
type Callout struct {
	Signal, Class string
	Anchor        string // of a callout that is the page's own
	Where         *Link  // the run or version that it comes from, on the page of another
	Past          bool   // it comes from a version that another one follows
	Text, Remedy  template.HTML
	Gauge         *gaugeView
	Answer        string        // the maker's
	Source        template.HTML // of the limit, with its status
	Href          string        // why this is said
}

// Folds tells whether the number, its limit and the source may fold on a narrow screen: where nobody gets badly hurt. The
// sentence, what to do and the maker's answer never fold.
func (c Callout) Folds() bool { return c.Class == "caution" || c.Class == "notice" }

// Rank orders callouts, the most serious first.
func Rank(signal string) int {
	return slices.Index([]string{string(finding.Danger), string(finding.SignalWarning), string(finding.Caution), string(finding.PropertyNotice)}, signal)
}

// gaugeView is a number against its limit, drawn on a line of 240 units.
type gaugeView struct {
	What, Words          string
	ValueX, LimitX       float64
	BeyondX, BeyondWidth float64 // the side of the limit on which the number must not lie
}

// The line on which a gauge is drawn.
const (
	gaugeLeft, gaugeRight = 8.0, 232.0
	gaugeFar              = 0.3 // from this part of the limit on the line begins at zero, else the limit is its middle
)

// NewGauge lays out the drawing. Where number and limit are far apart the line
// shows both from zero; where they are near it is enlarged about the limit. The
// words beside it say both numbers.
func NewGauge(g *finding.Gauge) *gaugeView {
	what := strings.ToUpper(g.What[:1]) + g.What[1:] + ":"
	v := &gaugeView{What: what, Words: g.String()}
	apart := math.Abs(g.Value - g.Limit)
	low, high := g.Limit-2*apart, g.Limit+2*apart
	if apart > gaugeFar*math.Abs(g.Limit) {
		low, high = min(0, 1.1*g.Value, 1.1*g.Limit), max(0, 1.1*g.Value, 1.1*g.Limit)
	}
	if high <= low {
		low, high = g.Limit-1, g.Limit+1
	}
	at := func(x float64) float64 {
		return math.Round(10*(gaugeLeft+(gaugeRight-gaugeLeft)*(x-low)/(high-low))) / 10
	}
	v.ValueX, v.LimitX = at(g.Value), at(g.Limit)
	v.BeyondX, v.BeyondWidth = v.LimitX, gaugeRight-v.LimitX
	if g.Least {
		v.BeyondX, v.BeyondWidth = gaugeLeft, v.LimitX-gaugeLeft
	}
	return v
}
