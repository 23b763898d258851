package circuit

import (
	"fmt"
	"math"
	"slices"

	"voltwright/internal/quantity"
)

// AmpacityTable names a table of currents that a conductor may carry for good.
type AmpacityTable string

// The tables. The zero AmpacityTable is FederalRegulations.
const (
	FederalRegulations AmpacityTable = "33-cfr-183.425"
	ElectricalCode     AmpacityTable = "nfpa-70-310.16"
	SmallCraft         AmpacityTable = "iso-13297" // from memory, every figure
	InConduit          AmpacityTable = "iec-60364-5-52-b2"
	OnSurface          AmpacityTable = "iec-60364-5-52-c"
	FlexibleMulticore  AmpacityTable = "flexible-multicore"
)

const engineSpace = "33-cfr-183.425-engine-space"

// AmpacityTableSpec says what a table holds for.
type AmpacityTableSpec struct {
	Name       AmpacityTable
	Title      string
	Conditions string
}

// AmpacityTables lists the tables to choose from, the default first.
func AmpacityTables() []AmpacityTableSpec {
	return []AmpacityTableSpec{
		{FederalRegulations, "33 CFR 183.425, Table 5", "stranded insulated copper in boats, 30 °C around it; up to 50 °C by the factors of its note 1; its bundling factors hold for circuits of 50 V and above only"},
		{ElectricalCode, "NFPA 70:2023, Table 310.16", "copper in buildings, up to three loaded conductors in a raceway, cable or earth, 30 °C; bundling factors from memory"},
		{SmallCraft, "ISO 13297:2020, Table A.1", "stranded copper in small craft, 30 °C; every figure from memory"},
		{InConduit, "IEC 60364-5-52, method B2", "PVC 70 °C, three loaded conductors of a cable in a conduit, 30 °C"},
		{OnSurface, "IEC 60364-5-52, method C", "PVC 70 °C, three loaded conductors of a cable on a surface, 30 °C"},
		{FlexibleMulticore, "cable maker's list for flexible cables", "PVC 70 °C, two or three loaded cores, laid for good, 30 °C; that it is DIN VDE 0298-4: from memory"},
	}
}

// tableAmbient is the temperature around the conductor in every table, °C.
const tableAmbient = 30

// Laid is how a lead lies: what its ampacity depends on beside its size.
type Laid struct {
	Insulation quantity.Celsius // that its insulation stands
	Ambient    quantity.Celsius // around it; 0 is taken as 30 °C
	Bundle     int              // conductors together, this one included; 0 and 1: alone
	System     quantity.Volts   // of the circuit
}

// Ampacity is a current that a conductor may carry for good, and how it was
// come by.
type Ampacity struct {
	Amperes quantity.Amperes
	Table   AmpacityTable
	Row     Size             // the size in the table, the greatest that has no more copper
	Column  quantity.Celsius // the insulation in the table, the highest that is not above the lead's
	Base    quantity.Amperes // the figure in the table
	Ambient float64          // factor for the temperature around it
	Bundle  float64          // factor for conductors that run together
	Quoted
}

// UnjudgedError says why something cannot be judged.
type UnjudgedError struct{ Reason string }

func (e *UnjudgedError) Error() string { return e.Reason }

func unjudged(format string, args ...any) error { return &UnjudgedError{fmt.Sprintf(format, args...)} }

