package evidence

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

var falseStatement = finding.Doc{
	Kind: finding.RuleDoc, Name: "false-statement", Level: finding.Error,
	Title: "A number in prose does not agree with its evidence",
	What: "Reads the words of a bound number as a quantity and holds them against the run's figure. The words are true if " +
		"the figure, rounded to the place that they are written to, gives the same number.",
	Why:     "A page is quoted for years. A log that is corrected, or a typing slip, must not leave the old number standing.",
	Range:   "Words that are one quantity with its unit, such as 47 min, 2 h 7 min or 1.24 Ah. Other words are reported as not judged.",
	Source:  "Rounding to the place written: JCGM 100:2008, 7.2.6.",
	Example: "  It ran for [47 min](value:field-2026-05-09/running-time).",
}

var emptyStatement = finding.Doc{
	Kind: finding.RuleDoc, Name: "statement-without-value", Level: finding.Error,
	Title: "A sentence quotes a figure that its run does not give",
	What:  "Looks at every bound number and asks whether the run's evidence gives that figure at all.",
	Why:   "A stopwatch gives no charge and a log without a speed gives no distance. What was not measured can't be quoted.",
}

var unjudgedStatement = finding.Doc{
	Kind: finding.RuleDoc, Name: "statement-not-judged", Level: finding.Warning,
	Title: "The words of a bound number cannot be read",
	What:  "Looks at bound words that are not one quantity with its unit.",
	Why:   "Words that cannot be held against the data may be wrong without anyone noticing.",
}

// judge holds one statement against its figure.
func judge(e *notes.Embed, t journal.Target, figure runlog.Figure) []finding.Finding {
	f := finding.Finding{Level: finding.Error, Span: e.Span}
	if figure.Missing != "" {
		f.Rule = emptyStatement.Name
		f.Text = fmt.Sprintf("`%s` has no value: %s", where(t), strings.TrimSuffix(figure.Missing, "."))
		f.Remedy = "quote a figure that the run gives, or take the binding away."
		return []finding.Finding{f}
	}
	words := strings.TrimSpace(e.Words)
	if words == "" {
		return nil // the value itself is put in
	}
	written, err := quantity.ParseAs(words, figure.Quantity.Dimension)
	if err != nil {
		f.Rule, f.Level = unjudgedStatement.Name, finding.Warning
		f.Text = fmt.Sprintf("cannot judge %q against `%s`: %v", words, where(t), err)
		f.Remedy = fmt.Sprintf("write one quantity with its unit, such as %s, or leave the brackets empty for the value itself.", figure.Quantity.Rounded())
		return []finding.Finding{f}
	}
	place, ok := lastPlace(words, written)
	if ok && math.Abs(figure.Quantity.Value-written.Value) <= place/2*(1+1e-9) {
		return nil
	}
	f.Rule = falseStatement.Name
	f.Text = fmt.Sprintf("the sentence says %s and `%s` is %s", words, where(t), figure.Quantity.Rounded())
	f.Remedy = fmt.Sprintf("write %s, or leave the brackets empty for the value itself.", trueWords(written, figure.Quantity))
	return []finding.Finding{f}
}

// lastPlace is the value, in the base unit, of one step in the last digit of
// the words: 1 min for `2 h 7 min`, 0.01 Ah for `1.24 Ah`. It reads the words
// again with that digit changed by one, which holds for every way to write a
// quantity and for scales with an offset.
func lastPlace(words string, written quantity.Quantity) (float64, bool) {
	at := strings.LastIndexAny(words, "0123456789")
	if at < 0 {
		return 0, false
	}
	digit := words[at]
	next := digit + 1
	if digit == '9' {
		next = digit - 1
	}
	other, err := quantity.ParseAs(words[:at]+string(next)+words[at+1:], written.Dimension)
	if err != nil { // a clock's 5 in the tens place has no 6 after it
		return 0, false
	}
	return math.Abs(other.Value - written.Value), true
}

// trueWords gives the figure in the unit and to the place of what was written.
func trueWords(written, figure quantity.Quantity) string {
	q := quantity.Quantity{Dimension: figure.Dimension, Value: figure.Value, Unit: written.Unit, Decimals: written.Decimals}
	return q.Rounded()
}
