package evidence

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

var unboundNumber = finding.Doc{
	Kind: finding.RuleDoc, Name: "unbound-number", Level: finding.Note,
	Title: "A number in prose without evidence",
	What: "Looks in the text of every note, and in its name, title, summary and the other lines of its front matter, for numbers with a unit, in digits or in words from two on, for parts (half an hour, a third of the charge), for comparisons with a number (twice as far, a quarter less) and for amounts of money, " +
		"that are bound to no value and quote no source. Units are those that values have, and those of pressure and other things that no value has; money is known by its sign, its ISO 4217 code or its name, on either side of the number. It is asked for by `inspect --unbound`. Captions of figures rest on their figure and are passed over; so are `an hour`, `a mile` and other single units in words.",
	Why:     "A number that is bound is held against the data for ever. One that is not is right on the day on which it is written.",
	Example: "  It opened at 23.1 V.\n  It opened at [23.1 V](value:cutout.opens).\n  It is charged at [no more than 3 A](source:handbook).",
}

// Unbound lists the sentences of the journal that carry a number with a unit
// which rests on nothing.
func Unbound(j *journal.Journal) []finding.Finding {
	var out []finding.Finding
	for _, place := range j.Places() {
		for _, line := range place.Lines() {
			out = append(out, unboundIn(line.Passage())...)
		}
		document := place.Document()
		if document == nil || document.Root == nil {
			continue
		}
		for _, p := range document.Passages() {
			out = append(out, unboundIn(p)...)
		}
	}
	return out
}

func unboundIn(p notes.Passage) []finding.Finding {
	var out []finding.Finding
	from := 0
	for from < len(p.Text) {
		to := sentenceEnd(p.Text, from)
		var said []string
		first, last, end := -1, 0, from
		for i := from; i < to; {
			n := numberWithUnit(p.Text[:to], i)
			if n == 0 {
				_, size := utf8.DecodeRuneInString(p.Text[i:])
				i += size
				continue
			}
			if first < 0 {
				first, last = i, i+n
			}
			if k := len(said) - 1; k >= 0 && strings.TrimSpace(p.Text[end:i]) == "" { // 3 h 20 min is one
				said[k] += p.Text[end : i+n]
			} else {
				said = append(said, p.Text[i:i+n])
			}
			i += n
			end = i
		}
		from = to
		if len(said) == 0 {
			continue
		}
		rests := "rests"
		if len(said) > 1 {
			rests = "rest"
		}
		out = append(out, finding.Finding{Rule: unboundNumber.Name, Level: finding.Note, Span: p.Span(first, last),
			Text:   fmt.Sprintf("the sentence carries %s, which %s on nothing", listed(said), rests),
			Remedy: "bind it with `value:`, quote where it is from with `source:`, or state it under `facts:` and quote that; `voltwright values` lists what there is."})
	}
	return out
}

func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// sentenceEnd is where the sentence that begins at an offset ends.
func sentenceEnd(text string, from int) int {
	for i := from; i < len(text); i++ {
		if c := text[i]; (c == '.' || c == '?' || c == '!') && i+1 < len(text) && text[i+1] == ' ' {
			return i + 2
		}
	}
	return len(text)
}
