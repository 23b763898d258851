package partslist

import (
	"encoding/json"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/site/numeral"
)

// partsRecordFile is what became of a version's parts and what they come to, for machines. Money is decimal text, by currency.
const partsRecordFile = "parts.json"

func recordOfParts(v *journal.Version, a journal.Account) ([]byte, error) {
	money := func(m journal.Sums) map[string]string {
		out := map[string]string{}
		for _, c := range m.Order {
			out[c] = numeral.Decimal(m.Amount[c])
		}
		return out
	}
	r := record.Parts{ChangeCost: money(a.Change), VehicleCost: money(a.Vehicle), TakenOffCost: money(a.Off), UsedUpCost: money(a.UsedUp), BroughtCost: money(a.Brought), Unweighed: a.Unweighed}
	r.Unpriced.Change, r.Unpriced.Vehicle = a.UnpricedChange, a.UnpricedVehicle
	if a.Mass.Known() {
		m := record.Mass{Value: float64(a.Mass.Value), Unit: quantity.Mass.BaseUnit()}
		if u := float64(a.Mass.U); u >= 0 {
			m.U = &u
		}
		r.PartsMass = &m
	}
	for _, f := range a.Fates {
		t := record.Part{Name: f.Name, How: string(f.How), Pieces: f.Pieces, Untold: f.Untold}
		if f.Each != nil {
			t.Each, t.Currency = numeral.Decimal(f.Each), f.Paid
		}
		r.Parts = append(r.Parts, t)
	}
	text, err := json.MarshalIndent(record.PartsDocument{Head: record.HeadOf(record.PartsKind), Version: v.Path(), Parts: r}, "", " ")
	return append(text, '\n'), err
}
