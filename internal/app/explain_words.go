package app

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode"

	"voltwright/internal/finding"
)

// How much a word weighs by where it stands, and how many entries are listed. Our own choice.
const (
	inName, inTitle, inText = 8, 5, 1
	mostListed              = 20
)

// speakingOf lists the entries that speak of all the words, those first that have them in their names and titles; of some of the words
// where none speaks of all.
func speakingOf(all []finding.Doc, words []string) []finding.Doc {
	type scored struct {
		doc   finding.Doc
		held  int // words
		score int
	}
	var found []scored
	most := 0
	asked := joinedWords(askedWords(strings.Join(words, " ")), all)
	for _, d := range all {
		s := scored{doc: d}
		name, title, text := askedWords(d.Name), askedWords(d.Title), askedWords(d.What+" "+d.Why)
		for _, word := range asked {
			worth := 0
			for _, at := range []struct {
				words []string
				worth int
			}{{name, inName}, {title, inTitle}, {text, inText}} {
				if slices.Contains(at.words, word) {
					worth += at.worth
				}
			}
			if worth > 0 {
				s.held++
				s.score += worth
			}
		}
		if s.held > 0 {
			found = append(found, s)
			most = max(most, s.held)
		}
	}
	found = slices.DeleteFunc(found, func(s scored) bool { return s.held < most })
	slices.SortStableFunc(found, func(a, b scored) int { return cmp.Compare(b.score, a.score) })
	var out []finding.Doc
	for _, s := range found {
		out = append(out, s.doc)
	}
	return out
}

// joinedWords writes neighbours as one word where names or titles do: cut out is cutout.
func joinedWords(words []string, all []finding.Doc) []string {
	known := map[string]bool{}
	for _, d := range all {
		for _, word := range askedWords(d.Name + " " + d.Title) {
			known[word] = true
		}
	}
	var out []string
	for i := 0; i < len(words); i++ {
		if i+1 < len(words) && known[words[i]+words[i+1]] {
			out = append(out, words[i]+words[i+1])
			i++
			continue
		}
		out = append(out, words[i])
	}
	return out
}

// askedWords are the words of a text that say something, in small letters, of one number: fuses is fuse.
func askedWords(text string) []string {
	var out []string
	for word := range strings.FieldsFuncSeq(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if slices.Contains(emptyWords, word) {
			continue
		}
		if len(word) > 3 && strings.HasSuffix(word, "s") && !strings.HasSuffix(word, "ss") {
			word = strings.TrimSuffix(word, "s")
		}
		out = append(out, word)
	}
	return out
}

// emptyWords are words of a question that name nothing.
var emptyWords = strings.Fields("a an the of for to in on at is are be it its my i do does how what which when where why can must should and or with by from that this long take much many get if not no you your there")

// listSpoken prints the entries that speak of the words, with the name that is near to them; false where none does.
func listSpoken(w io.Writer, words []string, near string) (bool, error) {
	found := speakingOf(docs(), words)
	if len(found) == 0 {
		return false, nil
	}
	fmt.Fprintf(w, "Nothing is called `%s`%s These speak of it; `voltwright explain NAME` explains one.\n\n", strings.Join(words, " "), cmp.Or(near, "."))
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, d := range found[:min(len(found), mostListed)] {
		fmt.Fprintf(tw, "  %s\t%s\t%s\n", d.Name, d.Kind, d.Title)
	}
	if err := tw.Flush(); err != nil {
		return true, unreached(err)
	}
	if more := len(found) - mostListed; more > 0 {
		fmt.Fprintf(w, "\nand %s; a second word finds fewer.\n", count(more, "other"))
	}
	return true, nil
}

// listHeld prints the keys that stand below a key, with what they are.
func listHeld(w io.Writer, all []finding.Doc, key string) error {
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	held := 0
	for _, d := range all {
		if rest, below := strings.CutPrefix(d.Name, key+"."); d.Kind == finding.KeyDoc && below && !strings.Contains(rest, ".") {
			if held++; held == 1 {
				fmt.Fprintln(tw, "\nKeys")
			}
			fmt.Fprintf(tw, "  %s\t%s\t%s\n", rest, d.Title, strings.TrimSpace(firstLine(d.Example)))
		}
	}
	if err := tw.Flush(); err != nil {
		return unreached(err)
	}
	return nil
}

func firstLine(text string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
	return line
}
