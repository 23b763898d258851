package evidence

import (
	"slices"
	"strings"
	"unicode"
)

// nameOf brings a text to what is compared: its words in small letters, without
// marks between them and without the s of a plural.
func nameOf(text string) []string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(".%²½¼¾°Ωµ", r)
	})
	for i, w := range words {
		w = strings.Trim(w, ".")
		if len(w) > 3 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss") {
			w = strings.TrimSuffix(w, "s")
		}
		words[i] = w
	}
	return slices.DeleteFunc(words, func(w string) bool { return w == "" || w == "the" || w == "a" || w == "an" })
}

// named says whether words are a text, or a stretch of whole words of it.
func named(words, text string) bool {
	want, have := nameOf(words), nameOf(text)
	if len(want) == 0 {
		return false
	}
	for i := 0; i+len(want) <= len(have); i++ {
		if slices.Equal(have[i:i+len(want)], want) {
			return true
		}
	}
	return false
}
