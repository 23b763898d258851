// Package evidence holds the rules that hold sentences against the data they
// are bound to. A number in prose that no longer agrees with its run is an
// error at its place, with the words that would be true.
//
// What it cannot catch yet: words that are no plain quantity, such as `just over
// an hour`, are reported as not judged; and whatever a sentence says beyond its
// bound words is the maker's own.
package evidence

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// Docs explains every rule of the package.
func Docs() []finding.Doc {
	return []finding.Doc{falseStatement, emptyStatement, unjudgedStatement}
}

// Judge holds every statement of the journal against the evidence. A statement
// that is bound to nothing is the journal's finding and is passed over here; so
// is one whose run could not be measured, which is a finding already.
func Judge(j *journal.Journal, results *journal.Results, findings *finding.List) {
	for _, place := range j.Places() {
		document := place.Document()
		if document == nil {
			continue
		}
		for _, embed := range document.Embeds {
			if embed.Scheme != notes.ValueScheme {
				continue
			}
			target, broken := j.Target(place, embed)
			if broken != nil {
				continue
			}
			figure, known := results.Figure(target.Run.ID(), target.Name)
			if !known {
				continue
			}
			findings.Add(judge(embed, target, figure)...)
		}
	}
}

// where names the run and the figure for a sentence.
func where(t journal.Target) string {
	return fmt.Sprintf("%s/%s", t.Run.ID(), t.Name)
}
