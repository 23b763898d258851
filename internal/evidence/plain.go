package evidence

import (
	"slices"
	"strings"

	"voltwright/internal/quantity"
)

// Typing has many ways to write one thing. Here they are brought to the one that
// the readers of amounts know; nothing is settled that a reader would not settle.

var (
	grouped       = lazily(`(\d)[\x{00a0}\x{2009}\x{202f}](\d{3})`)
	spacedGroups  = lazily(`(?:^|[^\d .,]|\D )(\d{1,3}(?: \d{3})+)(?:$|[^\d ]| \D)`)
	commaGroups   = lazily(`(?:^|[^\d.,])\d{1,3}(?:,\d{3})+(?:\.\d+)?(?:$|[^\d.,])`)
	shortDecimal  = lazily(`(\d),(\d{1,2})($|[^\d.,])`)
	commaDecimal  = lazily(`(\d),(\d)`)
	twoWays       = lazily(`(?:^|[^\d.,])[1-9]\d{0,2}[.,]\d{3}(?:$|[^\d.,])`)
	slashed       = lazily(`(^|[^\d/.,])(?:(\d{1,3})[ -])?(\d{1,2})[/⁄](\d{1,2})($|[^\d/])`)
	hyphenedUnit  = lazily(`(\d)-([\pL°])`)
	hourHyphen    = lazily(`(?i)\b(amp|ampere|milliamp|milliampere|watt|kilowatt)-(hours?)\b`)
	possessive    = lazily(`(\pL)(?:['’]s|(s)['’])$`)
	degreeWord    = lazily(`(?i)(?:\bdegrees?|\bdegs?\.?|°) ?(celsius|centigrade|c|fahrenheit|f)\b`)
	squareUnit    = lazily(`(?i)\b(?:square|sq\.?) (?:millimetres?|millimeters?|mm)\b|\b(?:millimetres?|millimeters?|mm) squared\b`)
	wordsAfter    = lazily(`\pL{3,}`)
	minusWord     = lazily(`(?i)^(?:minus|negative) (.+)$`)
	percentPoints = lazily(`(?i) ?(?:percentage points?|points? of percentage)\b`)
)

// plainly brings words to plain spaces, points and hyphens.
func plainly(words string, s Subject) (string, error) {
	for grouped().MatchString(words) {
		words = grouped().ReplaceAllString(words, "$1$2")
	}
	words = strings.Map(func(r rune) rune {
		switch r {
		case '\u00a0', '\u2060', '\n', '\t', '\u2009', '\u202f':
			return ' '
		case '\u2010', '\u2011': // hyphens
			return '-'
		case '\u02da', '\u00ba': // a ring and an ordinal sign, typed for a degree
			return '°'
		case '—':
			return '–'
		}
		return r
	}, words)
	words = strings.Join(strings.Fields(words), " ")
	words = strings.TrimRight(words, ".,;:!")
	if rest, found := strings.CutPrefix(words, "–"); found { // a dash in front is a minus
		words = "-" + strings.TrimSpace(rest)
	}
	if s.Form == Date || s.Form == Name {
		return words, nil
	}
	words, err := separators(words, s)
	if err != nil {
		return "", err
	}
	words = fractionCharacters(words)
	words = hyphenedUnit().ReplaceAllString(words, "$1 $2")
	words = hourHyphen().ReplaceAllString(words, "$1 $2")
	words = squareUnit().ReplaceAllString(words, "mm²")
	if s.Form != Count {
		words = oneWay(words)
	}
	words = possessive().ReplaceAllString(words, "$1$2")
	words = degreeWord().ReplaceAllStringFunc(words, func(m string) string {
		if strings.ContainsAny(m[len(m)-1:]+m[max(0, strings.LastIndexAny(m, " °")):], "fF") {
			return "°F"
		}
		return "°C"
	})
	if s.Form == Change && s.Dimension == quantity.Share {
		words = percentPoints().ReplaceAllString(words, " %")
	}
	return smallUnits(words), nil
}

// separators takes the marks between groups of three digits out, and a decimal comma for a point where the language
// has it. In such a language 1.330 and 1,330 have two readings, and are refused.
func separators(words string, s Subject) (string, error) {
	if s.Comma {
		if m := twoWays().FindString(words); m != "" {
			return "", errTwoWays(strings.TrimSpace(m))
		}
		words = commaDecimal().ReplaceAllString(words, "$1.$2")
	} else if at := commaGroups().FindStringIndex(words); at != nil {
		words = words[:at[0]] + strings.ReplaceAll(words[at[0]:at[1]], ",", "") + words[at[1]:]
		return separators(words, s)
	} else { // one or two digits behind a comma are no thousands in any language
		words = shortDecimal().ReplaceAllString(words, "$1.$2$3")
	}
	for at := spacedGroups().FindStringSubmatchIndex(words); at != nil; at = spacedGroups().FindStringSubmatchIndex(words) {
		words = words[:at[2]] + strings.ReplaceAll(words[at[2]:at[3]], " ", "") + words[at[3]:]
	}
	return words, nil
}

type errTwoWays string

func (e errTwoWays) Error() string {
	return "“" + string(e) + "” has a mark that may part thousands or decimals; leave the mark of thousands out, or write other decimals"
}

// fractionCharacters writes 1 1/2 and 1⁄2 with the characters that are fractions.
func fractionCharacters(words string) string {
	return slashed().ReplaceAllStringFunc(words, func(m string) string {
		p := slashed().FindStringSubmatch(m)
		for r, f := range vulgar {
			if num, den := number(p[3]), number(p[4]); f == [2]int{num, den} {
				whole := p[2]
				if whole != "" {
					whole += " "
				}
				return p[1] + whole + string(r) + p[5]
			}
		}
		return m
	})
}

func number(digits string) int {
	n := 0
	for _, c := range digits {
		n = 10*n + int(c-'0')
	}
	return n
}

// smallUnits writes units that begin with a capital, as Volts and Minutes do in a heading, in small letters.
func smallUnits(words string) string {
	return wordsAfter().ReplaceAllStringFunc(words, func(w string) string {
		small := strings.ToLower(w)
		if w == small {
			return w
		}
		if _, known := quantity.FindUnit(w); known {
			return w
		}
		if _, known := quantity.FindUnit(small); known {
			return small
		}
		return w
	})
}

// leadIns are words that lead to an amount and claim nothing of it themselves, the longest of two that begin alike first.
var leadIns = []string{"all the way down to", "dropped to", "fell to", "rose to", "went down to", "went up to", "down to", "a steady", "a constant", "a peak of", "peaks of", "as low as", "as high as", "a total of", "for all of", "for", "at", "in", "by", "to", "of", "with", "still", "all"}

// leadDates are those of a date.
var leadDates = []string{"on", "in", "during"}

// led takes the words that only lead to an amount off.
func led(words string, s Subject) (lead, rest string) {
	list := leadIns
	if s.Form == Date {
		list = leadDates
	}
	lower := strings.ToLower(words)
	i := slices.IndexFunc(list, func(w string) bool { return strings.HasPrefix(lower, w+" ") })
	if i < 0 {
		return "", words
	}
	return words[:len(list[i])], strings.TrimSpace(words[len(list[i]):])
}
