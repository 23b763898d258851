// Package safety holds the rules that speak up when the numbers say that
// something can hurt someone or ruin a pack. Each rule is one file with its
// test: what it looks at, the signal word, the sentence with the numbers in
// it, the remedy and the source.
//
// A rule that lacks a value says that it cannot judge, and why; it never passes
// for want of a number. What no rule here can catch is a number that is wrong
// and plausible, and whatever the journal does not state at all.
package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/runlog"
)

// runRule judges one run by what was measured on it.
type runRule struct {
	doc   finding.Doc
	judge func(run *journal.Run, result *runlog.Result) []finding.Finding
}

// runRules lists the rules in the order in which they are explained.
var runRules = []runRule{resetMargin}

// Docs explains every rule of the package.
func Docs() []finding.Doc {
	var docs []finding.Doc
	for _, r := range runRules {
		docs = append(docs, r.doc)
	}
	return docs
}

// Judge applies every rule to every run that was computed.
func Judge(j *journal.Journal, results *journal.Results, findings *finding.List) {
	for _, run := range j.Runs() {
		result := results.Runs[run.ID()]
		if result == nil {
			continue
		}
		for _, r := range runRules {
			findings.Add(r.judge(run, result)...)
		}
	}
}
