package value

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/wiring"
)

func (x *Index) computed(p journal.Place) []Value {
	switch {
	case p.Page != nil:
		return nil
	case p.Run != nil:
		return runValues(p.Run, x.results.Run(p.Run.ID()))
	case p.Version != nil:
		return x.ofVersion(p.Version)
	case p.Vehicle != nil:
		runs := 0
		for _, v := range p.Vehicle.Versions {
			runs += len(v.Runs)
		}
		return []Value{counted("version-count", "Number of versions", len(p.Vehicle.Versions)), counted("run-count", "Number of runs", runs)}
	default:
		versions := 0
		for _, v := range x.journal.Vehicles {
			versions += len(v.Versions)
		}
		return []Value{counted("vehicle-count", "Number of vehicles", len(x.journal.Vehicles)),
			counted("version-count", "Number of versions", versions), counted("run-count", "Number of runs", len(x.journal.Runs()))}
	}
}

// byModel are the figures of a run that follow from what was measured by a
// model or with stated values; all other figures are measured.
var byModel = []string{"rebound-asymptote", "rebound-time-constant", "reset-point", "reset-margin", "full-cycles"}

// KindOf says whether a figure of a run is measured or computed.
func KindOf(figure string) Kind {
	if slices.Contains(byModel, figure) {
		return Computed
	}
	return Measured
}

func runValues(r *journal.Run, result *runlog.Result) []Value {
	var figures []runlog.Figure
	if result != nil {
		figures = result.Figures()
	}
	var out []Value
	for _, f := range figures {
		out = append(out, Value{Name: f.Name, Label: f.Label, Form: FormNumber, Kind: KindOf(f.Name), Quantity: f.Quantity, Formula: f.Formula})
	}
	if len(figures) == 0 { // the names are known all the same
		for _, name := range runlog.FigureNames() {
			label, _ := runlog.FigureLabel(name)
			out = append(out, Value{Name: name, Label: label, Form: FormNumber, Kind: KindOf(name), Quantity: none(NotComputed)})
		}
	}
	if n := len(r.Readings); n > 0 {
		out = append(out, counted("reading-count", "Number of readings", n))
	}
	if r.Stopwatch != nil {
		out = append(out, counted("lap-count", "Number of laps", len(r.Stopwatch.Laps)))
	}
	return out
}

// NotUnderLoad is the reason of a time under load where a run was read by hand.
const NotUnderLoad = "The run was read by hand: what was drawn between two readings is not known."

// NotComputed is the reason of a figure whose run could not be measured; that is a finding already.
const NotComputed = "The run could not be computed."

func (x *Index) ofVersion(v *journal.Version) []Value {
	out := []Value{
		counted("number", "Number of the version", v.Number),
		counted("run-count", "Number of runs", len(v.Runs)),
		counted("part-count", "Number of parts listed", len(v.Parts)),
	}
	if len(v.Parts) > 0 {
		a := x.journal.Account(v)
		why := ""
		if a.Unweighed > 0 {
			why = "The mass of a part is not stated."
			for _, lot := range a.Aboard {
				if !lot.Mass.Known() {
					why = fmt.Sprintf("The mass of %s is not stated.", lot.Part.Name.Text)
					break
				}
			}
		}
		change := costOf("change-cost", "What the change cost", a.Change, a.UnpricedChange, x.journal.Currency.Text)
		if v.Before != nil && len(v.Before.Parts) == 0 {
			change.Quantity = none("The version before has no parts list.")
		}
		out = append(out, change,
			costOf("total-cost", "What the vehicle as it stands cost", a.Vehicle, a.UnpricedVehicle, x.journal.Currency.Text),
			costOf("taken-off-cost", "What the parts cost that were taken off", a.Off, 0, x.journal.Currency.Text),
			computedOf("parts-mass", "Mass of the parts on the vehicle", "", a.Mass, why))
	}
	if len(v.Packs) > 0 {
		var charge []quantity.Measured[quantity.AmpereHours]
		var mass []quantity.Measured[quantity.Kilograms]
		for _, p := range v.Packs {
			charge, mass = append(charge, p.Capacity.Stated()), append(mass, p.Mass.Stated())
		}
		out = append(out, computedOf("pack-capacity", "Capacity of all packs, as stated", "", quantity.Sum(charge...), ""),
			computedOf("pack-mass", "Mass of all packs", "", quantity.Sum(mass...), ""))
	}
	if c := v.Cutout; c != nil {
		out = append(out, computedOf("reset-point", "Reset point of the cutout", "reset-margin", quantity.Sum(c.Opens.Stated(), c.Threshold.Stated()), ""))
	}
	if m := v.Masses; m != nil {
		out = append(out, computedOf("moved-mass", "Mass that is moved", "", quantity.Sum(m.Vehicle.Stated(), m.Payload.Stated()), ""))
	}
	out = append(out, answerValues(x.results.Prediction(v.Path()))...)
	if d := x.results.Drive(v.Path()); d != nil {
		for _, f := range d.Figures() {
			out = append(out, Value{Name: f.Name, Label: f.Label, Form: FormNumber, Kind: Computed, Quantity: f.Quantity, Formula: f.Formula})
		}
	}
	out = append(out, wiringValues(x.results.Circuit(v.Path()))...)
	return out
}

