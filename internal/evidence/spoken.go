package evidence

import (
	"math"
	"strconv"
	"strings"

	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// unitAtEnd is the unit behind a number, "ah" of 9.4ah.
var unitAtEnd = lazily(`^(.*\d) ?(\pL+)$`)

// ownCase writes the unit of an amount as it is written by the book where letter case says nothing: 9.4ah of a charge is 9.4 Ah.
func ownCase(text string, d quantity.Dimension) (string, bool) {
	m := unitAtEnd().FindStringSubmatch(text)
	if m == nil {
		return "", false
	}
	u, ok := quantity.FindUnitAs(m[2], d)
	if !ok {
		return "", false
	}
	return m[1] + " " + u.Symbol(), true
}

// thingOf is a thing that is named by its rating: a 20-amp fuse, the 10 Ah pack.
var thingOf = lazily(`(?i)^(an?|the) (.*\d.*?)[ -]((?:blade |main |motor )?fuse|pack|battery|cells?|charger|cutout|controller|motor|lead|cable|wire|supply|lamp|load|wheels?)$`)

// ratingOf reads the rating that a thing is named by.
func ratingOf(text string, s Subject) (amount, bool) {
	m := thingOf().FindStringSubmatch(text)
	if m == nil {
		return amount{}, false
	}
	a, err := amountOf(strings.ReplaceAll(m[2], "-", " "), s)
	if err != nil {
		return amount{}, false
	}
	write := a.write
	a.write = func(x float64, to func(float64) float64) string {
		if words := write(x, to); words != "" {
			return m[1] + " " + words + " " + m[3]
		}
		return ""
	}
	return a, true
}

// colon is a time of two numbers, which is read as minutes and seconds.
var colon = lazily(`^(\d{1,3}):([0-5]\d)$`)

// hoursMinutes tells whether a time of two numbers would be true as hours and minutes.
func hoursMinutes(words string, v value.Value) (hours, minutes int, is bool) {
	m := colon().FindStringSubmatch(strings.TrimSpace(words))
	if m == nil || quantityOf(v).Dimension != quantity.Time {
		return 0, 0, false
	}
	hours, _ = strconv.Atoi(m[1]) // digits
	minutes, _ = strconv.Atoi(m[2])
	const minute = 60 // s
	return hours, minutes, math.Abs(v.Number()-float64(60*hours+minutes)*minute) <= minute/2
}
