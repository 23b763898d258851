package evidence

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// dayNumber counts days from 1970-01-01, the unit in which a Date is claimed.
func dayNumber(t time.Time) float64 { return float64(t.Unix()) / 86400 }

func day(year, month, date int) time.Time {
	return time.Date(year, time.Month(month), date, 0, 0, 0, 0, time.UTC)
}

// yearOfYearly is the leap year in which claims of a day of any year stand.
const yearOfYearly = 1972

// The ways in which a date is written. All are read in English, and days before
// months only where the month is a word: 4/5/2026 is two dates.
var (
	weekday   = lazily(`^(?i:(?:on )?(mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,? (\d{1,2}.+|[A-Za-z]+\.? \d.+))$`)
	isoDay    = lazily(`^(\d{4})-(\d\d)-(\d\d)$`)
	isoMonth  = lazily(`^(\d{4})-(\d\d)$`)
	onlyYear  = lazily(`^(?:the year )?(\d{4})$`)
	dayFirst  = lazily(`^(?:the )?(\d{1,2})(?:st|nd|rd|th)?(?: of)? ([A-Za-z]+\.?)(?:,? (\d{4}))?$`)
	monthDay  = lazily(`^([A-Za-z]+\.?) (\d{1,2})(?:st|nd|rd|th)?(?:, ?(\d{4}))?$`)
	monthYear = lazily(`^([A-Za-z]+\.?),? (\d{4})$`)
)

// dateOf reads a day, a month or a year. The amount's value is its first day;
// half of -1 day is never needed, since dates have claims of their own.
func dateOf(text string) (amount, error) {
	first, last, layout, err := stretchOf(text)
	if err != nil {
		return amount{}, err
	}
	low, high := dayNumber(first), dayNumber(last)
	a := amount{value: (low + high) / 2, step: high - low, half: (high - low) / 2}
	a.write = func(x float64, _ func(float64) float64) string {
		return strings.ReplaceAll(time.Unix(int64(x)*86400, 0).UTC().Format(layout), "  ", " ")
	}
	return a, nil
}

// stretchOf gives the first and the last day that a date names, and the layout it is written in.
func stretchOf(text string) (first, last time.Time, layout string, err error) {
	number := func(s string) int { n, _ := strconv.Atoi(s); return n }
	one := func(year, month, date int, layout string) (time.Time, time.Time, string, error) {
		t := day(year, month, date)
		if t.Day() != date || int(t.Month()) != month {
			return t, t, "", fmt.Errorf("%q is no day of the calendar", text)
		}
		return t, t, layout, nil
	}
	whole := func(year, month int, layout string) (time.Time, time.Time, string, error) {
		if month < 1 || month > 12 {
			return first, last, "", fmt.Errorf("%q is no month", text)
		}
		return day(year, month, 1), day(year, month+1, 0), layout, nil
	}
	if m := weekday().FindStringSubmatch(text); m != nil { // Sunday 12 April 2026
		if first, last, layout, err = stretchOf(m[2]); err == nil && !strings.HasPrefix(strings.ToLower(first.Weekday().String()), strings.ToLower(m[1])) && strings.Contains(layout, "2006") {
			err = fmt.Errorf("%s is a %s", m[2], first.Weekday())
		}
		return first, last, layout, err
	}
	if m := isoDay().FindStringSubmatch(text); m != nil {
		return one(number(m[1]), number(m[2]), number(m[3]), "2006-01-02")
	}
	if m := isoMonth().FindStringSubmatch(text); m != nil {
		return whole(number(m[1]), number(m[2]), "2006-01")
	}
	if m := onlyYear().FindStringSubmatch(text); m != nil {
		return day(number(m[1]), 1, 1), day(number(m[1]), 12, 31), "2006", nil
	}
	if m := monthYear().FindStringSubmatch(text); m != nil {
		if month, long := monthOf(m[1]); month > 0 {
			return whole(number(m[2]), month, long+" 2006")
		}
	}
	written, date, year, form := "", "", "", ""
	if m := dayFirst().FindStringSubmatch(text); m != nil {
		date, written, year, form = m[1], m[2], m[3], "2 %s 2006"
	} else if m := monthDay().FindStringSubmatch(text); m != nil {
		written, date, year, form = m[1], m[2], m[3], "%s 2, 2006"
	}
	if month, long := monthOf(written); month > 0 {
		form = fmt.Sprintf(form, long)
		if year == "" {
			return one(yearOfYearly, month, number(date), strings.TrimRight(strings.TrimSuffix(form, "2006"), " ,"))
		}
		return one(number(year), month, number(date), form)
	}
	return first, last, "", fmt.Errorf("%q is no date; one is written such as 12 April 2026, April 2026 or 2026-04-12", text)
}

// monthOf reads the name of a month, and gives the layout of names of its length.
func monthOf(word string) (month int, layout string) {
	word = strings.ToLower(strings.TrimSuffix(word, "."))
	for m := time.January; m <= time.December; m++ {
		name := strings.ToLower(m.String())
		if word == name {
			return int(m), "January"
		}
		if word == name[:3] || word == "sept" && m == time.September {
			return int(m), "Jan"
		}
	}
	return 0, ""
}

// claimOfDate is what a hedge makes of a date: a month or a year that is named
// is meant from its first to its last day.
func claimOfDate(h *hedge, text string) (Claim, error) {
	first, last, layout, err := stretchOf(text)
	if err != nil {
		return Claim{}, err
	}
	low, high := dayNumber(first), dayNumber(last)
	c := between(low, high)
	c.Yearly = !strings.Contains(layout, "2006")
	if c.Yearly && h != plainHedge {
		return Claim{}, fmt.Errorf("%q names no year", text)
	}
	from, to := h.claim(amount{value: low}), h.claim(amount{value: high})
	switch h.name {
	case "plain":
	case "over": // after April 2026
		c.Low, c.High, c.LowOpen = to.Low, to.High, true
	case "at least":
		c.Low, c.High = from.Low, from.High
	case "under":
		c.Low, c.High, c.HighOpen = from.Low, from.High, true
	case "at most":
		c.Low, c.High = to.Low, to.High
	default:
		return Claim{}, fmt.Errorf("what %q claims of a date is not settled", h.name)
	}
	return c, nil
}

// yearless puts a day into the year of yearly claims.
func yearless(x float64) float64 {
	t := time.Unix(int64(x)*86400, 0).UTC()
	return dayNumber(day(yearOfYearly, int(t.Month()), t.Day()))
}
