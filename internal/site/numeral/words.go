package numeral

import (
	"fmt"
	"html/template"

	"voltwright/internal/finding"
)

// Coded sets what stands between backticks, as a terminal shows it, in the type of code.
func Coded(text string) template.HTML { return template.HTML(finding.HTML(text)) }

// Count says how many: "1 run", "3 runs".
func Count(n int, singular string) string {
	if n == 1 {
		return "1 " + singular
	}
	return fmt.Sprintf("%d %ss", n, singular)
}

// Several is count without the number of one: "stop", "5 stops".
func Several(n int, singular string) string {
	if n == 1 {
		return singular
	}
	return Count(n, singular)
}

// Sentence is finding.Sentence, in the words of this package.
func Sentence(text string) string { return finding.Sentence(text) }

// PlainHTML is a text with what HTML would take for its own escaped.
func PlainHTML(text string) template.HTML { return template.HTML(template.HTMLEscapeString(text)) }
