package question

import (
	"fmt"
	"strings"

	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
)

// leaves gives what folds on a question's page its faces.
func leaves(v *questionView) {
	v.Leaves = frame.Leaves{}
	if t := v.Evidence; t != nil {
		runs := map[frame.Link]bool{}
		for _, b := range t.Bodies {
			for _, row := range b.Rows {
				runs[row.Run] = true
			}
		}
		v.Leaves.Add("evidence", "", "What it rests on", numeral.Say(fmt.Sprintf("%s, %s.", numeral.Count(len(runs), "run"), numeral.Count(len(t.Bodies), "figure"))))
	}
	if d := v.Depends; d != nil {
		v.Leaves.Add("depends", "", "What it depends on", numeral.Say(d.Matters.Face()))
	}
	if v.Reckon != nil {
		v.Leaves.Add("your-numbers", "", "With other numbers", numeral.Say("Another capacity, load or temperature."))
	}
	if len(v.Unknown) > 0 {
		v.Leaves.Add("not-known", "", "What is not known", numeral.Say(numeral.Sentence(plain(v.Unknown[0].What))))
	}
	if len(v.Past) > 0 {
		v.Leaves.Add("earlier", "", "Callouts of earlier versions", numeral.Say(v.Past.Count()+"."))
	}
	v.Leaves.Add("story", "", "At more length", numeral.Say(prose.LengthWords(v.Story)+"."))
	v.Leaves.Add("asked", "", "Also asked as", numeral.Say(fmt.Sprintf("%d ways to ask it.", len(v.Asked))))
}

// plain is what phrases say, as text.
func plain(phrases []numeral.Phrase) string {
	var b strings.Builder
	for _, p := range phrases {
		if p.Num != nil {
			b.WriteString(p.Num.Whole)
		}
		b.WriteString(p.Text)
	}
	return b.String()
}
