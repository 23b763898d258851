package evidence

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"voltwright/internal/notes"
	"voltwright/internal/value"
)

// What stands outside the brackets belongs to the sentence: "about [47 min]" is no claim of 47 min to the minute, and
// "nearly [50 min]" one of less than that.
//
// Words that say how near (about) can be said of the amount alone, and count. Those that say to which side (nearly,
// just over) are said of the amount where it was measured or computed; of an amount that is stated they may say how
// near something else came to it, so there the amount by itself is as true. A bound (at least, no more than) may in both
// cases speak of something that is held against the amount: "never below [24.6 V]" quotes the lowest voltage. There the
// amount by itself is true, and of what was measured or computed so is all that the bound allows. Prepositions that
// have a sense of their own beside numbers (over 3 km, after 47 min, up to 29.4 V) are left to the sentence.

// prepositions are hedges within the brackets, and have more than one sense outside.
var prepositions = map[string]bool{"over": true, "under": false, "after": true, "before": true, "past": true, "within": true, "inside": true, "beyond": true, "from": true, "since": true, "until": true, "till": true, "by": true,
	"up to": true, "anything up to": true, "short of": true, "a good": false, "all of": true, "in all": true, "in total": true, "on": true, "max": true, "minimum": true, "maximum": true, "c.": true, "pushing": true, "approaching": true, "only": true}

// ClaimOf is what a statement claims, with the words that stand around it.
func ClaimOf(s Statement) (Claim, error) {
	subject := SubjectOf(s.Value)
	subject.Comma = decimalComma(s.language)
	return claimOf(s.Embed, s.Value, subject)
}

// claimOf reads the words of an embed with what stands around them.
func claimOf(e *notes.Embed, v value.Value, s Subject) (Claim, error) {
	words, suffix := strings.TrimSpace(e.Words), ""
	inner, err := Read(words, s)
	if tail := comparesAfter(e.After); tail != "" && (s.Form == Ratio || s.Form == Change) {
		if c, other := Read(words+" "+tail, s); other == nil {
			inner, err, suffix = c, nil, tail
			inner.worded.after = tail
		}
	}
	prefix, h := outsideBefore(e.Before, s)
	if h == nil && suffix == "" {
		suffix, h = outsideAfter(e.After, s)
	}
	if h == nil || h == plainHedge || s.Form == Name || s.Form == Date || e.Image {
		return inner, err
	}
	whole, other := Read(joined(joined(prefix, words), suffix), s)
	if other != nil {
		return inner, err // it says something of its own
	}
	if err != nil && strings.HasPrefix(words, "a ") {
		return inner, err
	}
	stated := v.Kind == value.Quoted
	switch {
	case h.name == "about":
	case err != nil:
		return inner, err
	case h.about != nil && stated:
		return inner, nil
	case h.about != nil, stated:
		whole = hull(inner, whole)
	}
	whole.worded.before, whole.worded.after = prefix, suffix
	return whole, nil
}

// hull is the claim that either of two holds, which meet.
func hull(a, b Claim) Claim {
	out := b
	if a.Low < b.Low || a.Low == b.Low && !a.LowOpen {
		out.Low, out.LowOpen = a.Low, a.LowOpen
	}
	if a.High > b.High || a.High == b.High && !a.HighOpen {
		out.High, out.HighOpen = a.High, a.HighOpen
	}
	if math.IsInf(out.Low, -1) {
		out.LowOpen = false
	}
	return out
}

// outsideBefore finds the longest hedge that a text ends in.
func outsideBefore(text string, s Subject) (string, *hedge) {
	text = strings.Join(strings.Fields(text), " ")
	lower := strings.ToLower(text)
	best, found := "", (*hedge)(nil)
	for i := range hedges {
		for _, w := range hedges[i].before {
			if len(w) > len(best) && strings.HasSuffix(lower, w) && beginsWord(lower, len(lower)-len(w)) {
				best, found = w, &hedges[i]
			}
		}
	}
	if prepositions[best] {
		return "", nil
	}
	return text[len(text)-len(best):], found
}

func beginsWord(text string, at int) bool {
	r, _ := utf8.DecodeLastRuneInString(text[:at])
	first, _ := utf8.DecodeRuneInString(text[at:])
	return !unicode.IsLetter(first) || !unicode.IsLetter(r) && r != '-'
}

// goesOn are the words after which a hedge behind an amount is at its end.
var goesOn = lazily(`^(?:$|[.,;:!?)–—]| (?:and|but|on|in|at|for|when|before|after|with|of|as|while|by|from|until|the|a|is|was|it|that|which|than|if|so)\b)`)

// outsideAfter finds the longest hedge that a text begins with.
func outsideAfter(text string, s Subject) (string, *hedge) {
	lower := strings.TrimLeft(strings.ToLower(strings.ReplaceAll(text, "\u00a0", " ")), " ,")
	best, found := "", (*hedge)(nil)
	for i := range hedges {
		for _, w := range hedges[i].after {
			if len(w) > len(best) && strings.HasPrefix(lower, w) && goesOn().MatchString(lower[len(w):]) {
				best, found = w, &hedges[i]
			}
		}
	}
	if prepositions[best] {
		return "", nil
	}
	return best, found
}

var comparing = lazily(`^(?:as (\pL+)(?: again)?|(\pL+))`)

// comparesAfter finds "faster", "as long" or "as long again" behind the amount of a comparison.
func comparesAfter(text string) string {
	m := comparing().FindStringSubmatch(strings.TrimLeft(text, " "))
	if m == nil || !strings.HasPrefix(text, " ") {
		return ""
	}
	for _, c := range comparatives {
		if m[1] != "" && strings.EqualFold(m[1], c.base) || strings.EqualFold(m[2], c.word) {
			return m[0]
		}
	}
	return ""
}
