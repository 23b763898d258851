package evidence

import (
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/quantity"
)

// units of counting in words.
var (
	small = []string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
		"thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"}
	tens = []string{"", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"}
	// ordinals and denominators, from the second on
	ordinals = []string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
)

// denominators are the parts that an amount in words is told in.
var denominators = map[string]int{"half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourth": 4, "fourths": 4,
	"fifth": 5, "fifths": 5, "sixth": 6, "sixths": 6, "seventh": 7, "sevenths": 7, "eighth": 8, "eighths": 8, "ninth": 9, "ninths": 9,
	"tenth": 10, "tenths": 10, "twelfth": 12, "twelfths": 12, "hundredth": 100, "hundredths": 100}

// vulgar are the fractions that have a character of their own.
var vulgar = map[rune][2]int{'½': {1, 2}, '⅓': {1, 3}, '⅔': {2, 3}, '¼': {1, 4}, '¾': {3, 4}, '⅕': {1, 5}, '⅙': {1, 6}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8}, '⅒': {1, 10}}

// wholeWords reads a whole number in words or digits at the front of the
// tokens: "thirty-one" comes as two. n tokens were read, none where it is no number.
func wholeWords(tokens []string) (value, n int) {
	if len(tokens) == 0 {
		return 0, 0
	}
	if v, err := strconv.Atoi(tokens[0]); err == nil && v >= 0 && tokens[0][0] != '+' {
		return v, 1
	}
	total, group, read := 0, 0, 0
	last := 1000000 // what was read last, so that twenty thirty is two numbers
	for i := 0; i < len(tokens); i++ {
		t := strings.ToLower(tokens[i])
		switch {
		case t == "and" && read > 0 && (last == 100 || last == 1000) && i+1 < len(tokens) && smallest(tokens[i+1]) > 0:
			continue
		case smallest(t) > 0 && (last >= 100 || last >= 20 && smallest(t) < 10):
			group += smallest(t)
			last = smallest(t)
		case t == "a" && read == 0 && i+1 < len(tokens) && (strings.EqualFold(tokens[1], "hundred") || strings.EqualFold(tokens[1], "thousand")):
			group, last = 1, 1
		case t == "hundred" && group > 0 && group < 100 && last < 100:
			group *= 100
			last = 100
		case t == "thousand" && group > 0 && total == 0:
			total, group, last = group*1000, 0, 1000
		case t == "dozen" && (read == 0 || total == 0):
			return max(group, 1) * 12, i + 1
		default:
			return total + group, read
		}
		read = i + 1
	}
	return total + group, read
}

// smallest is a number below a hundred in one word, 0 for another word.
func smallest(word string) int {
	word = strings.ToLower(word)
	for v, w := range small {
		if v > 0 && w == word {
			return v
		}
	}
	for v, w := range tens {
		if v > 1 && w == word {
			return 10 * v
		}
	}
	return 0
}

// inWords writes a whole number in words up to a hundred, above it in digits.
func inWords(n int) string {
	switch {
	case n < 0 || n > 99:
		return strconv.Itoa(n)
	case n < 20:
		return small[n]
	case n%10 == 0:
		return tens[n/10]
	default:
		return tens[n/10] + "-" + small[n%10]
	}
}

// fractionWords reads "half", "a third", "three quarters", "¾" at the front of the tokens.
func fractionWords(tokens []string) (num, den, n int) {
	if len(tokens) == 0 {
		return 0, 0, 0
	}
	if r := []rune(tokens[0]); len(r) == 1 {
		if f, is := vulgar[r[0]]; is {
			return f[0], f[1], 1
		}
	}
	first := strings.ToLower(tokens[0])
	if d := denominators[first]; d > 0 && (d == 2 || d == 4 || len(tokens) > 1 && strings.EqualFold(tokens[1], "of")) {
		return 1, d, 1 // half an hour, quarter of an hour
	}
	count, used := 1, 1
	if first != "a" && first != "an" {
		if count, used = wholeWords(tokens); used == 0 {
			return 0, 0, 0
		}
	}
	if used >= len(tokens) {
		return 0, 0, 0
	}
	d := denominators[strings.ToLower(tokens[used])]
	if d == 0 || count >= d {
		return 0, 0, 0
	}
	return count, d, used + 1
}

