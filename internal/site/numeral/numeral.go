// Package numeral makes numbers, amounts and the words around them ready to print on a page.
package numeral

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Kind is one of the three kinds of number. The word is also the class of its mark in the style sheet.
type Kind string

const (
	Measured Kind = "measured" // links to its log or readings
	Computed Kind = "computed" // links to its method
	Quoted   Kind = "quoted"   // as the maker states it
)

// Numeral is a value ready to print. Templates only put the strings in their places.
type Numeral struct {
	Kind      Kind
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

// Printed makes a numeral from a quantity; one without a value is not Set.
func Printed(q quantity.Quantity, k Kind, href string) Numeral {
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		return Numeral{}
	}
	parts := q.Parts()
	n := Numeral{Kind: k, Whole: OnPage(q.Rounded()), Plus: parts.Plus, Unit: parts.Unit, Href: href, Set: true}
	n.Int, n.Frac = split(OnPage(parts.Value))
	if parts.Plus == "" { // the twin says no more than the value as it is printed
		q.Unit, q.Decimals = parts.Unit, max(0, utf8.RuneCountInString(n.Frac)-1)
	}
	twin, ok := q.Customary()
	if !ok {
		twin, n.us = q.Metric()
	}
	if ok || n.us {
		n.Twin = OnPage(twin.Rounded())
		if q.Dimension != quantity.Area { // a gauge is another size than the nearest cross-section: what was stated is what was bought
			n.twin = &twin
		}
	}
	return n
}

// InSystems gives a value in the systems of units that a journal names: in the first of them, with its twin in the second
// beside it, if there is a second. A journal that names none has the value as it is, and its twin.
func (n Numeral) InSystems(systems []notes.Choice[journal.UnitSystem]) Numeral {
	if len(systems) == 0 || n.Twin == "" {
		return n
	}
	own := journal.Metric
	if n.us {
		own = journal.US
	}
	if n.twin != nil && systems[0].Value != own {
		first := Printed(*n.twin, n.Kind, n.Href)
		first.Twin = n.Whole
		n = first
	}
	if !slices.ContainsFunc(systems, func(u notes.Choice[journal.UnitSystem]) bool { return u.Value != systems[0].Value }) {
		n.Twin = ""
	}
	return n
}

// significant is how many figures are printed of a value that was computed from stated ones without uncertainty; fewest
// is how many at least.
const (
	significant = 4
	Fewest      = 3
)

// Brief gives a value without uncertainty as many decimals as make the significant figures, less if it has less, but at
// least as many figures as least says.
func Brief(q quantity.Quantity, least int) quantity.Quantity {
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

// OnPage gives a printed quantity the minus sign that a page has; a terminal has a hyphen.
func OnPage(text string) string { return minus.ReplaceAllString(text, "−$1") }

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

// Align gives the numerals of one column the width of their longest fraction.
func Align(column []*Numeral) {
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

// Stated is a value of the front matter as the maker wrote it, in this program's spelling of units.
func Stated[K quantity.Kind](v notes.Value[K]) Numeral {
	if !v.Known() {
		return Numeral{}
	}
	q, err := quantity.Parse(v.Written)
	if err != nil {
		q = v.Quantity()
	}
	n := Printed(q, Quoted, "")
	n.Whole = q.String()
	return n
}

// Reckoned is a value computed from stated ones.
func Reckoned[K quantity.Kind](v quantity.Measured[K], href string) Numeral {
	if !v.Known() {
		return Numeral{}
	}
	return Printed(Brief(v.Quantity(), Fewest), Computed, href)
}

// Summed is a sum of stated values, which has no more figures than they have.
func Summed[K quantity.Kind](href string, terms ...quantity.Measured[K]) Numeral {
	v := quantity.Sum(terms...)
	if !v.Known() {
		return Numeral{}
	}
	return Printed(Brief(v.Quantity(), 1), Computed, href)
}

// Bare is a numeral without its interval, for a line that leads to where it stands in full.
func Bare(n Numeral) Numeral {
	if n.Plus != "" {
		n.Whole = strings.TrimSpace(n.Int + n.Frac + " " + n.Unit)
		n.Plus = ""
	}
	return n
}

// Words is a value that is no number.
func Words(text string) Numeral { return Numeral{Whole: text, Int: text, Set: text != ""} }

// PrintedIn makes a numeral in a given unit, for a column whose head names it.
func PrintedIn(q quantity.Quantity, unit string, k Kind, href string) Numeral {
	n := Printed(q, k, href)
	if !n.Set {
		return n
	}
	if parts, err := q.PartsIn(unit); err == nil {
		n.Plus, n.Unit = parts.Plus, parts.Unit
		n.Int, n.Frac = split(OnPage(parts.Value))
	}
	return n
}

// Phrase is a piece of a sentence that a page composes: words, words that lead somewhere, or a number with its mark.
type Phrase struct {
	Text, Href string
	Num        *Numeral
}

// Say is words of a sentence; SayNumber a number in it.
func Say(text string) Phrase { return Phrase{Text: text} }

// SayNumber is a number in a sentence.
func SayNumber(n Numeral) Phrase { return Phrase{Num: &n} }

// Meaning is what a word of the front matter means, in words for a reader; "" if it was not written.
func Meaning[E notes.Enum](c notes.Choice[E]) string {
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

// Plain is a word of the front matter with spaces for its hyphens: "steel rail".
func Plain[E notes.Enum](c notes.Choice[E]) string {
	return strings.ReplaceAll(string(c.Value), "-", " ")
}

// YesNo is what a flag says, in a word; "" where it is not stated.
func YesNo(f notes.Flag) string {
	switch {
	case !f.Set:
		return ""
	case f.Value:
		return "yes"
	}
	return "no"
}
