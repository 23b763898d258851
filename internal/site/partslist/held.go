package partslist

import (
	"math"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// heldTable is a parts list's ratings held against what the wiring asks of them.
type heldTable struct {
	frame.Caption
	Rows   []heldRow
	Method string
}

type heldRow struct {
	Part                   string
	Lasting, Brief, Full   heldCell
	Holds, Fails, CannotBe bool
	Why                    string
}

// heldCell is one thing that is asked of a part and what it stands.
type heldCell struct {
	Asked, Stands numeral.Numeral
	At            string // the operating point
}

// partsHeld holds a version's parts against its wiring; nil where none of them is in it.
func partsHeld(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *heldTable {
	w := rd.Wired(v)
	if w == nil || len(w.Faults) > 0 || len(w.Solutions) == 0 {
		return nil
	}
	asked := w.Circuit.Asked(w.Solutions)
	t := &heldTable{Method: rd.FormulaLink(s, DocPartsHeld.Name)}
	for i := range v.Parts {
		if how := v.Parts[i].How.Value; how == journal.TakenOff || how == journal.UsedUp { // not on the vehicle
			continue
		}
		if in := wiredParts(&v.Parts[i], w); len(in) > 0 {
			t.Rows = append(t.Rows, heldAgainst(&v.Parts[i], in, w.Circuit, asked))
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	t.Caption = s.Table("parts-held", "What the wiring asks of its parts at the operating points, and what they stand.")
	return t
}

// wiredParts are the parts of the wiring that a part of the list is, by their index.
func wiredParts(p *journal.Part, w *wiring.Analysis) []int {
	names := []string{p.Name.Text}
	if len(p.WiredAs) > 0 {
		names = nil
		for _, n := range p.WiredAs {
			names = append(names, n.Text)
		}
	}
	var out []int
	for i := range w.Circuit.Parts {
		for _, n := range names {
			if journal.PartKey(n) == journal.PartKey(w.Circuit.Parts[i].Name) {
				out = append(out, i)
				break
			}
		}
	}
	return out
}

// heldAgainst holds one part against the parts of the wiring that it is: what the most loaded of them is asked against
// what the weakest stands.
func heldAgainst(p *journal.Part, in []int, c *circuit.Circuit, asked []circuit.Asked) heldRow {
	row := heldRow{Part: p.Name.Text}
	var holds []bool
	var cannot []string
	opens, voltage := false, true
	var most circuit.Asked
	lasts := limit[quantity.Amperes]{own: p.Current.Stated(), as: numeral.Stated(p.Current)}
	peak := limit[quantity.Amperes]{own: p.Peak.Stated(), as: numeral.Stated(p.Peak)}
	volts := limit[quantity.Volts]{own: p.Volts.Stated(), as: numeral.Stated(p.Volts)}
	for _, i := range in {
		part, a := &c.Parts[i], asked[i]
		if a.LastingAt != "" && (most.LastingAt == "" || a.Lasting > most.Lasting) {
			most.Lasting, most.LastingAt = a.Lasting, a.LastingAt
		}
		if a.BriefAt != "" && (most.BriefAt == "" || a.Brief > most.Brief) {
			most.Brief, most.BriefAt = a.Brief, a.BriefAt
		}
		most.Full = max(most.Full, a.Full)
		lasts.wiring(part.Current)
		peak.wiring(part.Peak)
		volts.wiring(part.Ratings.Volts)
		opens = opens || part.Kind == circuit.Fuse || part.Kind == circuit.Breaker
		switch part.Kind {
		case circuit.Pack, circuit.Motor, circuit.Lamp, circuit.Horn, circuit.TerminalBlock, circuit.Shunt, circuit.Resistor, circuit.Diode,
			circuit.Charger, circuit.Throttle, circuit.PrechargeResistor, circuit.BrakeResistor, circuit.BalanceLead:
			voltage = p.Volts.Known()
		}
	}
	judge := func(what string, known, ok bool) {
		if !known {
			cannot = append(cannot, what)
			return
		}
		holds = append(holds, ok)
		if !ok {
			row.Why = strings.TrimPrefix(row.Why+"; "+what+" is more than it stands", "; ")
		}
	}
	if most.LastingAt != "" {
		row.Lasting = heldCell{numeral.ComputedValue(most.Lasting), lasts.numeral(), most.LastingAt}
		judge("the lasting current", lasts.known(), float64(most.Lasting) <= lasts.value())
	}
	if most.BriefAt != "" && !opens {
		if !peak.known() && float64(most.Brief) <= lasts.value() {
			peak = lasts // what it stands for good it stands for a while
		}
		row.Brief = heldCell{numeral.ComputedValue(most.Brief), peak.numeral(), most.BriefAt}
		judge("the current for a while", peak.known(), float64(most.Brief) <= peak.value())
	}
	if most.Full > 0 && voltage {
		row.Full = heldCell{Asked: numeral.ComputedValue(most.Full), Stands: volts.numeral()}
		judge("the voltage of full packs", volts.known(), float64(most.Full) <= volts.value())
	}
	for _, ok := range holds {
		row.Fails = row.Fails || !ok
	}
	row.Holds = !row.Fails && len(holds) > 0
	if len(cannot) > 0 {
		row.CannotBe = len(holds) == 0
		row.Why = strings.TrimPrefix(row.Why+"; what it stands is not stated for "+strings.Join(cannot, " and "), "; ")
	}
	row.Why = numeral.Sentence(row.Why)
	return row
}

// limit is what a part stands: as the parts list states it, else the least that the wiring states for the parts it is.
type limit[K quantity.Kind] struct {
	own  quantity.Measured[K]
	as   numeral.Numeral
	from K
}

func (l *limit[K]) wiring(v K) {
	if v > 0 && (l.from == 0 || v < l.from) {
		l.from = v
	}
}

func (l *limit[K]) known() bool { return !math.IsNaN(l.value()) }

func (l *limit[K]) value() float64 {
	switch {
	case l.own.Known():
		return float64(l.own.Value)
	case l.from > 0:
		return float64(l.from)
	}
	return math.NaN()
}

func (l *limit[K]) numeral() numeral.Numeral {
	if l.own.Known() || l.from == 0 {
		return l.as
	}
	n := numeral.Printed(numeral.Brief(quantity.Exact(l.from).Quantity(), 1), numeral.Quoted, "")
	return n
}
