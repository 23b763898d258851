package evidence

import (
	"fmt"
	"math"
	"strings"
)

var (
	looseEnds  = lazily(`(?i)^(?:somewhere|anywhere|anything|something) (between|from) `)
	yearAtEnd  = lazily(`,? \d{4}$`)
	giveOrTake = lazily(`(?i)^(.+?),? give or take (.+)$`)
)

// rangeOf reads between 40 and 50 minutes, 40 to 50 min, 40–50 min, 40 or 50 min, 40 min give or take 5. ok says
// that the words are a range, whether or not it can be read.
func rangeOf(words string, s Subject) (c Claim, ok bool, err error) {
	words = looseEnds().ReplaceAllString(words, "$1 ")
	lower := strings.ToLower(words)
	cut := func(text, by string) (string, string, bool) {
		i := strings.Index(strings.ToLower(text), by)
		if i <= 0 {
			return "", "", false
		}
		return strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+len(by):]), true
	}
	var low, high string
	choice := false
	switch {
	case giveOrTake().MatchString(words):
		m := giveOrTake().FindStringSubmatch(words)
		if c, err := giveAndTake(m[1], m[2], s); err == nil {
			return c, true, nil
		}
		return c, false, nil
	case strings.HasPrefix(lower, "between "):
		low, high, ok = cut(words[len("between "):], " and ")
		if again, more, two := cut(high, " and "); ok && two { // between an hour and a half and two hours
			if _, err := amountOf(high, s); err != nil {
				low, high = low+" and "+again, more
			}
		}
	case strings.HasPrefix(lower, "from ") && strings.Contains(lower, " to "):
		low, high, ok = cut(words[len("from "):], " to ")
	case strings.Contains(lower, " to ") && !strings.HasPrefix(lower, "up to ") && !strings.HasPrefix(lower, "anything up to ") && !strings.HasPrefix(lower, "close to ") && !strings.HasPrefix(lower, "coming up to "):
		low, high, ok = cut(words, " to ")
	case strings.Contains(words, "–"):
		low, high, ok = cut(words, "–")
	case strings.Contains(lower, " or "): // two or three; or so, or more and the like are hedges
		low, high, ok = cut(words, " or ")
		choice = true
	case s.Form != Date && digitsHyphen(words) > 0:
		i := digitsHyphen(words)
		low, high, ok = words[:i], words[i+1:], true
	}
	if !ok {
		return c, false, nil
	}
	a, b, err := ends(low, high, s)
	if err != nil {
		return c, !choice, err
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

// ends reads the two amounts of a range, whose unit may stand once.
func ends(low, high string, s Subject) (a, b amount, err error) {
	if b, err = amountOf(high, s); err != nil { // or its sign before both: £30–40
		sign := low[:len(low)-len(strings.TrimLeft(low, "£€$¥"))]
		other := err
		if b, err = amountOf(sign+high, s); sign == "" || err != nil {
			return a, b, other
		}
	}
	if year := yearAtEnd().FindString(high); s.Form == Date && year != "" && !yearAtEnd().MatchString(low) { // April to June 2026
		a, err = amountOf(low+year, s)
		if err == nil {
			return a, b, nil
		}
	}
	if a, err = amountOf(low, s); err != nil { // the unit stands once, after both
		if a, err = amountOf(low+" "+unitOfText(high), s); err != nil {
			a, err = amountOf(strings.TrimRight(high[:len(high)-len(strings.TrimLeft(high, "£€$¥"))], " ")+low, s)
		}
	}
	return a, b, err
}

// giveAndTake reads an amount, and how much to give or take.
func giveAndTake(text, by string, s Subject) (Claim, error) {
	a, err := amountOf(text, s)
	if err != nil {
		return Claim{}, err
	}
	d, err := amountOf(by, s)
	if err != nil {
		if d, err = amountOf(by+" "+unitOfText(text), s); err != nil {
			return Claim{}, err
		}
	}
	if a.scale || a.spread != nil || d.spread != nil || s.Form == Date || d.value < 0 || d.value > math.Abs(a.value) {
		return Claim{}, fmt.Errorf("what is given or taken of %q is not settled", text)
	}
	c := between(a.value-d.value, a.value+d.value)
	c.worded = wording{suffix: "give or take " + by, hedge: plainHedge, amount: a}
	return c, nil
}
