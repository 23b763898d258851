package drive

import (
	"fmt"
	"math"
	"strings"
)

// InputError says that a value cannot be what it is said to be.
type InputError struct {
	What  string  // "the wheel's diameter"
	Value float64 // in the unit named
	Unit  string
	Want  string // "above zero"
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s is %s; it has to be %s", e.What, strings.TrimSpace(fmt.Sprintf("%.4g %s", e.Value, e.Unit)), e.Want)
}

// MissingError says that a motor cannot be known from what is given.
type MissingError struct {
	Unknown []string // of "torque constant", "resistance", "friction"
	Remedy  string
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("the motor's %s cannot be found from what is given: %s", strings.Join(e.Unknown, " and "), e.Remedy)
}

// ContradictionError says that what is given of a motor does not fit together.
type ContradictionError struct {
	What            string // the value that does not fit
	Given, Computed float64
	Unit            string
	From            []string // what the computed one rests on
	Allowed         float64  // the relative difference that would have passed
}

func (e *ContradictionError) Error() string {
	return fmt.Sprintf("the motor's %s is given as %.4g %s, but %s make it %.4g %s, %.0f %% off where %.0f %% would pass: correct the one that is wrong, or leave out the one you trust least",
		e.What, e.Given, e.Unit, strings.Join(e.From, ", "), e.Computed, e.Unit, 100*math.Abs(e.Given/e.Computed-1), 100*e.Allowed)
}

// StandingError says that the vehicle does not move under its own power.
type StandingError struct {
	Point Point // its standing currents and pull
	Where string
}

func (e *StandingError) Error() string { return e.Where + e.Point.Words() }

// SettingError says that a speed cannot be held.
type SettingError struct {
	Speed  float64 // m/s
	Reason string
}

func (e *SettingError) Error() string {
	return fmt.Sprintf("%.3g km/h cannot be held: %s", 3.6*e.Speed, e.Reason)
}

// NoStopError says that the brake does not stop the vehicle.
type NoStopError struct {
	Net float64 // m/s², below zero: it gathers speed
}

func (e *NoStopError) Error() string {
	if e.Net == 0 {
		return "the brake does not stop the vehicle on this grade: it keeps its speed"
	}
	return fmt.Sprintf("the brake does not stop the vehicle on this grade: it still gathers %.2g m/s every second", -e.Net)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Anything that a vehicle can have lies between these, in the units used here, by
// a wide margin; within them no product of inputs leaves the range of numbers.
const smallest, greatest = 1e-9, 1e9

// within checks that a value is finite and from low to high, both included, and
// where it is not nought, no smaller than anything that exists.
func within(what string, value float64, unit string, low, high float64) error {
	high = math.Min(high, greatest)
	switch {
	case !finite(value) || value < low || value > high:
		want := fmt.Sprintf("from %.4g to %.4g", low, high)
		if high == greatest {
			want = fmt.Sprintf("%.4g or more, and of a size that exists", low)
		}
		return &InputError{what, value, unit, want}
	case value != 0 && math.Abs(value) < smallest:
		return &InputError{what, value, unit, "nought or of a size that exists"}
	}
	return nil
}

// above checks that a value is finite, greater than zero, and of a size that exists.
func above(what string, value float64, unit string) error {
	switch {
	case !finite(value) || value <= 0:
		return &InputError{what, value, unit, "above zero"}
	case value < smallest || value > greatest:
		return &InputError{what, value, unit, "of a size that exists"}
	}
	return nil
}
