package runlog

import (
	"bytes"
	"math"
	"time"
)

// timeForm is a way of writing the time of a row.
type timeForm uint8

const (
	timeUnknown timeForm = iota
	timeSeconds
	timeMilliseconds
	timeMicroseconds
	timeMinutes
	timeHours
	timeDays
	timeNanoseconds
	timeClock          // h:mm:ss
	timeMinutesSeconds // m:ss
	timeHoursMinutes   // h:mm
	timeDateTime       // year first, ISO 8601 and RFC 3339 or with a blank or a slash
	timeDayFirst
	timeMonthFirst
	timeMonthName
	timeUnix
	timeUnixMilliseconds
	timeUnixMicroseconds
	timeSplit // whole seconds in one column, nanoseconds in another
	timeStep  // no column: row number times the step

	timeForms = int(iota)
)

// timeFormFacts holds the word by which a form is stated and how a dialect
// describes it.
var timeFormFacts = [timeForms]struct{ word, description string }{
	timeSeconds:          {"seconds", "time in seconds"},
	timeMilliseconds:     {"milliseconds", "time in milliseconds"},
	timeMicroseconds:     {"microseconds", "time in microseconds"},
	timeMinutes:          {"minutes", "time in minutes"},
	timeHours:            {"hours", "time in hours"},
	timeDays:             {"days", "time in days"},
	timeNanoseconds:      {"nanoseconds", "time in nanoseconds"},
	timeClock:            {"clock", "time as h:mm:ss"},
	timeMinutesSeconds:   {"minutes-seconds", "time as m:ss"},
	timeHoursMinutes:     {"hours-minutes", "time as h:mm"},
	timeDateTime:         {"date-time", "time as date and clock, year first"},
	timeDayFirst:         {"day-first", "time as date and clock, day first"},
	timeMonthFirst:       {"month-first", "time as date and clock, month first"},
	timeMonthName:        {"month-name", "time as date and clock, month by its name"},
	timeUnix:             {"unix", "time in seconds since 1970"},
	timeUnixMilliseconds: {"unix-milliseconds", "time in milliseconds since 1970"},
	timeUnixMicroseconds: {"unix-microseconds", "time in microseconds since 1970"},
	timeSplit:            {"", "time in whole seconds and nanoseconds, two columns"},
	timeStep:             {"", "no time column"},
}

// TimeFormats lists the words that Options.TimeFormat may be.
func TimeFormats() []string {
	var words []string
	for _, f := range timeFormFacts {
		if f.word != "" {
			words = append(words, f.word)
		}
	}
	return words
}

func parseTimeForm(word string) (timeForm, bool) {
	for i, f := range timeFormFacts {
		if word != "" && f.word == word {
			return timeForm(i), true
		}
	}
	return timeUnknown, false
}

// numeric says whether the form is a plain number.
func (f timeForm) numeric() bool {
	switch f {
	case timeSeconds, timeMilliseconds, timeMicroseconds, timeMinutes, timeHours, timeDays, timeNanoseconds,
		timeUnix, timeUnixMilliseconds, timeUnixMicroseconds:
		return true
	}
	return false
}

// dated says whether the form names a day.
func (f timeForm) dated() bool {
	return f == timeDateTime || f == timeDayFirst || f == timeMonthFirst || f == timeMonthName
}

// clocked says whether the form is a time of day that may pass midnight.
func (f timeForm) clocked() bool { return f == timeClock || f == timeHoursMinutes }

// stamp is a time with its whole seconds apart, so that a fraction of a second
// keeps its digits beside the seconds of fifty years.
type stamp struct {
	whole int64
	part  float64
}

// since is the time from b to a in seconds.
func (a stamp) since(b stamp) float64 { return float64(a.whole-b.whole) + (a.part - b.part) }

// plus adds what another field of the same time says.
func (a stamp) plus(b stamp) stamp { return stamp{a.whole + b.whole, a.part + b.part} }

// turned is the same date with day and month the other way round.
func (f timeForm) turned() timeForm {
	switch f {
	case timeDayFirst:
		return timeMonthFirst
	case timeMonthFirst:
		return timeDayFirst
	}
	return f
}

// settle takes the next stamp of a time. Where day and month may stand either way round, both are followed; the first row
// at which they differ in the time since the row before shows it: the shorter one is it.
func (x *rowTimes) settle(s *stamp, other stamp) {
	x.rows++
	if x.either && x.rows > 1 {
		a, b := s.since(x.last), other.since(x.lastTurned)
		if a != b {
			x.either = false
			if b >= 0 && (b < a || a < 0) {
				x.form = x.form.turned()
				x.shift = x.last.since(x.lastTurned) // so that the time runs on
				*s = other
			}
		}
	}
	x.lastTurned = other
	s.part += x.shift
	x.last = *s
	if x.rows == 1 {
		x.first = *s
	}
}

