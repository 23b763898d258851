package quantity

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// This file writes the grammar of parse.go, number.go, clock.go, gauge.go and
// accuracy.go down as regular expressions, for whoever judges a value without
// this program: an editor with a JSON Schema. They are made from the table of
// units, and keep to what ECMA-262 (with its u flag and without) and Go's
// regexp read alike: literal characters of the basic plane, classes,
// (?: ), |, ?, *, +, counts, ^ and $.
//
// What a pattern refuses, the parser refuses. The other way it is close, but a
// regular expression does not count digits, hold a value against what is
// possible, or know that 75 min after hours are too many.

// Pattern is a regular expression that matches every text which ParseAs reads
// as a value of the dimension.
func Pattern(d Dimension) string { return whole(grammarOf(d).value()) }

// AmountPattern is a regular expression that matches every text which Parse reads.
func AmountPattern() string { return whole(grammarOf(anyDimension).value()) }

// RangePattern is a regular expression that matches two values of the dimension,
// each with its unit, and " to " between them.
func RangePattern(d Dimension) string {
	end := someSpace() + either(grammarOf(d).value()) + someSpace()
	return "^" + end + " to " + end + "$"
}

// AccuracyPattern is a regular expression that matches every text which
// ParseAccuracy reads.
func AccuracyPattern() string {
	// A plus sign parts the terms, so their numbers have none.
	n := numberPattern("", "[-−]?", "[0-9]")
	var units []string
	for _, s := range scales {
		if s.dimension != Share {
			units = append(units, spellings(s)...)
		}
	}
	var words []string
	for _, word := range slices.Concat(shareWords, digitWords) {
		words = append(words, foldedCase(word))
	}
	term := either([]string{
		n + someSpace() + either(words),
		n + unitPattern(units),
		gaugePattern(),
		clockPattern(),
		partsPattern(),
	})
	terms := term + "(?:" + someSpace() + `\+` + someSpace() + term + ")*"
	return whole([]string{plusMinus + someSpace() + either([]string{terms, `\(` + someSpace() + terms + someSpace() + `\)`})})
}

// grammar holds the pieces of which the values of one dimension are made.
type grammar struct {
	unit     string // with the space before it, "" if there is none to write
	plusUnit string // the same of what stands after ±
	bare     bool   // a number without a unit is a value too
	time     bool   // a time may have colons or parts
	size     bool   // a size of wire is a value too
}

func grammarOf(d Dimension) grammar {
	all := d == anyDimension
	var units, more []string
	for _, s := range scales {
		_, asDifference := inDifference[s.symbol]
		switch {
		case all || s.dimension == d || d == TemperatureDifference && asDifference:
			units = append(units, spellings(s)...)
		case s.dimension == TemperatureDifference && d == Temperature:
			more = append(more, spellings(s)...)
		}
	}
	return grammar{
		unit: unitPattern(units), plusUnit: unitPattern(slices.Concat(units, more)),
		bare: all || d == Plain, time: all || d == Time, size: all || d == Area,
	}
}

// value lists the forms of a value; see parser.split for how ± may stand.
func (g grammar) value() []string {
	n := numberPattern(`[-+−]?`, `(?:[-−]|\+)?`, "[0-9]")
	least := either([]string{numberPattern(`\+?`, `(?:[-−]|\+)?`, "[0-9]"), numberPattern(`[-−]`, `(?:[-−]|\+)?`, "0")}) // is not below zero
	pm := someSpace() + plusMinus + someSpace()
	optional := func(piece string) string {
		if piece == "" {
			return ""
		}
		return "(?:" + piece + ")?"
	}
	plus, inBracket := least+g.plusUnit, least+optional(g.plusUnit)
	if g.bare {
		plus = inBracket
	}
	first := n
	var forms []string
	if g.time {
		parts := partsPattern()
		long := "(?:[-−]" + someSpace() + ")?" + parts // a minus is read where all of it is zero
		plus, inBracket = either([]string{plus, long}), either([]string{inBracket, long})
		first = either([]string{n, clockPattern()})
		forms = append(forms, either([]string{clockPattern(), "[-−]?" + parts})+optional(pm+plus))
	}
	if g.size {
		forms = append(forms, gaugePattern())
	}
	if g.bare {
		forms = append(forms, n+optional(g.unit)+optional(pm+plus))
	}
	if g.unit == "" {
		return forms
	}
	if !g.bare {
		forms = append(forms, n+either([]string{g.unit + optional(pm+plus), pm + least + g.unit}))
	}
	return append(forms, `\(`+someSpace()+first+pm+inBracket+someSpace()+`\)`+g.unit)
}

// The pieces of which the patterns are made. What takes a look at every character is made when it is first asked for: few commands do.
var (
	spaces    = sync.OnceValue(func() string { return classOf(isSpace) })
	plusMinus = `(?:±|\+/[-−]|\+-)`
	grouped   = groupedOf("[0-9]")
)

func someSpace() string { return spaces() + "*" }

// groupedOf is digits and groups of three of them: see groupSpace.
func groupedOf(digit string) string { return digit + "+(?:[\u00a0\u2009\u202f]" + digit + "{3})*" }

func whole(forms []string) string {
	return "^" + someSpace() + either(forms) + someSpace() + "$"
}

