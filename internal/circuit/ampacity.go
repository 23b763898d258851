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
		{FederalRegulations, "33 CFR 183.425, Table 5", "stranded insulated copper in boats, 30 °C around it; up to 50 °C by the factors of its note 1. Bundles by circuits after VDE 0298-4, at any voltage; from 50 V up the law's own factors by conductors where they are less"},
		{ElectricalCode, "NFPA 70:2023, Table 310.16", "copper in buildings, up to three loaded conductors in a raceway, cable or earth, 30 °C; bundles by conductors"},
		{SmallCraft, "ISO 13297:2020, Table A.1", "stranded copper in small craft, 30 °C; every figure from memory"},
		{InConduit, "IEC 60364-5-52, method B2", "PVC 70 °C, three loaded conductors of a cable in a conduit, 30 °C"},
		{OnSurface, "IEC 60364-5-52, method C", "PVC 70 °C, three loaded conductors of a cable on a surface, 30 °C"},
		{FlexibleMulticore, "cable maker's list for flexible cables", "PVC 70 °C, two or three loaded cores, laid for good, 30 °C: DIN VDE 0298-4 as a cable maker prints it"},
	}
}

// tableAmbient is the temperature around the conductor in every table, °C.
const tableAmbient = 30

// Laid is how a lead lies: what its ampacity depends on beside its size.
type Laid struct {
	Insulation quantity.Celsius // that its insulation stands
	Ambient    quantity.Celsius // around it; 0 is taken as 30 °C
	Bundle     int              // conductors that carry current together, this one included; 0 and 1: alone
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
// below the table goes by the table for thin wires. An insulation below the table, or a
// temperature beyond its factors, is an *UnjudgedError.
//
// A lead cooler than 30 °C gets no bonus. Where a table has no factors of its
// own for warmth, √((Ti − Ta)/(Ti − 30)) is taken, Ti the column and Ta the
// temperature around it: the heat that leaves is proportional to the difference
// of temperatures, the heat that arises to the square of the current. For
// bundles see bundle.
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
		if thin, err := thinner(s, laid, table); err == nil {
			return thin, nil
		}
		return Ampacity{}, unjudged("%s with %v °C insulation is below the smallest size or the lowest insulation of %s; another table may hold it", s, float64(laid.Insulation), table)
	}
	a := Ampacity{Table: table, Row: base.size(), Column: quantity.Celsius(base.insulation), Base: quantity.Amperes(base.amperes), Ambient: 1, Bundle: 1, Quoted: base.quoted}
	if err := a.warm(s, laid); err != nil {
		return Ampacity{}, err
	}
	if err := a.bundle(laid); err != nil {
		return Ampacity{}, err
	}
	a.Amperes = quantity.Amperes(float64(a.Base) * a.Ambient * a.Bundle)
	return a, nil
}

// thinWires is the table for leads that are thinner than the smallest row of the others.
const thinWires AmpacityTable = "thin-wires"

// thinner is the ampacity of a lead that is thinner than every row of a table: by the table for thin wires, and never
// more than a lead of the smallest row of the table may carry as it lies. Below that table's own smallest row it goes by area, which is on the
// safe side, as a thin wire carries more for its area.
func thinner(s Size, laid Laid, table AmpacityTable) (Ampacity, error) {
	least := smallest(string(table), laid.Insulation)
	if least == nil || least.area <= float64(s.Area)*(1+1e-9) {
		return Ampacity{}, unjudged("the insulation is below the table's")
	}
	bound, err := AmpacityOf(least.size(), laid, table)
	if err != nil {
		return Ampacity{}, err
	}
	row, share := lookUp(string(thinWires), s, anyInsulation), 1.
	if row == nil {
		row = smallest(string(thinWires), anyInsulation)
		share = float64(s.Area) / row.area
	}
	a := Ampacity{Table: thinWires, Row: row.size(), Column: quantity.Celsius(min(row.insulation, float64(laid.Insulation))), Base: quantity.Amperes(row.amperes * share), Ambient: 1, Bundle: 1, Quoted: row.quoted}
	if share < 1 {
		a.Quoted = a.also(Quoted{"below the smallest row by area", Computed})
	}
	if cooler := float64(laid.Insulation); cooler < row.insulation && cooler > tableAmbient {
		a.Base *= quantity.Amperes(math.Sqrt((cooler - tableAmbient) / (row.insulation - tableAmbient)))
	}
	if err := a.warm(s, laid); err != nil {
		return Ampacity{}, err
	}
	if err := a.bundle(laid); err != nil {
		return Ampacity{}, err
	}
	a.Amperes = quantity.Amperes(float64(a.Base) * a.Ambient * a.Bundle)
	if bound.Amperes < a.Amperes {
		return bound, nil
	}
	return a, nil
}

