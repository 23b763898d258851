package app

import (
	"voltwright/internal/journal"
	"voltwright/internal/ride"
)

// wireVersions computes the wiring of every version that states one.
func wireVersions(j *journal.Journal, results *journal.Results) {
	results.Circuits = map[string]*ride.Wired{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if w := v.Wire(results); w != nil {
				results.Circuits[v.Path()] = w
			}
		}
	}
}
