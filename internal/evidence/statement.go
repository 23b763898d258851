package evidence

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

var falseStatement = finding.Doc{
	Kind: finding.RuleDoc, Name: "false-statement", Level: finding.Error,
	Title: "A number in prose does not agree with its evidence",
	What: "Reads the words that are bound to a value and holds them against it: what a run measured, what a note states, what is computed, or how two of these compare. " +
		"The words are true if the value lies in the interval that they claim; `voltwright explain claimed-interval` says which that is. " +
		"A ± written with a number is held against the expanded uncertainty. The words of a name must be among those of the text.",
	Why:     "A page is quoted for years. A log that is corrected, a part that is changed or a typing slip must not leave the old number standing.",
	Range:   "Words that are no number in a wording that is known are reported as not judged.",
	Source:  "Rounding to the place written: JCGM 100:2008, 7.2.6.",
	Example: "  It ran for [47 min](value:field-2026-05-09/running-time).",
}

var emptyStatement = finding.Doc{
	Kind: finding.RuleDoc, Name: "statement-without-value", Level: finding.Error,
	Title: "A sentence quotes a value that does not exist",
	What:  "Looks at every bound number and asks whether its evidence gives a value at all.",
	Why:   "A stopwatch gives no charge and a log without a speed gives no distance. What was not measured can't be quoted.",
}

var unjudgedStatement = finding.Doc{
	Kind: finding.RuleDoc, Name: "statement-not-judged", Level: finding.Warning,
	Title: "The words of a bound number cannot be read",
	What:  "Looks at bound words that are in no wording whose meaning is settled.",
	Why:   "Words that cannot be held against the data may be wrong without anyone noticing.",
}

// SubjectOf says what the words of a statement are read against.
func SubjectOf(v value.Value) Subject {
	s := Subject{Form: v.Form, Dimension: quantityOf(v).Dimension, Currency: v.Currency}
	if v.Pair != nil && v.Form == Ratio {
		s.Dimension = quantityOf(v.Pair.First).Dimension
	}
	return s
}

// quantityOf is the quantity of a value that there is; nothing where it is a date or a name.
func quantityOf(v value.Value) quantity.Quantity { return v.Quantity.Or(quantity.Quantity{}) }

// judge holds one statement in a language against its value.
func judge(e *notes.Embed, v value.Value, language string) []finding.Finding {
	f := finding.Finding{Level: finding.Error, Span: e.Span}
	if !v.Known() {
		f.Rule = emptyStatement.Name
		f.Text = fmt.Sprintf("`%s` has no value: %s", v.Where(), strings.TrimSuffix(v.Why(), "."))
		f.Remedy = "quote a value that there is, or take the binding away."
		return []finding.Finding{f}
	}
	words := strings.TrimSpace(e.Words)
	if words == "" {
		return nil // the value itself is put in
	}
	s := SubjectOf(v)
	s.Comma = decimalComma(language)
	claim, err := claimOf(e, v, s)
	if err != nil {
		f.Rule, f.Level = unjudgedStatement.Name, finding.Warning
		f.Text = fmt.Sprintf("cannot judge %q against `%s`: %v", words, v.Where(), err)
		f.Remedy = fmt.Sprintf("write it in a wording that is known, such as %s, or leave the brackets empty for the value itself.", plainWords(v, s))
		return []finding.Finding{f}
	}
	if agree(words, claim, v) {
		return nil
	}
	f.Rule = falseStatement.Name
	words = aroundWords(words, claim)
	f.Text = fmt.Sprintf("the sentence says %s and `%s` is %s", words, v.Where(), v.Words())
	f.Remedy = fmt.Sprintf("write %s, or leave the brackets empty for the value itself.", trueWords(claim, v, s))
	if hours, minutes, is := hoursMinutes(e.Words, v); is {
		f.Remedy = fmt.Sprintf("two numbers with a colon are minutes and seconds: write %d h %d min, or leave the brackets empty for the value itself.", hours, minutes)
	}
	if v.Span.Source != nil {
		f.Related = []finding.Related{{Span: v.Span, Text: "where it is stated"}}
	}
	return []finding.Finding{f}
}

// aroundWords are words with those around them that were read with them.
func aroundWords(words string, claim Claim) string {
	return joined(joined(claim.worded.before, words), claim.worded.after)
}

// agree says whether a value is what is claimed of it, or is written as a page
// prints it: rounding from an uncertainty may leave out a digit that is written as 0.
func agree(words string, claim Claim, v value.Value) bool {
	if v.Form == Name {
		for _, text := range v.Text {
			if named(words, text) {
				return true
			}
		}
		return false
	}
	if v.Form == Number {
		written, err := quantity.ParseAs(words, quantityOf(v).Dimension)
		printed, other := quantity.ParseAs(quantityOf(v).Rounded(), quantityOf(v).Dimension)
		if err == nil && other == nil && printed.Value == written.Value && printed.U == written.U {
			return true
		}
	}
	if !claim.Holds(v.Number()) {
		return false
	}
	if claim.Spread == nil {
		return true
	}
	u, slack := quantity.CoverageFactor*quantityOf(v).U, 1e-9*(claim.Spread.High-claim.Spread.Low)
	return u >= claim.Spread.Low-slack && u <= claim.Spread.High+slack && u > 0
}

// trueWords are words in the manner of those written that would be true.
func trueWords(claim Claim, v value.Value, s Subject) string {
	if claim.Spread != nil && quantityOf(v).U > 0 {
		q := quantityOf(v)
		if written := claim.worded.amount.unit; written != "" {
			q.Unit = written
		}
		return q.Rounded()
	}
	if words := claim.Rephrase(v.Number(), s); words != "" {
		// What stands around stands there already.
		return strings.TrimSuffix(strings.TrimPrefix(words, claim.worded.before+" "), " "+claim.worded.after)
	}
	return plainWords(v, s)
}

// plainWords are words that are true of a value, without any manner to follow.
func plainWords(v value.Value, s Subject) string {
	switch v.Form {
	case Ratio, Count, Price:
		return truth(v.Number(), s)
	case Change:
		if s.Currency != "" {
			return truth(math.Abs(v.Number()), Subject{Form: Price, Currency: s.Currency}) + " more or less"
		}
	}
	if v.Form == Number {
		if p := quantityOf(v).Parts(); p.Plus != "" { // without the ±, where that is as true
			words := strings.TrimSpace(p.Value + " " + p.Unit)
			if c, err := Read(words, s); err == nil && c.Holds(v.Number()) {
				return words
			}
		}
	}
	return v.Words()
}
