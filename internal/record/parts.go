package record

// Parts is what became of a version's parts and what they come to. Money is decimal text, by currency.
type Parts struct {
	ChangeCost   map[string]string `json:"changeCost"`   // what the change cost
	VehicleCost  map[string]string `json:"vehicleCost"`  // what the vehicle as it stands cost
	TakenOffCost map[string]string `json:"takenOffCost"` // what had been paid for what was taken off
	UsedUpCost   map[string]string `json:"usedUpCost"`   // of the change, what was used up
	BroughtCost  map[string]string `json:"broughtCost"`  // what had been paid for what came without being bought
	Unpriced     Unpriced          `json:"partsWithoutPrice"`
	PartsMass    *Mass             `json:"partsMass,omitempty"` // of the parts on the vehicle that state one
	Unweighed    int               `json:"partsWithoutMass" about:"how many"`
	Parts        []Part            `json:"parts"`
}

// Mass is a mass that may have no uncertainty.
type Mass struct {
	Value float64  `json:"value" about:"in unit"`
	Unit  string   `json:"unit"`
	U     *float64 `json:"standardUncertainty,omitempty" about:"k = 1, in unit"`
}

// Part is one line of the parts list.
type Part struct {
	Name     string `json:"name"`
	How      string `json:"how"`
	Pieces   int    `json:"pieces" about:"how many"`
	Each     string `json:"each,omitempty"`
	Currency string `json:"currency,omitempty"`
	Untold   bool   `json:"byTheListAlone,omitempty"` // taken off since the list has no line for it
}

// Unpriced is how many parts have no price.
type Unpriced struct {
	Change  int `json:"change" about:"parts of the change"`
	Vehicle int `json:"vehicle" about:"parts on the vehicle"`
}