// smallest is a row of the least size in a column that is not above an insulation; nil if there is none.
func smallest(table string, insulation quantity.Celsius) *ampacityRow {
	var best *ampacityRow
	rows := tables().ampacities
	for i := range rows {
		r := &rows[i]
		if r.table != table || r.insulation > float64(insulation) {
			continue
		}
		if best == nil || r.area < best.area {
			best = r
		}
	}
	return best
}

// MostAmpacity is the most that a lead may carry, where AmpacityOf cannot tell: what is not stated of its insulation is
// taken as the best in the table, its surroundings as no warmer than the table's where no factor is known, and a size
// below the smallest row carries less than that. known is false where there is no bound either.
func MostAmpacity(s Size, laid Laid, table AmpacityTable) (most Ampacity, known bool) {
	if !(s.Area > 0) {
		return Ampacity{}, false
	}
	for _, bounded := range []Laid{{best(laid.Insulation), laid.Ambient, laid.Bundle, laid.System}, {best(laid.Insulation), 0, laid.Bundle, laid.System}, {best(laid.Insulation), 0, 0, laid.System}, {anyInsulation, 0, 0, laid.System}} {
		if a, err := AmpacityOf(s, bounded, table); err == nil {
			a.Quoted = a.also(Quoted{"the most that it may be, as not all is stated", Computed})
			return a, true
		}
	}
	return Ampacity{}, false
}

// anyInsulation is above every column of every table.
const anyInsulation quantity.Celsius = 1000

func best(stated quantity.Celsius) quantity.Celsius {
	if stated > 0 {
		return stated
	}
	return anyInsulation
}

// FusingCurrent is the current at which a bare copper wire in still air melts in time: 80·d^1.5 A, d in mm. Valid for
// round wires longer than a few centimetres; insulation burns far below it. Source: W. H. Preece, from memory.
func FusingCurrent(area quantity.SquareMillimetres) quantity.Amperes {
	return quantity.Amperes(80 * math.Pow(2*math.Sqrt(float64(area)/math.Pi), 1.5))
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

// bundle finds the factor for conductors that run together and carry current
// together. A bundle's heat knows no voltage: VDE 0298-4 counts circuits, of which
// one is a way out and the way back, and its factors hold at any voltage. NFPA 70
// counts conductors, and has factors of its own. From 50 V up 33 CFR 183.435 asks for
// factors by conductors; where they are less, they are taken.
func (a *Ampacity) bundle(laid Laid) error {
	if a.Table == ElectricalCode {
		a.byCount(string(ElectricalCode), "bundle", laid.Bundle)
		return nil
	}
	circuits := (laid.Bundle + 1) / 2
	if laid.Bundle <= cores && (a.Table == InConduit || a.Table == OnSurface || a.Table == FlexibleMulticore) {
		circuits = 1 // the table is for so many loaded cores already
	}
	if circuits > 1 && !a.byCount(byCircuits, "circuits", circuits) {
		return unjudged("%s has no factor for %d circuits in one bundle", byCircuits, circuits)
	}
	if a.Table == FederalRegulations && laid.System >= bundlesFrom {
		a.byCount(string(FederalRegulations), "bundle", laid.Bundle)
	}
	return nil
}

// cores are the loaded cores of one cable for which the metric tables hold.
const cores = 3

// byCircuits is the table of factors that counts circuits.
const byCircuits = "vde-0298-4"

// byCount takes the factor of a table for a count, if it is less than the one
// that is taken already; false where the table has none.
func (a *Ampacity) byCount(table, kind string, count int) bool {
	for _, d := range tables().deratings {
		if d.table == table && d.kind == kind && float64(count) >= d.from && float64(count) <= d.to {
			if d.factor < a.Bundle {
				a.Bundle = d.factor
				a.Quoted = a.also(d.quoted)
			}
			return true
		}
	}
	return false
}

// bundlesFrom is the voltage from which 33 CFR 183.435 asks for its bundling
// factors; 33 CFR 183.455(c) changes its rule for fuses at the same voltage.
const bundlesFrom quantity.Volts = 50
