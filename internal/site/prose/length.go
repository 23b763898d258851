package prose

import (
	"html/template"
	"regexp"
	"strings"
	"unicode"

	"voltwright/internal/site/numeral"
)

var (
	figures = regexp.MustCompile(`(?s)<figure.*?</figure>`)
	tags    = regexp.MustCompile(`<[^>]*>`)
)

// LengthWords says how long a rendered text is: "540 words, 1 figure". What is drawn or listed in a figure is not counted as words.
func LengthWords(text template.HTML) string {
	n := len(figures.FindAllString(string(text), -1))
	words := 0
	for _, w := range strings.Fields(tags.ReplaceAllString(figures.ReplaceAllString(string(text), " "), " ")) {
		if strings.ContainsFunc(w, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) { // not a point that a tag cut off
			words++
		}
	}
	if n == 0 {
		return numeral.Count(words, "word")
	}
	return numeral.Count(words, "word") + ", " + numeral.Count(n, "figure")
}