// AmpacityOf looks a lead up in a table. Between sizes the smaller row holds,
// between insulations the lower column, so the answer is never too great. A size
// or an insulation below the table, or a temperature beyond its factors, is an
// *UnjudgedError.
//
// A lead cooler than 30 °C gets no bonus. Where a table has no factors of its
// own for warmth, √((Ti − Ta)/(Ti − 30)) is taken, Ti the column and Ta the
// temperature around it: the heat that leaves is proportional to the difference
// of temperatures, the heat that arises to the square of the current. For
// bundles the metric tables borrow the factors of 33 CFR 183.425.
func AmpacityOf(s Size, laid Laid, table AmpacityTable) (Ampacity, error) {
	if table == "" {
		table = FederalRegulations
	}
	if !slices.ContainsFunc(AmpacityTables(), func(t AmpacityTableSpec) bool { return t.Name == table }) {
		return Ampacity{}, unjudged("no table of ampacities is called %q", table)
	}
	if !(s.Area > 0) {
		return Ampacity{}, unjudged("the size is not stated")
	}
	if !(laid.Insulation > 0) {
		return Ampacity{}, unjudged("the temperature that the insulation stands is not stated")
	}
	base := lookUp(string(table), s, laid.Insulation)
	if base == nil {
		return Ampacity{}, unjudged("%s with %v °C insulation is below the smallest size or the lowest insulation of %s; another table may hold it", s, float64(laid.Insulation), table)
	}
	a := Ampacity{Table: table, Row: base.size(), Column: quantity.Celsius(base.insulation), Base: quantity.Amperes(base.amperes), Ambient: 1, Bundle: 1, Quoted: base.quoted}
	if err := a.warm(s, laid); err != nil {
		return Ampacity{}, err
	}
	a.bundle(laid)
	a.Amperes = quantity.Amperes(float64(a.Base) * a.Ambient * a.Bundle)
	return a, nil
}

func (r *ampacityRow) size() Size { return Size{quantity.SquareMillimetres(r.area), r.gauge} }

// lookUp finds the row for the greatest size and insulation that are not above
// those of the lead.
func lookUp(table string, s Size, insulation quantity.Celsius) *ampacityRow {
	var best *ampacityRow
	rows := tables().ampacities
	for i := range rows {
		r := &rows[i]
		if r.table != table || r.area > float64(s.Area)*(1+1e-9) || r.insulation > float64(insulation) {
			continue
		}
		if best == nil || r.area > best.area || r.area == best.area && r.insulation > best.insulation {
			best = r
		}
	}
	return best
}

// warm finds the factor for the temperature around the lead.
func (a *Ampacity) warm(s Size, laid Laid) error {
	around := float64(laid.Ambient)
	if laid.Ambient == 0 || around <= tableAmbient {
		return nil
	}
	if around >= float64(a.Column) {
		return unjudged("%v °C around the lead is no cooler than the %v °C of the table's insulation", around, float64(a.Column))
	}
	if a.Table == FederalRegulations && a.Column == 105 && around <= 50 {
		if r := lookUp(engineSpace, s, a.Column); r != nil {
			a.Ambient = r.amperes / float64(a.Base)
			a.Quoted = a.also(r.quoted)
			return nil
		}
	}
	has := false
	for _, d := range tables().deratings {
		if d.table != string(a.Table) || d.kind != "ambient" || d.insulation != float64(a.Column) {
			continue
		}
		has = true
		if around > d.from && around <= d.to {
			a.Ambient = d.factor
			a.Quoted = a.also(d.quoted)
			return nil
		}
	}
	if has || a.Table == ElectricalCode {
		return unjudged("%s has no factor for %v °C with %v °C insulation", a.Table, around, float64(a.Column))
	}
	a.Ambient = math.Sqrt((float64(a.Column) - around) / (float64(a.Column) - tableAmbient))
	a.Quoted = a.also(Quoted{"factor for warmth √((Ti − Ta)/(Ti − 30)), computed", Computed})
	return nil
}

// bundle finds the factor for conductors that run together.
func (a *Ampacity) bundle(laid Laid) {
	table := a.Table
	borrowed := table != FederalRegulations && table != ElectricalCode
	if borrowed {
		table = FederalRegulations
	}
	if a.Table == FederalRegulations && laid.System < bundlesFrom || borrowed && a.Table != SmallCraft && laid.Bundle <= 3 {
		return // no factor is asked for, or the table is for two or three conductors already
	}
	for _, d := range tables().deratings {
		if d.table == string(table) && d.kind == "bundle" && float64(laid.Bundle) >= d.from && float64(laid.Bundle) <= d.to {
			a.Bundle = d.factor
			a.Quoted = a.also(d.quoted)
			if borrowed {
				a.Quoted = a.also(Quoted{"borrowed for a table without bundling factors of its own", Computed})
			}
		}
	}
}

// bundlesFrom is the voltage from which 33 CFR 183.425 asks for its bundling
// factors; 33 CFR 183.455(c) changes its rule for fuses at the same voltage.
const bundlesFrom quantity.Volts = 50
