package runlog

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// monthNames are the months as dates write them, in English, German, French and Dutch, by the letters that tell them.
var monthNames = [12][]string{
	{"jan"}, {"feb", "fév", "fev"}, {"mar", "mär", "mae", "mrz", "mrt", "maa"}, {"apr", "avr"}, {"may", "mai", "mei"}, {"jun", "juin"},
	{"jul", "juil"}, {"aug", "aoû", "aou"}, {"sep"}, {"oct", "okt"}, {"nov"}, {"dec", "dez", "déc"},
}

// monthOf is the month of a name, or 0.
func monthOf(name string) int {
	name = strings.ToLower(name)
	for i, forms := range monthNames {
		for _, f := range forms {
			if strings.HasPrefix(name, f) && utf8.RuneCountInString(name) <= 9 {
				return i + 1
			}
		}
	}
	return 0
}

// letterRun is the word that the text begins with.
func letterRun(b []byte) []byte {
	n := 0
	for n < len(b) {
		c, size := utf8.DecodeRune(b[n:])
		if !unicode.IsLetter(c) {
			break
		}
		n += size
	}
	return b[:n]
}

// namedDate reads "23-Nov-23", "23 Nov 2023", "Nov 23, 2023", "2023-Nov-23", with or without the day of the week. Order is
// told by the name; of two numbers the one with four digits, or else the last, is the year.
func (r *timeText) namedDate() (year, month, day int, ok bool) {
	var numbers []int
	var wide []bool
	for len(numbers) < 2 || month == 0 {
		rest := r.b[r.i:]
		if len(rest) == 0 {
			return 0, 0, 0, false
		}
		switch c, n := utf8.DecodeRune(rest); {
		case unicode.IsLetter(c):
			word := letterRun(rest)
			if m := monthOf(string(word)); m > 0 {
				month = m
			} else if w := strings.ToLower(string(word)); month > 0 && len(numbers) == 0 && w != "st" && w != "nd" && w != "rd" && w != "th" {
				return 0, 0, 0, false
			}
			r.i += len(word)
		case isDigit(rest[0]):
			from := r.i
			v, good := r.integer(1, 4)
			if !good {
				return 0, 0, 0, false
			}
			numbers, wide = append(numbers, v), append(wide, r.i-from == 4)
		case c == ' ', c == '-', c == '/', c == '.', c == ',', c == '\'':
			r.i += n
		default:
			return 0, 0, 0, false
		}
	}
	day, year = numbers[0], numbers[1]
	if wide[0] {
		day, year = numbers[1], numbers[0]
	}
	year = fullYear(year)
	return year, month, day, validDate(year, month, day)
}
