package safety

import (
	"slices"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// A Topic is what a reader may ask about, as far as rules of safety bear on the answer.
type Topic string

// The topics.
const (
	Charging Topic = "charging" // chargers, charges and what ends them
	Running  Topic = "running"  // how long it runs and what the cells give for it
	Cutting  Topic = "cutting"  // at what voltage a discharge ends, and whether it stays ended
	Driving  Topic = "driving"  // speed, hills, curves, brakes and motors
	Standing Topic = "standing" // what it loses and how it is kept while nobody uses it
	Wired    Topic = "wired"    // leads, fuses, contacts and what hangs at them
	Riding   Topic = "riding"   // who rides, and who is by
	Method   Topic = "method"   // whether what was measured may be quoted
	Anything Topic = "anything" // it bears on each of them
)

// A wording is what one line says of a rule: of what it speaks in a few words, and what it bears on; first stands for the
// first step where the remedy's own first clause is too long for a line.
type wording struct {
	subject, first string
	about          []Topic
}

// LineMost is how many characters a line has at most.
const LineMost = 60

// Line is a callout in one line: what it speaks of, and its number against the limit; without a number, or with one that is
// too long, what to do first. "" where no rule of the package has the name of the finding's.
func Line(f finding.Finding) string {
	b, ok := wordings[f.Rule]
	if !ok {
		return ""
	}
	fits := func(rest string) bool {
		return rest != "" && utf8.RuneCountInString(b.subject)+2+utf8.RuneCountInString(rest) <= LineMost
	}
	if number := inWords(f); fits(number) {
		return b.subject + ": " + number
	}
	if step := firstStep(f.Remedy, fits); step != "" {
		return b.subject + ": " + step
	}
	if fits(b.first) {
		return b.subject + ": " + b.first
	}
	return b.subject
}

// sharesInWords are the rules that hold one share of a whole against another, and what the two are to each other.
var sharesInWords = map[string][2]string{"wet-rail-slips": {"asked", "held"}}

// inWords is the number of a callout against its limit; "" where it has none.
func inWords(f finding.Finding) string {
	g := f.Gauge
	if g == nil {
		return ""
	}
	if words, ok := sharesInWords[f.Rule]; ok {
		percent := func(part float64) string { return three(quantity.Exact(quantity.Fraction(part)).Quantity()) }
		return percent(g.Value) + " " + words[0] + ", " + percent(g.Limit) + " " + words[1]
	}
	return g.String()
}

// firstStep is the longest beginning of a remedy's first sentence that fits and is an order by itself; "" where none is.
func firstStep(remedy string, fits func(string) bool) string {
	sentence, _, _ := strings.Cut(strings.TrimSuffix(remedy, "."), ". ")
	word, _, _ := strings.Cut(sentence, " ")
	if slices.Contains([]string{"when", "if", "until", "where"}, word) {
		return ""
	}
	for {
		if fits(sentence) && !strings.Contains(sentence, "`") {
			return sentence
		}
		at := strings.LastIndexAny(sentence, ",;:")
		if at < 0 {
			return ""
		}
		sentence = sentence[:at]
	}
}

// BearsOn tells whether what a rule speaks of bears on an answer about one of the topics. What the package does not know bears
// on every answer, and so does every rule on an answer of which nothing is known.
func BearsOn(rule string, topics []Topic) bool {
	b, ok := wordings[rule]
	if !ok || len(topics) == 0 || slices.Contains(b.about, Anything) {
		return true
	}
	return slices.ContainsFunc(b.about, func(t Topic) bool { return slices.Contains(topics, t) })
}
