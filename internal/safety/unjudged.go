package safety

import (
	"strings"

	"voltwright/internal/finding"
)

const lackingLead = "cannot judge "

// lacking is the sentence of a rule that lacks a value.
func lacking(question, because string) string { return lackingLead + question + ": " + because }

// merged makes one finding of all that cannot be judged at one place for want
// of the same value, so that a key that is not written is asked for once.
func merged(found []finding.Finding) []finding.Finding {
	type want struct {
		at              finding.Span
		because, remedy string
	}
	first := map[want]int{}
	var out []finding.Finding
	for _, f := range found {
		question, because, _ := strings.Cut(strings.TrimPrefix(f.Text, lackingLead), ": ")
		key := want{f.Span, because, f.Remedy}
		i, again := first[key]
		if !f.Unjudged || !again {
			if f.Unjudged {
				first[key] = len(out)
			}
			out = append(out, f)
			continue
		}
		known, _, _ := strings.Cut(strings.TrimPrefix(out[i].Text, lackingLead), ": ")
		if !strings.Contains("; "+known+"; ", "; "+question+"; ") {
			out[i].Text = lacking(known+"; "+question, because)
		}
	}
	return out
}
