package battery

import (
	"errors"
	"fmt"

	"voltwright/internal/quantity"
)

// CollapseError says that a load of constant power is more than the pack can
// give: as the voltage falls the load draws more current, which lowers the
// voltage further, and there is no voltage at which both agree.
type CollapseError struct {
	Wanted quantity.Watts
	Limit  quantity.Watts   // the most the pack could give at that moment
	Volts  quantity.Volts   // the terminal voltage at the limit, half of that at rest
	At     quantity.Seconds // since the start; 0: at once
}

func (e *CollapseError) Error() string {
	return e.Words(quantity.Brief(e.Wanted), quantity.Brief(e.Limit))
}

// Words is the text of the error with other words for its powers.
func (e *CollapseError) Words(wanted, limit string) string {
	when := "at once"
	if e.At > 0 {
		when = "after " + soon(e.At)
	}
	return fmt.Sprintf("the load of %s is more than the pack can give: the voltage collapses %s; the limit then is %s at %s",
		wanted, when, limit, quantity.Brief(e.Volts))
}

// ShortedError says that a current is more than the packs give even into a short circuit.
type ShortedError struct {
	Wanted quantity.Amperes
	Limit  quantity.Amperes // of full packs, by their voltage at rest over their ohmic resistance
}

func (e *ShortedError) Error() string {
	return fmt.Sprintf("a load of %s is more than these packs give into a short circuit, about %s: nothing can draw it", quantity.Brief(e.Wanted), quantity.Brief(e.Limit))
}

// NeverReachedError says that a voltage level lies below what the load reaches.
type NeverReachedError struct {
	Level  string
	Volts  quantity.Volts // the level
	Lowest quantity.Volts // the lowest terminal voltage seen
	Why    string         // "the pack is empty", "the load ended", ...
	Delay  quantity.Seconds
}

func (e *NeverReachedError) Error() string {
	if e.Delay > 0 && e.Lowest < e.Volts {
		return fmt.Sprintf("%s, %.4g V, does not act: the voltage has to stay below it for %s, and before that %s at %.4g V", e.Level, float64(e.Volts), quantity.Clock(e.Delay, 0.1), e.Why, float64(e.Lowest))
	}
	return fmt.Sprintf("%s, %.4g V, is never reached: %s at %.4g V", e.Level, float64(e.Volts), e.Why, float64(e.Lowest))
}

// ColdChargeError refuses to charge below the lowest temperature the chemistry allows.
type ColdChargeError struct {
	At, Lowest quantity.Celsius
	Chemistry  string
	Lithium    bool
}

func (e *ColdChargeError) Error() string {
	why := "its data sheets do not allow it"
	if e.Lithium {
		why = "metallic lithium would plate out inside the cell, for good"
	}
	return fmt.Sprintf("no charging at %.4g °C: %s is charged at %.4g °C or above, else %s", float64(e.At), e.Chemistry, float64(e.Lowest), why)
}

// HotChargeError refuses to charge above the highest temperature the chemistry allows.
type HotChargeError struct {
	At, Highest quantity.Celsius
	Chemistry   string
}

func (e *HotChargeError) Error() string {
	return fmt.Sprintf("no charging at %.4g °C: %s is charged at %.4g °C or below", float64(e.At), e.Chemistry, float64(e.Highest))
}

// ErrNothingDrawn is the answer to a run time without a load.
var ErrNothingDrawn = errors.New("nothing is drawn, so nothing runs down")
