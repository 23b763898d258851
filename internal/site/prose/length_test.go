package prose

import (
	"html/template"
	"testing"
)

func TestLengthWords(t *testing.T) {
	for text, want := range map[string]string{
		"":                              "0 words",
		"<p>One <b>pack</b>.</p>":       "2 words",
		"<p>Word</p><h2>Two words</h2>": "3 words",
		"<p>A</p><figure><p>not counted</p></figure><p>b</p>": "2 words, 1 figure",
		"<figure>x</figure>\n<figure>\ny</figure>":            "0 words, 2 figures",
	} {
		if got := LengthWords(template.HTML(text)); got != want {
			t.Errorf("%q is %q long, want %q", text, got, want)
		}
	}
}
