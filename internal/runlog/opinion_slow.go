package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var slowDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-slow-rows", Level: finding.Error, Title: "Seconds that look like milliseconds",
	What: "Looks at the usual interval between the rows of a log whose time is in seconds as its head says, where a current flows and neither another time nor a counter of the log agrees. Loggers that write seldom do so by the minute: an interval of 100 s and more that is not within 2 s of whole minutes, or of two hours and more, is far likelier one of milliseconds.",
	Why:  "Charge and energy would be a thousand times too great, and nothing else in such a log says so.", Source: ownRule,
	Example: "  log: {file: bench.csv, time: milliseconds}",
}

// The intervals, s, from which a log is seldom one in seconds; our own choice.
const (
	slowInterval   = 100
	slowWhateverIs = 7200
	slowToMinutes  = 2
)

// slowWitness looks at the interval between rows.
type slowWitness struct{}

func (slowWitness) say(h *hearing) []said {
	form, ok := parseTimeForm(h.dialect.TimeForm)
	walker := h.meter.walker
	if !ok || form != timeSeconds || h.options.TimeFormat != "" || h.timeHolds || walker.seen < gapHistory || !(h.meter.peak != 0) {
		return nil
	}
	flow := h.result.Charge
	for _, ratio := range []quantity.AmpereHours{flow.Counted.Out / flow.Out.Value, flow.Counted.In / flow.In.Value} {
		if ratio < wrongFactor && ratio > 1/wrongFactor {
			return nil // a counter was made with the same time
		}
	}
	usual := walker.intervals.exceededBy(walker.intervals.weight / 2)
	toMinutes := math.Abs(usual - 60*math.Round(usual/60))
	if usual < slowInterval || usual < slowWhateverIs && toMinutes <= slowToMinutes {
		return nil
	}
	return []said{{finding.Error, fmt.Sprintf("the rows come every %s by the head's seconds, %s in all; these times look like milliseconds", clockText(usual), plain(float64(h.result.Elapsed.Value), quantity.Time)),
		"say `time: milliseconds`, or `time: seconds` if they are seconds", 0, 0}}
}
