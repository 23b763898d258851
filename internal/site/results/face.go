package results

import (
	"fmt"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Face is the runs of versions in one line: how many of each type, and when the last was.
func Face(versions []*journal.Version) []numeral.Phrase {
	n := 0
	var kinds []string
	var last *frame.Day
	for _, kind := range reading.RunTypes {
		k := 0
		for _, v := range versions {
			for _, r := range v.Runs {
				if r.Type.Value == kind {
					k++
				}
			}
		}
		if n += k; k > 0 {
			kinds = append(kinds, fmt.Sprintf("%d %s", k, where[kind]))
		}
	}
	dates := frame.Newest()
	for _, v := range versions {
		for _, r := range v.Runs {
			dates = frame.Newest(dates, r.Date)
		}
	}
	text := numeral.Count(n, "run") + ": " + strings.Join(kinds, ", ")
	if last = frame.DayOf(dates); last != nil {
		text += "; the last " + last.Long
	}
	return []numeral.Phrase{numeral.Say(text + ".")}
}

// where says of each type of run where it was made or what it was.
var where = map[journal.RunType]string{journal.Field: "in the field", journal.Bench: "on the bench", journal.Charge: "charging", journal.Rest: "standing"}
