package evidence

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/value"
)

// The greatest lengths of an answer in words: its first sentence, which stands alone where there is little room, and its
// first paragraph.
const (
	SentenceWords  = 20
	ParagraphWords = 60
)

var answerForm = finding.Doc{
	Kind: finding.RuleDoc, Name: "answer-form", Level: finding.Warning,
	Title: "A question without a short answer",
	What: fmt.Sprintf("Looks at the first paragraph of a question's note, which is its answer: whether it is there, whether its first sentence has at most %d words and the whole at most %d. "+
		"Words are counted as they stand between spaces, so that 2 h 10 min is four.", SentenceWords, ParagraphWords),
	Why:     "A reader with one question reads one sentence. `voltwright reply` gives the first sentence where there is little room, and never cuts one short.",
	Example: "  ---\n  kind: question\n  title: How long does it run?\n  ---\n\n  It ran for [47 min](value:shunter/1-lead-acid/field-2/running-time) before the cutout opened.",
}

// judgeAnswers looks at the form of the answers.
func judgeAnswers(values *value.Index) (found []finding.Finding) {
	for _, n := range values.Journal().Questions {
		if n.Note.Broken || !n.Kind.Set {
			continue
		}
		at := n.Title.Span
		f := finding.Finding{Rule: answerForm.Name, Level: answerForm.Level, Span: at}
		text, _ := values.Opening(journal.Place{Page: n})
		said := notes.Sentences(text)
		switch {
		case len(said) == 0:
			f.Text = "the question has no answer: its text does not begin with a paragraph"
			f.Remedy = "begin the text with the answer, in a sentence or two."
		case Words(said[0]) > SentenceWords:
			f.Text = fmt.Sprintf("the first sentence of the answer has %d words, more than %d", Words(said[0]), SentenceWords)
			f.Remedy = "say first what most readers want to know, and the rest in a second sentence."
		case Words(text) > ParagraphWords:
			f.Text = fmt.Sprintf("the first paragraph of the answer has %d words, more than %d", Words(text), ParagraphWords)
			f.Remedy = "part it after what answers the question; what follows is shown further down the page."
		default:
			continue
		}
		found = append(found, f)
	}
	return found
}

// Words counts the words of a text as they stand between spaces.
func Words(text string) int { return len(strings.Fields(text)) }
