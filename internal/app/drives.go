package app

import (
	"voltwright/internal/journal"
	"voltwright/internal/ride"
)

// driveVersions computes how every version of the journal drives that states
// anything of a drive.
func driveVersions(j *journal.Journal, results *journal.Results) {
	results.Drives = map[string]*ride.Driven{}
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if d := v.Driving(results); d != nil {
				results.Drives[v.Path()] = d
			}
		}
	}
}
