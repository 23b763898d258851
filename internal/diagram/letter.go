package diagram

import (
	"strings"

	"voltwright/internal/svg"
)

// width is an upper bound of the width of a text of the drawing. The capital I
// and the letters like it are wider in the site's face than in the model.
func width(text string) float64 {
	n := 0
	for _, r := range text {
		if strings.ContainsRune("Il1", r) {
			n++
		}
	}
	return svg.TextWidth(text, letterSize) + float64(n)*0.07*letterSize
}

// boldWidth is the same of a text in bold.
func boldWidth(text string) float64 { return width(text) * 1.04 }

// splitName cuts a name where a line may end: after spaces and hyphens, and
// within what is too long for a line.
func splitName(name string) []string {
	var words []string
	word, n := "", 0
	for _, r := range name {
		if r < ' ' {
			r = ' '
		}
		word += string(r)
		n++
		if r == ' ' || r == '-' || n >= 16 {
			words = append(words, word)
			word, n = "", 0
		}
	}
	return append(words, word)
}

func trimmed(s string) string { return strings.TrimSpace(s) }
