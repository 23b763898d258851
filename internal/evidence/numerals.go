package evidence

import (
	"strconv"
	"strings"
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
	"fifth": 5, "fifths": 5, "sixth": 6, "sixths": 6, "eighth": 8, "eighths": 8, "tenth": 10, "tenths": 10}

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
		case smallest(t) > 0 && smallest(t) < last && (last >= 100 || last >= 20 && smallest(t) < 10):
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
	if d := denominators[first]; d > 0 && (d == 2 || d == 4) {
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
	names := map[int]string{2: "half", 3: "third", 4: "quarter", 5: "fifth", 6: "sixth", 8: "eighth", 10: "tenth"}
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
		first, second, found := strings.Cut(t, "-")
		if found && (smallest(first) > 0 || first == "a") && (smallest(second) > 0 || denominators[strings.ToLower(second)] > 0) {
			out = append(out, first, second)
			continue
		}
		out = append(out, t)
	}
	return out
}
