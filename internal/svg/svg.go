// Package svg holds what every drawing of this program shares: how wide a text
// is at most, where it breaks into lines, and how numbers and text are written.
//
// What it cannot know is the face that a reader's machine sets: widths are an
// upper bound for the faces that they were measured with.
package svg

import (
	"fmt"
	"strings"
)

// Lettering: the ascent and descent of a line of text as fractions of its size.
const (
	Ascent  = 0.80
	Descent = 0.24
)

// TextWidth is an upper bound of the width of a text set at size units, for the sans-serif faces that pages use.
// Its model: a width per class of letter, as a fraction of the size, each as wide as the widest of its class in the
// faces it was measured with (internal/chart/browser_test.go measures again).
func TextWidth(text string, size float64) float64 {
	var em float64
	for _, r := range text {
		em += letterWidth(r)
	}
	return em * size
}

func letterWidth(r rune) float64 {
	switch {
	case r == '\u2009' || r == '\u202f':
		return 0.22
	case strings.ContainsRune(" .,:;'|!ijlI·", r):
		return 0.36
	case strings.ContainsRune("frt()[]/-", r):
		return 0.45
	case strings.ContainsRune("mwMW%@—Ω", r):
		return 1.0
	case r >= 'A' && r <= 'Z':
		return 0.78
	case r == '−' || r == '±' || r == '=' || r == '+' || r == '<' || r == '>':
		return 0.84
	case r < 0x250:
		return 0.65
	}
	return 1.0 // not in the model: as wide as it is high
}

// Wrap breaks a text at spaces into lines no wider than width.
func Wrap(text string, size, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && TextWidth(line+" "+word, size) > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// Number prints a coordinate: one decimal, no more than is needed.
func Number(v float64) string {
	text := strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
	if text == "-0" {
		return "0"
	}
	return text
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// Escape writes a text for an element or an attribute.
func Escape(text string) string { return escaper.Replace(text) }
