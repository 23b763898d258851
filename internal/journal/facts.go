package journal

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// Fact is a value that the maker states of a vehicle, a version, a run or in a
// note, for sentences to quote: the length of the line, the time on a clock.
type Fact struct {
	Name  notes.Word   `key:"name,required"`
	Value notes.Amount `key:"value,required"`
	From  notes.Word   `key:"from"` // where the maker has it from

	Span finding.Span `key:"@"`
}

// Source is something outside the journal that sentences quote.
type Source struct {
	Key     notes.Word `key:"key,required"`
	Title   notes.Word `key:"title,required"`
	Author  notes.Word `key:"author"`
	Date    notes.Word `key:"date"` // as the source has it: a year, a day, an edition
	Address notes.Word `key:"address"`
	Says    notes.Word `key:"says"` // what is taken from it

	Span finding.Span `key:"@"`
}

// Source finds a source by its key; the error names the nearest.
func (j *Journal) Source(key string) (*Source, *TargetError) {
	var known []string
	for i := range j.Sources {
		if j.Sources[i].Key.Text == key {
			return &j.Sources[i], nil
		}
		known = append(known, j.Sources[i].Key.Text)
	}
	return nil, &TargetError{Text: fmt.Sprintf("the journal lists no source `%s`%s", key, notes.DidYouMean(key, known)), Remedy: "add it under `sources:` in " + notes.JournalFile + ", with its title, or name one that is there."}
}

// checkSources reports sources of one key, and addresses that are none.
func (l *loader) checkSources() {
	seen := map[string]bool{}
	for _, s := range l.journal.Sources {
		if s.Key.Set && seen[s.Key.Text] {
			l.add(finding.Error, RuleMalformedWord, s.Key.Span, fmt.Sprintf("two sources have the key `%s`", s.Key.Text), "give each a key of its own.")
		}
		seen[s.Key.Text] = true
		if s.Key.Set && !slugPattern.MatchString(s.Key.Text) {
			l.add(finding.Error, RuleMalformedWord, s.Key.Span, fmt.Sprintf("the key `%s` of a source cannot stand in a link", s.Key.Text), "use small letters a to z, digits and single hyphens.")
		}
	}
}
