package runlog

import "voltwright/internal/quantity"

// Evidence says what a result rests on.
type Evidence string

// The kinds of evidence, from the richest to the barest.
const (
	EvidenceLog       Evidence = "log"
	EvidenceReadings  Evidence = "readings"
	EvidenceStopwatch Evidence = "stopwatch"
)

// Result is what one run gives. A figure that the evidence does not give is missing (its value is NaN)
// and Figures says why. Every uncertainty is a standard uncertainty (k = 1, JCGM 100:2008).
// Discharge is positive: Charge.Out left the pack, Charge.In went into it.
type Result struct {
	Evidence Evidence
	Dialect  string // what the reader found out about the file, in words; "" where there is no file
	Rows     int    // samples used
	Skipped  int    // samples left out: backward or repeated times, values that are no numbers

	Start, End quantity.Seconds // the log's own time of the first and the last sample used

	Elapsed quantity.Measured[quantity.Seconds] // first to last sample, whatever happened between
	Running quantity.Measured[quantity.Seconds] // elapsed less the stops that were taken out
	Stopped quantity.Measured[quantity.Seconds] // every stop, taken out or not

	Stops     []Stop // in the order of time, at most MaxListed of them
	StopCount int    // all of them
	Idle      quantity.Amperes
	IdleRule  string // how the vehicle was judged to stand, in words
	Gaps      []Gap  // intervals that were not integrated across, at most MaxListed of them
	GapCount  int
	GapRule   string

	Charge Flow[quantity.AmpereHours]
	Energy Flow[quantity.WattHours]

	MeanCurrent quantity.Measured[quantity.Amperes] // net charge by running time
	PeakCurrent quantity.Measured[quantity.Amperes] // the sample of greatest magnitude, with its sign
	P95Current  quantity.Measured[quantity.Amperes] // magnitude that is exceeded in 5 % of the running time

	MeanVoltage   quantity.Measured[quantity.Volts]
	LowestVoltage quantity.Measured[quantity.Volts]
	StartVoltage  quantity.Measured[quantity.Volts]
	EndVoltage    quantity.Measured[quantity.Volts]
	Sag           quantity.Measured[quantity.Volts]
	Resistance    Resistance

	Phases ChargePhases // of a charge

	Cutout *CutoutEvent // nil where none was seen to open

	Distance        quantity.Measured[quantity.Metres]
	PerDistance     quantity.Measured[quantity.WattHoursPerKilometre]
	TopSpeed        quantity.Measured[quantity.MetresPerSecond]
	MeanSpeed       quantity.Measured[quantity.MetresPerSecond]
	TemperatureRise quantity.Measured[quantity.Kelvins]
	FullCycles      quantity.Measured[quantity.Number]

	Traces        []Trace // the whole run, thinned for a page
	ReboundTraces []Trace // the time round the cutout's opening at a finer grain, seconds of the same clock
	Series        *Series // the run reduced for calculation; nil without a log of voltage and current

	Parts   []Part // what the log consists of; nil without a current
	Several bool   // it holds more than one flow, so that it is no single run

	Accounts Accounts       // what became of every line
	Values   []ValueAccount // what became of the values of each channel
	Time     TimeAccount    // what became of the elapsed time

	missing map[string]string // figure name → why there is none
	notes   map[string]string // figure name → what a reader should know of it
}

// MaxListed bounds the stops, the gaps and the resistance steps that are listed one by one; beyond it they are only counted.
const MaxListed = 1000

// Stop is a time in which the vehicle stood.
type Stop struct {
	Start    quantity.Seconds // of the log's own clock
	Length   quantity.Seconds
	TakenOut bool   // longer than pause-after, so the running time leaves it out whole
	Why      string // as the maker says; of a log always ""
}

// Gap is an interval without samples that was not integrated across.
type Gap struct {
	Start, Length quantity.Seconds
	Line          int                  // of the first sample after it
	Offset        int64                // of the same, in bytes
	LeftOut       quantity.AmpereHours // what a straight line across it would have counted
	Restart       bool                 // the log's clock started again, so its length is not known
}

// Flow is a quantity that leaves the pack and returns to it, counted apart.
//
// A log does not say when, between two samples, a load was switched. Out and In place each such edge by the rule of the
// formula charge-by-trapezoid; the bounds put every edge at the earlier or at the later of its two samples.
type Flow[K quantity.Kind] struct {
	Out, In   quantity.Measured[K]
	Trapezoid FlowPair[K] // straight lines across every interval, edges included
	Earlier   FlowPair[K] // every edge at the sample before it
	Later     FlowPair[K] // every edge at the sample after it
	Sampling  FlowPair[K] // the part of the standard uncertainty that comes from the samples alone, known without instruments
	Counted   FlowPair[K] // what the log's own counters say; NaN where there is none
	Edges     int         // edges found
	OpenEdges int         // of those, the ones whose time the log leaves open
}

