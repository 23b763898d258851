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
	before, after  string // what stands around the words in the sentence and was read with them
}

// Read reads words as a reader takes them. The error says why they cannot be
// read, in a sentence without its point.
func Read(words string, s Subject) (Claim, error) {
	if len(words) > longest {
		return Claim{}, errors.New("the words are too many for a number")
	}
	words, err := plainly(words, s)
	switch {
	case err != nil:
		return Claim{}, err
	case words == "":
		return Claim{}, errors.New("there are no words")
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

// readAmount reads a hedged amount or a range.
func readAmount(words string, s Subject) (Claim, error) {
	lead, inner := led(words, s)
	if c, ok, err := rangeOf(inner, s); ok {
		c.worded.prefix = joined(lead, c.worded.prefix)
		return c, err
	}
	p, err := peel(words, s)
	if err != nil {
		return Claim{}, err
	}
	if s.Form == Date {
		c, err := claimOfDate(p.hedge, p.rest)
		if err == nil {
			a, _ := dateOf(p.rest)
			c.worded = wording{prefix: p.prefix, suffix: p.suffix, hedge: p.hedge, amount: a}
		}
		return c, err
	}
	a, err := amountOf(p.rest, s)
	if err != nil && p.prefix != "" { // "a good hour", "nearly an hour" keep their article with the hedge or not
		if b, second := amountOf("a "+p.rest, s); second == nil {
			a, err = b, nil
		}
	}
	if err != nil {
		return Claim{}, err
	}
	if a.spread != nil && p.hedge != plainHedge {
		return Claim{}, fmt.Errorf("%q hedges an amount that has its ± already", words)
	}
	c := p.claim(a)
	c.Spread = a.spread
	c.worded = wording{prefix: p.prefix, suffix: p.suffix, hedge: p.hedge, amount: a}
	return c, nil
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

// unitOfText is what follows the number of an amount: "min" of "50 min", "minutes" of "fifty minutes", "hours" of "1¾ hours".
func unitOfText(text string) string {
	number := func(r rune) bool {
		_, part := vulgar[r]
		return part || '0' <= r && r <= '9' || r == '.' || r == '-'
	}
	if rest := strings.TrimLeftFunc(text, number); rest != text {
		return strings.TrimSpace(strings.TrimLeftFunc(strings.TrimSpace(rest), number)) // 1 ¾ hours
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
