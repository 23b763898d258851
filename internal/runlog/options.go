package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// Options says what the maker states about a log. Whatever is left out is
// detected from the log and reported in its Dialect. Start from NewOptions:
// several fields use NaN for "not stated", because zero is a fair value there.
type Options struct {
	// Columns names the column of a channel by its head ("U_pack") or by its
	// number counted from 1 ("#2").
	Columns map[Channel]string
	// TimeFormat is one of TimeFormats: seconds, clock, date-time, day-first and
	// so on; "" detects it.
	TimeFormat string
	// Decimal is point or comma; "" detects it.
	Decimal string
	// Separator is one of Separators: comma, semicolon, tab, space or bar; ""
	// detects it.
	Separator string
	// DischargeNegative states the sign of a discharge current as written in
	// the log; nil detects it.
	DischargeNegative *bool
	// Step is the sample interval of a log without a time column; NaN or zero
	// looks for it in the head.
	Step quantity.Seconds

	// PauseAfter is the longest stop that stays in the running time; a longer
	// one is taken out whole. NaN takes no stop out.
	PauseAfter quantity.Seconds
	// Idle is the current below which the vehicle stands; NaN uses the default rule.
	Idle quantity.Amperes
	// Gap is the longest interval between two samples that is still integrated;
	// NaN uses the default rule.
	Gap quantity.Seconds

	// Part names the part of the log that is measured, "discharge 2", or the first and the last of several with "to"
	// between them; "" measures the whole log.
	Part string
	// OneRun says that the log must be one run: one of several parts without a Part is an error.
	OneRun bool

	// Instruments state the accuracy of what was measured.
	Instruments []Instrument
	// Cutout is the low-voltage cutout as set, if the vehicle has one.
	Cutout *Cutout
	// Rated is the pack's rated charge; the zero value with an unknown Value (NaN) means not stated.
	Rated quantity.Measured[quantity.AmpereHours]
	// Wall is the energy that a meter in the wall socket read over a charge; missing means not stated.
	Wall quantity.Measured[quantity.WattHours]
	// Series is the number of cells in series; 0 means not stated.
	Series int
	// CellLowest and CellHighest are the least and the greatest voltage that a cell of the pack works at, V; 0 means not stated.
	CellLowest, CellHighest float64
}

// NewOptions returns Options that state nothing.
func NewOptions() Options {
	nan := math.NaN()
	return Options{
		Step:       quantity.Seconds(nan),
		PauseAfter: quantity.Seconds(nan),
		Idle:       quantity.Amperes(nan),
		Gap:        quantity.Seconds(nan),
		Rated:      quantity.Missing[quantity.AmpereHours](),
		Wall:       quantity.Missing[quantity.WattHours](),
	}
}

// Instrument states how well one channel was measured.
type Instrument struct {
	Channel  Channel
	Accuracy quantity.Accuracy
	// Resolution is the value of the last digit, in the channel's base unit.
	Resolution float64
}

// Cutout is a low-voltage cutout's setting: it opens at Opens and closes again
// Threshold above that.
type Cutout struct {
	Opens     quantity.Measured[quantity.Volts]
	Threshold quantity.Measured[quantity.Volts]
}

// Decimals lists the words that Options.Decimal may be.
func Decimals() []string { return []string{"point", "comma"} }

// Separators lists the words that Options.Separator may be.
func Separators() []string {
	words := make([]string, len(separators))
	for i, s := range separators {
		words[i] = s.word
	}
	return words
}
