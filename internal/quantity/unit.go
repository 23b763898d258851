package quantity

import (
	"math"
	"slices"
	"strings"
)

// Unit is a unit of the table, for whoever converts many bare numbers: a column
// of a log, an axis of a chart.
type Unit struct{ s *scale }

// FindUnit finds a unit by any spelling that Parse reads. Sizes of wire (AWG)
// are no multiples of a unit and are not found.
func FindUnit(spelling string) (Unit, bool) {
	s := byName[plainUnit(spelling)]
	if s == nil || s.symbol == gauge {
		return Unit{}, false
	}
	return Unit{s}, true
}

// FindUnitAs finds the unit of a dimension whose spelling differs from what is written in letter case alone: "ah" for a charge. False
// where there is none, or more than one, and where the letter case may say what is meant: MΩ is not mΩ.
func FindUnitAs(spelling string, d Dimension) (Unit, bool) {
	var found *scale
	written := plainUnit(spelling)
	for name, s := range byName {
		if s.dimension != d || s.symbol == gauge || !strings.EqualFold(name, written) {
			continue
		}
		if bare := strings.TrimPrefix(name, "m"); written == "M"+bare && byName[bare] != nil && byName[bare].dimension == d {
			return Unit{}, false
		}
		if found != nil && found != s {
			return Unit{}, false
		}
		found = s
	}
	return Unit{found}, found != nil
}

// Symbol is the unit as this package prints it.
func (u Unit) Symbol() string { return u.s.symbol }

// Dimension is what the unit measures.
func (u Unit) Dimension() Dimension { return u.s.dimension }

// Base converts a number in the unit to the dimension's base unit.
func (u Unit) Base(x float64) float64 {
	if u.s.decimal && u.s.shift < 0 {
		return x / math.Pow10(-u.s.shift)
	}
	return (x - u.s.minus) * u.s.times
}

// Number converts a value in the base unit to a number in the unit.
func (u Unit) Number(base float64) float64 { return u.s.number(base) }

// UnitDoc describes a unit for documentation.
type UnitDoc struct {
	Symbol    string
	Aliases   []string
	Dimension Dimension
	Base      string // what one unit is in the dimension's base unit, as exact as it is known
	Exact     bool
	Source    string
}

// Units lists every unit that Parse reads, in the order of the table.
func Units() []UnitDoc {
	docs := make([]UnitDoc, 0, len(unitTable)-1)
	for _, u := range unitTable {
		if u.symbol == "" {
			continue
		}
		factor := u.factor
		if factor == "" {
			factor = "1"
		}
		text := strings.TrimSpace(factor + " " + u.dimension.BaseUnit())
		switch {
		case u.offset != "":
			text = "(t − " + u.offset + ") × " + text
		case u.symbol == gauge:
			text = "π/4 × (0.127 mm × 92^((36−n)/39))²"
		}
		docs = append(docs, UnitDoc{u.symbol, slices.Clone(u.aliases), u.dimension, text, !u.inexact, u.source})
	}
	return docs
}
