// Package evidence holds the rules that hold sentences against the data they
// are bound to. A number in prose that no longer agrees with its run, its spec
// or its source is an error at its place, with words that would be true.
//
// [Read] reads words as a reader takes them and gives the interval that they
// claim; what each hedge claims is one table, in hedges.go.
//
// What it cannot catch: words that no reader would settle on one meaning of are
// reported as not judged; and whatever a sentence says beyond its bound words
// is the maker's own.
package evidence

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/value"
)

// Docs explains every rule of the package.
func Docs() []finding.Doc {
	return []finding.Doc{falseStatement, emptyStatement, unjudgedStatement, sourceWords, unboundNumber, claimDoc, compareDoc, answerForm, safetyTakenBack}
}

// Statement is a bound stretch of words with what it is bound to.
type Statement struct {
	Embed *notes.Embed
	At    journal.Place
	Value value.Value

	language string
}

// Statements lists the statements of the journal that are bound to a value, in
// the order of its places.
func Statements(values *value.Index) []Statement {
	var out []Statement
	eachEmbed(values.Journal(), func(at journal.Place, e *notes.Embed) {
		if e.Scheme != notes.ValueScheme {
			return
		}
		if v, broken := values.Find(at, e.Target); broken == nil {
			out = append(out, Statement{e, at, v, values.Journal().Language.Text})
		}
	})
	return out
}

// eachEmbed goes through what is bound in the texts, but for words that a correction took back.
func eachEmbed(j *journal.Journal, do func(journal.Place, *notes.Embed)) {
	for _, place := range j.Places() {
		eachEmbedAt(place, do)
	}
}

func eachEmbedAt(place journal.Place, do func(journal.Place, *notes.Embed)) {
	for _, e := range place.Bound() {
		if !e.TakenBack {
			do(place, e)
		}
	}
}

// Judge holds every statement of the journal against its evidence. A statement
// whose run could not be measured is passed over: that is a finding already.
func Judge(values *value.Index, findings *finding.List) {
	findings.Add(finding.FindAll(Inquiries(values))...)
}

// Inquiries are what there is to judge, in its order: the statements of each place, the answers, the corrections.
func Inquiries(values *value.Index) (all []finding.Inquiry) {
	for _, place := range values.Journal().Places() {
		all = append(all, finding.Inquiry{Name: "statements of " + place.Address(), Find: func() (found []finding.Finding) {
			eachEmbedAt(place, func(at journal.Place, e *notes.Embed) { found = append(found, JudgeOne(values, at, e)...) })
			return found
		}})
	}
	return append(all,
		finding.Inquiry{Name: "answers", Find: func() []finding.Finding { return judgeAnswers(values) }},
		finding.Inquiry{Name: "corrections", Find: func() []finding.Finding { return judgeCorrections(values) }})
}

// JudgeOne holds one statement that stands at a place against its evidence. An
// embed that is no statement gives nothing.
func JudgeOne(values *value.Index, at journal.Place, e *notes.Embed) []finding.Finding {
	j := values.Journal()
	switch e.Scheme {
	case notes.SourceScheme:
		source, broken := j.Source(e.Target)
		if broken != nil {
			return nil // the journal's finding
		}
		return quotes(e, source)
	case notes.ValueScheme:
		v, broken := values.Find(at, e.Target)
		switch {
		case broken != nil && !values.Answered() && value.IsAnswer(e.Target):
			return nil // another error stood in the way of computing it
		case broken != nil && broken.Follows:
			return nil // an error of the note that it leads to
		case broken != nil:
			return []finding.Finding{{Rule: journal.RuleUnknownTarget, Level: finding.Error, Span: e.Span, Text: broken.Text, Remedy: broken.Remedy}}
		case !unmeasured(v) && !values.Faulty(v):
			return explained(j, at, v, judge(e, v, j.Language.Text))
		}
	}
	return nil
}

// unmeasured says whether a value, or one of the two that it compares, is of a run without a result.
func unmeasured(v value.Value) bool {
	if v.Pair != nil {
		return unmeasured(v.Pair.First) || unmeasured(v.Pair.Second)
	}
	return v.Why() == value.NotComputed
}

var sourceWords = finding.Doc{
	Kind: finding.RuleDoc, Name: "source-words", Level: finding.Error,
	Title:   "A sentence quotes what its source does not say",
	What:    "Looks at words that are bound to a source which says, under `says`, what is quoted from it: they must be among its words.",
	Why:     "A number that is handed on from page to page drifts. What the source says stands in one place.",
	Example: "  sources:\n    - {key: maker, title: Leaflet of the charger, says: charge at no more than 3 A}\n\n  [no more than 3 A](source:maker)",
}

// quotes holds words against what a source says.
func quotes(e *notes.Embed, source *journal.Source) []finding.Finding {
	f := finding.Finding{Rule: sourceWords.Name, Level: finding.Error, Span: e.Span}
	switch words := strings.TrimSpace(e.Words); {
	case words == "":
		f.Text = fmt.Sprintf("nothing is quoted from the source `%s`", e.Target)
		f.Remedy = "write what it says between the square brackets."
	case !source.Says.Set || named(words, source.Says.Text):
		return nil
	default:
		f.Text = fmt.Sprintf("the sentence says %s and the source `%s` says %q", words, e.Target, source.Says.Text)
		f.Remedy = "quote its own words, or put right what it says in journal.yaml."
		f.Related = []finding.Related{{Span: source.Says.Span, Text: "what the source says"}}
	}
	return []finding.Finding{f}
}