// FlowPair is a Flow without uncertainty.
type FlowPair[K quantity.Kind] struct{ Out, In K }

// Net is what left less what returned.
func (f Flow[K]) Net() K { return f.Out.Value - f.In.Value }

// Resistance is the internal resistance from the current steps of the run: the median, with the spread of the steps as
// Type A uncertainty. It is a resistance at the stated settling time, not an ohmic one.
type Resistance struct {
	quantity.Measured[quantity.Ohms]
	Scatter quantity.Ohms    // the Type A part of the uncertainty; 0 for a single step
	Kind    string           // which steps were used, in words: "rise of the load"
	Steps   int              // steps of that kind that qualified
	Refused int              // steps that did not
	Settle  quantity.Seconds // median time from the last sample before the step to the sample that was used
	Listed  []ResistanceStep // at most MaxListed of them
}

// ResistanceStep is one current step.
type ResistanceStep struct {
	At            quantity.Seconds // last sample before it
	Settle        quantity.Seconds // from there to the sample that was used
	Before, After quantity.Amperes
	Resistance    quantity.Ohms
}

// CutoutEvent is the opening of a low-voltage cutout as the evidence shows it: the current falls from load to nothing
// while the voltage is at its lowest, and stays there.
type CutoutEvent struct {
	OpenedAt      quantity.Measured[quantity.Seconds] // since the first sample
	OpenedVoltage quantity.Measured[quantity.Volts]   // the lowest of the last three voltages under load
	Current       quantity.Measured[quantity.Amperes] // the last current before it
	Openings      int                                 // more than one: it closed again by itself or was closed
	Inferred      bool                                // no opening voltage was stated; the event was told from the log alone
	Rebound       Rebound
	ResetPoint    quantity.Measured[quantity.Volts] // opening + threshold; missing where no threshold is stated
	Margin        ResetMargin
}

// Rebound is the recovery of the voltage after the opening.
type Rebound struct {
	Peak        quantity.Measured[quantity.Volts]
	TimeToPeak  quantity.Measured[quantity.Seconds] // from the opening to the first sample at the peak
	Watched     quantity.Seconds                    // how long the log goes on without load
	StillRising bool                                // the peak is the end of what was watched
	Fit         *ReboundFit                         // nil where NoFit says why
	NoFit       string
}

// ReboundFit is V(t) = Asymptote − Amplitude·exp(−t/TimeConstant), t from the first sample after the opening.
type ReboundFit struct {
	Asymptote    quantity.Measured[quantity.Volts]
	Amplitude    quantity.Measured[quantity.Volts]
	TimeConstant quantity.Measured[quantity.Seconds]
	Start        quantity.Seconds // t = 0, since the first sample of the run
	R2           float64          // coefficient of determination
	ResidualSD   quantity.Volts
	Points       int
}

// ResetMargin compares the highest rebound with the voltage at which a cutout lets the load on again.
// A cutout that switches itself back on under the load that opened it opens again at once: it chatters.
type ResetMargin struct {
	Margin quantity.Measured[quantity.Volts] // reset point − highest rebound; missing where either is
	Needed quantity.Volts                    // the greater of 0.2 V and the expanded uncertainty (k = 2) of the margin
	OK     bool                              // the margin is known and is at least what is needed
}

// Trace is one channel of a run, thinned: at most MaxTracePoints points, the first, the last and every extreme kept.
type Trace struct {
	Channel Channel
	T, Y    []float64 // seconds of the log's own clock; the channel's base unit
}

// MaxTracePoints is the most points that a Trace has.
const MaxTracePoints = 600

// Figure is one line of a table of results.
type Figure struct {
	Name      string // fixed: "running-time"
	Label     string // "Running time"
	Dimension quantity.Dimension
	Quantity  quantity.Optional[quantity.Quantity] // absent for a reason
	Formula   string                               // the Doc that explains it
	Note      string                               // what a reader should know of this value; may be empty
	Extra     []Extra                              // the same figure by another defensible rule, where the evidence leaves it open
}

// Extra is a figure beside a Figure.
type Extra struct {
	Label    string
	Quantity quantity.Quantity
}
