package site

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/wiring"
)

// pointsTable is what the wiring does at each operating point.
type pointsTable struct {
	caption
	Rows               []pointRow
	Point, Gives, Drop link // heads, with links to the formulas
}

type pointRow struct {
	Name, What string
	Packs      []packCell
	Loads      []loadCell
	Heat       numeral // in leads and contacts
	Lost       numeral // share of what the packs give
	Notes      []string
}

type packCell struct {
	Name    string
	Current numeral
	Share   numeral // of packs in parallel
}

type loadCell struct {
	Name        string
	Volts, Drop numeral
	Share       numeral
}

// leadsTable is what every lead and contact does at one operating point.
type leadsTable struct {
	caption
	Leads []leadRow
	Ways  []leadRow
	Heat  numeral // of all of them
}

type leadRow struct {
	Name                string
	Way                 string // from which terminal to which
	Current, Drop, Heat string // in the units of the head
	Missing             string
}

// pointWords says what an operating point is.
func pointWords(op *circuit.OperatingPoint) string {
	switch {
	case op.Kind == circuit.Stall && op.Lasts > 0:
		return "the motors held fast, for at most " + lastsWords(op.Lasts)
	case op.Kind == circuit.Stall:
		return "the motors held fast"
	case op.Lasts > 0:
		return "for " + lastsWords(op.Lasts)
	case op.Kind == circuit.CutoutOpen:
		return "every cutout open"
	case op.Kind == circuit.StopOpen:
		return "every emergency stop open"
	}
	return "may last for good"
}

// lastsWords is how long a point lasts: to three figures, above a minute to the second.
func lastsWords(t quantity.Seconds) string {
	if t >= 60 {
		return quantity.Clock(t, 1)
	}
	return computedValue(t).Whole
}

