package app

import (
	"sync"

	"voltwright/internal/journal"
	"voltwright/internal/ride"
	"voltwright/internal/safety"
)

// predictVersions computes the answers for every version of the journal that
// states a pack. The versions do not know of each other, so they are computed
// side by side; the answers are the same in any order.
func predictVersions(j *journal.Journal, results *journal.Results) {
	var versions []*journal.Version
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if len(v.Packs) > 0 {
				versions = append(versions, v)
			}
		}
	}
	answers := make([]*ride.Answers, len(versions))
	var all sync.WaitGroup
	for i, v := range versions {
		all.Go(func() {
			answers[i] = v.Predict(results, j.AsksRunTime(v))
			refuseCharger(v, answers[i])
		})
	}
	all.Wait()
	results.Predictions = map[string]*ride.Answers{}
	for i, v := range versions {
		results.Predictions[v.Path()] = answers[i]
	}
}

// refuseCharger takes the time with a version's own charger out of its answers where a rule speaks against that charger:
// nobody is told, by whatever way they ask, how long to charge with what does harm.
func refuseCharger(v *journal.Version, a *ride.Answers) {
	if rule := safety.AgainstCharger(v); rule != "" {
		a.Refuse(rule)
	}
}
