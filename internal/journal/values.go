package journal

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/wiring"
)

// Values lists everything of a place that a sentence can be bound to, by its
// name: what its note states, what was measured, what is computed. There is one
// scheme of names: a stated value is called by its keys in the front matter
// with points between (`cutout.opens`, `packs.first-pack.capacity`), anything
// else by words with hyphens (`running-time`, `total-cost`), an answer of a
// table by the table, the row and the column with slashes between
// (`run-time/field-2026-04-12/own`).
func (j *Journal) Values(p Place, results *Results) []Value {
	var out []Value
	for _, s := range j.ofFront(p) {
		out = append(out, s.Value)
	}
	out = append(out, j.computedValues(p, results)...)
	for i := range out {
		out[i].Place = p
	}
	return out
}

// ofFront lists what the note of a place states.
func (j *Journal) ofFront(p Place) []stated {
	switch {
	case p.Page != nil:
		return j.statedIn(p.Page)
	case p.Run != nil:
		return j.statedIn(p.Run)
	case p.Version != nil:
		return j.statedIn(p.Version)
	case p.Vehicle != nil:
		return j.statedIn(p.Vehicle)
	default:
		return j.statedIn(j)
	}
}

func (j *Journal) computedValues(p Place, results *Results) []Value {
	switch {
	case p.Page != nil:
		return nil
	case p.Run != nil:
		return runValues(p.Run, results)
	case p.Version != nil:
		return j.versionValues(p.Version, results)
	case p.Vehicle != nil:
		runs := 0
		for _, v := range p.Vehicle.Versions {
			runs += len(v.Runs)
		}
		return []Value{counted("version-count", "Number of versions", len(p.Vehicle.Versions)), counted("run-count", "Number of runs", runs)}
	default:
		versions := 0
		for _, v := range j.Vehicles {
			versions += len(v.Versions)
		}
		return []Value{counted("vehicle-count", "Number of vehicles", len(j.Vehicles)),
			counted("version-count", "Number of versions", versions), counted("run-count", "Number of runs", len(j.Runs()))}
	}
}

// byModel are the figures of a run that follow from what was measured by a
// model or with stated values; all other figures are measured.
var byModel = []string{"rebound-asymptote", "rebound-time-constant", "reset-point", "reset-margin", "full-cycles"}

// OriginOf says whether a figure of a run is measured or computed.
func OriginOf(figure string) Origin {
	if slices.Contains(byModel, figure) {
		return OfComputing
	}
	return OfMeasuring
}