// greatestTime is the greatest time in seconds that is taken for one: beyond
// it a float64 cannot tell tenths of a millisecond.
const greatestTime = 1e12

// usable says whether the stamp is a time that can be counted with.
func (a stamp) usable() bool {
	return math.Abs(a.part) <= greatestTime && a.whole > -greatestTime && a.whole < greatestTime
}

// numericStamp turns a number of the form into a stamp.
func (f timeForm) numericStamp(v float64) stamp {
	switch f {
	case timeMilliseconds, timeUnixMilliseconds:
		v /= 1e3
	case timeMicroseconds, timeUnixMicroseconds:
		v /= 1e6
	case timeMinutes:
		v *= 60
	case timeHours:
		v *= 3600
	case timeDays:
		v *= 86400
	case timeNanoseconds:
		v /= 1e9
	}
	return stamp{part: v}
}

// parseStamp reads a written time of a form that is not numeric.
func (f timeForm) parseStamp(b []byte) (stamp, bool) {
	r := timeText{b: trimBlank(b)}
	switch f {
	case timeClock, timeMinutesSeconds, timeHoursMinutes:
		s, ok := r.clock(f)
		return s, ok && r.done()
	case timeDateTime, timeDayFirst, timeMonthFirst, timeMonthName:
		return r.dateTime(f)
	}
	return stamp{}, false
}

// timeText is a cursor over a written time.
type timeText struct {
	b []byte
	i int
}

func (r *timeText) done() bool { return r.i == len(r.b) }

func (r *timeText) peek() byte {
	if r.i < len(r.b) {
		return r.b[r.i]
	}
	return 0
}

func (r *timeText) take(c byte) bool {
	if r.peek() == c && c != 0 {
		r.i++
		return true
	}
	return false
}

// integer reads from low to high digits.
func (r *timeText) integer(low, high int) (int, bool) {
	v, n := 0, 0
	for n < high && isDigit(r.peek()) {
		v = v*10 + int(r.peek()-'0')
		r.i++
		n++
	}
	return v, n >= low && !isDigit(r.peek())
}

// fraction reads ".fff" or ",fff" if it is there.
func (r *timeText) fraction() (float64, bool) {
	if c := r.peek(); c != '.' && c != ',' {
		return 0, true
	}
	start := r.i
	r.i++
	for isDigit(r.peek()) {
		r.i++
	}
	if r.i == start+1 {
		return 0, false
	}
	v, _, ok := scanNumber(r.b[start:r.i], 0, 0, r.b[start])
	return v, ok
}

// clock reads a time of day or an elapsed time: h:mm:ss, h:mm or m:ss, with a
// fraction on the last part and AM or PM behind it.
func (r *timeText) clock(f timeForm) (stamp, bool) {
	days := 0
	if f == timeClock {
		days = r.days()
	}
	var parts [3]int
	n := 0
	for {
		high := 2
		if n == 0 {
			high = 6
		}
		v, ok := r.integer(1, high)
		if !ok || (n > 0 && v > 60) {
			return stamp{}, false
		}
		parts[n] = v
		n++
		if n == 3 || !r.take(':') {
			break
		}
	}
	fraction, ok := r.fraction()
	if !ok || n < 2 {
		return stamp{}, false
	}
	h, m, s := parts[0], parts[1], parts[2]
	if n == 2 {
		switch f {
		case timeMinutesSeconds:
			h, m, s = 0, parts[0], parts[1]
		case timeHoursMinutes, timeDateTime:
			if fraction != 0 {
				return stamp{}, false
			}
		default:
			return stamp{}, false
		}
	} else if f == timeMinutesSeconds || f == timeHoursMinutes {
		return stamp{}, false
	}
	if m > 59 && h > 0 || s > 60 || (f == timeClock && m > 59) {
		return stamp{}, false
	}
	if h, ok = r.half(h); !ok {
		return stamp{}, false
	}
	return stamp{int64(days)*86400 + int64(h)*3600 + int64(m)*60 + int64(s), fraction}, true
}

// days reads the days in front of a clock: "2d 03:04:05", "1 day, 3:04:05", "2.03:04:05".
func (r *timeText) days() int {
	start := r.i
	v, ok := r.integer(1, 5)
	if !ok {
		r.i = start
		return 0
	}
	if r.peek() == '.' && bytes.Count(r.b[r.i:], []byte(":")) == 2 {
		r.i++
		return v
	}
	for r.take(' ') {
	}
	word := r.i
	for c := r.peek() | 0x20; c >= 'a' && c <= 'z'; c = r.peek() | 0x20 {
		r.i++
	}
	switch string(bytes.ToLower(r.b[word:r.i])) {
	case "d", "day", "days", "tag", "tage", "t", "j":
		for r.take(',') || r.take(' ') {
		}
		return v
	}
	r.i = start
	return 0
}

