package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// likely is a likely reading of a column that does not fit the others: what it looks like and what to write.
type likely struct{ looks, write string }

// formScale is what one unit of a numeric form of time is worth, in s.
var formScale = map[timeForm]float64{
	timeSeconds: 1, timeMilliseconds: 1e-3, timeMicroseconds: 1e-6, timeMinutes: 60, timeHours: 3600,
	timeUnix: 1, timeUnixMilliseconds: 1e-3, timeUnixMicroseconds: 1e-6,
}

// likelyForm finds the form of time under which the log's time would be ratio times shorter.
func likelyForm(d *Dialect, ratio float64) (likely, bool) {
	form, ok := parseTimeForm(d.TimeForm)
	scale := formScale[form]
	if !ok || scale == 0 {
		if form == timeHoursMinutes && near2(ratio, 60) {
			return likely{"these times look like minutes and seconds", "say `time: minutes-seconds`"}, true
		}
		if form == timeMinutesSeconds && near2(ratio, 1.0/60) {
			return likely{"these times look like hours and minutes", "say `time: hours-minutes`"}, true
		}
		return likely{}, false
	}
	for _, other := range []timeForm{timeSeconds, timeMilliseconds, timeMicroseconds, timeMinutes, timeHours} {
		if other != form && near2(ratio, scale/formScale[other]) {
			return likely{fmt.Sprintf("these times look like %s", other.word()), fmt.Sprintf("say `time: %s`", other.word())}, true
		}
	}
	return likely{}, false
}

// likelyUnit finds the unit of a channel under which its values would be ratio times smaller.
func likelyUnit(d *Dialect, c Channel, ratio float64) (likely, bool) {
	var column *Column
	for k := range d.Columns {
		if d.Columns[k].Channel == c {
			column = &d.Columns[k]
		}
	}
	if column == nil || c.Unit() == "" {
		return likely{}, false
	}
	now := unitOf(c.Unit())
	if u := findUnit(column.Unit); u != nil && u.Dimension() == c.Dimension() {
		now = u
	}
	worth := func(u *unit) float64 { return u.Base(1) - u.Base(0) }
	for k := range units {
		u := &units[k]
		if u.Dimension() != c.Dimension() || u.Symbol() == now.Symbol() || c.Dimension() == quantity.Temperature {
			continue
		}
		if near2(ratio, worth(now)/worth(u)) {
			head := column.Name
			if head == "" {
				head = fmt.Sprintf("#%d", column.Number)
			}
			return likely{fmt.Sprintf("the %s looks like %s", c, u.Symbol()), fmt.Sprintf("say `%s: \"%s [%s]\"` under `columns:`", c, head, u.Symbol())}, true
		}
	}
	return likely{}, false
}

// near2 says whether a ratio is a factor within a tenth.
func near2(ratio, factor float64) bool { return math.Abs(ratio/factor-1) <= 0.1 }

// either joins likely readings to a sentence and a remedy.
func either(found []likely, otherwise string) (looks, remedy string) {
	for k, f := range found {
		if k > 0 {
			looks, remedy = looks+", or ", remedy+"; or "
		} else {
			looks = "; "
		}
		looks, remedy = looks+f.looks, remedy+f.write
	}
	if len(found) == 0 {
		return "", otherwise
	}
	return looks, remedy
}

// likely gathers the readings that would bring ratio to one: of the time, and of the channels.
func (h *hearing) likely(ratio float64, time bool, channels ...Channel) []likely {
	var found []likely
	if time && !h.timeHolds {
		if f, ok := likelyForm(h.dialect, ratio); ok {
			found = append(found, f)
		}
	}
	for _, c := range channels {
		if (c == Current || c == Voltage) && h.powerHolds {
			continue
		}
		if f, ok := likelyUnit(h.dialect, c, ratio); ok {
			found = append(found, f)
		}
	}
	return found
}
