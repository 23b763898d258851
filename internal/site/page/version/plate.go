package version

import (
	"fmt"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// plateCell is a cell of the rating plate: what identifies a version before anything is asked of it.
type plateCell struct {
	Label string
	Value numeral.Numeral
	Also  string
}

// leastPlate is how many cells make a plate.
const leastPlate = 4

// plateOf is the rating plate of a version; nil where too little is stated.
func plateOf(rd *reading.Reader, s *frame.Sheet, v *journal.Version) []plateCell {
	var cells []plateCell
	add := func(label string, n numeral.Numeral, also string) {
		if n.Set {
			n.Twin = ""
			cells = append(cells, plateCell{label, n, also})
		}
	}
	packCells(rd, s, v, add)
	if c := v.Cutout; c != nil {
		also := ""
		if c.Opens.Known() && c.Threshold.Known() {
			also = "closes again at " + numeral.Summed("", c.Opens.Measured, c.Threshold.Measured).Whole
		}
		add("Cutout opens", numeral.Stated(c.Opens), also)
	}
	if d := rd.Driven(v); d != nil && d.Err == "" && d.NoSpeed == "" && d.Top.HasSpeed() {
		add("Top speed", rd.Units(numeral.Printed(d.Top.Speed.Quantity(), numeral.Computed, "#driving")), "just charged")
	}
	if a := rd.Answers(v); a != nil && a.Err == "" {
		for _, c := range a.Charges {
			if c.Own && c.Err == "" && c.Against == "" {
				add("Charge", numeral.Printed(c.Total.Quantity(), numeral.Computed, "#charging"), "at "+quantity.Brief(c.Current))
			}
		}
	}
	if m := v.Masses; m != nil {
		also := ""
		if m.Payload.Known() {
			also = rd.Units(numeral.Stated(m.Payload)).Whole + " aboard or behind"
		}
		add("Mass", rd.Units(numeral.Stated(m.Vehicle)), also)
	}
	if len(cells) < leastPlate {
		return nil
	}
	return cells
}

// packCells are the cells of the packs and of their energy.
func packCells(rd *reading.Reader, s *frame.Sheet, v *journal.Version, add func(string, numeral.Numeral, string)) {
	if len(v.Packs) == 0 {
		return
	}
	first := &v.Packs[0]
	n := numeral.Stated(first.Capacity)
	for i := range v.Packs {
		if v.Packs[i].Capacity.Value != first.Capacity.Value {
			n.Set = false // the spec has them one by one
		}
	}
	if len(v.Packs) > 1 {
		n.Whole = fmt.Sprintf("%d × %s", len(v.Packs), n.Whole)
	}
	nominal := ""
	if u := first.Nominal(); u.Known() {
		nominal = numeral.Reckoned(u, "").Whole
		if len(v.Packs) > 1 {
			nominal += " each"
		}
	}
	add("Packs", n, nominal)
	var energies []quantity.Measured[quantity.WattHours]
	for i := range v.Packs {
		p := &v.Packs[i]
		if u := p.Nominal(); u.Known() && p.Capacity.Known() {
			energies = append(energies, quantity.Product(u, p.Capacity.Measured, quantity.StoredEnergyFrom))
		}
	}
	if len(energies) == len(v.Packs) {
		add("Energy", numeral.Summed(rd.MethodLink(s, spec.DocEnergy.Kind, spec.DocEnergy.Name), energies...), "")
	}
}
