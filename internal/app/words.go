package app

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
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
