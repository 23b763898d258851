package wiringsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// pointsTable is what the wiring does at each operating point.
type pointsTable struct {
	frame.Caption
	Rows               []pointRow
	Point, Gives, Drop frame.Link // heads, with links to the formulas
}

type pointRow struct {
	Name, What string
	Packs      []packCell
	Loads      []loadCell
	Heat       numeral.Numeral // in leads and contacts
	Lost       numeral.Numeral // share of what the packs give
	Notes      []string
}

type packCell struct {
	Name    string
	Current numeral.Numeral
	Share   numeral.Numeral // of packs in parallel
}

type loadCell struct {
	Name        string
	Volts, Drop numeral.Numeral
	Share       numeral.Numeral
}

// leadsTable is what every lead and contact does at one operating point.
type leadsTable struct {
	frame.Caption
	Leads []leadRow
	Ways  []leadRow
	Heat  numeral.Numeral // of all of them
}

type leadRow struct {
	Name                string
	Way                 string // from which terminal to which
	Current, Drop, Heat string // in the units of the head
	Missing             string
}

// PointWords says what an operating point is.
func PointWords(op *circuit.OperatingPoint) string {
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
	return numeral.ComputedValue(t).Whole
}

// Points is the table of operating points; nil where none was solved.
func Points(rd *reading.Reader, s *frame.Sheet, w *wiring.Analysis) *pointsTable {
	if len(w.Solutions) == 0 {
		return nil
	}
	t := &pointsTable{Caption: s.Table("operating-points", "What the wiring does at each operating point."),
		Point: frame.Link{Words: "Point"}, Gives: frame.Link{Words: "Packs give", Href: rd.FormulaLink(s, "circuit-solution")}, Drop: frame.Link{Words: "At the loads, and lost on the way there and back", Href: rd.FormulaLink(s, "voltage-drop")}}
	for _, sol := range w.Solutions {
		row := pointRow{Name: sol.Point.Name, What: PointWords(&sol.Point)}
		several := 0
		for _, p := range sol.Packs {
			if p.Share > 0 {
				several++
			}
		}
		for _, p := range sol.Packs {
			cell := packCell{Name: w.Circuit.Parts[p.Part].Name, Current: numeral.ComputedValue(p.Current)}
			if several > 1 && p.Share > 0 {
				cell.Share = numeral.PercentOf(float64(p.Share))
			}
			row.Packs = append(row.Packs, cell)
		}
		for _, l := range sol.Loads {
			row.Loads = append(row.Loads, loadCell{Name: w.Circuit.Parts[l.Part].Name, Volts: numeral.ComputedValue(quantity.Volts(math.Abs(float64(l.Volts)))), Drop: numeral.ComputedValue(l.Drop), Share: numeral.PercentOf(float64(l.Share))})
		}
		heat := lostInWiring(w.Circuit, sol)
		row.Heat = numeral.ComputedValue(heat)
		if sol.Supplied > 0 {
			row.Lost = numeral.PercentOf(float64(heat) / float64(sol.Supplied))
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
	case circuit.Fuse, circuit.Breaker, circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Cutout, circuit.EmergencyStop, circuit.TerminalBlock, circuit.Shunt, circuit.Connector, circuit.Diode,
		circuit.ReversingSwitch, circuit.HalfSpeedSwitch, circuit.Suppressor:
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

// LeadsAt is the table of one operating point, lead by lead and way by way.
func LeadsAt(rd *reading.Reader, s *frame.Sheet, w *wiring.Analysis, sol *circuit.Solution) leadsTable {
	t := leadsTable{Caption: s.Table("leads-"+AnchorWords(sol.Point.Name), fmt.Sprintf("Lead by lead at the point %s. A current is positive in the direction written.", sol.Point.Name))}
	for i, l := range sol.Leads {
		lead := &w.Circuit.Leads[i]
		row := leadRowOf(float64(l.Current), float64(l.Drop), float64(l.Heat))
		row.Name, row.Way, row.Missing = leadName(w, i), OnTerminal(lead.From)+" to "+OnTerminal(lead.To), l.Missing
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
	t.Heat = numeral.InUnit(float64(lostInWiring(w.Circuit, sol)), 2, "W")
	return t
}

// leadRowOf has a current in amperes, a drop in millivolts and a heat in watts.
func leadRowOf(amperes, volts, watts float64) leadRow {
	text := func(v float64, decimals int, unit string) string {
		n := numeral.InUnit(v, decimals, unit)
		return n.Int + n.Frac
	}
	return leadRow{Current: text(amperes, 2, "A"), Drop: text(1000*volts, 1, "mV"), Heat: text(watts, 2, "W")}
}

// AnchorWords makes an anchor of a name.
func AnchorWords(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r < '0' || r > '9' && r < 'a' || r > 'z' }), "-")
}

// Assumptions are what parts leave unsaid, each once.
func Assumptions(w *wiring.Analysis) []string {
	var out []string
	for _, sol := range w.Solutions {
		for _, a := range sol.Assumed {
			text := a.Text
			if name := w.Circuit.Parts[a.Part].Name; !strings.Contains(text, name) {
				text = name + ": " + text
			}
			if text = numeral.Sentence(numeral.OnPage(text)); !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return out
}
