package runlog

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/quantity"
)

// timeChoice is what was found out about the time of a row, or why nothing
// could be: then problem and remedy say so.
type timeChoice struct {
	form            timeForm
	from            string // what was assumed or what shows it; "" if it is plain
	problem, remedy string
	suspicious      string // the values look like another unit
	unitOpen        bool   // no unit is named
	either          bool   // day and month may stand either way round
}

// unitForms are the numeric forms that a unit in the head stands for.
var unitForms = map[string]timeForm{
	"s": timeSeconds, "ms": timeMilliseconds, "µs": timeMicroseconds, "ns": timeNanoseconds, "min": timeMinutes, "h": timeHours, "d": timeDays,
}

// chooseNumericTime finds the form of a time column of numbers, given without holes.
func chooseNumericTime(values []float64, u *unit, named bool) timeChoice {
	first, whole := math.NaN(), true
	var steps []float64
	for i, v := range values {
		if i == 0 {
			first = v
		} else {
			steps = append(steps, v-values[i-1])
		}
		whole = whole && v == math.Trunc(v)
	}
	// Seconds since 1970 between the years 2001 and 2100.
	for _, epoch := range []struct {
		scale float64
		form  timeForm
	}{{1, timeUnix}, {1e3, timeUnixMilliseconds}, {1e6, timeUnixMicroseconds}} {
		if first >= 1e9*epoch.scale && first < 4.1e9*epoch.scale && (!named || unitForms[u.Symbol()] != timeMinutes && unitForms[u.Symbol()] != timeHours) {
			return timeChoice{form: epoch.form, from: "found: a number of that size is a date"}
		}
	}
	if named {
		if f, ok := unitForms[u.Symbol()]; ok {
			return timeChoice{form: f}
		}
	}
	c := timeChoice{form: timeSeconds, from: "assumed: no unit is named", unitOpen: true}
	slices.Sort(steps)
	if whole && len(steps) > 3 {
		if usual := steps[len(steps)/2]; !roundSeconds(usual) {
			c.suspicious = fmt.Sprintf("the time column names no unit and rises by %s a row; these times look like milliseconds, and as seconds every charge would be a thousand times too great", strconv.FormatFloat(usual, 'g', 4, 64))
		}
	}
	return c
}

// roundSeconds says whether an interval is one that people choose in seconds: short, or a whole number of minutes. Our own
// choice.
func roundSeconds(interval float64) bool { return interval < 50 || math.Mod(interval, 60) == 0 }

// chooseWrittenTime finds the form of a column of written times.
func chooseWrittenTime(texts [][]byte) timeChoice {
	fits := func(f timeForm) int {
		n := 0
		for _, t := range texts {
			if _, ok := f.parseStamp(t); ok {
				n++
			}
		}
		return n
	}
	if len(texts) == 0 {
		return timeChoice{problem: "the time column holds nothing"}
	}
	most := len(texts) - len(texts)/10
	if fits(timeDateTime) >= most {
		return timeChoice{form: timeDateTime}
	}
	if fits(timeMonthName) >= most {
		return timeChoice{form: timeMonthName}
	}
	if fits(timeClock) >= most {
		return timeChoice{form: timeClock}
	}
	if n := fits(timeMinutesSeconds); n >= most {
		return twoPartClock(texts)
	}
	if n := fits(timeHoursMinutes); n >= most { // with AM or PM
		return timeChoice{form: timeHoursMinutes}
	}
	day, month := fits(timeDayFirst), fits(timeMonthFirst)
	example := strings.TrimSpace(string(texts[0]))
	switch {
	case day >= most && month < day:
		return timeChoice{form: timeDayFirst, from: fmt.Sprintf("found: in %d of %d rows no month could be the other number", day-month, day)}
	case month >= most && day < month:
		return timeChoice{form: timeMonthFirst, from: fmt.Sprintf("found: in %d of %d rows no month could be the other number", month-day, month)}
	case day >= most && bytes.ContainsRune(texts[0][:min(3, len(texts[0]))], '.'):
		return timeChoice{form: timeDayFirst, from: "a date with dots"}
	case day >= most:
		return eitherDay(texts, example)
	}
	return timeChoice{problem: fmt.Sprintf("the time %q is in no form that is known", example),
		remedy: "log the time as seconds, as h:mm:ss or as 2026-04-12 10:11:12; or state its form: " + strings.Join(TimeFormats(), ", ")}
}