func runValues(r *Run, results *Results) []Value {
	var figures []runlog.Figure
	if results != nil && results.Runs[r.ID()] != nil {
		figures = results.Runs[r.ID()].Figures()
	}
	var out []Value
	for _, f := range figures {
		out = append(out, Value{Name: f.Name, Label: f.Label, Form: FormNumber, Origin: OriginOf(f.Name), Quantity: f.Quantity, Missing: f.Missing, Formula: f.Formula})
	}
	if len(figures) == 0 { // the names are known all the same
		for _, name := range runlog.FigureNames() {
			label, _ := runlog.FigureLabel(name)
			out = append(out, Value{Name: name, Label: label, Form: FormNumber, Origin: OriginOf(name), Missing: NotComputed})
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

func (j *Journal) versionValues(v *Version, results *Results) []Value {
	out := []Value{
		counted("number", "Number of the version", v.Number),
		counted("run-count", "Number of runs", len(v.Runs)),
		counted("part-count", "Number of parts listed", len(v.Parts)),
	}
	if len(v.Parts) > 0 {
		a := j.Account(v)
		why := ""
		if a.Unweighed > 0 {
			why = "The mass of a part is not stated."
			for _, lot := range a.Aboard {
				if !lot.mass.Known() {
					why = fmt.Sprintf("The mass of %s is not stated.", lot.Part.Name.Text)
					break
				}
			}
		}
		change := costOf("change-cost", "What the change cost", a.Change, a.UnpricedChange, j.Currency.Text)
		if v.Before != nil && len(v.Before.Parts) == 0 {
			change.Missing = "The version before has no parts list."
		}
		out = append(out, change,
			costOf("total-cost", "What the vehicle as it stands cost", a.Vehicle, a.UnpricedVehicle, j.Currency.Text),
			costOf("taken-off-cost", "What the parts cost that were taken off", a.Off, 0, j.Currency.Text),
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
	if results != nil {
		out = append(out, answerValues(results.Predictions[v.Path()])...)
		if d := results.Drives[v.Path()]; d != nil {
			for _, f := range d.Figures() {
				out = append(out, Value{Name: f.Name, Label: f.Label, Form: FormNumber, Origin: OfComputing, Quantity: f.Quantity, Missing: f.Missing, Formula: f.Formula})
			}
		}
		out = append(out, wiringValues(results.Circuits[v.Path()])...)
	}
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

// IsAnswer says whether a target names an answer of a table, which is there only
// once a version has been predicted.
func IsAnswer(target string) bool {
	for _, part := range strings.Split(target, "/") {
		if part == "run-time" || part == "charge-time" || part == "storage-voltage" {
			return true
		}
	}
	return false
}

// The words between the two values of a comparison.
const (
	over = "over" // the ratio of the first to the second
	less = "less" // what the first is more than the second
)

// Value finds what a sentence at a place is bound to by `value:`. What is named
// is the value of a place, written as its NAME alone for the place itself and
// what it belongs to, else OWNER/NAME with the owner as VERSION/RUN, RUN,
// VERSION, VEHICLE and so on, read from the place's own version and vehicle
// outwards; or a comparison of two such values of one dimension,
// FIRST/over/SECOND or FIRST/less/SECOND.
//
// The uncertainty of a comparison is that of two independent values
// (JCGM 100:2008, 5.1.2). Where both were measured with one instrument their
// errors are in part the same; what is stated is then too large rather than too small.
func (j *Journal) Value(at Place, target string, results *Results) (Value, *TargetError) {
	parts := strings.Split(target, "/")
	if target == "" || slices.Contains(parts, "") {
		return Value{}, &TargetError{Text: fmt.Sprintf("`%s:%s` names nothing that can be shown", notes.ValueScheme, target), Remedy: "write it as " + exampleTarget(notes.ValueScheme) + "."}
	}
	v, err := j.single(at, parts, results)
	if err == nil {
		return v, nil
	}
	for i := 1; i+1 < len(parts); i++ {
		if parts[i] != over && parts[i] != less {
			continue
		}
		first, errFirst := j.single(at, parts[:i], results)
		second, errSecond := j.single(at, parts[i+1:], results)
		switch {
		case errFirst != nil:
			return Value{}, errFirst
		case errSecond != nil:
			return Value{}, errSecond
		}
		return compare(first, second, parts[i])
	}
	return Value{}, err
}

// single finds one value: the longest owner that is there is taken first.
func (j *Journal) single(at Place, parts []string, results *Results) (Value, *TargetError) {
	var nearest *TargetError
	follows := j.leadsToFaulty(parts)
	for i := len(parts) - 1; i >= 0; i-- {
		name := strings.Join(parts[i:], "/")
		var owners []Place
		if i == 0 {
			owners = outwards(at)
		} else if p, ok := j.seen(at, parts[:i], false); ok {
			owners = []Place{p}
		}
		var known []string
		for _, p := range owners {
			if v, ok := j.valueNamed(p, name, results); ok {
				return v, nil
			}
			for _, v := range j.Values(p, results) {
				known = append(known, v.Name)
			}
		}
		if nearest != nil || len(owners) == 0 {
			continue
		}
		if d := owners[0].Document(); d != nil {
			follows = follows || j.faulty[d.Note.Path]
		}
		if i > 0 {
			where := strings.TrimSuffix(owners[0].Address(), "/")
			nearest = &TargetError{Text: fmt.Sprintf("`%s` has no value `%s`%s", where, name, notes.DidYouMean(name, known)), Remedy: "`voltwright values " + where + "` lists what it has."}
			if i+1 < len(parts) { // perhaps it is the owner that is mistyped
				wanted := strings.Join(parts[:len(parts)-1], "/")
				if near := notes.DidYouMean(wanted, j.namesFrom(at, false)); near != "" && notes.DidYouMean(name, known) == "" {
					nearest = &TargetError{Text: fmt.Sprintf("there is nothing called `%s` seen from here%s", wanted, near), Remedy: "name a run of this version by its file's name, any other as VEHICLE/VERSION/RUN." + j.runsNear(at)}
				}
			}
			continue
		}
		if len(parts) == 1 {
			nearest = &TargetError{Text: fmt.Sprintf("nothing here has a value `%s`%s", name, notes.DidYouMean(name, known)), Remedy: "write it as " + exampleTarget(notes.ValueScheme) + "; `voltwright values` with a version or a run lists what there is." + j.runsNear(at)}
			continue
		}
		wanted := strings.Join(parts[:len(parts)-1], "/")
		nearest = &TargetError{Text: fmt.Sprintf("there is no run, version or vehicle `%s` seen from here%s", wanted, notes.DidYouMean(wanted, j.namesFrom(at, false))), Remedy: "name a run of this version by its file's name, any other as VEHICLE/VERSION/RUN." + j.runsNear(at)}
	}
	if nearest != nil {
		nearest.Follows = follows
	}
	return Value{}, nearest
}

// outwards lists the place itself and what it stands in.
func outwards(at Place) []Place {
	var out []Place
	if at.Page != nil {
		out = append(out, Place{Page: at.Page})
	}
	if at.Run != nil {
		out = append(out, at.Run.Place())
	}
	if at.Version != nil {
		out = append(out, at.Version.Place())
	}
	if at.Vehicle != nil {
		out = append(out, at.Vehicle.Place())
	}
	return append(out, Place{})
}

// valueNamed finds the value of a place by its name.
func (j *Journal) valueNamed(p Place, name string, results *Results) (Value, bool) {
	path := strings.Split(name, ".")
	for _, s := range j.ofFront(p) {
		if s.called(path) {
			s.Place = p
			return s.Value, true
		}
	}
	for _, v := range j.computedValues(p, results) {
		if v.Name == name {
			v.Place = p
			return v, true
		}
	}
	return Value{}, false
}

// compare makes the ratio or the difference of two values.
func compare(a, b Value, by string) (Value, *TargetError) {
	words := map[string]string{over: "over", less: "less"}[by]
	v := Value{Label: a.Label + " " + words + " " + b.Label, Origin: OfComputing, Currency: a.Currency, Pair: &Pair{a, b, by}, Formula: "comparison"}
	if a.Label == b.Label {
		v.Label = a.Label
	}
	refuse := func(why string) (Value, *TargetError) {
		return Value{}, &TargetError{Text: fmt.Sprintf("`%s` and `%s` cannot be compared: %s", a.Where(), b.Where(), why), Remedy: "compare two values of one dimension."}
	}
	da, db := a.Quantity.Dimension, b.Quantity.Dimension
	switch {
	case a.Form == FormName || b.Form == FormName:
		return refuse("a text is no number")
	case a.Form != b.Form:
		return refuse("they are of different sorts")
	case da != db && a.Form != FormDate && a.Missing == "" && b.Missing == "":
		return refuse(fmt.Sprintf("%s is no %s", da.WithArticle(), db))
	case a.Currency != b.Currency:
		return refuse("they are in different currencies")
	case by == over && (da == quantity.Temperature || a.Form == FormDate):
		return refuse("a ratio of degrees or of days of the calendar means nothing")
	}
	for _, one := range []Value{a, b} {
		if one.Missing != "" {
			v.Missing = fmt.Sprintf("There is no %s: %s", one.Where(), lowerFirst(one.Missing))
		}
	}
	x, y := a.Quantity, b.Quantity
	if a.Form == FormDate {
		v.Form = FormChange
		v.Quantity = quantity.Exact(quantity.Seconds(a.Day.Time().Sub(b.Day.Time()).Seconds())).Quantity()
		v.Quantity.Unit = "d"
		return v, nil
	}
	same := a.Where() == b.Where()
	var corr [][]float64
	if same {
		corr = [][]float64{{1, 1}, {1, 1}}
	}
	if by == less {
		v.Form = FormChange
		v.Quantity = quantity.Quantity{Dimension: da, Unit: x.Unit, Decimals: -1}
		if da == quantity.Temperature {
			v.Quantity.Dimension, v.Quantity.Unit = quantity.TemperatureDifference, ""
		}
		if x.Decimals >= 0 && y.Decimals >= 0 && x.Unit == y.Unit && !(x.U > 0) && !(y.U > 0) {
			v.Quantity.Decimals = max(x.Decimals, y.Decimals)
		}
		v.Quantity.Value, v.Quantity.U = quantity.Propagate(func(q []float64) float64 { return q[0] - q[1] }, []float64{x.Value, y.Value}, []float64{x.U, y.U}, corr)
		return v, nil
	}
	v.Form = FormRatio
	v.Quantity = quantity.Quantity{Dimension: quantity.Plain, Decimals: -1, Value: math.NaN(), U: math.NaN()}
	if y.Value == 0 && v.Missing == "" {
		v.Missing = fmt.Sprintf("%s is nothing, and nothing can be set against it.", b.Where())
	}
	if v.Missing == "" {
		v.Quantity.Value, v.Quantity.U = quantity.Propagate(func(q []float64) float64 { return q[0] / q[1] }, []float64{x.Value, y.Value}, []float64{x.U, y.U}, corr)
	}
	return v, nil
}

func lowerFirst(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}