// fractionInWords writes a part in words: "half", "a third", "three quarters".
func fractionInWords(num, den int) string {
	names := map[int]string{2: "half", 3: "third", 4: "quarter", 5: "fifth", 6: "sixth", 7: "seventh", 8: "eighth", 9: "ninth", 10: "tenth", 12: "twelfth", 100: "hundredth"}
	switch {
	case names[den] == "":
		return ""
	case num == 1 && den == 2:
		return "half"
	case num == 1 && den == 8:
		return "an eighth"
	case num == 1:
		return "a " + names[den]
	default:
		return inWords(num) + " " + names[den] + "s"
	}
}

// tokensOf splits words for reading, with the hyphens of numbers in words and
// the characters of fractions taken apart.
func tokensOf(words string) []string {
	var b strings.Builder
	for _, r := range words {
		if _, is := vulgar[r]; is {
			b.WriteString(" " + string(r) + " ")
			continue
		}
		b.WriteRune(r)
	}
	var out []string
	for _, t := range strings.Fields(b.String()) {
		if parts := strings.Split(t, "-"); len(parts) > 1 && hyphened(parts) {
			out = append(out, parts...)
			continue
		}
		out = append(out, t)
	}
	return out
}

// hyphened says whether the parts of a word with hyphens are words of an amount: twenty-five, three-quarters, half-an-hour, two-hour.
func hyphened(parts []string) bool {
	for i, p := range parts {
		p = strings.ToLower(p)
		_, unit := quantity.FindUnit(p)
		if smallest(p) == 0 && denominators[p] == 0 && p != "a" && p != "an" && p != "and" && p != "of" && p != "hundred" && p != "dozen" && !(i > 0 && unit && len(p) > 2) {
			return false
		}
	}
	return true
}

// pointInWords writes a number with a point in words, twenty-four point eight volts, in digits.
func pointInWords(text string) string {
	tokens := tokensOf(text)
	at := slices.IndexFunc(tokens, func(t string) bool { return strings.EqualFold(t, "point") })
	if at < 1 {
		return text
	}
	whole, used := wholeWords(tokens[:at])
	if first := strings.ToLower(tokens[0]); at == 1 && (first == "nought" || first == "zero" || first == "naught") {
		whole, used = 0, 1
	}
	var fraction strings.Builder
	end := at + 1
	for ; end < len(tokens); end++ {
		d := slices.Index(small[:10], strings.ToLower(tokens[end]))
		if strings.EqualFold(tokens[end], "nought") {
			d = 0
		}
		if d < 0 {
			break
		}
		fraction.WriteByte(byte('0' + d))
	}
	if used != at || fraction.Len() == 0 {
		return text
	}
	return strings.TrimSpace(strconv.Itoa(whole) + "." + fraction.String() + " " + strings.Join(tokens[end:], " "))
}

// oneOfSo reads every other, every third, one in three, two runs out of three: a share.
func oneOfSo(text string) (amount, bool) {
	tokens := tokensOf(strings.ToLower(text))
	share := func(num, den int) (amount, bool) {
		if num < 1 || num >= den {
			return amount{}, false
		}
		a := stepped(float64(num)/float64(den), 1/float64(den), false)
		a.write = func(x float64, to func(float64) float64) string {
			k := int(to(x * float64(den)))
			if k < 1 || k >= den {
				return ""
			}
			return inWords(k) + " out of " + inWords(den)
		}
		return a, true
	}
	if len(tokens) > 1 && tokens[0] == "every" {
		if tokens[1] == "other" {
			return share(1, 2)
		}
		if n, ok := ordinal(tokens[1]); ok {
			return share(1, n)
		}
	}
	num, used := wholeWords(tokens)
	for i := used; used > 0 && i < len(tokens) && i < used+2; i++ {
		next := i + 1
		if tokens[i] == "out" && next < len(tokens) && tokens[next] == "of" {
			next++
		} else if tokens[i] != "in" {
			continue
		}
		if den, n := wholeWords(tokens[next:]); n > 0 && next+n >= len(tokens)-1 {
			return share(num, den)
		}
	}
	return amount{}, false
}
