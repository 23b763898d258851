package evidence

import "regexp"

// oneMeaning are ways to say an amount that have one meaning, each with how the readers of amounts know it.
var oneMeaning = []struct {
	words *regexp.Regexp
	as    string
}{
	{regexp.MustCompile(`(?i),? plus or minus `), " ± "},
	{regexp.MustCompile(`(?i)^(\d+) ?h ?(\d{2})$`), "$1 h $2 min"},
	{regexp.MustCompile(`(?i)^an? (\pL{3,}) or two$`), "1 to 2 $1"},
	{regexp.MustCompile(`(?i)^a dozen (\pL{3,})$`), "12 $1"},
	{regexp.MustCompile(`(?i) ?\b(?:watt hours?|Wh) ?(?:/|\b(?:per|an?|each|for each|for every)\b) ?(?:kilomet(?:re|er)|km)\b`), " Wh/km"},
	{regexp.MustCompile(`(?i) ?\b(?:watt hours?|Wh) ?(?:/|\b(?:per|an?|each|for each|for every)\b) ?(?:mile|mi)\b`), " Wh/mi"},
}

// oneWay brings such words to how they are known.
func oneWay(words string) string {
	for _, s := range oneMeaning {
		words = s.words.ReplaceAllString(words, s.as)
	}
	return words
}
