package app

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// didYouMean gives "; did you mean `inspect`?" or "".
func didYouMean(word string, known []string) string {
	if near, ok := finding.Nearest(word, known); ok {
		return fmt.Sprintf("; did you mean `%s`?", near)
	}
	return ""
}

// oneOf checks the value of an option that takes one of a few words.
func oneOf(option, value string, words ...string) error {
	if slices.Contains(words, value) {
		return nil
	}
	return usage("--%s takes %s, not `%s`%s", option, strings.Join(words, ", "), value, didYouMean(value, words))
}

// count gives "1 run" or "3 runs".
func count(n int, singular string) string {
	if n == 1 {
		return "1 " + singular
	}
	return fmt.Sprintf("%d %ss", n, singular)
}

// words lists the words of an enumeration: an option of a command takes the
// same ones as the front matter.
func words[E notes.Enum]() []string {
	var out []string
	for _, o := range E("").Options() {
		out = append(out, o.Name)
	}
	return out
}

// either gives the words of an enumeration as "comma, tab or space".
func either[E notes.Enum]() string {
	return list(words[E](), "or")
}

// list joins words as "comma, tab or space".
func list(words []string, and string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " " + and + " " + words[last]
}
