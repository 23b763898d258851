package notes

import (
	"regexp"
	"strings"
)

// How sums of money are written: 34.50, 34,50, 1,234.50, 1.234,50, 1 234,50 and 1'234.50. A comma with three digits behind it may mean
// either.
var (
	pointAlone  = regexp.MustCompile(`^[+-]?\d*\.?\d*$`)
	commaAlone  = regexp.MustCompile(`^[+-]?\d+,(?:\d{1,2}|\d{4,})$`)
	pointBehind = regexp.MustCompile(`^[+-]?\d{1,3}(?:(?:,\d{3})+|(?: \d{3})+|(?:'\d{3})+)(?:\.\d+)?$`)
	commaBehind = regexp.MustCompile(`^[+-]?\d{1,3}(?:(?:\.\d{3})+|(?: \d{3})+|(?:'\d{3})+),\d+$`)
	pointGroups = regexp.MustCompile(`^[+-]?\d{1,3}(?:\.\d{3}){2,}$`)
	eitherWay   = regexp.MustCompile(`^[+-]?\d{1,3},\d{3}$`)
	spaces      = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "’", "'")
)

// plainDecimal is a number with a decimal point and nothing else, from any form that has one meaning; false where it has none, or
// two: then twice says so.
func plainDecimal(text string) (plain string, ok, twice bool) {
	text = spaces.Replace(strings.TrimSpace(text))
	without := func(marks string) string {
		return strings.Map(func(r rune) rune {
			if strings.ContainsRune(marks, r) {
				return -1
			}
			return r
		}, text)
	}
	switch {
	case pointAlone.MatchString(text):
		return text, true, false
	case eitherWay.MatchString(text):
		return "", false, true
	case commaAlone.MatchString(text), commaBehind.MatchString(text):
		return strings.Replace(without(". '"), ",", ".", 1), true, false
	case pointBehind.MatchString(text):
		return without(", '"), true, false
	case pointGroups.MatchString(text):
		return without("."), true, false
	}
	return "", false, false
}
