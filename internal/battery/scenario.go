package battery

import "voltwright/internal/quantity"

// Cutout opens a circuit when the voltage has stayed below Opens for Delay, or
// at once when the current passes Trip, and closes it again when the voltage
// has come back by ResetThreshold, not before a tenth of a second. It stands for an external low-voltage cutout
// and for the protection inside a pack.
type Cutout struct {
	Opens          quantity.Volts
	ResetThreshold quantity.Volts // NaN: stays open until somebody resets it
	Delay          quantity.Seconds
	Trip           quantity.Amperes // 0: none
	Idle           quantity.Amperes // what is still drawn while it is open
}

// Level is a voltage to be watched, such as a floor.
type Level struct {
	Name  string
	Volts quantity.Volts   // terminal voltage
	Delay quantity.Seconds // reached when the voltage has stayed below for so long
}

// Scenario is what Simulate runs.
type Scenario struct {
	Packs   []Pack // joined in parallel
	Demand  Demand
	Ambient quantity.Celsius
	Levels  []Level
	Cutout  *Cutout // between the packs and the load; nil: none

	StopAtCutout bool             // end at the first opening; else follow the chatter
	Until        quantity.Seconds // 0: 30 days
	Tolerance    quantity.Volts   // error of one step, of one cell; 0: 2 mV
	TracePoints  int              // rows to keep at most; 0: none
}

// Ending says why a simulation ended.
type Ending string

// The endings.
const (
	LevelsReached Ending = "every voltage level was reached"
	CutoutOpened  Ending = "the cutout opened"
	StayedOpen    Ending = "the cutout opened and stayed open"
	DemandOver    Ending = "the load ended"
	TimeOver      Ending = "the time was up"
	PackEmpty     Ending = "the pack is empty"
	Collapsed     Ending = "the voltage collapsed"
	Disconnected  Ending = "every pack was cut off by its own protection"
	Chattering    Ending = "the cutout opened and closed too often to follow"
)

// Reached is where a level was reached.
type Reached struct {
	Level
	At     quantity.Seconds     // NaN: never
	Charge quantity.AmpereHours // taken out by then
	Energy quantity.WattHours
	Left   quantity.AmpereHours // in the packs then
	Err    error                // *NeverReachedError
}

// Opening is one time that a cutout opened.
type Opening struct {
	Pack     string // "" for the cutout between packs and load
	At       quantity.Seconds
	Volts    quantity.Volts   // just before
	ClosedAt quantity.Seconds // NaN: stayed open
}

// PackOutcome is how one pack ended.
type PackOutcome struct {
	Name         string
	Charge       float64 // state of charge, 0 to 1
	Left         quantity.AmpereHours
	Out          quantity.AmpereHours // given, less what it was given
	Temperature  quantity.Celsius
	Warmest      quantity.Celsius
	Most         quantity.Amperes // greatest current given
	MostIn       quantity.Amperes // greatest current taken in
	CutOff       bool
	OutsideCurve bool // the surface charge left the points of the open-circuit curve
}

// Outcome is what Simulate gives.
type Outcome struct {
	Ended    Ending
	Elapsed  quantity.Seconds
	Volts    quantity.Volts // terminal voltage at the end
	Lowest   quantity.Volts // lowest terminal voltage under load
	Charge   quantity.AmpereHours
	Energy   quantity.WattHours
	Heat     quantity.WattHours // in the packs, without reversible heat
	Levels   []Reached
	Openings []Opening
	Packs    []PackOutcome
	Collapse *CollapseError
	Trace    []TraceRow
	Steps    int
}

// TraceRow is one row of a simulated log.
type TraceRow struct {
	At      quantity.Seconds
	Volts   quantity.Volts
	Amperes quantity.Amperes
	Warmest quantity.Celsius
	Shares  []quantity.Amperes // of each pack
}
