package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Stopwatch is a run timed by hand, lap by lap, the watch running all the time.
type Stopwatch struct {
	Resolution quantity.Seconds // of the watch; NaN or 0: not stated
	Lap        quantity.Measured[quantity.Metres]
	Laps       []quantity.Seconds // how long each lap took, stops included
	Stops      []LapStop
	Start, End quantity.Measured[quantity.Volts] // read from a display; missing where not
	Spans      []finding.Span                    // of the laps, may be shorter than Laps
}

// LapStop is a stop within a lap.
type LapStop struct {
	Lap    int // from 1
	Lasted quantity.Seconds
	Why    string // as the maker says, "" where nothing is said
	Span   finding.Span
}

// NewStopwatch is a Stopwatch that states nothing.
func NewStopwatch() Stopwatch {
	return Stopwatch{Resolution: quantity.Seconds(math.NaN()), Lap: quantity.Missing[quantity.Metres](),
		Start: quantity.Missing[quantity.Volts](), End: quantity.Missing[quantity.Volts]()}
}

// handReaction is the half-width of the time by which a hand starts or stops a watch too late or too early. Common
// practice, no source.
const handReaction = 0.3

// FromStopwatch gives what laps timed by hand give: times, and by the length of a lap the distance and the mean speed.
//
// Laps follow each other without a break, so the elapsed time is one reading with a start and an end: its uncertainty is that
// of two presses of a button (rectangular, ±0.3 s each) and of the last digit, not of every lap. Each end of a stop
// that is taken out is one more press.
func FromStopwatch(w Stopwatch, o Options) (*Result, []finding.Finding) {
	r := newResult(EvidenceStopwatch)
	var found []finding.Finding
	var elapsed total
	lapStart := make([]float64, 0, len(w.Laps))
	for k, lap := range w.Laps {
		lapStart = append(lapStart, elapsed.value())
		if !timed(lap) {
			var span finding.Span
			if k < len(w.Spans) {
				span = w.Spans[k]
			}
			found = append(found, finding.Finding{Rule: "lap-without-time", Level: finding.Error, Span: span,
				Text: fmt.Sprintf("lap %d has no time that can be used; it is left out", k+1), Remedy: "give how long the lap took, such as `3 min 12.4 s`"})
			r.Skipped++
			continue
		}
		elapsed.add(float64(lap))
		r.Rows++
	}
	resolution := float64(w.Resolution)
	if !(resolution > 0) || !usable(resolution) {
		resolution = 0
	}
	if r.Rows == 0 {
		r.missAll("There is no lap to use.")
		return r, found
	}
	press := handReaction / math.Sqrt(3)
	digit := resolution / math.Sqrt(12)
	total := elapsed.value()
	r.End = quantity.Seconds(total)
	uElapsed := math.Hypot(math.Sqrt2*press, digit)
	r.Elapsed = quantity.Of(quantity.Seconds(total), quantity.Seconds(uElapsed))
	r.note("elapsed-time", "Timed by hand: the watch is taken to be pressed within 0.3 s.")
	found = append(found, stopsInLaps(r, &w, &o, lapStart, press, digit)...)
	stopwatchTravel(r, &w, &o)
	r.StartVoltage, r.EndVoltage = displayed(w.Start, specOf(&o, Voltage)), displayed(w.End, specOf(&o, Voltage))
	if !r.StartVoltage.Known() {
		r.miss("start-voltage", "No voltage was read at the start.")
	}
	if !r.EndVoltage.Known() {
		r.miss("end-voltage", "No voltage was read at the end.")
	}
	for _, f := range figureTable {
		r.miss(f.name, "A stopwatch does not give it.")
	}
	return r, found
}

// timed says whether a time is one that can be used.
func timed(t quantity.Seconds) bool { return t > 0 && usable(float64(t)) }

// displayed adds the instrument's uncertainty to a reading that states none.
func displayed(v quantity.Measured[quantity.Volts], s spec) quantity.Measured[quantity.Volts] {
	if !v.Known() || !usable(float64(v.Value)) {
		return quantity.Missing[quantity.Volts]()
	}
	if v.U == 0 || math.IsNaN(float64(v.U)) {
		v.U = quantity.Volts(s.single(float64(v.Value)))
	}
	return v
}

