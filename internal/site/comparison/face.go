package comparison

import (
	"fmt"

	"voltwright/internal/site/numeral"
)

// Face is what changed in one line: how many values, and the first result whose change is larger than its uncertainty.
func (c *ChangesView) Face() []numeral.Phrase {
	n := 0
	for _, g := range c.Groups {
		n += len(g.Rows)
	}
	text := "Nothing in the spec differs"
	if n > 0 {
		text = fmt.Sprintf("%s of the spec", numeral.Count(n, "value"))
	}
	out := []numeral.Phrase{numeral.Say(text)}
	if c.Results == nil {
		return append(out, numeral.Say("; no runs that can be compared."))
	}
	if r, ok := First(c.Results.Bodies); ok {
		return append(out, numeral.Say("; "+numeral.MidSentence(r.Figure)+" "), numeral.SayNumber(numeral.Numeral{Kind: numeral.Computed, Whole: r.Part, Set: true}), numeral.Say(", more than chance."))
	}
	return append(out, numeral.Say("; no result differs by more than its uncertainty."))
}

// First is the result that is told first of a change: the first whose change is larger than its uncertainty.
func First(bodies []HeldBody) (HeldResult, bool) {
	for _, b := range bodies {
		for _, r := range b.Rows {
			if r.Larger && r.Part != "" {
				return r, true
			}
		}
	}
	return HeldResult{}, false
}
