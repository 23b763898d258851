package runlog

import (
	"bytes"
	"math"
	"strconv"
	"unicode/utf8"
)

var powersOfTen = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// scanNumber reads a decimal number of b from p to the next stop byte or the
// end, and returns the index of that stop. It reports false for anything but a
// plain number that ends there.
//
// The value is bit for bit that of strconv.ParseFloat: a mantissa below 2^53
// and a power of ten up to 22 are both exact, so that one multiplication or
// division rounds once (Clinger 1990); everything else goes to strconv.
func scanNumber(b []byte, p int, stop, decimal byte) (float64, int, bool) {
	start, i := p, p
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		i++
	}
	var mantissa uint64
	first := i
	for ; i < len(b); i++ {
		c := b[i] - '0'
		if c > 9 {
			break
		}
		mantissa = mantissa*10 + uint64(c)
	}
	digits, exponent, point := i-first, 0, -1
	if i < len(b) && b[i] == decimal && decimal != stop {
		point = i
		i++
		for ; i < len(b); i++ {
			c := b[i] - '0'
			if c > 9 {
				break
			}
			mantissa = mantissa*10 + uint64(c)
		}
		exponent = point + 1 - i
		digits -= exponent
		if decimal == ',' && exponent == 0 {
			return 0, i, false // "12," is a list, not a number
		}
	}
	if digits == 0 {
		return 0, i, false
	}
	if i < len(b) && b[i]|0x20 == 'e' {
		var e int
		var ok bool
		if e, i, ok = scanExponent(b, i+1); !ok {
			return 0, i, false
		}
		exponent += e
	}
	if i < len(b) && b[i] != stop {
		return 0, i, false
	}
	if digits > 19 || mantissa >= 1<<53 || exponent < -22 || exponent > 22 {
		v, ok := parseExact(b[start:i], point-start)
		return v, i, ok
	}
	v := float64(mantissa)
	if exponent < 0 {
		v /= powersOfTen[-exponent]
	} else {
		v *= powersOfTen[exponent]
	}
	if b[start] == '-' {
		v = -v
	}
	return v, i, true
}

func scanExponent(b []byte, i int) (e, next int, ok bool) {
	negative := false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		negative = b[i] == '-'
		i++
	}
	first := i
	for ; i < len(b); i++ {
		c := b[i] - '0'
		if c > 9 {
			break
		}
		if e < 100000 {
			e = e*10 + int(c)
		}
	}
	if negative {
		e = -e
	}
	return e, i, i > first
}

// parseExact hands a number that was found well formed to strconv, with its
// decimal sign (at point, or -1) turned into a point.
func parseExact(text []byte, point int) (float64, bool) {
	var room [64]byte
	t := append(room[:0], text...)
	if point >= 0 {
		t[point] = '.'
	}
	v, err := strconv.ParseFloat(string(t), 64)
	return v, err == nil
}

// fieldState tells what a field holds.
type fieldState uint8

const (
	fieldValue fieldState = iota
	fieldHole             // empty, or a word that loggers write for no value
	fieldBad
)

var holeWords = map[string]bool{
	"": true, "nan": true, "n/a": true, "na": true, "#n/a": true, "null": true, "none": true,
	"-": true, "--": true, "---": true, "?": true,
}

// parseField reads one field on its own, with what scanNumber does not take:
// blanks around it, a typographic minus, the words for no value, and a unit
// written behind the number, which is returned as suffix.
func parseField(text []byte, decimal byte) (v float64, suffix string, state fieldState) {
	text = trimBlank(text)
	if v, end, ok := scanNumber(text, 0, 0, decimal); ok && end == len(text) {
		return v, "", fieldValue
	}
	if len(text) <= 5 && holeWords[string(bytes.ToLower(text))] {
		return math.NaN(), "", fieldHole
	}
	if bytes.HasPrefix(text, []byte("−")) { // U+2212
		text = append([]byte("-"), text[len("−"):]...)
	}
	end := numberEnd(text, decimal)
	if end == 0 {
		return 0, "", fieldBad
	}
	v, stop, ok := scanNumber(text[:end], 0, 0, decimal)
	if !ok || stop != end {
		return 0, "", fieldBad
	}
	return v, string(trimBlank(text[end:])), fieldValue
}

// numberEnd is the length of the number that text begins with.
func numberEnd(text []byte, decimal byte) int {
	i, digits := 0, 0
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		i++
	}
	for i < len(text) && (isDigit(text[i]) || text[i] == decimal) {
		if isDigit(text[i]) {
			digits++
		}
		i++
	}
	if digits == 0 {
		return 0
	}
	if i < len(text) && text[i]|0x20 == 'e' {
		if _, next, ok := scanExponent(text, i+1); ok {
			i = next
		}
	}
	return i
}

func isDigit(c byte) bool { return c-'0' <= 9 }

// trimBlank trims blanks, tabs, carriage returns and no-break spaces.
func trimBlank(b []byte) []byte {
	if len(b) == 0 || (b[0] > ' ' && b[0] < utf8.RuneSelf && b[len(b)-1] > ' ' && b[len(b)-1] < utf8.RuneSelf) {
		return b
	}
	return bytes.Trim(b, " \t\r\n\u00a0\u202f\ufeff")
}
