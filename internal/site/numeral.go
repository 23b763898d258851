package site

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// kind is one of the three kinds of number. The word is also the class of its mark in the style sheet.
type kind string

const (
	measured kind = "measured" // links to its log or readings
	computed kind = "computed" // links to its method
	quoted   kind = "quoted"   // as the maker states it
)

// numeral is a value ready to print. Templates only put the strings in their places.
type numeral struct {
	Kind      kind
	Whole     string // "(23.14 ± 0.06) V", for running text
	Int, Frac string // "23", ".14": split at the decimal sign, for a column
	Width     string // class of the width that the column's fractions need
	Plus      string // "0.06", "" where there is no uncertainty to state
	Unit      string
	Twin      string // the same in the other system of units, "" where nobody wants it or there is none
	Href      string // the evidence or the method, "" for a quoted value
	Set       bool

	twin *quantity.Quantity // the same in the other system; nil where there is none, and for the size of a wire
	us   bool               // the unit is US customary
}

// printed makes a numeral from a quantity; one without a value is not Set.
func printed(q quantity.Quantity, k kind, href string) numeral {
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		return numeral{}
	}
	parts := q.Parts()
	n := numeral{Kind: k, Whole: onPage(q.Rounded()), Plus: parts.Plus, Unit: parts.Unit, Href: href, Set: true}
	n.Int, n.Frac = split(onPage(parts.Value))
	if parts.Plus == "" { // the twin says no more than the value as it is printed
		q.Unit, q.Decimals = parts.Unit, max(0, utf8.RuneCountInString(n.Frac)-1)
	}
	twin, ok := q.Customary()
	if !ok {
		twin, n.us = q.Metric()
	}
	if ok || n.us {
		n.Twin = onPage(twin.Rounded())
		if q.Dimension != quantity.Area { // a gauge is another size than the nearest cross-section: what was stated is what was bought
			n.twin = &twin
		}
	}
	return n
}

// significant is how many figures are printed of a value that was computed from stated ones without uncertainty; fewest
// is how many at least.
const (
	significant = 4
	fewest      = 3
)

// brief gives a value without uncertainty as many decimals as make the significant figures, less if it has less, but at
// least as many figures as least says.
func brief(q quantity.Quantity, least int) quantity.Quantity {
	parts := q.Parts()
	v, err := strconv.ParseFloat(parts.Value, 64)
	if parts.Plus != "" || err != nil || v == 0 {
		return q
	}
	_, fraction := split(parts.Value)
	size := int(math.Floor(math.Log10(math.Abs(v))))
	q.Unit, q.Decimals = parts.Unit, max(0, min(significant-1-size, max(len(fraction)-1, least-1-size)))
	return q
}

// onPage gives a printed quantity the minus sign that a page has; a terminal has a hyphen.
func onPage(text string) string { return minus.ReplaceAllString(text, "−$1") }

var minus = regexp.MustCompile(`-([0-9])`)

// split parts a number at its decimal sign, which stays with the fraction; a value that is no plain number, such as a
// time of day, stays whole.
func split(text string) (whole, fraction string) {
	at := strings.IndexByte(text, '.')
	if at < 0 || strings.Trim(text, "+-−0123456789.\u2009 ") != "" {
		return text, ""
	}
	return text[:at], text[at:]
}

// align gives the numerals of one column the width of their longest fraction.
func align(column []*numeral) {
	longest := 0
	for _, n := range column {
		longest = max(longest, utf8.RuneCountInString(n.Frac)-1)
	}
	if longest <= 0 {
		return
	}
	for _, n := range column {
		n.Width = fmt.Sprintf("f%d", min(longest, 6))
	}
}

// stated is a value of the front matter as the maker wrote it, in this program's spelling of units.
func stated[K quantity.Kind](v notes.Value[K]) numeral {
	if !v.Known() {
		return numeral{}
	}
	q, err := quantity.Parse(v.Written)
	if err != nil {
		q = v.Quantity()
	}
	n := printed(q, quoted, "")
	n.Whole = q.String()
	return n
}

// reckoned is a value computed from stated ones.
func reckoned[K quantity.Kind](v quantity.Measured[K], href string) numeral {
	if !v.Known() {
		return numeral{}
	}
	return printed(brief(v.Quantity(), fewest), computed, href)
}

// summed is a sum of stated values, which has no more figures than they have.
func summed[K quantity.Kind](href string, terms ...quantity.Measured[K]) numeral {
	v := quantity.Sum(terms...)
	if !v.Known() {
		return numeral{}
	}
	return printed(brief(v.Quantity(), 1), computed, href)
}

// words is a value that is no number.
func words(text string) numeral { return numeral{Whole: text, Int: text, Set: text != ""} }

// printedIn makes a numeral in a given unit, for a column whose head names it.
func printedIn(q quantity.Quantity, unit string, k kind, href string) numeral {
	n := printed(q, k, href)
	if !n.Set {
		return n
	}
	if parts, err := q.PartsIn(unit); err == nil {
		n.Plus, n.Unit = parts.Plus, parts.Unit
		n.Int, n.Frac = split(onPage(parts.Value))
	}
	return n
}

// phrase is a piece of a sentence that a page composes: words, words that lead somewhere, or a number with its mark.
type phrase struct {
	Text, Href string
	Num        *numeral
}

func say(text string) phrase     { return phrase{Text: text} }
func sayNumber(n numeral) phrase { return phrase{Num: &n} }

// meaning is what a word of the front matter means, in words for a reader; "" if it was not written.
func meaning[E notes.Enum](c notes.Choice[E]) string {
	if !c.Set {
		return ""
	}
	for _, o := range c.Value.Options() {
		if o.Name == string(c.Value) {
			return o.Meaning
		}
	}
	return string(c.Value)
}

// plain is a word of the front matter with spaces for its hyphens: "steel rail".
func plain[E notes.Enum](c notes.Choice[E]) string {
	return strings.ReplaceAll(string(c.Value), "-", " ")
}

// yesNo is what a flag says, in a word; "" where it is not stated.
func yesNo(f notes.Flag) string {
	switch {
	case !f.Set:
		return ""
	case f.Value:
		return "yes"
	}
	return "no"
}
