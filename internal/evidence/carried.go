package evidence

import (
	"slices"
	"sort"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"voltwright/internal/quantity"
)

// numberWithUnit is the length of the number with its unit that begins at an
// offset of the text, 0 where none does.
func numberWithUnit(text string, at int) int {
	before, size := utf8.DecodeLastRuneInString(text[:at])
	if before == '-' { // the minus of -5 °C, and no hyphen
		if before, _ = utf8.DecodeLastRuneInString(text[:at-size]); before == '-' {
			return 0
		}
	}
	if unicode.IsLetter(before) || unicode.IsDigit(before) || strings.ContainsRune(".,/", before) {
		return 0
	}
	rest := text[at:]
	if n := moneyLength(rest); n > 0 {
		return n
	}
	if n := comparisonLength(rest); n > 0 {
		return n
	}
	if n := amountLength(rest); n > 0 {
		return n
	}
	return rangeLength(rest, strings.HasSuffix(strings.ToLower(text[:at]), "between "))
}

// one is the article of an amount that goes on: a volt and a half.
var one = lazily(`^(?i:an?|one) `)

// andPart is what goes on behind the unit.
var andPart = lazily(`^ and (?:an? |one |two |three |five )?(?:half|quarters?|thirds?|eighths?|bit)\b`)

// amountLength is the length of an amount with its unit, in digits or in words.
func amountLength(text string) int {
	if a := one().FindString(text); a != "" {
		if u := unitAt(text[len(a):], true); u > 0 {
			if part := andPart().FindString(text[len(a)+u:]); part != "" {
				return len(a) + u + len(part)
			}
		}
	}
	n := digitsLength(text)
	if n > 0 {
		if u := unitAt(text[n:], false); u > 0 {
			return n + u
		}
		return 0
	}
	if h := halfUnit().FindString(text); h != "" { // a half-hour, half-an-hour
		if u := unitAt(text[len(h):], true); u > 0 {
			return len(h) + u
		}
	}
	if n = inWordsLength(text); n == 0 || betweenRails().MatchString(text) {
		return 0
	}
	if u := unitAt(text[n:], true); u > 0 {
		return n + u
	}
	return 0
}

// betweenRails are the spaces between rails and between tracks, by their names.
var betweenRails = lazily(`^(?i:four-foot|six-foot)\b`)

// halfUnit is what stands before the unit in half-hour, half-an-hour and three-quarter mile.
var halfUnit = lazily(`^(?i:half|(?:a |three[- ])?quarter)[- ](?:an?[- ])?`)

// bridge is what stands between the ends of a range.
var bridge = lazily(`^ ?(?:to|and|or|–|—|-) ?`)

// rangeLength is the length of 40–50 min and four to five volts, whose unit stands once.
func rangeLength(text string, between bool) int {
	n := digitsLength(text)
	if n == 0 {
		if n = inWordsLength(text); n == 0 {
			return 0
		}
		n = len(strings.TrimRight(text[:n], " "))
	}
	b := bridge().FindString(text[n:])
	if b == "" || strings.TrimSpace(b) == "and" && !between {
		return 0
	}
	if m := amountLength(text[n+len(b):]); m > 0 {
		return n + len(b) + m
	}
	return 0
}

// spaces are those that stand between a number and what it counts.
const spaces = " \u00a0\u202f\u2009"

// moneyLength is the length of an amount of money: £40, 40 €, EUR 42, 42 EUR, thirty pounds.
func moneyLength(text string) int {
	first, size := utf8.DecodeRuneInString(text)
	sign := 0
	if unicode.Is(unicode.Sc, first) {
		sign = size
	} else {
		sign = currencyCode(text)
	}
	if sign > 0 {
		after := strings.TrimLeft(text[sign:], spaces+"-")
		if n := digitsLength(after); n > 0 {
			return len(text) - len(after) + n
		}
		return 0
	}
	n := digitsLength(text)
	words := n == 0
	if words {
		if n = inWordsLength(text); n == 0 {
			return 0
		}
	}
	after := strings.TrimLeft(text[n:], spaces+"-")
	used := len(text) - len(after)
	if r, size := utf8.DecodeRuneInString(after); unicode.Is(unicode.Sc, r) {
		return used + size
	}
	if size := currencyCode(after); size > 0 && !words {
		return used + size
	}
	for _, name := range moneyNames {
		if rest, found := strings.CutPrefix(after, name); found && endsWord(rest) && (len(name) > 2 || !words) {
			return used + len(name)
		}
	}
	return 0
}

// moneyNames are what amounts of money are called, the longest of two that begin alike first. Names that are words of
// other things as well (mark, crown, real) are left out.
var moneyNames = []string{"pounds", "euros", "euro", "dollars", "pence", "cents", "francs", "franken", "kronor", "kroner", "krone", "krona", "złoty", "zloty", "forint", "koruna", "yen", "yuan", "rupees", "roubles", "rubles", "pesos", "rand", "quid", "bucks", "lei", "kr", "zł", "Kč", "Ft", "p", "ct"}

