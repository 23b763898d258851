package runlog

import "time"

// Day is the day of the first row that was read, by the log's own dates; ok is false before the first row, and where the log has no
// dates or leaves open which of their numbers is the month. Times that name a zone, and those that count from an epoch, give the day
// in UTC.
func (s *Scanner) Day() (year, month, day int, ok bool) {
	t := &s.times[0]
	switch t.form {
	case timeDateTime, timeDayFirst, timeMonthFirst, timeMonthName, timeUnix, timeUnixMilliseconds, timeUnixMicroseconds:
	default:
		return 0, 0, 0, false
	}
	if t.rows == 0 || t.either {
		return 0, 0, 0, false
	}
	y, m, d := time.Unix(t.first.whole, 0).UTC().Date()
	return y, int(m), d, true
}
