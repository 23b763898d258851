package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Forms of a time written in parts; they stand in Quantity.Unit.
const (
	toTheMinute = "h min"
	toTheSecond = "h min s"
)

// longestClock bounds what is split into hours; 30 million years.
const longestClock = 1_000_000_000_000_000

// noValue is printed where there is none.
const noValue = "no value"

// Clock writes a time in hours, minutes and seconds, "2 h 7 min 30.5 s", with
// the digits that a resolution (in seconds) gives: to the hundredth for 0.01,
// to the minute for 60, to the hour for 3600; a resolution between two powers
// of ten counts as the lower. Without a resolution (0 or NaN) every digit of s
// is written. Rounding carries: 59.996 s at 0.01 is "1 min 0.00 s". Leading
// zero parts are left out.
func Clock(s Seconds, resolution Seconds) string {
	v, step := math.Abs(float64(s)), float64(resolution)
	if !finite(v) {
		return noValue
	}
	var text string
	switch {
	case v >= longestClock || !(step > 0):
		return clockExact(float64(s), -1, toTheSecond)
	case step >= secondsPerHour:
		text = strconv.FormatFloat(math.Round(v/secondsPerHour), 'f', 0, 64) + " h"
	case step >= secondsPerMinute:
		text = minutesText(uint64(math.Round(v / secondsPerMinute)))
	default:
		place := int(math.Floor(math.Log10(step) + 1e-9))
		text = secondsText(fixed(v, max(place, -9)))
	}
	if s < 0 && strings.ContainsAny(text, "123456789") {
		return "-" + text
	}
	return text
}

const secondsPerMinute = 60

// minutesText writes whole minutes: "2 h 7 min".
func minutesText(minutes uint64) string {
	text := strconv.FormatUint(minutes%60, 10) + " min"
	if minutes >= 60 {
		text = strconv.FormatUint(minutes/60, 10) + " h " + text
	}
	return text
}

// secondsText splits seconds in plain decimals: "7650.5" is "2 h 7 min 30.5 s".
func secondsText(decimal string) string {
	whole, fraction, found := strings.Cut(decimal, ".")
	if found {
		fraction = "." + fraction
	}
	n, err := strconv.ParseUint(whole, 10, 64)
	if err != nil || n < secondsPerMinute {
		return decimal + " s"
	}
	return minutesText(n/60) + " " + strconv.FormatUint(n%60, 10) + fraction + " s"
}

// clockExact writes every digit of v, with at least the given decimals.
func clockExact(v float64, decimals int, form string) string {
	text := layOut(strconv.FormatFloat(math.Abs(v), 'e', -1, 64), 0, decimals)
	switch {
	case math.Abs(v) >= longestClock || strings.Contains(text, "e"):
		text += " s"
	case form == toTheMinute && math.Mod(v, secondsPerMinute) == 0:
		text = minutesText(uint64(math.Abs(v)) / secondsPerMinute)
	default:
		text = secondsText(text)
	}
	if v < 0 {
		return "-" + text
	}
	return text
}

// The parts of a time and the next larger, in seconds.
var timeParts = []struct {
	symbol        string
	seconds, full uint64 // full: how many make the next larger part
}{
	{"d", 86400, 0}, {"h", 3600, 24}, {"min", 60, 60}, {"s", 1, 60},
}

// timeInParts reads "2 h 7 min 30.5 s". is tells whether the text looks like
// that at all; if not, the error is for another to give.
func (p *parser) timeInParts(v part) (q Quantity, err *ParseError, is bool) {
	rest, negative := v, false
	for _, minus := range []string{"-", "−"} {
		if strings.HasPrefix(v.text, minus) {
			rest, negative = v.from(len(minus)).trim(), true
		}
	}
	var total uint64
	last, first := -1, true
	for rest.text != "" {
		n, length, f := readNumber(rest.text)
		if f != nil {
			return q, p.fail(rest.at+f.at, f.reason), !first
		}
		number := rest.upTo(length)
		rest = rest.from(length).trim()
		i, used := readTimePart(rest.text, last)
		if i < 0 {
			if first {
				return q, nil, false
			}
			return q, p.fail(number.at, strconv.Quote(part{p.text[number.at:], 0}.trim().text)+" does not go on as a time does; one is written "+Time.Example()), true
		}
		end := rest.from(used).trim()
		if i <= last {
			return q, p.fail(rest.at, "the parts of a time go from large to small: "+Time.Example()), true
		}
		if end.text == "" {
			return p.lastPart(n, number, i, last, total, negative)
		}
		if !n.whole {
			return q, p.fail(number.at, "only the last part of a time may have a decimal point"), true
		}
		count, failed := strconv.ParseUint(n.text, 10, 64)
		if failed != nil || count > longestClock/timeParts[i].seconds {
			return q, p.fail(number.at, "the number is out of range"), true
		}
		if err := p.fits(count, number, i, last); err != nil {
			return q, err, true
		}
		total += count * timeParts[i].seconds
		rest, last, first = end, i, false
	}
	return q, p.fail(rest.at, "a part of the time is missing"), true
}