// isoCurrencies are the codes of currencies in use: ISO 4217, held by a test against Unicode CLDR.
var isoCurrencies = strings.Fields("AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VES VND VUV WST XAF XCD XOF XPF YER ZAR ZMW")

// currencyCode is the length of a currency's code at the front of a text. AWG is a size of wire here.
func currencyCode(text string) int {
	if len(text) < 3 || !endsWord(text[3:]) || text[:3] == "AWG" {
		return 0
	}
	if _, found := slices.BinarySearch(isoCurrencies, text[:3]); found {
		return 3
	}
	return 0
}

// endsWord says whether a text goes on with something else than the same word.
func endsWord(rest string) bool {
	next, _ := utf8.DecodeRuneInString(rest)
	return rest == "" || !unicode.IsLetter(next) && !unicode.IsDigit(next) && !strings.HasPrefix(rest, "-")
}

// comparedWords is a comparison behind its number: as far, as much again, longer, the charge.
var (
	comparedWords = lazily(`^(?:times )?(?:as \pL+(?: again)?\b|again as \pL+\b)`)
	timesWhat     = lazily(`^(?:times|×|x|fold|-fold)(?: as \pL+\b| (?:the|its|their|that|what|more|less|over)\b| \pL+er\b|\b|$)`)
	factorWords   = lazily(`^(?i:twice|thrice|double|treble|triple|half|quadruple)\b`)
	otherWords    = lazily(`^(?i:every (?:other|second|third|fourth|fifth|tenth)\b|(?:more than |nearly |almost |about |just |over )?(?:doubled|halved|trebled|tripled|quadrupled)\b|\pL+fold\b)`)
)

// comparisonLength is the length of a comparison with a number in words or digits: twice as far, three times as long, half
// as much again, a third longer, two thirds of the charge, 2.5 times the weight.
func comparisonLength(text string) int {
	if m := otherWords().FindString(text); m != "" && !notFold[strings.ToLower(m)] {
		return len(m)
	}
	if m := factorWords().FindString(text); m != "" {
		rest := strings.TrimPrefix(text[len(m):], " ")
		used := len(text) - len(rest)
		if c := comparedWords().FindString(rest); c != "" {
			return used + len(c)
		}
		if w := whole().FindString(rest); w != "" {
			return used + len(w)
		}
		return 0
	}
	n := digitsLength(text)
	if n == 0 {
		n = wordsOfNumber(text)
	}
	if n == 0 {
		return 0
	}
	rest := strings.TrimLeft(text[n:], spaces+"-")
	used := len(text) - len(rest)
	if m := timesWhat().FindString(rest); m != "" && (strings.Contains(m, " ") || !strings.HasPrefix(m, "times") || rest == m) {
		return used + len(m)
	}
	if _, _, parts := fractionWords(tokensOf(strings.TrimSpace(text[:n]))); parts == 0 {
		return 0
	}
	if c := comparedWords().FindString(rest); c != "" {
		return used + len(c)
	}
	word, _, _ := strings.Cut(rest, " ")
	word = strings.TrimRight(word, ".,;:!?)")
	if c, ok := comparativeOf(word); ok && c.word != "above" && c.word != "below" {
		return used + len(word)
	}
	if after, found := strings.CutPrefix(rest, "of "); found {
		if w := whole().FindString(after); w != "" {
			return used + len("of ") + len(w)
		}
	}
	return 0
}

// notFold are words that end like tenfold.
var notFold = map[string]bool{"scaffold": true, "manifold": true, "unfold": true, "blindfold": true, "fold": true, "billfold": true, "enfold": true}

// whole is what a part is of: the charge, its weight, what it was.
var whole = lazily(`^(?:the|its|their|his|her|our|my|that|this|what) \pL+`)

// wordsOfNumber is the length of a number or a part in words, with the spaces behind it.
func wordsOfNumber(text string) int {
	words := strings.SplitAfterN(text, " ", 6)
	n, best := 0, 0
	for i, w := range words {
		n += len(w)
		said := strings.TrimRight(strings.TrimSpace(text[:n]), ".,;:!?)")
		tokens := tokensOf(said)
		if v, used := wholeWords(tokens); used == len(tokens) && v > 1 {
			best = n
		}
		if _, _, used := fractionWords(tokens); used == len(tokens) {
			best = n
		}
		if _, ok := timesAndPart(tokens); ok {
			best = n
		}
		if i == 5 {
			break
		}
	}
	return best
}

