package partslist

import (
	"math/big"

	"voltwright/internal/journal"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Face is a version's parts in one line: how many lines, what the vehicle as it stands cost and what the change did.
func Face(rd *reading.Reader, v *journal.Version, rows int) []numeral.Phrase {
	out := []numeral.Phrase{numeral.Say(numeral.Count(rows, "line"))}
	a := rd.Journal.Account(v)
	if words := SumWords(a.Vehicle, a.UnpricedVehicle); words != "" {
		out = append(out, numeral.Say(": the vehicle as it stands "), numeral.SayNumber(numeral.Amount(words, numeral.Computed, "")))
		if v.Before != nil && len(v.Before.Parts) > 0 {
			change := SumWords(a.Change, a.UnpricedChange)
			if change == "" && a.UnpricedChange == 0 {
				change = numeral.Money(new(big.Rat), rd.Journal.Currency.Text)
			}
			if change != "" {
				out = append(out, numeral.Say("; the change "), numeral.SayNumber(numeral.Amount(change, numeral.Computed, "")))
			}
		}
	}
	return append(out, numeral.Say("."))
}