func either(forms []string) string {
	if len(forms) == 1 {
		return forms[0]
	}
	return "(?:" + strings.Join(forms, "|") + ")"
}

// numberPattern is what readNumber reads, with the signs that it and its exponent may have, and the digits it may be of.
func numberPattern(sign, exponentSign, digit string) string {
	return sign + "(?:" + groupedOf(digit) + `(?:\.` + digit + `*)?|\.` + digit + "+)(?:[eE]" + exponentSign + "[0-9]+)?"
}

// spellings are the patterns of a unit's symbol and aliases. The size of a wire
// is no unit here.
func spellings(s *scale) []string {
	if s.symbol == "" || s.symbol == gauge {
		return nil
	}
	var out []string
	for _, name := range append([]string{s.symbol}, s.aliases...) {
		if name = spelling(plainUnit(name)); !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// unitPattern is one of the units and the space before it, which a unit that
// begins with a digit needs.
func unitPattern(units []string) string {
	var others, digits []string
	for _, u := range units {
		if isDigit(u[0]) {
			digits = append(digits, u)
		} else {
			others = append(others, u)
		}
	}
	var forms []string
	if len(others) > 0 {
		forms = append(forms, someSpace()+group(others))
	}
	if len(digits) > 0 {
		forms = append(forms, spaces()+"+"+group(digits))
	}
	if len(forms) == 0 {
		return ""
	}
	return either(forms)
}

func group(forms []string) string { return "(?:" + strings.Join(forms, "|") + ")" }

// typedAs holds, for each character of a unit's plain spelling, those that plainUnit makes it of.
var typedAs = sync.OnceValue(func() map[rune][]rune {
	out := map[rune][]rune{}
	for r := rune(0x21); r <= 0xffff; r++ {
		if plain, size := utf8.DecodeRuneInString(plainUnit(string(r))); size > 0 && plain != r && plain != utf8.RuneError {
			out[plain] = append(out[plain], r)
		}
	}
	return out
})

// spelling is the pattern of a unit, in every way in which it can be typed.
func spelling(plain string) string {
	var b strings.Builder
	for _, r := range plain {
		switch others := typedAs()[r]; {
		case r == ' ':
			b.WriteString(spaces() + "+")
		case len(others) > 0:
			b.WriteString("[" + string(r) + string(others) + "]")
		default:
			b.WriteString(literal(r))
		}
	}
	return b.String()
}

// foldedCase is the pattern of a word that may be written in letters of either case.
func foldedCase(word string) string {
	var b strings.Builder
	for _, r := range word {
		switch upper := strings.ToUpper(string(r)); {
		case r == ' ':
			b.WriteString(spaces() + "+")
		case upper != string(r):
			b.WriteString("[" + upper + string(r) + "]")
		default:
			b.WriteString(literal(r))
		}
	}
	return b.String()
}

// literal is a character as it stands in a pattern.
func literal(r rune) string {
	if strings.ContainsRune(`^$\.*+?()[]{}|`, r) {
		return `\` + string(r)
	}
	return string(r)
}

// classOf is the class of the characters for which is holds; all of them lie in the basic plane.
func classOf(is func(rune) bool) string {
	var b strings.Builder
	b.WriteByte('[')
	for r := rune(0); r <= 0xffff; r++ {
		if !is(r) {
			continue
		}
		last := r
		for is(last + 1) {
			last++
		}
		b.WriteRune(r)
		if last > r+1 {
			b.WriteByte('-')
		}
		if last > r {
			b.WriteRune(last)
		}
		r = last
	}
	b.WriteByte(']')
	return b.String()
}

// gaugePattern is what cutGauge and gaugeSize read.
func gaugePattern() string {
	var sizes []string
	for n := thickestGauge; n <= thinnestGauge; n++ {
		if n <= 0 {
			sizes = append(sizes, strconv.Itoa(1-n)+"/0", strings.Repeat("0", 1-n))
			continue
		}
		sizes = append(sizes, strconv.Itoa(n))
	}
	name, size := foldedCase(strings.ToLower(gauge)), group(sizes)
	return either([]string{name + someSpace() + size, size + someSpace() + name})
}

// clockPattern is what parser.clock reads.
func clockPattern() string { return "[-−]?[0-9]+(?::[0-5][0-9]){1,2}" + `(?:\.[0-9]*)?` }

// partsPattern is what parser.timeInParts reads of more than one part, without
// its sign: whole parts that grow smaller, the last of them with a point or not.
func partsPattern() string {
	named := func(symbol string, also ...string) string {
		s := bySymbol[symbol]
		names := append([]string{s.symbol}, s.aliases...)
		return someSpace() + group(append(names, also...))
	}
	wholePart := func(name string) string { return grouped + name + someSpace() }
	last := `\+?(?:` + grouped + `(?:\.[0-9]*)?|\.[0-9]+)`
	days, hours, seconds := named("d"), named("h"), named("s")
	minutes, afterHours := named("min"), named("min", "m") // m is the metre where no hours or days go before
	large := either([]string{wholePart(days) + "(?:" + wholePart(hours) + ")?", wholePart(hours)})
	return either([]string{
		large + either([]string{"(?:" + wholePart(afterHours) + ")?" + last + seconds, last + afterHours}),
		wholePart(days) + last + hours,
		wholePart(minutes) + last + seconds,
	})
}