// half applies AM or PM to an hour: "PM", "p.m.", "pm".
func (r *timeText) half(h int) (int, bool) {
	mark := bytes.ToLower(bytes.ReplaceAll(trimBlank(r.b[r.i:]), []byte("."), nil))
	if len(mark) < 2 || mark[1] != 'm' || mark[0] != 'a' && mark[0] != 'p' || len(mark) > 2 && mark[2] != ' ' {
		return h, true
	}
	if h < 1 || h > 12 {
		return 0, false
	}
	end := bytes.LastIndexAny(r.b[r.i:], "mM")
	r.i += end + 1
	r.take('.')
	h %= 12
	if mark[0] == 'p' {
		h += 12
	}
	return h, true
}

// dateTime reads a date and, behind it, a time of day and a zone. Without a
// zone the time is taken as it stands: only differences are used.
func (r *timeText) dateTime(f timeForm) (stamp, bool) {
	year, month, day, ok := r.date(f)
	if !ok {
		return stamp{}, false
	}
	s := stamp{whole: midnight(year, month, day).Unix()}
	if r.done() {
		return s, true
	}
	if c := r.peek(); c != 'T' && c != 't' && c != ' ' && c != '_' && c != ',' {
		return stamp{}, false
	}
	for r.i++; r.take(' ') || r.take('-') || r.take('\t'); {
	}
	t, ok := r.clock(timeDateTime)
	if !ok || t.whole > 86400 {
		return stamp{}, false
	}
	s.whole += t.whole
	s.part = t.part
	for r.take(' ') {
	}
	offset, ok := r.zone()
	s.whole -= int64(offset)
	return s, ok && r.done()
}

// date reads a date in the order of the form.
func (r *timeText) date(f timeForm) (year, month, day int, ok bool) {
	if f == timeDateTime && len(r.b) >= 8 && isDigit(r.b[4]) { // 20260412
		all, good := r.integer(8, 8)
		year, month, day = all/10000, all/100%100, all%100
		return year, month, day, good && validDate(year, month, day)
	}
	if f == timeMonthName {
		return r.namedDate()
	}
	var p [3]int
	var mark byte
	for i := range p {
		low, high := 1, 2
		if i == 0 && f == timeDateTime {
			low, high = 4, 4
		} else if i == 2 && f != timeDateTime {
			low, high = 2, 4
		}
		if p[i], ok = r.integer(low, high); !ok {
			return 0, 0, 0, false
		}
		if i == 0 {
			mark = r.peek()
			if mark != '-' && mark != '/' && mark != '.' {
				return 0, 0, 0, false
			}
		}
		if i < 2 && !r.take(mark) {
			return 0, 0, 0, false
		}
	}
	switch f {
	case timeDateTime:
		year, month, day = p[0], p[1], p[2]
	case timeDayFirst:
		day, month, year = p[0], p[1], p[2]
	default:
		month, day, year = p[0], p[1], p[2]
	}
	return fullYear(year), month, day, validDate(fullYear(year), month, day)
}

func fullYear(year int) int {
	if year < 100 {
		return year + 2000
	}
	return year
}

// zone reads Z, +hh:mm, +hhmm or +hh and gives the offset in seconds.
func (r *timeText) zone() (int, bool) {
	if r.done() || r.take('Z') || r.take('z') {
		return 0, true
	}
	sign := 1
	switch {
	case r.take('-'):
		sign = -1
	case !r.take('+'):
		return 0, false
	}
	rest := r.b[r.i:]
	h, m, ok := 0, 0, true
	if len(rest) == 4 && isDigit(rest[2]) {
		h, ok = r.integer(4, 4)
		h, m = h/100, h%100
	} else if h, ok = r.integer(2, 2); ok && r.take(':') {
		m, ok = r.integer(2, 2)
	}
	return sign * (h*3600 + m*60), ok && h < 24 && m < 60
}

// validDate says whether there is such a day in the Gregorian calendar.
func validDate(year, month, day int) bool {
	if year < 1 || month < 1 || month > 12 {
		return false
	}
	_, m, d := midnight(year, month, day).Date()
	return int(m) == month && d == day
}

// midnight is the beginning of a day by the standard library's calendar, in which a day too many belongs to the next month.
func midnight(year, month, day int) time.Time {
	return time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
}
