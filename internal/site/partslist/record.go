package partslist

import (
	"encoding/json"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/site/numeral"
)

// partsRecordFile is what became of a version's parts and what they come to, for machines. Money is decimal text, by currency.
const partsRecordFile = "parts.json"

type partsRecord struct {
	ChangeCost   map[string]string `json:"changeCost"`   // what the change cost
	VehicleCost  map[string]string `json:"vehicleCost"`  // what the vehicle as it stands cost
	TakenOffCost map[string]string `json:"takenOffCost"` // what had been paid for what was taken off
	UsedUpCost   map[string]string `json:"usedUpCost"`   // of the change, what was used up
	BroughtCost  map[string]string `json:"broughtCost"`  // what had been paid for what came without being bought
	Unpriced     struct {
		Change  int `json:"change"`
		Vehicle int `json:"vehicle"`
	} `json:"partsWithoutPrice"`
	PartsMass *massRecord  `json:"partsMass,omitempty"` // of the parts on the vehicle that state one
	Unweighed int          `json:"partsWithoutMass"`
	Parts     []fateRecord `json:"parts"`
}

type massRecord struct {
	Value float64  `json:"value"`
	Unit  string   `json:"unit"`
	U     *float64 `json:"standardUncertainty,omitempty"`
}

type fateRecord struct {
	Name     string `json:"name"`
	How      string `json:"how"`
	Pieces   int    `json:"pieces"`
	Each     string `json:"each,omitempty"`
	Currency string `json:"currency,omitempty"`
	Untold   bool   `json:"byTheListAlone,omitempty"` // taken off since the list has no line for it
}

func recordOfParts(a journal.Account) ([]byte, error) {
	money := func(m journal.Sums) map[string]string {
		out := map[string]string{}
		for _, c := range m.Order {
			out[c] = numeral.Decimal(m.Amount[c])
		}
		return out
	}
	r := partsRecord{ChangeCost: money(a.Change), VehicleCost: money(a.Vehicle), TakenOffCost: money(a.Off), UsedUpCost: money(a.UsedUp), BroughtCost: money(a.Brought), Unweighed: a.Unweighed}
	r.Unpriced.Change, r.Unpriced.Vehicle = a.UnpricedChange, a.UnpricedVehicle
	if a.Mass.Known() {
		m := massRecord{Value: float64(a.Mass.Value), Unit: quantity.Mass.BaseUnit()}
		if u := float64(a.Mass.U); u >= 0 {
			m.U = &u
		}
		r.PartsMass = &m
	}
	for _, f := range a.Fates {
		t := fateRecord{Name: f.Name, How: string(f.How), Pieces: f.Pieces, Untold: f.Untold}
		if f.Each != nil {
			t.Each, t.Currency = numeral.Decimal(f.Each), f.Paid
		}
		r.Parts = append(r.Parts, t)
	}
	text, err := json.MarshalIndent(r, "", " ")
	return append(text, '\n'), err
}
