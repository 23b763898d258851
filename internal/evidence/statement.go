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
		"the figure, rounded to the place that they are written to, gives the same number. A ± written with it is held against " +
		"the figure's expanded uncertainty in the same way.",
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
	if agree(words, written, figure.Quantity) {
		return nil
	}
	f.Rule = falseStatement.Name
	f.Text = fmt.Sprintf("the sentence says %s and `%s` is %s", words, where(t), figure.Quantity.Rounded())
	f.Remedy = fmt.Sprintf("write %s, or leave the brackets empty for the value itself.", trueWords(written, figure.Quantity))
	return []finding.Finding{f}
}

// agree says whether what is written is the figure, both the value and, where one is written, its expanded uncertainty:
// rounded to the place that each is written to, or as a page prints the two. An uncertainty may be rounded up.
func agree(words string, written, figure quantity.Quantity) bool {
	if printed, err := quantity.ParseAs(figure.Rounded(), figure.Dimension); err == nil && printed.Value == written.Value && printed.U == written.U {
		return true
	}
	value := func(q quantity.Quantity) float64 { return q.Value }
	place, ok := lastPlace(words, written, value)
	if !ok || math.Abs(figure.Value-written.Value) > place/2*(1+1e-9) {
		return false
	}
	if written.U == 0 {
		return true
	}
	expanded := func(q quantity.Quantity) float64 { return quantity.CoverageFactor * q.U }
	place, ok = lastPlace(words, written, expanded)
	over := expanded(written) - expanded(figure)
	return ok && over >= -place/2*(1+1e-9) && over <= place*(1+1e-9)
}

// trueWords gives the figure in the unit and to the place of what was written.
func trueWords(written, figure quantity.Quantity) string {
	if written.U > 0 && figure.U > 0 {
		figure.Unit = written.Unit
		return figure.Rounded()
	}
	q := quantity.Quantity{Dimension: figure.Dimension, Value: figure.Value, Unit: written.Unit, Decimals: written.Decimals}
	return q.Rounded()
}
