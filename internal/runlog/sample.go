package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// Channel is one thing that a log can hold a column of.
type Channel uint8

// The channels. Values are in base units: V, A, °C, m/s, m, Ah, Wh, W, a
// fraction for the duty, revolutions per minute, and s for time.
const (
	Time Channel = iota
	Voltage
	Current
	Temperature
	Ambient
	Speed
	Distance
	ChargeCounter
	EnergyCounter
	ChargeReturned
	EnergyReturned
	Power
	Duty
	Rotation
	// What a log says of its own course. A maker may name these columns too.
	StepTime // s, as written: it starts again with each step
	State    // StateDischarge, StateCharge or StateRest
	Step     // the number of the program's step, as written
	Cycle    // the number of the cycle, as written
	// What the reader makes of other columns.
	SecondTime // s since the first row by the log's other time column
	ByPosition // m along the positions, which themselves are kept nowhere
	// Another column of the same kind, which is compared and not measured with. A second current keeps the sign that is written.
	SecondVoltage
	SecondCurrent
	SecondTemperature

	channelCount = int(iota)
)

// The values of State.
const (
	StateDischarge = 1.0
	StateRest      = 0.0
	StateCharge    = -1.0
)

// channelFact is what is said about a channel anywhere: its word in front
// matter, its label on a page, its dimension, the unit its values are in and how
// great they can be.
type channelFact struct {
	word, label string
	dimension   quantity.Dimension
	unit        string
	greatest    float64 // magnitude in the base unit that nothing on a small vehicle passes; our own choice
}

var channelFacts = [channelCount]channelFact{
	Time:           {"time", "Time", quantity.Time, "s", greatestTime},
	Voltage:        {"voltage", "Voltage", quantity.Voltage, "V", 1e4},
	Current:        {"current", "Current", quantity.Current, "A", 1e5},
	Temperature:    {"temperature", "Temperature", quantity.Temperature, "°C", 1e4},
	Ambient:        {"ambient", "Ambient temperature", quantity.Temperature, "°C", 1e4},
	Speed:          {"speed", "Speed", quantity.Speed, "m/s", 1e3},
	Distance:       {"distance", "Distance", quantity.Length, "m", 1e9},
	ChargeCounter:  {"charge-counter", "Charge counter", quantity.Charge, "Ah", 1e9},
	EnergyCounter:  {"energy-counter", "Energy counter", quantity.Energy, "Wh", 1e9},
	ChargeReturned: {"charge-returned", "Counter of charge returned", quantity.Charge, "Ah", 1e9},
	EnergyReturned: {"energy-returned", "Counter of energy returned", quantity.Energy, "Wh", 1e9},
	Power:          {"power", "Power", quantity.Power, "W", 1e8},
	Duty:           {"duty", "Duty", quantity.Share, "%", 1e4},
	Rotation:       {"rotation", "Rotation", quantity.Rotation, "rpm", 1e7},
	StepTime:       {"step-time", "Time in the step", quantity.Time, "s", greatestTime},
	State:          {"state", "State", quantity.Plain, "", 1},
	Step:           {"step", "Step", quantity.Plain, "", 1e9},
	Cycle:          {"cycle", "Cycle", quantity.Plain, "", 1e9},
	SecondTime:     {"second-time", "Second time", quantity.Time, "s", greatestTime},
	ByPosition:     {"by-position", "Way along the positions", quantity.Length, "m", 1e9},

	SecondVoltage:     {"second-voltage", "Second voltage", quantity.Voltage, "V", 1e4},
	SecondCurrent:     {"second-current", "Second current", quantity.Current, "A", 1e5},
	SecondTemperature: {"second-temperature", "Second temperature", quantity.Temperature, "°C", 1e4},
}

// evidence says whether the channel is only compared with others, so that what is wrong in its column costs no row.
func (c Channel) evidence() bool { return c > Cycle }

// credible says whether a value of the channel can have been measured on a small vehicle.
func (c Channel) credible(x float64) bool { return math.Abs(x) <= channelFacts[c].greatest }

// Channels lists the channels that a column can be named for, in their fixed order.
func Channels() []Channel { return upTo(Cycle) }

// Measurable lists the channels that an instrument measures.
func Measurable() []Channel { return upTo(Rotation) }

func upTo(last Channel) []Channel {
	all := make([]Channel, last+1)
	for i := range all {
		all[i] = Channel(i)
	}
	return all
}

// said is what a row's cell of the channel is called in a sentence.
func (c Channel) said() string {
	if c == ByPosition {
		return "position"
	}
	return c.String()
}

// String is the channel's word in front matter and on the command line.
func (c Channel) String() string {
	if int(c) >= channelCount {
		return "unknown"
	}
	return channelFacts[c].word
}

// Label is the channel's name on a page.
func (c Channel) Label() string {
	if int(c) >= channelCount {
		return "Unknown"
	}
	return channelFacts[c].label
}

// Dimension is the dimension of the channel's values.
func (c Channel) Dimension() quantity.Dimension {
	if int(c) >= channelCount {
		return quantity.Plain
	}
	return channelFacts[c].dimension
}

// Unit is the unit in which the channel's values are shown by default. A duty
// is stored as a fraction and shown in per cent; all others are stored in it.
func (c Channel) Unit() string {
	if int(c) >= channelCount {
		return ""
	}
	return channelFacts[c].unit
}

// ParseChannel finds the channel, one of Channels, of a word as String prints it.
func ParseChannel(word string) (Channel, bool) {
	for _, c := range Channels() {
		if channelFacts[c].word == word {
			return c, true
		}
	}
	return 0, false
}

// Sample is one row of a log after the reader's rules have been applied: base
// units, seconds from the first sample, and a current that is positive on
// discharge whatever the log's own sign.
type Sample struct {
	// Line is the line number in the file, counted from 1; Offset the byte
	// offset of the row's start.
	Line   int
	Offset int64
	// Time is in seconds from the first sample and never falls. It equals
	// Values[Time].
	Time float64
	// Loose is the standard uncertainty of Time, in s, where the log writes
	// several rows to one stamp; else 0.
	Loose float64
	// Restart says that the log's clock started again at this row: the interval
	// before it is not a measured one and nothing may be integrated across it.
	Restart bool
	// Values holds NaN where the field is empty or the channel has no column.
	Values [channelCount]float64
}

// Has says whether the row holds a value of the channel.
func (s *Sample) Has(c Channel) bool { return !math.IsNaN(s.Values[c]) }
