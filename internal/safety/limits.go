package safety

import (
	"fmt"
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

// slack forgives the last binary digits of a product: 10 × 2.45 is no less than 24.5.
const slack = 1e-9

// above and below tell whether a value lies beyond a limit; a value at the limit does not.
func above[K quantity.Kind](value, limit K) bool {
	return float64(value) > float64(limit)+slack*math.Max(1, math.Abs(float64(limit)))
}

func below[K quantity.Kind](value, limit K) bool {
	return float64(value) < float64(limit)-slack*math.Max(1, math.Abs(float64(limit)))
}

// most and least hold a value against the most or the least that it may be.
// The source is that of this limit; "" where the rule's own source says it.
func most[K quantity.Kind](what string, value, limit K, source string) *finding.Gauge {
	return &finding.Gauge{What: what, Value: float64(value), Limit: float64(limit), Written: quantity.Brief(value), Bound: quantity.Brief(limit), Source: source}
}

func least[K quantity.Kind](what string, value, limit K, source string) *finding.Gauge {
	g := most(what, value, limit, source)
	g.Least = true
	return g
}

// exceeds tells whether a gauge's number lies beyond its limit.
func exceeds(g *finding.Gauge) bool {
	if g.Least {
		return below(quantity.Number(g.Value), quantity.Number(g.Limit))
	}
	return above(quantity.Number(g.Value), quantity.Number(g.Limit))
}

// aCell says that a gauge counts one cell.
func aCell(g *finding.Gauge) *finding.Gauge {
	g.Written += " a cell"
	g.Bound += " a cell"
	return g
}

// cellsOf are the cells of a pack and how many stand in series; false where
// either is not written, which is a finding of its own.
func cellsOf(p *journal.Pack) (*battery.Chemistry, quantity.Volts, bool) {
	c, ok := p.Cells()
	if !ok || !p.Series.Set || p.Series.Value < 1 {
		return nil, 0, false
	}
	return c, quantity.Volts(p.Series.Value), true
}

const (
	lithium  = "lithium-ion"
	sodium   = "sodium-ion"
	leadAcid = "lead-acid"
	nickel   = "nickel"
)

// burning says whether a family of cells has an electrolyte that burns: lithium-ion
// ones, iron phosphate and titanate included, and sodium-ion.
func burning(family string) bool { return family == lithium || family == sodium }

// burns says whether a pack's cells are of a family that burns.
func burns(p *journal.Pack) bool { return burning(p.Chemistry.Value.Family()) }

// anyBurns says whether one of the version's packs has such cells.
func anyBurns(v *journal.Version) bool {
	for i := range v.Packs {
		if burns(&v.Packs[i]) {
			return true
		}
	}
	return false
}

// fact is a value of a chemistry, and its source with its status.
func fact[K quantity.Kind](c *battery.Chemistry, name string) (K, string) {
	f := c.Facts[name]
	return K(f.Value), f.String()
}

// strictest is the value of a chemistry over the version's packs, each with its own
// sheet: the greatest where it is the least that may be, else the least.
func strictest[K quantity.Kind](s *subject, name string, least bool) (K, string) {
	var out K
	source := ""
	for i := range s.version.Packs {
		c, _, ok := cellsOf(&s.version.Packs[i])
		if !ok {
			continue
		}
		if v, q := fact[K](c, name); source == "" || (v > out) == least && v != out {
			out, source = v, q
		}
	}
	return out, source
}

// sourced puts a source and its status together.
func sourced(source string, status reference.Status) string {
	return source + " (" + string(status) + ")"
}

// packName is what a pack of several is called.
func (s *subject) packName() string {
	if s.pack.Name.Set {
		return s.pack.Name.Text
	}
	for i := range s.version.Packs {
		if &s.version.Packs[i] == s.pack {
			return fmt.Sprintf("pack %d", i+1)
		}
	}
	return "the pack"
}

// thePack begins a sentence about the pack.
func (s *subject) thePack() string {
	if len(s.version.Packs) < 2 {
		return "the pack"
	}
	return "the pack `" + s.packName() + "`"
}

// ending is what ends a discharge of the version's packs: its cutout, else the
// protection of the pack. Where neither is known it is missing.
func (s *subject) ending(p *journal.Pack) (opens quantity.Measured[quantity.Volts], at finding.Span, name string) {
	if c := s.version.Cutout; c != nil && c.Opens.Known() {
		return c.Opens.Measured, c.Opens.Span, "the cutout"
	}
	if o := p.Protection.Opens; o.Known() {
		return o.Measured, o.Span, "the pack's own protection, with no cutout before it,"
	}
	return quantity.Missing[quantity.Volts](), finding.Span{}, ""
}

// kindOf puts the cells in words: "7 cells of lithium iron phosphate in series".
func kindOf(c *battery.Chemistry, series quantity.Volts) string {
	return fmt.Sprintf("%.0f cells of %s in series", float64(series), c.Name)
}
