package safety

import (
	"slices"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
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

// A wording is what one line says of a rule: of what it speaks in a few words, and what it bears on; first is what to do first, where
// the remedy's own first clause is no order by itself or too long for a line.
type wording struct {
	subject, first string
	about          []Topic
}

// LineMost is how many characters a line has at most.
const LineMost = 60

// Line is a callout in one line: what it speaks of, and what to do first. Its number stands below, where the line opens. "" where no
// rule of the package has the name of the finding's.
func Line(f finding.Finding) string {
	b, ok := wordings[f.Rule]
	if !ok {
		return ""
	}
	fits := func(rest string) bool {
		return rest != "" && utf8.RuneCountInString(b.subject)+2+utf8.RuneCountInString(rest) <= LineMost
	}
	if step := firstStep(f.Remedy, fits); step != "" {
		return b.subject + ": " + step
	}
	return b.subject + ": " + b.first
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
