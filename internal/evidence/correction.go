package evidence

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/value"
)

var safetyTakenBack = finding.Doc{
	Kind: finding.RuleDoc, Name: "safety-words-taken-back", Level: finding.Warning, Signal: finding.SignalWarning,
	Title:   "A statement about safety was taken back",
	What:    "Looks at corrections that say `matters-for-safety: true`, and speaks at every place where what they take back was said.",
	Why:     "Someone may have gone by the words that were wrong, and may do so again from memory.",
	Source:  "The signal word is that of ANSI Z535.6 for a hazard that could, if not avoided, kill or seriously injure (second-hand): nobody knows what was done by the words.",
	Example: "  matters-for-safety: true",
}

// judgeCorrections speaks where words that safety hung on were taken back.
func judgeCorrections(values *value.Index) (found []finding.Finding) {
	for _, n := range values.Journal().Corrections {
		c := n.Correction
		for i := range c.Moved {
			found = append(found, judgeMoved(values, &c.Moved[i])...)
		}
		if !c.MattersForSafety.Value {
			continue
		}
		so, _ := values.Opening(journal.Place{Page: n})
		for _, said := range c.Said.List {
			for _, at := range said.Spans() {
				found = append(found, finding.Finding{Rule: safetyTakenBack.Name, Level: safetyTakenBack.Level, Signal: safetyTakenBack.Signal, Span: at,
					Text: fmt.Sprintf("what this page said is not so: %q", said.Words.Text), Remedy: so,
					Related: []finding.Related{{Span: n.Title.Span, Text: "the correction"}}})
			}
		}
	}
	return found
}

// judgeMoved looks whether an answer that was another is one that is given at all.
func judgeMoved(values *value.Index, m *journal.MovedAnswer) []finding.Finding {
	if m.Of.Version == nil || !values.Answered() {
		return nil
	}
	if _, broken := values.Find(m.Of.Version.Place(), m.Answer.Text); broken != nil {
		return []finding.Finding{{Rule: journal.RuleTakenBack, Level: finding.Error, Span: m.Answer.Span, Text: "`answer`: " + broken.Text, Remedy: broken.Remedy}}
	}
	return nil
}

// explained names the corrections that concern what a false statement rests on, or its own note: where a log was put
// right, sentences elsewhere turn false.
func explained(j *journal.Journal, at journal.Place, v value.Value, found []finding.Finding) []finding.Finding {
	if len(found) == 0 {
		return found
	}
	rests := []journal.Place{at, v.Place}
	if v.Pair != nil {
		rests = append(rests, v.Pair.First.Place, v.Pair.Second.Place)
	}
	seen := map[*journal.NotePage]bool{}
	for _, place := range rests {
		if place == (journal.Place{}) {
			continue
		}
		for _, n := range j.CorrectionsOf(place) {
			if seen[n] || n == at.Page {
				continue
			}
			seen[n] = true
			for i := range found {
				found[i].Related = append(found[i].Related, finding.Related{Span: n.Title.Span,
					Text: fmt.Sprintf("the correction of %s concerns %s", n.Date, strings.TrimSuffix(place.Address(), "/"))})
			}
		}
	}
	return found
}
