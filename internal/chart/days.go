package chart

import (
	"math"
	"strconv"
	"time"
)

// Days is a calendar day as an axis of the format [Day] counts it: days from 1 January 1970.
func Days(year int, month time.Month, day int) float64 {
	return float64(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / secondsADay)
}

const secondsADay = 24 * 60 * 60

func dayOf(v float64) time.Time { return time.Unix(int64(math.Floor(v))*secondsADay, 0).UTC() }

// dayStep is a distance of ticks on a calendar. Ticks stand on the first day of a month or of a year, or so many days
// after the first of a month.
type dayStep struct{ days, months, years int }

// daySteps are the distances, the shortest first; beyond them the years double.
var daySteps = []dayStep{{days: 1}, {days: 2}, {days: 7}, {days: 14}, {months: 1}, {months: 2}, {months: 3}, {months: 6},
	{years: 1}, {years: 2}, {years: 5}, {years: 10}, {years: 20}, {years: 50}, {years: 100}}

// ticks are the days from lo to hi that the step falls on, no more than most and one.
func (s dayStep) ticks(lo, hi float64, most int) []float64 {
	var out []float64
	first := dayOf(lo)
	put := func(v float64) {
		if v >= lo-1e-9 {
			out = append(out, v)
		}
	}
	year, month := first.Year(), first.Month()
	if s.years > 0 {
		year -= ((year % s.years) + s.years) % s.years
	}
	if s.days == 0 {
		month = time.January
	}
	for len(out) <= most {
		start := Days(year, month, 1)
		if start > hi+1e-9 {
			break
		}
		switch {
		case s.years > 0:
			put(start)
			year += s.years
		case s.months > 0:
			put(start)
			month += time.Month(s.months)
		default:
			for day := 1; day+s.days/2 <= daysIn(year, month); day += s.days {
				if v := Days(year, month, day); v <= hi+1e-9 {
					put(v)
				}
			}
			month++
		}
		if month > time.December {
			year, month = year+1, time.January
		}
	}
	return out
}

func daysIn(year int, month time.Month) int {
	return time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// dayScale makes the scale of days from lo to hi with at most `want` ticks. The head of the axis names the year where all
// days lie in one.
func dayScale(lo, hi float64, want int) scale {
	if lo == hi {
		hi = lo + 1
	}
	s := scale{min: lo, max: hi, step: hi - lo}
	for _, step := range daySteps {
		if s.ticks = step.ticks(lo, hi, want); len(s.ticks) <= want {
			break
		}
	}
	for _, v := range s.ticks {
		s.labels = append(s.labels, dayLetters(v, len(s.ticks) > 1 && s.ticks[1]-s.ticks[0] < 28))
	}
	if from, to := dayOf(lo), dayOf(hi); from.Year() == to.Year() {
		s.unit = strconv.Itoa(from.Year())
	}
	return s
}

// dayLetters letters a tick: a year on its first day, else the month, with the day where ticks are closer than months.
func dayLetters(v float64, close bool) string {
	t := dayOf(v)
	switch {
	case t.YearDay() == 1:
		return strconv.Itoa(t.Year())
	case close || t.Day() > 1:
		return t.Format("2 Jan")
	}
	return t.Format("Jan")
}
