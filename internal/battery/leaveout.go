package battery

import (
	"errors"
	"math"
	"slices"
	"sync"
)

// LeftOut tells what an estimate would be without one of the logs that taught it. The logs are looked at once, near the values
// that they all taught: a log's rows are taken out of the sums of all, and the steps from there (7 to 40 on measured logs) come to where a
// calibration on the others comes to, to a small part of its uncertainty. Where the others could have led
// elsewhere, none of them ran the cell down, or they were made at unlike
// temperatures, it is that calibration. Several may ask at once.
type LeftOut struct {
	typical *Estimate // before any log
	all     *Estimate

	once  sync.Once
	fit   *fit
	free  []int
	lines *lines
	err   error
}

// LeavingOut is for the estimate all, which learned from typical.
func LeavingOut(typical, all *Estimate) *LeftOut { return &LeftOut{typical: typical, all: all} }

// look follows the logs with their tangents.
func (l *LeftOut) look() error {
	l.once.Do(func() {
		if l.fit, l.err = l.all.typical.fitOf(l.all.logs, l.all.stated); l.err == nil {
			l.free = l.fit.electricUnknowns()
			l.lines, l.err = l.fit.linesAt(electric, l.free, l.all.xi)
		}
	})
	return l.err
}

// Without is the calibration on all logs but one, by its place among Logs. It is an error where there is no such log, no other, or no load
// in the others.
func (l *LeftOut) Without(place int) (*Calibration, error) {
	if place < 0 || place >= len(l.all.logs) || len(l.all.logs) < 2 {
		return nil, errors.New("there is no other log to calibrate on")
	}
	others := slices.Delete(slices.Clone(l.all.logs), place, place+1)
	anew := func() (*Calibration, error) { return l.typical.Calibrate(others...) }
	if len(l.typical.logs) > 0 || l.look() != nil || math.Abs(l.all.xi[places.capacity]) > labelHolds {
		return anew()
	}
	f := &fit{typical: l.fit.typical, stated: l.fit.stated, doubts: 1, size: l.fit.typical.counted(others)}
	f.logs = slices.Delete(slices.Clone(l.fit.logs), place, place+1)
	free := f.electricUnknowns()
	if f.size != l.fit.size || !f.loaded() || f.decisive() > 0 || f.unlikeTemperatures() || !slices.Equal(free, l.free) || slices.Contains(free, places.peukert) {
		return anew()
	}
	after := (&Estimate{typical: l.all.typical, logs: others, stated: l.all.stated}).fixed()
	cal := &Calibration{Before: l.typical, After: after, AssumedFull: f.assumedFull()}
	at := &candidate{xi: slices.Clone(l.all.xi)}
	for _, i := range thermalUnknowns() {
		at.xi[i] = l.typical.xi[i]
	}
	rest := 1.0
	for n := range reweighings {
		if n == 0 {
			at.at = l.lines.system(free, at.xi, f.doubts, place)
		}
		steps, err := f.descend(electric, free, at)
		if err != nil {
			return nil, err
		}
		cal.Steps += steps
		rest = f.misfit(at.xi)
		cal.Misfit = rest * f.doubts * f.doubts
		after.misfit = cal.Misfit
		if rest <= enoughDoubt {
			return cal, f.learn(after, at.xi, free, rest)
		}
		if cal.Misfit > contradict {
			return anew()
		}
		f.doubts *= math.Sqrt(rest)
		at.at = nil
	}
	return cal, f.learn(after, at.xi, free, 1)
}