// stopsInLaps applies the stop rule. When in its lap a stop began was not noted: it is listed at the lap's start.
func stopsInLaps(r *Result, w *Stopwatch, o *Options, lapStart []float64, press, digit float64) []finding.Finding {
	var found []finding.Finding
	var stood, out total
	ends, outEnds := 0, 0
	inLap := make([]float64, len(w.Laps))
	for _, s := range w.Stops {
		bad := ""
		switch {
		case s.Lap < 1 || s.Lap > len(w.Laps):
			bad = fmt.Sprintf("there is no lap %d; the laps are 1 to %d", s.Lap, len(w.Laps))
		case !timed(s.Lasted):
			bad = "this stop has no length that can be used"
		case !timed(w.Laps[s.Lap-1]):
			bad = fmt.Sprintf("lap %d itself is left out", s.Lap)
		case inLap[s.Lap-1]+float64(s.Lasted) > float64(w.Laps[s.Lap-1]):
			bad = fmt.Sprintf("the stops in lap %d are longer than the lap itself", s.Lap)
		}
		if bad != "" {
			found = append(found, finding.Finding{Rule: "stop-outside-lap", Level: finding.Error, Span: s.Span,
				Text: bad + "; the stop is left out", Remedy: "count laps from 1, and give lap times with the watch running all the time"})
			r.Skipped++
			continue
		}
		inLap[s.Lap-1] += float64(s.Lasted)
		taken := float64(s.Lasted) > float64(o.PauseAfter)+1e-9
		stood.add(float64(s.Lasted))
		ends += 2
		if taken {
			out.add(float64(s.Lasted))
			outEnds += 2
		}
		r.StopCount++
		if len(r.Stops) < MaxListed {
			r.Stops = append(r.Stops, Stop{quantity.Seconds(lapStart[s.Lap-1]), s.Lasted, taken, s.Why})
		}
	}
	u := func(n int) float64 { return math.Sqrt(float64(n)*press*press + float64(n/2)*digit*digit) }
	r.IdleRule = "The stops are those that were noted."
	r.Stopped = quantity.Of(quantity.Seconds(stood.value()), quantity.Seconds(u(ends)))
	r.note("stopped-time", r.IdleRule)
	r.Running = quantity.Of(r.Elapsed.Value-quantity.Seconds(out.value()), quantity.Seconds(math.Hypot(float64(r.Elapsed.U), u(outEnds))))
	if math.IsNaN(float64(o.PauseAfter)) {
		r.note("running-time", "No stop is taken out, as no pause-after is stated.")
	} else {
		r.note("running-time", fmt.Sprintf("Stops longer than %s are taken out.", plain(float64(o.PauseAfter), quantity.Time)))
	}
	return found
}

func stopwatchTravel(r *Result, w *Stopwatch, o *Options) {
	if !w.Lap.Known() || !(w.Lap.Value > 0) || !usable(float64(w.Lap.Value)) {
		r.miss("distance", "The length of a lap is not stated.")
		r.miss("mean-speed", "The length of a lap is not stated.")
		return
	}
	lap, note := w.Lap, plural(r.Rows, "lap")+"."
	if lap.U == 0 { // no length of a lap is exact
		lap.U = quantity.Metres(specOf(o, Distance).single(float64(lap.Value)))
	}
	if math.IsNaN(float64(lap.U)) {
		note += " The length of a lap is stated without an uncertainty, and no instrument for the distance is."
		r.note("mean-speed", "The uncertainty of the length of a lap is not known, so that of the speed is not.")
	}
	r.Distance = quantity.Scale(lap, float64(r.Rows))
	r.note("distance", note)
	if r.Running.Value > 0 {
		r.MeanSpeed = quantity.Quotient(r.Distance, r.Running, quantity.SpeedFrom)
	} else {
		r.miss("mean-speed", "The run has no running time.")
	}
}
