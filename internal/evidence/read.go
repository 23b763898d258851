package evidence

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"voltwright/internal/quantity"
)

// wording is how a claim was said.
type wording struct {
	prefix, suffix string // of the hedge
	hedge          *hedge
	amount         amount
	frame          *frame // of a comparison
	ranged         bool
}

// Read reads words as a reader takes them. The error says why they cannot be
// read, in a sentence without its point.
func Read(words string, s Subject) (Claim, error) {
	words = strings.Join(strings.Fields(strings.Map(plainRune, words)), " ")
	words = strings.TrimRight(words, ".,;:")
	switch {
	case words == "":
		return Claim{}, errors.New("there are no words")
	case len(words) > longest:
		return Claim{}, errors.New("the words are too many for a number")
	}
	switch s.Form {
	case Name:
		return Claim{Text: words}, nil
	case Ratio:
		return readRatio(words, s)
	case Change:
		return readChange(words, s)
	}
	return readAmount(words, s)
}

// longest is how many bytes the words of a number may have.
const longest = 200

// plainRune takes the spaces of typesetting for plain ones.
func plainRune(r rune) rune {
	switch r {
	case '\u00a0', '\u2060', '\n', '\t': // thin and narrow spaces part groups of digits and stay
		return ' '
	}
	return r
}

// readAmount reads a hedged amount or a range.
func readAmount(words string, s Subject) (Claim, error) {
	if c, ok, err := rangeOf(words, s); ok {
		return c, err
	}
	h, prefix, rest, suffix := around(words)
	if h != plainHedge && strings.EqualFold(prefix, "from") && s.Form != Date {
		h, rest = plainHedge, words // only dates go on from one on
	}
	if s.Form == Date {
		c, err := claimOfDate(h, rest)
		if err == nil {
			a, _ := dateOf(rest)
			c.worded = wording{prefix: prefix, hedge: h, amount: a}
		}
		return c, err
	}
	a, err := amountOf(rest, s)
	if err != nil && h != plainHedge { // "a good hour", "nearly an hour" keep their article with the hedge or not
		if b, second := amountOf("a "+rest, s); second == nil {
			a, err = b, nil
		}
	}
	if err != nil {
		return Claim{}, err
	}
	if a.spread != nil && h != plainHedge {
		return Claim{}, fmt.Errorf("%q hedges an amount that has its ± already", words)
	}
	c := h.claim(a)
	c.Spread = a.spread
	c.worded = wording{prefix: prefix, suffix: suffix, hedge: h, amount: a}
	return c, nil
}

// rangeOf reads between 40 and 50 minutes, 40 to 50 min, 40–50 min. ok says
// that the words are a range, whether or not it can be read.
func rangeOf(words string, s Subject) (c Claim, ok bool, err error) {
	lower := strings.ToLower(words)
	cut := func(text, by string) (string, string, bool) {
		i := strings.Index(strings.ToLower(text), by)
		if i <= 0 {
			return "", "", false
		}
		return strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+len(by):]), true
	}
	var low, high string
	switch {
	case strings.HasPrefix(lower, "between "):
		low, high, ok = cut(words[len("between "):], " and ")
	case strings.HasPrefix(lower, "from ") && strings.Contains(lower, " to "):
		low, high, ok = cut(words[len("from "):], " to ")
	case strings.Contains(lower, " to ") && !strings.HasPrefix(lower, "up to ") && !strings.HasPrefix(lower, "close to "):
		low, high, ok = cut(words, " to ")
	case strings.Contains(words, "–"):
		low, high, ok = cut(words, "–")
	case s.Form != Date && digitsHyphen(words) > 0:
		i := digitsHyphen(words)
		low, high, ok = words[:i], words[i+1:], true
	}
	if !ok {
		return c, false, nil
	}
	b, err := amountOf(high, s)
	if err != nil {
		return c, true, err
	}
	a, err := amountOf(low, s)
	if err != nil { // the unit stands once, after both
		if a, err = amountOf(low+" "+unitOfText(high), s); err != nil {
			a, err = amountOf(strings.TrimRight(high[:len(high)-len(strings.TrimLeft(high, "£€$¥"))], " ")+low, s)
		}
	}
	if err != nil {
		return c, true, err
	}
	if a.spread != nil || b.spread != nil {
		return c, true, fmt.Errorf("the ends of %q have a ±", words)
	}
	low2, high2 := a.value, b.value
	if s.Form == Date {
		low2, high2 = a.value-a.half, b.value+b.half
	}
	if low2 > high2 {
		return c, true, fmt.Errorf("%q begins above its end", words)
	}
	c = between(low2, high2)
	c.worded = wording{hedge: plainHedge, amount: b, ranged: true}
	return c, true, nil
}

// digitsHyphen finds the hyphen of 40-50 min, which is no sign: a digit stands on either side.
func digitsHyphen(words string) int {
	for i := 1; i+1 < len(words); i++ {
		if words[i] == '-' && isDigit(words[i-1]) && isDigit(words[i+1]) {
			return i
		}
	}
	return -1
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// unitOfText is what follows the number of an amount: "min" of "50 min", "minutes" of "fifty minutes".
func unitOfText(text string) string {
	i := 0
	for i < len(text) && (isDigit(text[i]) || text[i] == '.' || text[i] == '-') {
		i++
	}
	if i > 0 {
		return strings.TrimSpace(text[i:])
	}
	tokens := tokensOf(text)
	_, n := wholeWords(tokens)
	return strings.Join(tokens[n:], " ")
}

// lastPlace is what one step in the last digit of the words is worth, in the base unit: 1 min for `2 h 7 min`, 0.01 Ah for
// `1.24 Ah`. It reads the words again with a digit changed by one, from the last digit on until that changes what is
// asked of; this holds for every way to write a quantity and for scales with an offset.
func lastPlace(words string, written quantity.Quantity, of func(quantity.Quantity) float64) (float64, bool) {
	for at := len(words) - 1; at >= 0; at-- {
		digit := words[at]
		if !isDigit(digit) {
			continue
		}
		next := digit + 1
		if digit == '9' {
			next = digit - 1
		}
		other, err := quantity.ParseAs(words[:at]+string(next)+words[at+1:], written.Dimension)
		if step := math.Abs(of(other) - of(written)); err == nil && step > 0 {
			return step, true
		}
	}
	return 0, false
}