// points is the table of operating points; nil where none was solved.
func (b *builder) points(s *sheet, w *wiring.Analysis) *pointsTable {
	if len(w.Solutions) == 0 {
		return nil
	}
	t := &pointsTable{caption: s.table("operating-points", "What the wiring does at each operating point."),
		Point: link{Words: "Point"}, Gives: link{Words: "Packs give", Href: b.formulaLink(s, "circuit-solution")}, Drop: link{Words: "At the loads, and lost on the way there and back", Href: b.formulaLink(s, "voltage-drop")}}
	for _, sol := range w.Solutions {
		row := pointRow{Name: sol.Point.Name, What: pointWords(&sol.Point)}
		several := 0
		for _, p := range sol.Packs {
			if p.Share > 0 {
				several++
			}
		}
		for _, p := range sol.Packs {
			cell := packCell{Name: w.Circuit.Parts[p.Part].Name, Current: computedValue(p.Current)}
			if several > 1 && p.Share > 0 {
				cell.Share = percentOf(float64(p.Share))
			}
			row.Packs = append(row.Packs, cell)
		}
		for _, l := range sol.Loads {
			row.Loads = append(row.Loads, loadCell{Name: w.Circuit.Parts[l.Part].Name, Volts: computedValue(quantity.Volts(math.Abs(float64(l.Volts)))), Drop: computedValue(l.Drop), Share: percentOf(float64(l.Share))})
		}
		heat := lostInWiring(w.Circuit, sol)
		row.Heat = computedValue(heat)
		if sol.Supplied > 0 {
			row.Lost = percentOf(float64(heat) / float64(sol.Supplied))
		}
		if names := namesOf(w.Circuit, sol.Limited); names != "" {
			row.Notes = append(row.Notes, names+" holds its current limit.")
		}
		if names := namesOf(w.Circuit, sol.Unfed); names != "" {
			row.Notes = append(row.Notes, "Not fed: "+names+".")
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// lostInWiring is the heat in leads, fuses, contacts, shunts and connectors: in what only hands on.
func lostInWiring(c *circuit.Circuit, sol *circuit.Solution) quantity.Watts {
	var heat quantity.Watts
	for _, l := range sol.Leads {
		heat += l.Heat
	}
	for _, in := range sol.Inside {
		if handsOn(c.Parts[in.Part].Kind) && in.Way != "coil" {
			heat += in.Heat
		}
	}
	return heat
}

// handsOn tells whether a part is made to let the current through.
func handsOn(k circuit.Kind) bool {
	switch k {
	case circuit.Fuse, circuit.Breaker, circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Cutout, circuit.EmergencyStop, circuit.TerminalBlock, circuit.Shunt, circuit.Connector, circuit.Diode:
		return true
	}
	return false
}

func namesOf(c *circuit.Circuit, parts []int) string {
	var names []string
	for _, i := range parts {
		names = append(names, c.Parts[i].Name)
	}
	return strings.Join(names, ", ")
}

// computedValue is a value that was computed from stated ones, to three figures; what is nothing but rounding is zero.
func computedValue[K quantity.Kind](v K) numeral {
	if math.Abs(float64(v)) < 1e-9 {
		v = 0
	}
	return printed(figures(quantity.Exact(v).Quantity(), fewest), computed, "")
}

// figures gives a value as many decimals as make so many figures.
func figures(q quantity.Quantity, n int) quantity.Quantity {
	parts := q.Parts()
	v, err := strconv.ParseFloat(parts.Value, 64)
	if err != nil || v == 0 {
		return q
	}
	q.Unit, q.Decimals = parts.Unit, max(0, n-1-int(math.Floor(math.Log10(math.Abs(v)))))
	return q
}

// inUnit is a computed value in a given unit, with the decimals that a column has.
func inUnit(v float64, decimals int, unit string) numeral {
	if math.IsNaN(v) {
		return numeral{}
	}
	text := onPage(strconv.FormatFloat(v, 'f', decimals, 64))
	if strings.Trim(text, "−0.") == "" {
		text = strings.TrimPrefix(text, "−")
	}
	n := numeral{Kind: computed, Whole: text + " " + unit, Unit: unit, Set: true}
	n.Int, n.Frac = split(text)
	return n
}

// percentOf is a share as a percentage.
func percentOf(x float64) numeral {
	decimals := 1
	if math.Abs(x) < 0.01 {
		decimals = 2
	}
	return inUnit(100*x, decimals, "%")
}

// leadsAt is the table of one operating point, lead by lead and way by way.
func (b *builder) leadsAt(s *sheet, w *wiring.Analysis, sol *circuit.Solution) leadsTable {
	t := leadsTable{caption: s.table("leads-"+anchorWords(sol.Point.Name), fmt.Sprintf("Lead by lead at the point %s. A current is positive in the direction written.", sol.Point.Name))}
	for i, l := range sol.Leads {
		lead := &w.Circuit.Leads[i]
		row := leadRowOf(float64(l.Current), float64(l.Drop), float64(l.Heat))
		row.Name, row.Way, row.Missing = leadName(w, i), onTerminal(lead.From)+" to "+onTerminal(lead.To), l.Missing
		t.Leads = append(t.Leads, row)
	}
	for _, in := range sol.Inside {
		p := &w.Circuit.Parts[in.Part]
		if !handsOn(p.Kind) || in.Way == "coil" {
			continue
		}
		row := leadRowOf(float64(in.Current), float64(in.Drop), float64(in.Heat))
		row.Name, row.Way = p.Name, in.From.Name+" to "+in.To.Name
		t.Ways = append(t.Ways, row)
	}
	t.Heat = inUnit(float64(lostInWiring(w.Circuit, sol)), 2, "W")
	return t
}

// leadRowOf has a current in amperes, a drop in millivolts and a heat in watts.
func leadRowOf(amperes, volts, watts float64) leadRow {
	text := func(v float64, decimals int, unit string) string {
		n := inUnit(v, decimals, unit)
		return n.Int + n.Frac
	}
	return leadRow{Current: text(amperes, 2, "A"), Drop: text(1000*volts, 1, "mV"), Heat: text(watts, 2, "W")}
}

// anchorWords makes an anchor of a name.
func anchorWords(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r < '0' || r > '9' && r < 'a' || r > 'z' }), "-")
}

// assumptions are what parts leave unsaid, each once.
func assumptions(w *wiring.Analysis) []string {
	var out []string
	for _, sol := range w.Solutions {
		for _, a := range sol.Assumed {
			text := a.Text
			if name := w.Circuit.Parts[a.Part].Name; !strings.Contains(text, name) {
				text = name + ": " + text
			}
			if text = sentence(onPage(text)); !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return out
}