// eitherDay settles dates whose day and month may stand either way round by how far they reach: a log runs for the shorter
// time. Within one day there is nothing to settle yet.
func eitherDay(texts [][]byte, example string) timeChoice {
	reach := func(f timeForm) float64 {
		low, high := stamp{}, stamp{}
		for i, t := range texts {
			s, ok := f.parseStamp(t)
			switch {
			case !ok:
			case i == 0:
				low, high = s, s
			case s.since(high) > 0:
				high = s
			case low.since(s) > 0:
				low = s
			}
		}
		return high.since(low)
	}
	const clearly = 5
	day, month := reach(timeDayFirst), reach(timeMonthFirst)
	from := func(reach float64) string {
		return fmt.Sprintf("found: so the log spans %s", plain(reach, quantity.Time))
	}
	switch {
	case day*clearly < month:
		return timeChoice{form: timeDayFirst, from: from(day)}
	case month*clearly < day:
		return timeChoice{form: timeMonthFirst, from: from(month)}
	case day == month && day < 2*86400:
		return timeChoice{form: timeDayFirst, from: "or month first: both give the same times", either: true}
	}
	return timeChoice{problem: fmt.Sprintf("%q may be day first or month first: nothing in the log tells", example),
		remedy: "state it: `time: day-first` or `time: month-first`"}
}

// twoPartClock settles 12:34: a fraction behind it or a first part above 23
// that runs on makes it minutes and seconds; else it stays open.
func twoPartClock(texts [][]byte) timeChoice {
	for _, t := range texts {
		if bytes.ContainsAny(t, ".,") {
			return timeChoice{form: timeMinutesSeconds, from: "found: there are fractions of the second part"}
		}
	}
	for _, t := range texts {
		if s, ok := timeMinutesSeconds.parseStamp(t); ok && s.whole >= 24*60 {
			return timeChoice{form: timeMinutesSeconds, from: "found: the first part passes 23"}
		}
	}
	return timeChoice{problem: fmt.Sprintf("%q may be minutes and seconds or hours and minutes: nothing in the log tells", strings.TrimSpace(string(texts[0]))),
		remedy: "state it: `time: minutes-seconds` or `time: hours-minutes`"}
}

// chooseDayTime finds which of two neighbouring columns is the date and which
// the clock, and the form of the date.
func chooseDayTime(a, b [][]byte) (dateFirst bool, choice timeChoice, ok bool) {
	isClock := func(texts [][]byte) bool {
		n := 0
		for _, t := range texts {
			if _, ok := timeClock.parseStamp(t); ok {
				n++
			} else if _, ok := timeHoursMinutes.parseStamp(t); ok {
				n++
			}
		}
		return n > 0 && n >= len(texts)-len(texts)/10
	}
	switch clockA, clockB := isClock(a), isClock(b); {
	case clockB && !clockA:
		return true, chooseWrittenTime(a), true
	case clockA && !clockB:
		return false, chooseWrittenTime(b), true
	}
	return false, timeChoice{}, false
}

// stepInText finds a sample interval in the lines above the data: "1Hz",
// "10 Hz", "interval 0.5 s". It returns 0 if there is none or two that differ.
func stepInText(lines []string) (step float64, text string) {
	for _, line := range lines {
		words := strings.FieldsFunc(line, func(r rune) bool {
			return r == ' ' || r == '\t' || r == ',' || r == ';' || r == ':' || r == '=' || r == '(' || r == ')' || r == '|' || r == '"'
		})
		about := false
		for i, w := range words {
			lower := strings.ToLower(w)
			about = about || strings.Contains(lower, "interval") || strings.Contains(lower, "timestep") || strings.Contains(lower, "period") ||
				strings.Contains(lower, "sampl") || strings.Contains(lower, "delta_t") || lower == "dt" || strings.Contains(lower, "step")
			v, suffix, state := parseField([]byte(w), '.')
			if state != fieldValue || v <= 0 {
				continue
			}
			if suffix == "" && i+1 < len(words) {
				suffix = words[i+1]
			}
			found := 0.0
			if strings.EqualFold(suffix, "hz") {
				found = 1 / v
			} else if u := findUnit(suffix); about && u != nil && u.Dimension() == unitOf("s").Dimension() {
				found = u.Base(v)
			}
			if found == 0 {
				continue
			}
			if step != 0 && step != found {
				return 0, ""
			}
			step, text = found, strings.TrimSpace(w)
			if !strings.HasSuffix(w, suffix) {
				text = w + " " + suffix
			}
		}
	}
	return step, text
}
