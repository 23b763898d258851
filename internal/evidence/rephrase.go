package evidence

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/quantity"
)

// Rephrase says a value in the manner of a claim that it does not hold: with
// the same hedge, in the same unit, to the same place. What it gives is true;
// "" where no wording of that manner is.
func (c Claim) Rephrase(x float64, s Subject) string {
	for _, words := range c.candidates(x) {
		if words == "" {
			continue
		}
		if other, err := Read(words, s); err == nil && other.Holds(x) {
			return words
		}
	}
	return ""
}

// candidates are wordings that may be true, the most alike first.
func (c Claim) candidates(x float64) []string {
	w := c.worded
	if w.frame != nil && w.amount.write == nil { // longer
		return []string{w.frame.other}
	}
	if w.amount.write == nil {
		return nil
	}
	y, tails := x, []string{""}
	if w.frame != nil {
		y, tails = w.frame.of(x), []string{w.frame.tail}
		if y < 0 && w.frame.tail != "" {
			y, tails = -y, []string{w.frame.other}
			if w.frame.other == "" {
				return nil
			}
		}
	}
	say := func(prefix, middle, suffix string) string {
		if middle == "" {
			return ""
		}
		if prefix != "" && !strings.ContainsAny(prefix, "≈~<>≤≥") {
			prefix += " "
		}
		if suffix != "" {
			suffix = " " + suffix
		}
		return prefix + middle + tails[0] + suffix
	}
	var out []string
	if w.ranged {
		low, high := w.amount.write(y, math.Floor), w.amount.write(y, math.Ceil)
		out = append(out, fmt.Sprintf("%s to %s%s", low, high, tails[0]))
	}
	for _, to := range []func(float64) float64{math.Round, math.Floor, math.Ceil} {
		out = append(out, say(w.prefix, w.amount.write(y, to), w.suffix))
	}
	step := func(up bool) string { // the next step away, for hedges that leave out their own amount
		shift := w.amount.step
		if up {
			return say(w.prefix, w.amount.write(y+shift, math.Ceil), w.suffix)
		}
		return say(w.prefix, w.amount.write(y-shift, math.Floor), w.suffix)
	}
	out = append(out, step(true), step(false))
	return append(out, say("", w.amount.write(y, math.Round), ""), say("about", w.amount.write(y, math.Round), ""))
}

// truth says a value in words that are true of it, without any manner to follow.
func truth(x float64, s Subject) string {
	switch s.Form {
	case Ratio:
		if x >= 2 {
			return quantity.Quantity{Dimension: quantity.Plain, Value: x, Decimals: 1, U: math.NaN()}.Rounded() + " times"
		}
		more, word := x-1, "more"
		if more < 0 {
			more, word = -more, "less"
		}
		return quantity.Quantity{Dimension: quantity.Share, Value: more, Unit: "%", Decimals: 0}.Rounded() + " " + word
	case Count:
		return inWords(int(math.Round(x)))
	case Price:
		return money(x, s.Currency)
	}
	return ""
}