// fits refuses 75 minutes after hours, which are a slip of the pen.
func (p *parser) fits(count uint64, number part, i, last int) *ParseError {
	if full := timeParts[i].full; last >= 0 && last == i-1 && count >= full {
		return p.fail(number.at, number.text+" "+timeParts[i].symbol+" after "+timeParts[last].symbol+
			" is too much; it goes up to "+strconv.FormatUint(full-1, 10))
	}
	return nil
}

func (p *parser) lastPart(n number, at part, i, last int, total uint64, negative bool) (Quantity, *ParseError, bool) {
	whole, fraction, _ := strings.Cut(n.text, ".")
	count, err := strconv.ParseUint(whole, 10, 64)
	if err != nil || strings.Contains(fraction, "e") || count > longestClock {
		return Quantity{}, p.fail(at.at, "the number is out of range"), true
	}
	if err := p.fits(count, at, i, last); err != nil {
		return Quantity{}, err, true
	}
	q := Quantity{Dimension: Time, Decimals: n.decimals}
	if timeParts[i].symbol == "s" {
		q.Value, q.Unit = secondsFrom(total+count, fraction), toTheSecond
	} else {
		smallest, ok := bySymbol[timeParts[i].symbol].base(n.text, false)
		if !ok {
			return Quantity{}, p.fail(at.at, "the number is out of range"), true
		}
		q.Value, q.Unit = float64(total)+smallest, toTheMinute
		if fraction != "" || math.Mod(q.Value, secondsPerMinute) != 0 {
			q.Unit = toTheSecond
		}
		q.Decimals = 0
	}
	return settleTime(q, negative), nil, true
}

// secondsFrom puts whole seconds and the digits after the point together
// without a rounding between.
func secondsFrom(whole uint64, fraction string) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatUint(whole, 10)+"."+fraction+"0", 64)
	return v
}

// settleTime gives a time too short for its form the unit it prints in.
func settleTime(q Quantity, negative bool) Quantity {
	switch {
	case q.Unit == toTheSecond && q.Value < secondsPerMinute:
		q.Unit = "s"
	case q.Unit == toTheMinute && q.Value < secondsPerHour:
		q.Unit = "min"
	}
	if negative && q.Value != 0 {
		q.Value = -q.Value
	}
	return q
}

// readTimePart finds which part a text begins with. After hours or days, m
// can only be minutes.
func readTimePart(text string, last int) (index, length int) {
	end := 0
	for end < len(text) && (text[end] >= 'a' && text[end] <= 'z') {
		end++
	}
	name := text[:end]
	if name == "m" && last >= 0 {
		name = "min"
	}
	s := byName[name]
	if s == nil {
		return -1, 0
	}
	for i, t := range timeParts {
		if t.symbol == s.symbol {
			return i, end
		}
	}
	return -1, 0
}

// clock reads "2:07:30.5" as h:mm:ss and "7:30" as m:ss.
func (p *parser) clock(v part) (Quantity, *scale, *ParseError) {
	text, negative := v.text, false
	for _, minus := range []string{"-", "−"} {
		if rest, is := strings.CutPrefix(text, minus); is {
			text, negative = rest, true
		}
	}
	fields := strings.Split(text, ":")
	seconds, fraction, _ := strings.Cut(fields[len(fields)-1], ".")
	fields[len(fields)-1] = seconds
	if len(fields) > 3 {
		return Quantity{}, nil, p.fail(v.at, "a time with colons is h:mm:ss or m:ss")
	}
	var total uint64
	for i, field := range fields {
		n, err := strconv.ParseUint(field, 10, 64)
		if err != nil || n > longestClock/3600 || (i > 0 && (len(field) != 2 || n > 59)) {
			return Quantity{}, nil, p.fail(v.at, strconv.Quote(v.text)+" is no time; with colons it is h:mm:ss or m:ss, minutes and seconds from 00 to 59")
		}
		total = total*60 + n
	}
	if strings.Trim(fraction, "0123456789") != "" || len(fraction) > maxDecimals {
		return Quantity{}, nil, p.fail(v.at, strconv.Quote(v.text)+" is no time; with colons it is h:mm:ss or m:ss")
	}
	q := Quantity{Dimension: Time, Value: secondsFrom(total, fraction), Unit: toTheSecond, Decimals: len(fraction)}
	return settleTime(q, negative), bySymbol["s"], nil
}