// answerValues are the answers about a version that the tables of its page hold.
func answerValues(a *predict.Prediction) []Value {
	if a == nil {
		return nil
	}
	var out []Value
	for _, row := range a.Table.Cells {
		for _, c := range row {
			load, column := a.Table.Loads[c.Load], a.Table.Columns[c.Column]
			label := fmt.Sprintf("%s, %s", load.Label, column.Label)
			end := c.End()
			why := c.Err
			if why == "" {
				why = end.Err
			}
			for _, m := range end.Measures() {
				missing := why
				if missing == "" && !m.Time.Known() {
					missing = NotUnderLoad
				}
				out = append(out, computedOf(strings.TrimSuffix(c.Name+"/"+m.Name, "/"), finding.Sentence(m.Words+", "+label), "run-time", m.Time, missing))
			}
			out = append(out,
				computedOf(c.Name+"/charge", "Charge taken out, "+label, "run-time", end.Charge, why),
				computedOf(c.Name+"/energy", "Energy taken out, "+label, "run-time", end.Energy, why),
				computedOf(c.Name+"/left", "Charge left, "+label, "run-time", end.Left, why))
		}
	}
	for _, c := range a.Charges {
		out = append(out, computedOf(c.Name, "Charge time, "+c.Label, "charge-from-run", c.Total, c.Err))
		why := c.Err
		if why == "" && !c.Most.Known() {
			why = "The charge begins above 80 %, or does not come to it."
		}
		out = append(out, computedOf(c.Name+"/to-80", "Time to 80 %, "+c.Label, "charge-from-run", c.Most, why))
		if why = c.Err; why == "" && !c.Energy.Known() {
			why = "The energy of a charge is not computed for this chemistry."
		}
		out = append(out, computedOf(c.Name+"/energy", "Energy into the packs, "+c.Label, "charge-from-run", c.Energy, why))
		if c.Own {
			out = append(out, computedOf(c.Name+"/wall-energy", "Energy from the wall, "+c.Label, "charge-from-run", c.Wall, why))
		}
	}
	if a.Err == "" && !math.IsNaN(float64(a.Life.Storage)) && a.Life.Storage > 0 {
		out = append(out, computedOf("storage-voltage", "Voltage to store the packs at", "", quantity.Unsure(a.Life.Storage), ""))
	}
	return out
}

// wiringValues are what the leads of a version carry at each operating point: `wiring/POINT/LEAD/current` and so on,
// with the lead called by its label in the cut list.
func wiringValues(w *wiring.Analysis) []Value {
	if w == nil {
		return nil
	}
	out := []Value{counted("lead-count", "Number of leads", len(w.Circuit.Leads))}
	slugs := make([]string, len(w.Circuit.Leads))
	for _, whip := range w.Whips {
		name := notes.Slug(whip.Label)
		if slices.Contains(slugs, name) {
			name = fmt.Sprintf("%s-%d", name, whip.Lead+1)
		}
		slugs[whip.Lead] = name
	}
	for _, s := range w.Solutions {
		for i, l := range s.Leads {
			name := fmt.Sprintf("wiring/%s/%s/", notes.Slug(s.Point.Name), slugs[i])
			label := fmt.Sprintf("%s, lead %s", s.Point.Name, slugs[i])
			why := ""
			if l.Missing != "" {
				why = "What the lead loses is not known: " + l.Missing
			}
			out = append(out, computedOf(name+"current", "Current at "+label, "circuit-solution", quantity.Unsure(l.Current), ""),
				computedOf(name+"drop", "Voltage lost at "+label, "voltage-drop", quantity.Unsure(l.Drop), why),
				computedOf(name+"heat", "Heat at "+label, "voltage-drop", quantity.Unsure(l.Heat), why))
		}
	}
	return out
}

// counted makes a value of whole numbers.
func counted(name, label string, n int) Value {
	return Value{Name: name, Label: label, Form: FormCount, Kind: Computed, Quantity: quantity.Some(quantity.Exact(quantity.Number(n)).Quantity())}
}

// computedOf makes a value from a measured one; why says why there is none.
func computedOf[K quantity.Kind](name, label, formula string, m quantity.Measured[K], why string) Value {
	v := Value{Name: name, Label: label, Form: FormNumber, Kind: Computed, Quantity: m.OrWhy(""), Formula: formula}
	if why != "" {
		v.Quantity = none("%s", why)
	}
	return v
}

// costOf makes a value of sums of money; it is missing where a price is, and where there are several currencies.
func costOf(name, label string, sums journal.Sums, unpriced int, currency string) Value {
	v := Value{Name: name, Label: label, Form: FormPrice, Kind: Computed, Currency: currency, Formula: "parts-account"}
	switch {
	case unpriced > 0:
		v.Quantity = none("The price of a part is not stated.")
	case len(sums.Order) > 1:
		v.Quantity = none("The prices are in several currencies.")
	default:
		sum := new(big.Rat)
		if len(sums.Order) == 1 {
			v.Currency, sum = sums.Order[0], sums.Amount[sums.Order[0]]
		}
		x, _ := sum.Float64()
		v.Quantity = quantity.Some(quantity.Exact(quantity.Number(x)).Quantity())
	}
	return v
}