func digitsLength(text string) int {
	n := 0
	for n < len(text) {
		r, size := utf8.DecodeRuneInString(text[n:])
		_, part := vulgar[r]
		if !unicode.IsDigit(r) && !part && !(n > 0 && (r == '.' || r == ',' || r == '\u00a0' || r == '\u202f' || r == '\u2009' || r == '/' || r == '⁄') && n+size < len(text) && isDigit(text[n+size])) {
			break
		}
		n += size
	}
	return n
}

// inWordsLength is the length of a number in words from two on, or of the part
// of one: half an, a quarter of an, three tenths of a.
func inWordsLength(text string) int {
	words := strings.SplitAfterN(text, " ", 9)
	var tokens []string
	var ends []int
	n := 0
	for _, w := range words {
		trimmed := strings.TrimSuffix(strings.TrimRight(w, " "), "-odd")
		at := n
		n += len(w)
		for part := range strings.SplitSeq(trimmed, "-") {
			tokens = append(tokens, strings.ToLower(part))
			at += len(part) + len("-")
			ends = append(ends, at)
		}
		ends[len(ends)-1] = n
	}
	if _, _, used := fractionWords(tokens); used > 0 {
		i := used
		if i < len(tokens) && tokens[i] == "of" {
			i++
		}
		if i < len(tokens) && (tokens[i] == "a" || tokens[i] == "an") {
			return ends[i]
		}
		return 0
	}
	value, used := wholeWords(tokens)
	if used == 0 || value < 2 {
		return 0
	}
	if used < len(tokens) && tokens[used] == "and" { // two and a half, two and half
		if _, _, more := fractionWords(tokens[used+1:]); more > 0 {
			used += 1 + more
		}
	}
	return ends[used-1]
}

// unitAt is the length of the space and the unit at the front of a text.
func unitAt(text string, spelled bool) int {
	rest := strings.TrimLeft(text, spaces+"-")
	space := len(text) - len(rest)
	if inches().MatchString(rest) && !spelled { // in is a word of sentences as well
		return space + len("in")
	}
	for _, name := range unitNames() {
		if spelled && (len(name) < 3 || strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && r != ' ' && r != '-' })) {
			continue
		}
		after, found := strings.CutPrefix(rest, name)
		if !found {
			continue
		}
		next, _ := utf8.DecodeRuneInString(after)
		if after != "" && (unicode.IsLetter(next) || unicode.IsDigit(next)) || strings.HasPrefix(after, "-") {
			continue
		}
		return space + len(name)
	}
	return 0
}

// inches is the unit in, told from the word by what follows.
var inches = lazily(`^in\.?(?:$|[,;:)]| ?×| (?:long|wide|deep|high|thick|across|of|in diameter|diameter|wheels?|bolts?|pipe|gauge|drill|hole)\b)`)

// otherUnits are units of things that no value has: pressure, force, stress, volume, frequency, capacitance, light, sound,
// calendar, and temperature by its bare degree.
var otherUnits = []string{"psi", "bar", "mbar", "millibar", "Pa", "hPa", "kPa", "MPa", "atmospheres", "inHg", "mmHg", "N/mm²", "N/mm2",
	"tons", "ton", "stone", "cwt", "mg", "foot-pounds", "foot pounds", "pound-feet", "pound feet", "inch-pounds", "inch pounds", "newton metres", "newton-metres", "newton meters",
	"l", "L", "ml", "mL", "cl", "litre", "litres", "liter", "liters", "gallon", "gallons", "pint", "pints", "quarts", "fl oz", "cc", "cm³", "m³", "cubic metres", "cubic feet",
	"Hz", "kHz", "MHz", "hertz", "µF", "uF", "mF", "nF", "pF", "mH", "µH", "VA", "kVA", "lm", "lux", "lx", "dB", "dBA", "decibels",
	"thou", "mils", "mil", "µm", "um", "micron", "microns", "furlongs", "acres", "square metres", "square feet", "sq ft", "knots",
	"weeks", "months", "years", "fortnights", "degrees", "degree", "°", "mpg", "kgf", "lbf", "W/kg", "Wh/kg", "mAh/g", "amperes", "ppm"}

// unitNames lists every spelling of a unit that a sentence may have, the longest first.
var unitNames = sync.OnceValue(func() []string {
	out := slices.Clone(otherUnits)
	for _, u := range quantity.Units() {
		for _, name := range append([]string{u.Symbol}, u.Aliases...) {
			if name != "in" && name != "\"" && name != "at" && name != "d" && name != "t" { // words and marks of a sentence
				out = append(out, name)
				if of, found := strings.CutSuffix(name, " hours"); found { // amp-hours
					out = append(out, of+"-hours", of+"-hour")
				}
			}
		}
	}
	slices.Sort(out)
	sort.SliceStable(out, func(a, b int) bool { return len(out[a]) > len(out[b]) })
	return out
})
