package quantity

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Limits on what is read as a number; nothing the trade measures comes near.
const (
	longestText     = 200 // bytes
	longestNumber   = 60  // digits
	largestExponent = 150
	largestValue    = 1e100 // in the base unit; its inverse is the smallest
)

// inRange refuses what no unit could hold without overflow, or without losing
// figures on the way to zero.
func inRange(base float64) bool {
	x := math.Abs(base)
	return x == 0 || x <= largestValue && x >= 1/largestValue
}

// isSpace takes in the thin, narrow and no-break spaces that typesetting puts
// between a number and its unit.
func isSpace(r rune) bool { return unicode.IsSpace(r) || r == '\u2060' }

// number is a decimal as written.
type number struct {
	text     string // in the form strconv reads, with a sign if negative
	decimals int    // digits after the point less the exponent; −1 if more than maxDecimals
	whole    bool   // digits only: no sign, point or exponent
}

// fault is a reason and the place in the text it concerns.
type fault struct {
	at     int
	reason string
}

// numberWanted is the reason where there is no number at all.
const numberWanted = "a number is wanted first"

// decimalsOf is the decimals of a number that this package wrote, −1 if there
// are too many to count.
func decimalsOf(text string) int {
	n, _, f := readNumber(text)
	if f != nil {
		return -1
	}
	return n.decimals
}

// readNumber reads the number at the front of text, whose first rune is no
// space, and says how many bytes it took. Infinity, NaN, hexadecimal and
// grouping by comma are no numbers.
func readNumber(text string) (n number, length int, f *fault) {
	var b strings.Builder
	i := 0
	negative := false
	r, size := utf8.DecodeRuneInString(text)
	switch r {
	case '-', '−': // hyphen-minus, U+2212
		negative = true
		i += size
	case '+':
		i += size
	}
	signed := i > 0
	if negative {
		b.WriteByte('-')
	}
	digits, fraction, points := 0, 0, 0
scan:
	for i < len(text) {
		c := text[i]
		switch {
		case isDigit(c):
			b.WriteByte(c)
			digits++
			if points > 0 {
				fraction++
			}
			i++
		case c == '.' && points == 0:
			b.WriteByte('.')
			points++
			i++
		case c == '.':
			return n, length, &fault{i, "a number has only one point"}
		case c == ',' && digits > 0 && i+1 < len(text) && isDigit(text[i+1]):
			return n, length, &fault{i, commaReason(text, i)}
		case digits > 0 && points == 0 && groupSpace(text[i:]) > 0:
			i += groupSpace(text[i:])
		default:
			break scan
		}
	}
	if digits == 0 {
		return n, length, &fault{0, numberWanted}
	}
	if digits > longestNumber {
		return n, length, &fault{0, "the number has too many digits"}
	}
	exponent, used, ok := readExponent(text[i:])
	if !ok {
		return n, length, &fault{i, "the number is out of range"}
	}
	if used > 0 {
		b.WriteString("e" + strconv.Itoa(exponent))
		i += used
	}
	n = number{text: b.String(), decimals: max(0, fraction-exponent)}
	if n.decimals > maxDecimals {
		n.decimals = -1
	}
	n.whole = !signed && points == 0 && used == 0
	return n, i, nil
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// groupSpace is the length of a thin or no-break space that stands before a
// group of exactly three digits, else 0. An ordinary space separates.
func groupSpace(text string) int {
	r, size := utf8.DecodeRuneInString(text)
	switch r {
	case '\u2009', '\u202f', '\u00a0':
	default:
		return 0
	}
	group := 0
	for size+group < len(text) && isDigit(text[size+group]) {
		group++
	}
	if group != 3 {
		return 0
	}
	return size
}

// readExponent reads "e-3"; an e that no number follows belongs to the unit. It is not ok where the exponent is out of range.
func readExponent(text string) (exponent, length int, ok bool) {
	if text == "" || (text[0] != 'e' && text[0] != 'E') {
		return 0, 0, true
	}
	i := 1
	sign := 1
	for _, minus := range []string{"-", "−"} {
		if strings.HasPrefix(text[i:], minus) {
			sign, i = -1, i+len(minus)
			break
		}
	}
	if i == 1 && strings.HasPrefix(text[i:], "+") {
		i++
	}
	start := i
	for i < len(text) && isDigit(text[i]) {
		if exponent = exponent*10 + int(text[i]-'0'); exponent > largestExponent {
			return 0, 0, false
		}
		i++
	}
	if i == start {
		return 0, 0, true
	}
	return sign * exponent, i, true
}

// commaReason tells how to write a number that has a comma at i.
func commaReason(text string, i int) string {
	start := i
	for start > 0 && isDigit(text[start-1]) {
		start--
	}
	end := i + 1
	for end < len(text) && isDigit(text[end]) {
		end++
	}
	written, whole, rest := text[start:end], text[start:i], text[i+1:end]
	if len(rest) == 3 && end < len(text) && text[end] == '.' || len(rest) == 3 && whole != "0" {
		return written + " has a comma, which may mean a decimal point or thousands; write " +
			whole + "." + rest + " or " + whole + rest
	}
	return written + " has a decimal comma; write it with a point: " + whole + "." + rest
}
