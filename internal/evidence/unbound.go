package evidence

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

var unboundNumber = finding.Doc{
	Kind: finding.RuleDoc, Name: "unbound-number", Level: finding.Note,
	Title: "A sentence carries a number that rests on nothing",
	What: "Looks in the text of every note, and in its name, title, summary and the other lines of its front matter, for numbers with a unit, in digits or in words from two on, and for amounts of money, that are bound to no value and quote no source. " +
		"It is asked for by `inspect --unbound`. Captions of figures rest on their figure and are passed over; so are `an hour`, `a mile` and other single units in words.",
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

// numberWithUnit is the length of the number with its unit that begins at an
// offset of the text, 0 where none does.
func numberWithUnit(text string, at int) int {
	if at > 0 {
		before, _ := utf8.DecodeLastRuneInString(text[:at])
		if unicode.IsLetter(before) || unicode.IsDigit(before) || strings.ContainsRune(".,-/", before) {
			return 0
		}
	}
	rest := text[at:]
	for _, sign := range []string{"£", "€", "$", "¥"} {
		if after, found := strings.CutPrefix(rest, sign); found {
			if n := digitsLength(strings.TrimPrefix(after, " ")); n > 0 {
				return len(rest) - len(strings.TrimPrefix(after, " ")) + n
			}
		}
	}
	if n := digitsLength(rest); n > 0 {
		if u := unitAt(rest[n:], false); u > 0 {
			return n + u
		}
		return 0
	}
	n := inWordsLength(rest)
	if n == 0 {
		return 0
	}
	if u := unitAt(rest[n:], true); u > 0 {
		return n + u
	}
	return 0
}

func digitsLength(text string) int {
	n := 0
	for n < len(text) {
		r, size := utf8.DecodeRuneInString(text[n:])
		_, part := vulgar[r]
		if !unicode.IsDigit(r) && !part && !(n > 0 && (r == '.' || r == '\u202f' || r == '\u2009') && n+size < len(text) && isDigit(text[n+size])) {
			break
		}
		n += size
	}
	return n
}

// inWordsLength is the length of a number in words from two on, or of the part
// of one: half an, a quarter of an, three tenths of a.
func inWordsLength(text string) int {
	words := strings.SplitAfterN(text, " ", 9)
	var tokens []string
	var ends []int
	n := 0
	for _, w := range words {
		trimmed := strings.TrimSuffix(strings.TrimRight(w, " "), "-odd")
		for i, part := range strings.Split(trimmed, "-") {
			tokens = append(tokens, strings.ToLower(part))
			if i == 0 {
				ends = append(ends, n+len(w))
			} else {
				ends[len(ends)-1] = n
				ends = append(ends, n+len(w))
			}
		}
		n += len(w)
	}
	if _, _, used := fractionWords(tokens); used > 0 {
		i := used
		if i < len(tokens) && tokens[i] == "of" {
			i++
		}
		if i < len(tokens) && (tokens[i] == "a" || tokens[i] == "an") {
			return ends[i]
		}
		return 0
	}
	value, used := wholeWords(tokens)
	if used == 0 || value < 2 {
		return 0
	}
	if used+3 < len(tokens) && tokens[used] == "and" { // two and a half
		if _, _, more := fractionWords(tokens[used+1:]); more > 0 {
			used += 1 + more
		}
	}
	return ends[used-1]
}

// unitAt is the length of the space and the unit at the front of a text.
func unitAt(text string, spelled bool) int {
	rest := strings.TrimLeft(text, " \u00a0\u202f\u2009-")
	space := len(text) - len(rest)
	for _, name := range unitNames() {
		if spelled && (len(name) < 3 || strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && r != ' ' })) {
			continue
		}
		after, found := strings.CutPrefix(rest, name)
		if !found {
			continue
		}
		next, _ := utf8.DecodeRuneInString(after)
		if after != "" && (unicode.IsLetter(next) || unicode.IsDigit(next)) || strings.HasPrefix(after, "-") {
			continue
		}
		return space + len(name)
	}
	return 0
}

// unitNames lists every spelling of a unit that a sentence may have, the longest first.
var unitNames = sync.OnceValue(func() []string {
	out := []string{"pounds", "euros", "dollars", "pence"}
	for _, u := range quantity.Units() {
		for _, name := range append([]string{u.Symbol}, u.Aliases...) {
			if name != "in" && name != "\"" && name != "at" && name != "d" && name != "t" { // words and marks of a sentence
				out = append(out, name)
			}
		}
	}
	slices.Sort(out)
	sort.SliceStable(out, func(a, b int) bool { return len(out[a]) > len(out[b]) })
	return out
})
