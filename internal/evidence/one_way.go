package evidence

import "regexp"

// oneMeaning are ways to say an amount that have one meaning, each with how the readers of amounts know it.
var oneMeaning = []struct {
	words func() *regexp.Regexp
	as    string
}{
	{lazily(`(?i),? plus or minus `), " ± "},
	{lazily(`(?i)^(\d+) ?h ?(\d{2})$`), "$1 h $2 min"},
	{lazily(`(?i)^an? (\pL{3,}) or two$`), "1 to 2 $1"},
	{lazily(`(?i)^a dozen (\pL{3,})$`), "12 $1"},
	{lazily(`(?i) ?\b(?:watt hours?|Wh) ?(?:/|\b(?:per|an?|each|for each|for every)\b) ?(?:kilomet(?:re|er)|km)\b`), " Wh/km"},
	{lazily(`(?i) ?\b(?:watt hours?|Wh) ?(?:/|\b(?:per|an?|each|for each|for every)\b) ?(?:mile|mi)\b`), " Wh/mi"},
}

// oneWay brings such words to how they are known.
func oneWay(words string) string {
	for _, s := range oneMeaning {
		words = s.words().ReplaceAllString(words, s.as)
	}
	return words
}
