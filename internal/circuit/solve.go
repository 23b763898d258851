package circuit

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// LeadResult is what one lead does at an operating point.
type LeadResult struct {
	Current    quantity.Amperes // positive from From to To
	Drop       quantity.Volts   // from From to To
	Heat       quantity.Watts
	Resistance quantity.Ohms // at its ambient temperature
	Missing    string        // why the resistance is taken as 0; "" if it is known
}

// Inside is the current through one way of a part: a contact, a fuse, a motor,
// the output of a controller.
type Inside struct {
	Part     int
	Way      string
	From, To Terminal
	Current  quantity.Amperes // positive from From to To
	Drop     quantity.Volts   // from From to To; of a pack that discharges negative
	Heat     quantity.Watts   // lost in its resistance or in a diode's drop
}

// LoadResult is what arrives at a load.
type LoadResult struct {
	Part    int
	Volts   quantity.Volts    // at its terminals
	Current quantity.Amperes  // into its + or first terminal
	Drop    quantity.Volts    // lost on the way from the packs, there and back; behind a controller: from the controller
	Share   quantity.Fraction // the drop over the voltage at the packs; behind a controller: over that of its output
}

// PackResult is what one pack gives.
type PackResult struct {
	Part    int
	Current quantity.Amperes  // positive on discharge
	Volts   quantity.Volts    // at its terminals
	Share   quantity.Fraction // of the current of all packs that discharge; 0 for one that is charged
}

// Solution is a circuit at an operating point.
type Solution struct {
	Point  OperatingPoint
	Leads  []LeadResult
	Inside []Inside
	Loads  []LoadResult
	Packs  []PackResult

	Assumed  []Assumption   // what parts leave unsaid
	Limited  []int          // controllers that hold their current limit
	Unfed    []int          // motors and controllers that nothing feeds in this state
	Supplied quantity.Watts // by packs, chargers and motors that brake, behind their resistance
	Taken    quantity.Watts // by everything else; equal to Supplied within rounding

	volts    []float64
	floating []bool
	nodes    *nodes
}

// Volts is the voltage of a terminal against the negative terminal of the first
// pack of its network. A terminal that open contacts cut off from every pack is
// afloat, and ok is false.
func (s *Solution) Volts(t Terminal) (v quantity.Volts, ok bool) {
	n, known := s.nodes.at[t]
	if !known || s.floating[n] {
		return quantity.Volts(math.NaN()), false
	}
	return quantity.Volts(s.volts[n]), true
}

// Assumption is something that a part does not state, and what was taken for it.
type Assumption struct {
	Part int
	Text string
}

// UnknownPartError names a part of an operating point that the circuit has not.
type UnknownPartError struct{ Point, Part string }

func (e *UnknownPartError) Error() string {
	return fmt.Sprintf("the operating point %q tells of “%s”, and no part is called so", e.Point, e.Part)
}

// UnknownTerminalError is a lead with an end that does not exist; Check says more.
type UnknownTerminalError struct {
	Lead     int
	From, To Terminal
}

func (e *UnknownTerminalError) Error() string {
	return fmt.Sprintf("a lead goes from %s to %s, and one of them does not exist", e.From, e.To)
}

// FloatingError names a terminal of a network that no pack is part of, whatever
// the contacts do.
type FloatingError struct{ Terminal Terminal }

func (e *FloatingError) Error() string {
	return fmt.Sprintf("%s floats: nothing joins it to a pack", e.Terminal)
}

// UndecidedError names two terminals between which more than one path has no
// resistance, so that the share of each cannot be told.
type UndecidedError struct{ From, To Terminal }

func (e *UndecidedError) Error() string {
	return fmt.Sprintf("more than one path without resistance joins %s and %s, so what each carries cannot be told: state the length of a lead or a resistance", e.From, e.To)
}

// ReversedError names a controller whose input is negative at an operating point.
type ReversedError struct {
	Part  int
	Volts quantity.Volts
}

func (e *ReversedError) Error() string {
	return fmt.Sprintf("the input of the speed controller is at %.3g V: it is the wrong way round, or the packs cannot give what is asked", float64(e.Volts))
}

// UnsettledError says that no state of diodes, chargers and controllers agrees
// with itself: mostly a controller that is to hold a current that the packs
// cannot give.
type UnsettledError struct{ Point string }

func (e *UnsettledError) Error() string {
	return fmt.Sprintf("no steady state is found at %q: the packs cannot give what is asked, or a charger has nothing to charge", e.Point)
}

// Solve finds every voltage and current at an operating point by modified nodal
// analysis (C. W. Ho, A. E. Ruehli, P. A. Brennan, IEEE Trans. Circuits Syst.
// CAS-22 (1975) 504, from memory): Kirchhoff's current law at every node, the law
// of every branch, one matrix, LU factors.
//
// A pack is a voltage behind a resistance. A controller of duty d gives
// Vout = d·Vin − R·Iout and takes Iin = d·Iout/η, with Iin = d·Iout·η when its
// motor brakes; one that reaches its limit holds the current and finds its duty.
// A motor is a resistance and a back-EMF, or a given current. A diode is open, or
// a drop and a slope. A charger gives its current up to its voltage. These are
// found by turns until all agree.
//
// The circuit must pass Check. Errors: *UnknownPartError,
// *UnknownTerminalError, *FloatingError, *UndecidedError,
// *ReversedError, *UnsettledError. Results are finite.
func (c *Circuit) Solve(op OperatingPoint) (*Solution, error) {
	n, err := c.network(&op)
	if err != nil {
		return nil, err
	}
	x, err := n.settle()
	if err != nil {
		return nil, err
	}
	n.last = x
	return n.solution(x), nil
}
