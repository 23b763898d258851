// Package spec sets what versions state, and what follows from it by arithmetic, beside each other.
package spec

import (
	"fmt"
	"slices"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// The formulas of what a page computes from a spec.
var (
	DocNominal = reading.Formula("nominal-voltage", "Nominal voltage of a pack", "The cells in series times the nominal voltage of one cell of the chemistry.",
		"U = s · U_cell", "V", "for packs whose cells are all of one chemistry", "the chemistry's data sheets, named in the front matter's documentation")
	DocEnergy = reading.Formula("pack-energy", "Energy of a pack", "What a full pack holds at its nominal voltage, by its stated capacity. What a run takes out is less.",
		"E = U · Q", "Wh = V · Ah", "a capacity stated for the rate at which the pack is used", "IEC 60050-482, rated capacity; the product is the definition of energy at constant voltage")
	DocPerCell = reading.Formula("cutout-per-cell", "Cutout voltage of one cell", "The voltage at which the cutout opens, shared evenly by the cells in series.",
		"U_cell = U_open / s", "V", "an even share: a weak cell stands lower", "definition")
	DocReset = reading.Formula("reset-point-as-set", "Reset point as set", "The voltage above which a cutout lets the load on again.",
		"U_reset = U_open + ΔU", "V", "cutouts that reset by voltage", "definition")
	DocMass = reading.Formula("total-mass", "Total mass", "Vehicle and payload.", "m = m_vehicle + m_payload", "kg", "any", "definition")
)

// Item is one line of a spec. Key tells the same line of two versions apart from others.
type Item struct {
	Group, Label string
	Value        numeral.Numeral
	Glance       bool // shown at a glance
}

func (i Item) key() string { return i.Group + "\x00" + i.Label }

// specList collects lines that have a value.
type specList struct {
	units func(numeral.Numeral) numeral.Numeral
	group string
	items []Item
}

func (l *specList) add(label string, v numeral.Numeral, glance bool) {
	if v.Set {
		l.items = append(l.items, Item{l.group, label, l.units(v), glance})
	}
}

// Of lists what a version's front matter states and what follows from it by arithmetic.
func Of(rd *reading.Reader, s *frame.Sheet, v *journal.Version) []Item {
	l := specList{units: rd.Units}
	specPacks(rd, s, v, &l)
	specCutout(rd, s, v, &l)
	if c := v.Controller; c != nil {
		l.group = "Controller"
		l.add("Kind", numeral.Words(numeral.Plain(c.Kind)), false)
		l.add("Supply", numeral.StatedRange(c.Voltage), false)
		l.add("Current", numeral.Stated(c.Current), false)
		l.add("Setting", numeral.Stated(c.Setting), false)
		l.add("Efficiency", numeral.Stated(c.Efficiency), false)
		l.add("Current limit", numeral.Stated(c.Limit), false)
	}
	for i, m := range v.Motors {
		l.group = nth("Motor", i)
		l.add("Name", numeral.Words(m.Name.Text), false)
		l.add("Rated voltage", numeral.Stated(m.Rated), false)
		l.add("Power", numeral.Stated(m.Power), false)
		l.add("No-load speed", numeral.Stated(m.NoLoadSpeed), false)
		l.add("No-load current", numeral.Stated(m.NoLoadCurrent), false)
		l.add("Resistance", numeral.Stated(m.Resistance), false)
		l.add("Stall current", numeral.Stated(m.StallCurrent), false)
		l.add("Rated speed", numeral.Stated(m.RatedSpeed), false)
		l.add("Rated current", numeral.Stated(m.RatedCurrent), false)
		l.add("Copper in the winding", numeral.Stated(m.Copper), false)
		l.add("Thermal class", numeral.Words(numeral.Plain(m.Insulation)), false)
		if m.Count.Set {
			l.add("How many", numeral.Words(fmt.Sprint(m.Count.Value)), false)
		}
	}
	if d := v.Drive; d != nil {
		l.group = "Drive"
		l.add("Ratio, motor to wheel", numeral.Stated(d.Ratio), false)
		l.add("Wheel diameter", numeral.Stated(d.Wheel), false)
		l.add("Runs on", numeral.Words(numeral.Plain(d.Surface)), false)
		specWay(rd, s, v, &l)
	}
	if m := v.Masses; m != nil {
		l.group = "Masses"
		l.add("Vehicle", numeral.Stated(m.Vehicle), true)
		l.add("Payload", numeral.Stated(m.Payload), true)
		l.add("Height of the vehicle's centre", numeral.Stated(m.VehicleHeight), false)
		l.add("Height of the payload's centre", numeral.Stated(m.PayloadHeight), false)
		for i, w := range m.Wagons {
			l.add(nth("Wagon", i), numeral.Words(wagonWords(w)), false)
		}
		if m.Vehicle.Known() && m.Payload.Known() && len(m.Wagons) == 0 {
			l.add("Together", numeral.Summed(rd.MethodLink(s, DocMass.Kind, DocMass.Name), m.Vehicle.Measured, m.Payload.Measured), true)
		}
	}
	specUse(rd, v, &l)
	return l.items
}

func specPacks(rd *reading.Reader, s *frame.Sheet, v *journal.Version, l *specList) {
	var energies []quantity.Measured[quantity.WattHours]
	for i := range v.Packs {
		p := &v.Packs[i]
		l.group = nth("Pack", i)
		if len(v.Packs) > 1 {
			l.add("Name", numeral.Words(p.Name.Text), true)
		}
		l.add("Chemistry", numeral.Words(numeral.Meaning(p.Chemistry)), true)
		if p.Series.Set {
			l.add("Cells", numeral.Words(fmt.Sprintf("%d in series, %d in parallel", p.Series.Value, p.Parallel.Or(1))), true)
		}
		l.add("Capacity", numeral.Stated(p.Capacity), true)
		nominal := p.Nominal()
		l.add("Nominal voltage", numeral.Reckoned(nominal, rd.MethodLink(s, DocNominal.Kind, DocNominal.Name)), true)
		if nominal.Known() && p.Capacity.Known() {
			e := quantity.Product(nominal, p.Capacity.Measured, quantity.StoredEnergyFrom)
			energies = append(energies, e)
			l.add("Energy", numeral.Reckoned(e, rd.MethodLink(s, DocEnergy.Kind, DocEnergy.Name)), true)
		}
		l.add("Full charge", numeral.Stated(p.Full), false)
		specSheet(rd, p, l)
		l.add("Internal resistance", numeral.Stated(p.Resistance), false)
		l.add("Mass", numeral.Stated(p.Mass), false)
		switch {
		case p.Protection.None:
			l.add("Own protection", numeral.Words("none"), false)
		case p.Protection.Tied:
			l.add("Own protection", numeral.Words("only inside the appliance that it came from"), false)
		case p.Protection.Set:
			l.add("Protection opens", numeral.Stated(p.Protection.Opens), false)
			l.add("Protection current", numeral.Stated(p.Protection.Current), false)
			l.add("Protection stops a charge", numeral.Stated(p.Protection.ChargeStops), false)
		}
		specJoint(rd, p, l)
	}
	if len(energies) > 1 && len(energies) == len(v.Packs) {
		l.group = "All packs"
		l.add("Energy together", numeral.Summed(rd.MethodLink(s, DocEnergy.Kind, DocEnergy.Name), energies...), true)
	}
}

// specJoint is what bears on a pack beside others.
// specSheet is what the pack's own data sheet says, beside what is typical of its chemistry.
func specSheet(rd *reading.Reader, p *journal.Pack, l *specList) {
	sheet := p.Sheet
	if sheet == nil {
		return
	}
	l.add("Its own data sheet", numeral.Words(sheet.Name.Text), false)
	l.add("Sheet: full charge, at most", numeral.Stated(sheet.Full), false)
	if typical := p.ChemistryFull(); sheet.Full.Known() && typical.Known() {
		l.add("Typical full charge", numeral.Words(quantity.Brief(typical.Value)), false)
	}
	l.add("Sheet: least under load", numeral.Stated(sheet.Floor), false)
	for i := range sheet.Charge {
		w := &sheet.Charge[i]
		name := fmt.Sprintf("Sheet: charged from %s to %s", w.From.Written, w.To.Written)
		if w.Current.Known() {
			l.add(name+", at most", numeral.Stated(w.Current), false)
		} else {
			l.add(name, numeral.Words("yes"), false)
		}
	}
}

func specJoint(rd *reading.Reader, p *journal.Pack, l *specList) {
	l.add("Steady discharge, at most", numeral.Stated(p.Discharge), false)
	if p.Fuse.None {
		l.add("Own fuse", numeral.Words("none"), false)
	}
	l.add("Own fuse", numeral.Stated(p.Fuse.Rating), false)
	l.add("Made", numeral.Words(p.Made.String()), false)
	l.add("Voltage at joining", numeral.Stated(p.JoinedAt), false)
}

// specUse is who rides the vehicle, and what charges it.
func specUse(rd *reading.Reader, v *journal.Version, l *specList) {
	if c := v.Charger; c != nil {
		l.group = "Charger"
		l.add("Made for", numeral.Words(numeral.Meaning(c.Chemistry)), false)
		l.add("Ends at", numeral.Stated(c.Voltage), false)
		l.add("Current", numeral.Stated(c.Current), false)
		l.add("Place", numeral.Words(numeral.Plain(c.Place)), false)
		l.add("Pulsed output", numeral.Words(numeral.YesNo(c.Pulsed)), false)
		l.add("Unattended", numeral.Words(numeral.YesNo(c.Unattended)), false)
		l.add("Moving air", numeral.Words(numeral.YesNo(c.Ventilated)), false)
		l.add("Residual-current device", numeral.Words(numeral.YesNo(c.Residual)), false)
	}
	if u := v.Use; u != nil {
		l.group = "Use"
		l.add("Used as", numeral.Words(numeral.Plain(u.As)), false)
		l.add("Rider", numeral.Words(numeral.Plain(u.Rider)), false)
		if u.Age.Set {
			l.add("Youngest rider", numeral.Words(numeral.Count(u.Age.Value, "year")), false)
		}
		l.add("Helmet", numeral.Words(numeral.YesNo(u.Helmet)), false)
		l.add("Stop within reach of another", numeral.Words(numeral.YesNo(u.RemoteStop)), false)
		l.add("Supervised", numeral.Words(numeral.YesNo(u.Supervised)), false)
		l.add("Gets wet", numeral.Words(numeral.YesNo(u.Wet)), false)
	}
}

func specCutout(rd *reading.Reader, s *frame.Sheet, v *journal.Version, l *specList) {
	c := v.Cutout
	if c == nil {
		return
	}
	l.group = "Low-voltage cutout"
	l.add("Opens", numeral.Stated(c.Opens), true)
	if n := seriesOf(v); n > 0 && c.Opens.Known() {
		l.add("Opens, of one cell", numeral.Reckoned(quantity.Scale(c.Opens.Measured, 1/float64(n)), rd.MethodLink(s, DocPerCell.Kind, DocPerCell.Name)), true)
	}
	l.add("Reset threshold", numeral.Stated(c.Threshold), false)
	if c.Opens.Known() && c.Threshold.Known() {
		l.add("Reset point", numeral.Summed(rd.MethodLink(s, DocReset.Kind, DocReset.Name), c.Opens.Measured, c.Threshold.Measured), true)
	}
	l.add("Delay", numeral.Stated(c.Delay), false)
	l.add("Current", numeral.Stated(c.Current), false)
}

// nth is the group of the first, second and further things of a kind. The first keeps its name when a second joins it, so
// that versions stay comparable.
func nth(thing string, i int) string {
	if i == 0 {
		return thing
	}
	return fmt.Sprintf("%s %d", thing, i+1)
}

// seriesOf is the number of cells in series, 0 where the packs do not agree on one.
func seriesOf(v *journal.Version) int {
	n := 0
	for _, p := range v.Packs {
		if !p.Series.Set || n != 0 && n != p.Series.Value {
			return 0
		}
		n = p.Series.Value
	}
	return n
}

// Group is a part of a spec under its own head.
type Group struct {
	Name string
	Rows []Row
}

// Row is one line of a spec for one or several versions side by side.
type Row struct {
	Label string
	Cells []Cell
}

// Cell is a value of one version.
type Cell struct {
	Value   numeral.Numeral
	Changed bool   // from the version before
	Same    bool   // as that of the version before it in the row, whose cell speaks for both on a narrow screen
	Of      string // the versions that the cell speaks for: "2", "1 to 3"
	Against string // how a result stands against that of the version before
	Larger  bool   // which is more than its uncertainty
}

// Spans says in each cell of a row which versions it speaks for; numbers are those of the versions.
func Spans(cells []Cell, numbers []string) {
	first := 0
	for k := range cells {
		cells[k].Same = k > 0 && cells[k].Value.Whole == cells[k-1].Value.Whole && cells[k].Against == ""
		if !cells[k].Same {
			first = k
		}
		cells[first].Of = numbers[first]
		if k > first {
			cells[first].Of += " to " + numbers[k]
		}
	}
}

// SideBySide sets the specs of versions beside each other, a line for every key that any of them has, in the order of the
// last.
func SideBySide(specs [][]Item) []Group {
	var groups []Group
	row := map[string]*Row{}
	place := map[string]int{}
	for _, spec := range slices.Backward(specs) {
		for _, item := range spec {
			if _, ok := place[item.Group]; !ok {
				place[item.Group] = len(groups)
				groups = append(groups, Group{Name: item.Group})
			}
		}
	}
	for i := range groups {
		for _, spec := range slices.Backward(specs) {
			for _, item := range spec {
				if item.Group == groups[i].Name && row[item.key()] == nil {
					row[item.key()] = &Row{Label: item.Label, Cells: make([]Cell, len(specs))}
					groups[i].Rows = append(groups[i].Rows, Row{Label: item.key()})
				}
			}
		}
	}
	for k, spec := range specs {
		for _, item := range spec {
			row[item.key()].Cells[k].Value = item.Value
		}
	}
	for i := range groups {
		for j := range groups[i].Rows {
			r := row[groups[i].Rows[j].Label]
			for k := 1; k < len(r.Cells); k++ {
				r.Cells[k].Changed = r.Cells[k].Value.Whole != r.Cells[k-1].Value.Whole
			}
			groups[i].Rows[j] = *r
		}
	}
	return groups
}

// Table is the specs of several versions side by side.
type Table struct {
	frame.Caption
	Versions []frame.Link
	Groups   []Group
}

// NewTable sets the specs of versions beside each other. The caption is still to be given.
func NewTable(versions []*journal.Version, links []frame.Link, specs [][]Item) *Table {
	t := &Table{Versions: links, Groups: SideBySide(specs)}
	var numbers []string
	for _, v := range versions {
		numbers = append(numbers, reading.VersionNumber(v))
	}
	for _, g := range t.Groups {
		for _, r := range g.Rows {
			Spans(r.Cells, numbers)
		}
	}
	return t
}

// Many tells whether there are more versions than stand beside each other on a screen of middling width.
func (t *Table) Many() bool { return len(t.Versions) > 3 }

// Rows counts the lines of a table.
func (t *Table) Rows() int {
	n := 0
	for _, g := range t.Groups {
		n += len(g.Rows)
	}
	return n
}
