package safety

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// instrumentRange asks whether an instrument read values beyond its range.
var instrumentRange = &rule{each: eachRun, judge: judgeInstrumentRange, doc: finding.Doc{
	Name: "instrument-range", Signal: finding.Caution,
	Title:   "An instrument outside its range",
	What:    "Holds the greatest magnitude of each measured channel against the greatest value that its instrument can read.",
	Why:     "Beyond its range a meter shows too little or nothing, and what was computed from it is too good. A meter on a voltage above its rating may also break down in the hand.",
	Needs:   "`highest` of an instrument; where it is not stated there is nothing to hold",
	Source:  "The limit is the instrument's own, as stated. That readings beyond a range are void: common practice, no source.",
	Example: "  instruments: [{measures: voltage, highest: 60 V}]",
}}

func judgeInstrumentRange(s *subject) []verdict {
	r := s.result()
	if r == nil {
		return nil
	}
	var out []verdict
	for _, in := range s.run.Instruments {
		channel, ok := runlog.ParseChannel(string(in.Measures.Value))
		if !ok || !in.Highest.Set {
			continue
		}
		low, high, ok := extremes(r, channel)
		magnitude := math.Max(math.Abs(low), math.Abs(high))
		if !ok || !above(quantity.Number(magnitude), quantity.Number(in.Highest.Value)) {
			continue
		}
		read := quantity.Quantity{Dimension: channel.Dimension(), Value: magnitude, U: math.NaN(), Decimals: -1}.Rounded()
		g := &finding.Gauge{What: "greatest " + string(in.Measures.Value), Value: magnitude, Limit: in.Highest.Value, Written: read, Bound: in.Highest.Quantity.Rounded()}
		out = append(out, verdict{signal: finding.Caution, at: in.Highest.Span, gauge: g,
			text:   fmt.Sprintf("this run has a %s of %s, and its instrument reads no more than %s", in.Measures.Value, read, in.Highest.Quantity.Rounded()),
			remedy: "make the run again with an instrument that is rated for it; do not quote its figures until then."})
	}
	return out
}
