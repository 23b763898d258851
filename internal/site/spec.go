package site

import (
	"fmt"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// The formulas of what a page computes from a spec.
var (
	docNominal = formula("nominal-voltage", "Nominal voltage of a pack", "The cells in series times the nominal voltage of one cell of the chemistry.",
		"U = s · U_cell", "V", "for packs whose cells are all of one chemistry", "the chemistry's data sheets, named in the front matter's documentation")
	docEnergy = formula("pack-energy", "Energy of a pack", "What a full pack holds at its nominal voltage, by its stated capacity. What a run takes out is less.",
		"E = U · Q", "Wh = V · Ah", "a capacity stated for the rate at which the pack is used", "IEC 60050-482, rated capacity; the product is the definition of energy at constant voltage")
	docPerCell = formula("cutout-per-cell", "Cutout voltage of one cell", "The voltage at which the cutout opens, shared evenly by the cells in series.",
		"U_cell = U_open / s", "V", "an even share: a weak cell stands lower", "definition")
	docReset = formula("reset-point-as-set", "Reset point as set", "The voltage above which a cutout lets the load on again.",
		"U_reset = U_open + ΔU", "V", "cutouts that reset by voltage", "definition")
	docMass = formula("total-mass", "Total mass", "Vehicle and payload.", "m = m_vehicle + m_payload", "kg", "any", "definition")
)

func formula(name, title, what, relation, units, holds, source string) finding.Doc {
	return finding.Doc{Kind: finding.FormulaDoc, Name: name, Title: title, What: what, Formula: relation, Units: units, Range: holds, Source: source}
}

// Docs explains what this package computes and what it reports.
func Docs() []finding.Doc {
	return append(slices.Clone(attachDocs), []finding.Doc{notePositionDoc, securityExpiryDoc, securityPlaceDoc, docNominal, docEnergy, docPerCell, docReset, docMass, docPartsAccount, docPartsHeld, docCutList,
		{Kind: finding.RuleDoc, Name: RulePicture, Level: finding.Error, Title: "A picture that cannot be shown",
			What:   "Pictures are decoded and encoded again before they are published, so that nothing but the picture is. One that is damaged, too large, or of a kind that cannot be cleaned so is left out.",
			Why:    "A photo carries where and when it was taken.",
			Source: "Exif (CIPA DC-008) for what a photo carries."},
		{Kind: finding.RuleDoc, Name: RuleNotShown, Level: finding.Error, Title: "A plot, table or diagram that cannot be shown",
			What:    "Looks at what stands after `plot:`, `table:` and `diagram:`. A run has a plot of each channel that its evidence holds (voltage, current, power, speed, temperature, duty, rotation) and, where a cutout opened, `cutout`: the voltage about the opening, enlarged. Where its version could be computed a run also has `prediction`: its voltage beside the one predicted by what had not seen the run. A run has the table `results`; a vehicle and a version have `runs`, what was measured; a version has `run-time` and `charge-time`, as they are computed. A version that states its wiring has the drawings `wiring`, the power path, and `live`, what is still live when a cutout, a stop or a switch is open.",
			Why:     "A page with a hole in it says less than its maker meant.",
			Example: "  ![The rebound](plot:field-2/cutout)"},
		{Kind: finding.RuleDoc, Name: RuleNoPrediction, Level: finding.Error, Title: "A question asks for a prediction that is not computed",
			What:    "Looks at what a question names under `prediction`: a version, and the name of a running time or a charge time that is computed for it.",
			Why:     "A page that says `not measured yet` with nothing after it helps nobody.",
			Example: "  prediction: shunter/1-lead-acid/run-time/field-2/own"},
		{Kind: finding.RuleDoc, Name: RuleTemplate, Level: finding.Error, Title: "A template of the journal's own that does not work",
			What: "A template under the journal's themes folder that does not parse, or fails while a page is made. The theme's own template is used for that page.",
			Why:  "A page with an error message in it is worse than one that looks as usual."},
	}...)
}

// specItem is one line of a spec. Key tells the same line of two versions apart from others.
type specItem struct {
	Group, Label string
	Value        numeral
	Glance       bool // shown at a glance
}

func (i specItem) key() string { return i.Group + "\x00" + i.Label }

// specList collects lines that have a value.
type specList struct {
	units func(numeral) numeral
	group string
	items []specItem
}

func (l *specList) add(label string, v numeral, glance bool) {
	if v.Set {
		l.items = append(l.items, specItem{l.group, label, l.units(v), glance})
	}
}

// spec lists what a version's front matter states and what follows from it by arithmetic.
func (b *builder) spec(s *sheet, v *journal.Version) []specItem {
	l := specList{units: b.units}
	b.specPacks(s, v, &l)
	b.specCutout(s, v, &l)
	if c := v.Controller; c != nil {
		l.group = "Controller"
		l.add("Kind", words(plain(c.Kind)), false)
		l.add("Supply", statedRange(c.Voltage), false)
		l.add("Current", stated(c.Current), false)
		l.add("Setting", stated(c.Setting), false)
		l.add("Efficiency", stated(c.Efficiency), false)
		l.add("Current limit", stated(c.Limit), false)
	}
	for i, m := range v.Motors {
		l.group = nth("Motor", i)
		l.add("Name", words(m.Name.Text), false)
		l.add("Rated voltage", stated(m.Rated), false)
		l.add("Power", stated(m.Power), false)
		l.add("No-load speed", stated(m.NoLoadSpeed), false)
		l.add("No-load current", stated(m.NoLoadCurrent), false)
		l.add("Resistance", stated(m.Resistance), false)
		l.add("Stall current", stated(m.StallCurrent), false)
		l.add("Rated speed", stated(m.RatedSpeed), false)
		l.add("Rated current", stated(m.RatedCurrent), false)
		l.add("Copper in the winding", stated(m.Copper), false)
		l.add("Thermal class", words(plain(m.Insulation)), false)
		if m.Count.Set {
			l.add("How many", words(fmt.Sprint(m.Count.Value)), false)
		}
	}
	if d := v.Drive; d != nil {
		l.group = "Drive"
		l.add("Ratio, motor to wheel", stated(d.Ratio), false)
		l.add("Wheel diameter", stated(d.Wheel), false)
		l.add("Runs on", words(plain(d.Surface)), false)
		b.specWay(s, v, &l)
	}
	if m := v.Masses; m != nil {
		l.group = "Masses"
		l.add("Vehicle", stated(m.Vehicle), true)
		l.add("Payload", stated(m.Payload), true)
		l.add("Height of the vehicle's centre", stated(m.VehicleHeight), false)
		l.add("Height of the payload's centre", stated(m.PayloadHeight), false)
		for i, w := range m.Wagons {
			l.add(nth("Wagon", i), words(wagonWords(w)), false)
		}
		if m.Vehicle.Known() && m.Payload.Known() && len(m.Wagons) == 0 {
			l.add("Together", summed(b.methodLink(s, docMass.Kind, docMass.Name), m.Vehicle.Measured, m.Payload.Measured), true)
		}
	}
	b.specUse(v, &l)
	return l.items
}

func (b *builder) specPacks(s *sheet, v *journal.Version, l *specList) {
	var energies []quantity.Measured[quantity.WattHours]
	for i := range v.Packs {
		p := &v.Packs[i]
		l.group = nth("Pack", i)
		if len(v.Packs) > 1 {
			l.add("Name", words(p.Name.Text), true)
		}
		l.add("Chemistry", words(meaning(p.Chemistry)), true)
		if p.Series.Set {
			l.add("Cells", words(fmt.Sprintf("%d in series, %d in parallel", p.Series.Value, p.Parallel.Or(1))), true)
		}
		l.add("Capacity", stated(p.Capacity), true)
		nominal := p.Nominal()
		l.add("Nominal voltage", reckoned(nominal, b.methodLink(s, docNominal.Kind, docNominal.Name)), true)
		if nominal.Known() && p.Capacity.Known() {
			e := quantity.Product(nominal, p.Capacity.Measured, quantity.StoredEnergyFrom)
			energies = append(energies, e)
			l.add("Energy", reckoned(e, b.methodLink(s, docEnergy.Kind, docEnergy.Name)), true)
		}
		l.add("Full charge", stated(p.Full), false)
		b.specSheet(p, l)
		l.add("Internal resistance", stated(p.Resistance), false)
		l.add("Mass", stated(p.Mass), false)
		switch {
		case p.Protection.None:
			l.add("Own protection", words("none"), false)
		case p.Protection.Tied:
			l.add("Own protection", words("only inside the appliance that it came from"), false)
		case p.Protection.Set:
			l.add("Protection opens", stated(p.Protection.Opens), false)
			l.add("Protection current", stated(p.Protection.Current), false)
			l.add("Protection stops a charge", stated(p.Protection.ChargeStops), false)
		}
		b.specJoint(p, l)
	}
	if len(energies) > 1 && len(energies) == len(v.Packs) {
		l.group = "All packs"
		l.add("Energy together", summed(b.methodLink(s, docEnergy.Kind, docEnergy.Name), energies...), true)
	}
}

// specJoint is what bears on a pack beside others.
// specSheet is what the pack's own data sheet says, beside what is typical of its chemistry.
func (b *builder) specSheet(p *journal.Pack, l *specList) {
	sheet := p.Sheet
	if sheet == nil {
		return
	}
	l.add("Its own data sheet", words(sheet.Name.Text), false)
	l.add("Sheet: full charge, at most", stated(sheet.Full), false)
	if typical := p.ChemistryFull(); sheet.Full.Known() && typical.Known() {
		l.add("Typical full charge", words(quantity.Brief(typical.Value)), false)
	}
	l.add("Sheet: least under load", stated(sheet.Floor), false)
	for i := range sheet.Charge {
		w := &sheet.Charge[i]
		name := fmt.Sprintf("Sheet: charged from %s to %s", w.From.Written, w.To.Written)
		if w.Current.Known() {
			l.add(name+", at most", stated(w.Current), false)
		} else {
			l.add(name, words("yes"), false)
		}
	}
}

func (b *builder) specJoint(p *journal.Pack, l *specList) {
	l.add("Steady discharge, at most", stated(p.Discharge), false)
	if p.Fuse.None {
		l.add("Own fuse", words("none"), false)
	}
	l.add("Own fuse", stated(p.Fuse.Rating), false)
	l.add("Made", words(p.Made.String()), false)
	l.add("Voltage at joining", stated(p.JoinedAt), false)
}

// specUse is who rides the vehicle, and what charges it.
func (b *builder) specUse(v *journal.Version, l *specList) {
	if c := v.Charger; c != nil {
		l.group = "Charger"
		l.add("Made for", words(meaning(c.Chemistry)), false)
		l.add("Ends at", stated(c.Voltage), false)
		l.add("Current", stated(c.Current), false)
		l.add("Place", words(plain(c.Place)), false)
		l.add("Pulsed output", words(yesNo(c.Pulsed)), false)
		l.add("Unattended", words(yesNo(c.Unattended)), false)
		l.add("Moving air", words(yesNo(c.Ventilated)), false)
		l.add("Residual-current device", words(yesNo(c.Residual)), false)
	}
	if u := v.Use; u != nil {
		l.group = "Use"
		l.add("Used as", words(plain(u.As)), false)
		l.add("Rider", words(plain(u.Rider)), false)
		if u.Age.Set {
			l.add("Youngest rider", words(count(u.Age.Value, "year")), false)
		}
		l.add("Helmet", words(yesNo(u.Helmet)), false)
		l.add("Stop within reach of another", words(yesNo(u.RemoteStop)), false)
		l.add("Supervised", words(yesNo(u.Supervised)), false)
		l.add("Gets wet", words(yesNo(u.Wet)), false)
	}
}

func (b *builder) specCutout(s *sheet, v *journal.Version, l *specList) {
	c := v.Cutout
	if c == nil {
		return
	}
	l.group = "Low-voltage cutout"
	l.add("Opens", stated(c.Opens), true)
	if n := seriesOf(v); n > 0 && c.Opens.Known() {
		l.add("Opens, of one cell", reckoned(quantity.Scale(c.Opens.Measured, 1/float64(n)), b.methodLink(s, docPerCell.Kind, docPerCell.Name)), true)
	}
	l.add("Reset threshold", stated(c.Threshold), false)
	if c.Opens.Known() && c.Threshold.Known() {
		l.add("Reset point", summed(b.methodLink(s, docReset.Kind, docReset.Name), c.Opens.Measured, c.Threshold.Measured), true)
	}
	l.add("Delay", stated(c.Delay), false)
	l.add("Current", stated(c.Current), false)
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

func statedRange[K quantity.Kind](r notes.Range[K]) numeral {
	if !r.Set {
		return numeral{}
	}
	n := words(r.From.Quantity().Rounded() + " to " + r.To.Quantity().Rounded())
	n.Kind = quoted
	return n
}

// specGroup is a part of a spec under its own head.
type specGroup struct {
	Name string
	Rows []specRow
}

// specRow is one line of a spec for one or several versions side by side.
type specRow struct {
	Label string
	Cells []specCell
}

type specCell struct {
	Value   numeral
	Changed bool // from the version before
}

// sideBySide sets the specs of versions beside each other, a line for every key that any of them has, in the order of the
// last.
func sideBySide(specs [][]specItem) []specGroup {
	var groups []specGroup
	row := map[string]*specRow{}
	place := map[string]int{}
	for _, spec := range slices.Backward(specs) {
		for _, item := range spec {
			if _, ok := place[item.Group]; !ok {
				place[item.Group] = len(groups)
				groups = append(groups, specGroup{Name: item.Group})
			}
		}
	}
	for i := range groups {
		for _, spec := range slices.Backward(specs) {
			for _, item := range spec {
				if item.Group == groups[i].Name && row[item.key()] == nil {
					row[item.key()] = &specRow{Label: item.Label, Cells: make([]specCell, len(specs))}
					groups[i].Rows = append(groups[i].Rows, specRow{Label: item.key()})
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
