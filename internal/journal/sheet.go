package journal

import (
	"fmt"
	"slices"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Sheet is what the data sheet of a pack or of its cells says. It stands before
// what is typical of the chemistry, and both are printed. Voltages are of the whole
// pack, as `full` is; currents as well.
type Sheet struct {
	Name   notes.Word                  `key:"name,required"` // which sheet it is: maker, cell, issue
	Full   notes.Value[quantity.Volts] `key:"full"`          // the greatest at the end of a charge
	Floor  notes.Value[quantity.Volts] `key:"floor"`         // the least under load
	Charge []SheetWindow               `key:"charge"`        // temperatures of the cell at which it may be charged

	Span finding.Span `key:"@"`
}

// SheetWindow is a span of the cell's temperature with the greatest charging current.
type SheetWindow struct {
	From    notes.Value[quantity.Celsius] `key:"from,required"`
	To      notes.Value[quantity.Celsius] `key:"to,required"`
	Current notes.Value[quantity.Amperes] `key:"current"`

	Span finding.Span `key:"@"`
}

// Cells are the pack's cells: the chemistry, with what the pack's own sheet says
// laid over it; false for an unknown chemistry.
func (p *Pack) Cells() (*battery.Chemistry, bool) {
	cells, ok := p.Chemistry.Value.cells()
	s := p.Sheet
	if !ok || s == nil || !s.Name.Set || !p.Series.Set || p.Series.Value < 1 {
		return cells, ok
	}
	own := battery.Sheet{Name: s.Name.Text, Full: quantity.Missing[quantity.Volts](), Floor: quantity.Missing[quantity.Volts]()}
	series := quantity.Volts(p.Series.Value)
	if s.Full.Known() {
		own.Full = quantity.Exact(s.Full.Value / series)
	}
	if s.Floor.Known() {
		own.Floor = quantity.Exact(s.Floor.Value / series)
	}
	for _, w := range s.Charge {
		if !w.From.Known() || !w.To.Known() {
			continue
		}
		window := battery.Window{From: w.From.Value, To: w.To.Value}
		if w.Current.Known() && p.Capacity.Known() && p.Capacity.Value > 0 {
			window.Rate = float64(w.Current.Value) / float64(p.Capacity.Value)
		}
		own.Windows = append(own.Windows, window)
	}
	slices.SortStableFunc(own.Windows, func(a, b battery.Window) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	return cells.With(own), true
}

// checkSheet looks at what a pack's own sheet is said to say.
func (l *loader) checkSheet(p *Pack) {
	s := p.Sheet
	if s == nil {
		return
	}
	positive(l, "full", s.Full)
	positive(l, "floor", s.Floor)
	if s.Name.Set && !s.Full.Known() && !s.Floor.Known() && len(s.Charge) == 0 {
		l.add(finding.Error, notes.RuleImpossibleValue, s.Span, "`sheet`: nothing that the sheet says is stated", "state what it says: `full`, `floor`, or `charge` with its temperatures.")
	}
	nominal, full := p.Nominal(), p.ChemistryFull()
	if v := s.Full; v.Known() && full.Known() && (v.Value < nominal.Value || v.Value > 1.1*full.Value) {
		l.add(finding.Error, RuleFullVoltage, v.Span, fmt.Sprintf("`sheet.full`: %s does not fit %d cells of %s in series, which are nominally %s and typically full at %s", v.Written, p.Series.Value, p.Chemistry.Value, volts(nominal.Value), volts(full.Value)), "state it for the whole pack, as `full` is: the sheet's value times the cells in series.")
	}
	if v := s.Floor; v.Known() && nominal.Known() && (v.Value >= nominal.Value || v.Value < nominal.Value/3) {
		l.add(finding.Error, notes.RuleImpossibleValue, v.Span, fmt.Sprintf("`sheet.floor`: %s does not fit %d cells of %s in series, which are nominally %s", v.Written, p.Series.Value, p.Chemistry.Value, volts(nominal.Value)), "state it for the whole pack: the sheet's value times the cells in series.")
	}
	for i := range s.Charge {
		w := &s.Charge[i]
		positive(l, "current", w.Current)
		if w.From.Known() && w.To.Known() && w.To.Value <= w.From.Value {
			l.add(finding.Error, notes.RuleImpossibleValue, w.To.Span, fmt.Sprintf("`to`: %s is not above `from`, %s", w.To.Written, w.From.Written), "see whether the two are swapped.")
		}
	}
}
