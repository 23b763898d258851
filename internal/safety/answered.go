package safety

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

var answerLapsed = finding.Doc{
	Kind: finding.RuleDoc, Name: "answer-lapsed", Level: finding.Warning,
	Title:   "An answer to numbers that have changed",
	What:    "Holds each entry of `answers` against the callouts of its note: it answers a callout of its rule that rests on the very numbers that it repeats.",
	Why:     "Who answered a callout judged those numbers. Others are to be judged anew.",
	Example: "  answers: [{rule: stored-full, numbers: \"4.12 V a cell, at most 4.02 V a cell\", reason: it runs again on Sunday}]",
}

var answerToNothing = finding.Doc{
	Kind: finding.RuleDoc, Name: "answer-to-nothing", Level: finding.Warning,
	Title: "An answer to a callout that is not there",
	What:  "Looks for entries of `answers` whose rule has nothing to say about their note.",
	Why:   "An answer without its callout says nothing to a reader, and would hide that the rule's name is misspelt.",
}

// answered puts the answers of a note beside its callouts, and reports the
// answers that lapsed or answer nothing. An answered DANGER no longer stops a publish.
func answered(answers []journal.Answer, found []finding.Finding) []finding.Finding {
	var lapsed []finding.Finding
	for _, a := range answers {
		if !a.Rule.Set || !a.Reason.Set {
			continue // that it lacks them is a finding already
		}
		var others []*finding.Finding
		met := false
		for i := range found {
			f := &found[i]
			if f.Rule != a.Rule.Text || f.Signal == "" {
				continue
			}
			if plain(f.Numbers) != plain(a.Numbers.Text) {
				others = append(others, f)
				continue
			}
			met = true
			f.Answer = &finding.Answer{Reason: a.Reason.Text, Span: a.Span}
			f.Level = min(f.Level, finding.Warning)
		}
		if !met {
			lapsed = append(lapsed, unmet(a, others))
		}
	}
	return append(found, lapsed...)
}

// unmet says why an answer meets no callout.
func unmet(a journal.Answer, others []*finding.Finding) finding.Finding {
	if len(others) == 0 {
		var names []string
		for _, r := range rules {
			names = append(names, r.doc.Name)
		}
		return finding.Finding{Rule: answerToNothing.Name, Level: answerToNothing.Level, Span: a.Rule.Span,
			Text:   fmt.Sprintf("no callout of this note comes from the rule `%s`%s", a.Rule.Text, misspelt(a.Rule.Text, names)),
			Remedy: "take the answer out, or write the rule that stands in square brackets after the callout."}
	}
	var numbers []string
	var related []finding.Related
	for _, f := range others {
		numbers = append(numbers, "`"+f.Numbers+"`")
		related = append(related, finding.Related{Span: f.Span, Text: "the callout"})
	}
	spoke := "names no numbers"
	if a.Numbers.Set {
		spoke = "speaks of `" + a.Numbers.Text + "`"
	}
	return finding.Finding{Rule: answerLapsed.Name, Level: answerLapsed.Level, Span: a.Span, Related: related,
		Text:   fmt.Sprintf("the answer to `%s` %s, and the callout rests on %s: it answers nothing any more", a.Rule.Text, spoke, strings.Join(numbers, " and ")),
		Remedy: "judge the new numbers; then repeat them in the answer, or mend what the callout speaks of."}
}

// misspelt names the nearest rule, unless the rule is known.
func misspelt(name string, names []string) string {
	for _, n := range names {
		if n == name {
			return ""
		}
	}
	return notes.DidYouMean(name, names)
}

// plain takes out differences of spacing.
func plain(text string) string { return strings.Join(strings.Fields(text), " ") }
