package journal

import (
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Throttle is what the speed is set with.
type Throttle struct {
	BrokenWire notes.Choice[BrokenWire] `key:"broken-wire"` // what the vehicle does with each of its wires off, one after the other
	RestCheck  notes.Flag               `key:"rest-check"`  // whether it stays put if switched on with the throttle open

	Reference notes.Value[quantity.Volts] `key:"reference"` // that the controller feeds its track with
	PullDown  notes.Value[quantity.Ohms]  `key:"pull-down"` // in the controller, from its input to the return

	Span finding.Span `key:"@"`
}

// BrokenWire is what a vehicle does when a wire of its throttle comes off.
type BrokenWire string

// What it may do.
const (
	WireStops   BrokenWire = "stops"
	WireRunsOn  BrokenWire = "runs-on"
	WireFull    BrokenWire = "full-speed"
	WireUntried BrokenWire = "untried"
)

// Options lists the words.
func (BrokenWire) Options() []notes.Option {
	return []notes.Option{
		{Name: string(WireStops), Meaning: "it stops, whichever wire comes off"},
		{Name: string(WireRunsOn), Meaning: "with one of them off it goes on at the speed that it had"},
		{Name: string(WireFull), Meaning: "with one of them off it goes to full speed"},
		{Name: string(WireUntried), Meaning: "nobody has tried it with the wheels off the ground"},
	}
}

// Precharge is how the controller's capacitors are filled before a contact closes on them.
type Precharge struct {
	Fitted   notes.Flag                     `key:"fitted,required"`
	Through  notes.Value[quantity.Ohms]     `key:"through"`   // the resistor
	Power    notes.Value[quantity.Watts]    `key:"power"`     // that it may turn into heat for good
	ClosesAt notes.Value[quantity.Fraction] `key:"closes-at"` // of the pack's voltage, at which the contact closes

	Span finding.Span `key:"@"`
}

// Converter makes a lower direct voltage of the packs', for lamps and the like.
type Converter struct {
	Name    notes.Word                  `key:"name"`
	Window  notes.Range[quantity.Volts] `key:"window"`  // of input voltage, in which it works
	Highest notes.Value[quantity.Volts] `key:"highest"` // that its input stands at all
	Fuse    PackFuse                    `key:"fuse"`    // in its own input lead

	Gives      notes.Value[quantity.Volts]    `key:"gives"`   // at its output
	Current    notes.Value[quantity.Amperes]  `key:"current"` // of its output, for good
	Idle       notes.Value[quantity.Amperes]  `key:"idle"`    // of its input, with nothing on its output
	Efficiency notes.Value[quantity.Fraction] `key:"efficiency"`
	Isolated   notes.Flag                     `key:"isolated"` // whether its two sides have nothing in common

	Span finding.Span `key:"@"`
}

// Suppression is what takes up the kick of a coil that is switched off.
type Suppression string

// The kinds of suppression.
const (
	Unsuppressed  Suppression = "none"
	PlainDiode    Suppression = "diode"
	DiodeAndZener Suppression = "diode-and-zener"
	Suppressor    Suppression = "suppressor"
)

// Options lists the words.
func (Suppression) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Unsuppressed), Meaning: "nothing"},
		{Name: string(PlainDiode), Meaning: "a diode alone, its cathode to plus: the contact opens late"},
		{Name: string(DiodeAndZener), Meaning: "a diode with a zener diode in series"},
		{Name: string(Suppressor), Meaning: "a suppressor for both directions, or a varistor"},
	}
}

// PinsOn says which half of a connector has pins that can be touched.
type PinsOn string

// The halves.
const (
	PinsIn      PinsOn = "in"
	PinsOut     PinsOn = "out"
	PinsNowhere PinsOn = "neither"
)

// Options lists the words.
func (PinsOn) Options() []notes.Option {
	return []notes.Option{
		{Name: string(PinsIn), Meaning: "the half on which the terminals in are"},
		{Name: string(PinsOut), Meaning: "the half on which the terminals out are"},
		{Name: string(PinsNowhere), Meaning: "no finger, key or coin reaches a contact of either half"},
	}
}

// FrameWord says whether the frame is joined to the packs.
type FrameWord string

// What the frame may be.
const (
	FrameApart    FrameWord = "apart"
	FrameNegative FrameWord = "negative"
	FramePositive FrameWord = "positive"
	FrameUnknown  FrameWord = "unmeasured"
)

// Options lists the words.
func (FrameWord) Options() []notes.Option {
	return []notes.Option{
		{Name: string(FrameApart), Meaning: "measured from the frame to either side: no voltage, and no current through a lamp"},
		{Name: string(FrameNegative), Meaning: "joined to the negative side"},
		{Name: string(FramePositive), Meaning: "joined to the positive side"},
		{Name: string(FrameUnknown), Meaning: "nobody has measured it"},
	}
}
