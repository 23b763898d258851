package numeral

import (
	"strings"
	"unicode/utf8"

	"voltwright/internal/quantity"
)

// noBreak is a space at which no line ends.
const noBreak = "\u00a0"

// Unbroken keeps each number of a plain text on one line with its unit and with how sure it is: an attribute or a list has no
// element that would.
func Unbroken(text string) string {
	words := strings.Split(text, " ")
	var b strings.Builder
	for i, word := range words {
		if i > 0 {
			if joined(words[i-1], word) {
				b.WriteString(noBreak)
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteString(word)
	}
	return b.String()
}

// joined tells whether two words that follow each other are a number and its unit, or two parts of ± and its numbers.
func joined(before, word string) bool {
	if before == "±" || word == "±" {
		return true
	}
	if r, _ := utf8.DecodeLastRuneInString(before); (r < '0' || r > '9') && r != ')' || !strings.ContainsAny(before, "0123456789") {
		return false
	}
	unit := strings.TrimRight(word, ".,;:!?)”")
	if unit == "%" {
		return true
	}
	_, ok := quantity.FindUnit(unit)
	return ok
}
