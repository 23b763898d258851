package app

import (
	"voltwright/internal/journal"
	"voltwright/internal/ride"
)

// predictVersions computes the answers for every version of the journal that
// states a pack.
func predictVersions(j *journal.Journal, results *journal.Results) {
	results.Predictions = map[string]*ride.Answers{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if len(v.Packs) > 0 {
				results.Predictions[v.Path()] = v.Predict(results)
			}
		}
	}
}
