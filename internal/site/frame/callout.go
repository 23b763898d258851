package frame

import (
	"html/template"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/site/numeral"
)

// Callout is a finding that concerns safety, printed on the page that it concerns.
type Callout struct {
	Rule          string
	Signal, Class string
	Anchor        string // of a callout that is the page's own
	Where         *Link  // the run or version that it comes from, on the page of another
	Past          bool   // it comes from a version that another one follows
	Bearing       Bearing
	Brief         string // what is so in one line, the same wherever the callout is pointed to
	Text, Remedy  template.HTML
	Gauge         *gaugeView
	Answer        string        // the maker's
	Source        template.HTML // of the limit, with its status
	Href          string        // why this is said
}

// Bearing is whether a callout bears on the answer that a page gives.
type Bearing uint8

// The bearings.
const (
	NoAnswer Bearing = iota // the page answers nothing
	Bears
	Aside
)

// Grave tells whether somebody may get badly hurt: then nothing of the callout folds where it belongs.
func (c Callout) Grave() bool { return c.Class == "danger" || c.Class == "warning" }

// Subject is of what it speaks, without the number or step: what stands where its full form follows at once.
func (c Callout) Subject() string {
	subject, _, _ := strings.Cut(c.Brief, ": ")
	return subject
}

// Callouts are those of a page, the most serious first. A page prints its own in full where they are grave and as one line
// that opens where they are not; of another page's it has one line that leads there. A page that answers
// something has it for those that bear on its answer, and one line with a count for the rest that is not grave.
type Callouts []Callout

func (cs Callouts) only(keep func(Callout) bool) Callouts {
	var out Callouts
	for _, c := range cs {
		if keep(c) {
			out = append(out, c)
		}
	}
	return out
}

// Full are the page's own that are grave.
func (cs Callouts) Full() Callouts {
	return cs.only(func(c Callout) bool { return c.Grave() && c.Where == nil })
}

// Heads are their first lines, where there are several: each is seen before the first is read to its end.
func (cs Callouts) Heads() Callouts {
	if full := cs.Full(); len(full) > 1 {
		return full
	}
	return nil
}

// Brief are the page's own that are not grave.
func (cs Callouts) Brief() Callouts {
	return cs.only(func(c Callout) bool { return !c.Grave() && c.Where == nil })
}

// firstBrief is how many of the page's own that are not grave have a line of their own where there are more than one more.
const firstBrief = 2

// First are those that have a line of their own, More the rest, which fold behind their count.
func (cs Callouts) First() Callouts {
	if len(cs) <= firstBrief+1 {
		return cs
	}
	return cs[:firstBrief]
}

// More is the rest of what First begins; nil where that is all.
func (cs Callouts) More() Callouts { return cs[len(cs.First()):] }

// GraveElsewhere are those of other pages that are grave.
func (cs Callouts) GraveElsewhere() Callouts {
	return cs.only(func(c Callout) bool { return c.Grave() && c.Where != nil })
}

// BriefBearing are those of other pages that are not and that bear on the page's answer.
func (cs Callouts) BriefBearing() Callouts {
	return cs.only(func(c Callout) bool { return !c.Grave() && c.Where != nil && c.Bearing == Bears })
}

// BriefElsewhere are the rest of those of other pages that are not grave.
func (cs Callouts) BriefElsewhere() Callouts {
	return cs.only(func(c Callout) bool { return !c.Grave() && c.Where != nil && c.Bearing != Bears })
}

// Aside tells whether they do not bear on the answer of the page, so that even one alone folds behind its count.
func (cs Callouts) Aside() bool { return len(cs) > 0 && cs[0].Bearing == Aside }

// Count says how many there are of each signal word: "2 CAUTIONs, 1 NOTICE".
func (cs Callouts) Count() string {
	var said []string
	for i := 0; i < len(cs); {
		k := i
		for k < len(cs) && cs[k].Signal == cs[i].Signal {
			k++
		}
		said = append(said, numeral.Count(k-i, cs[i].Signal))
		i = k
	}
	return strings.Join(said, ", ")
}

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
