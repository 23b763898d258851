package prose

import (
	"html/template"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"voltwright/internal/site/numeral"
)

// LengthWords says how long a rendered text is: "540 words, 1 figure". What is drawn or listed in a figure is not counted as words.
func LengthWords(text template.HTML) string {
	words, figures := 0, 0
	depth := 0 // within a figure
	for z := html.NewTokenizer(strings.NewReader(string(text))); ; {
		switch z.Next() {
		case html.ErrorToken:
			out := numeral.Count(words, "word")
			if figures > 0 {
				out += ", " + numeral.Count(figures, "figure")
			}
			return out
		case html.StartTagToken:
			if atom.Lookup(name(z)) == atom.Figure {
				figures, depth = figures+1, depth+1
			}
		case html.EndTagToken:
			if atom.Lookup(name(z)) == atom.Figure {
				depth--
			}
		case html.TextToken:
			if depth == 0 {
				words += len(strings.Fields(string(z.Text())))
			}
		}
	}
}

func name(z *html.Tokenizer) []byte {
	n, _ := z.TagName()
	return n
}
