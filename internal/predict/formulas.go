package predict

import (
	"fmt"
	"strings"

	"voltwright/internal/quantity"
)

// FormulaChange is a change of the formulas that moved answers.
type FormulaChange struct {
	Day   string // "2026-05-03"
	What  string // in words that follow "a better formula: "
	Wrong bool   // what was printed before was wrong, and not only less exact
}

// formulaChanges are all of them, the newest last. Whoever changes what an answer is computed by adds a line: publish tells it where an answer
// moved for no other reason.
var formulaChanges = []FormulaChange{
	{Day: "2026-11-30", What: "intervals of the cold, and of what a single run says against the label"},
	{Day: "2026-11-30", What: "charges of lead-acid packs away from 25 °C, which taught as if the cold took from what goes in", Wrong: true},
}

// Formulas is the number of the formulas that answers are computed by; it rises with each change that moved answers.
func Formulas() int { return len(formulaChanges) }

// FormulasSince are the changes since a number that Formulas had.
func FormulasSince(number int) []FormulaChange {
	return formulaChanges[min(max(0, number), len(formulaChanges)):]
}

// Words are the bank's packs and its cutout in a line, so that two banks that answer otherwise read otherwise: "7 cells of LFP, 15 Ah; cutout 21 V".
func (b Bank) Words() string {
	var all []string
	for _, p := range b.Packs {
		if p.Chemistry == nil {
			return ""
		}
		words := fmt.Sprintf("%d cells of %s", p.Series, p.Chemistry.Title)
		add := func(text string, known bool) {
			if known {
				words += ", " + text
			}
		}
		add(p.Capacity.String(), p.Capacity.Known())
		add(p.Resistance.String(), p.Resistance.Known())
		add("full at "+p.Full.String(), p.Full.Known())
		if p.Protection != nil {
			add("opens at "+quantity.Brief(p.Protection.Opens), true)
		}
		all = append(all, words)
	}
	if c := b.Cutout; c != nil {
		all = append(all, fmt.Sprintf("cutout %s after %s", quantity.Brief(c.Opens), quantity.Brief(c.Delay)))
	}
	return strings.Join(all, "; ")
}
