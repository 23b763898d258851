package study

import (
	"math"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// BankResistance is the resistance of a version's packs side by side, and what
// it rests on where not every pack states one: "learned from its runs, after 10 s
// of load", or "typical of … of this capacity" for the packs without one, the capacity
// being what the runs showed where they did. It is missing where a pack neither states
// it nor lets it be guessed.
func BankResistance(v *journal.Version, answers *predict.Prediction) (r quantity.Measured[quantity.Ohms], taken string) {
	if of, ok := learnedResistance(v, answers); ok {
		return of, predict.LearnedFromRuns
	}
	return Bank(v).Holding(answers).ResistanceTaken()
}

// LeastOf is the least that a taken resistance may be: less its expanded
// uncertainty, but a third at least, where a guess is so wide that nothing would
// be left (our own choice).
func LeastOf(r quantity.Measured[quantity.Ohms]) quantity.Ohms {
	return quantity.Ohms(math.Max(float64(r.Value-r.Expanded()), float64(r.Value)/3))
}

// learnedResistance is what the version's logs taught of all its packs. One logger
// sees all packs as one, so the packs have to be alike, none with a resistance of
// its own stated.
func learnedResistance(v *journal.Version, answers *predict.Prediction) (quantity.Measured[quantity.Ohms], bool) {
	none := quantity.Missing[quantity.Ohms]()
	if answers == nil || !answers.Basis.Calibrated {
		return none, false
	}
	for i := range v.Packs {
		p, first := &v.Packs[i], &v.Packs[0]
		if p.Resistance.Known() || !alikePacks(p, first) {
			return none, false
		}
	}
	for _, value := range answers.Basis.Values {
		if value.Name == predict.ResistanceAfter10s {
			return quantity.Of(quantity.Ohms(value.Quantity.Value), quantity.Ohms(value.Quantity.U)), true
		}
	}
	return none, false
}

// sameAge says whether less than a year lies between two dates, or neither is known.
func sameAge(a, b notes.Date) bool {
	months := 12*(a.Year-b.Year) + int(a.Month-b.Month)
	return a.Set == b.Set && months > -12 && months < 12
}

// alikePacks says whether two packs are made of the same cells in the same number and of one age, so that they have one
// resistance.
func alikePacks(p, other *journal.Pack) bool {
	return p.Chemistry.Value == other.Chemistry.Value && p.Series.Or(0) == other.Series.Or(0) && p.Parallel.Or(1) == other.Parallel.Or(1) &&
		(p.Capacity.Value == other.Capacity.Value || !p.Capacity.Known() && !other.Capacity.Known()) && sameAge(p.Made, other.Made) &&
		asNew(p) && asNew(other)
}

// asNew tells a pack of which nothing is stated as found: one that was used, dropped or mended is like no other.
func asNew(p *journal.Pack) bool { return len(p.AsFound) == 0 && p.Used == nil }
