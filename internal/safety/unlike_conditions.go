package safety

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// unlikeConditions asks whether a text sets figures side by side that were measured under unlike conditions.
var unlikeConditions = &rule{each: eachText, judge: judgeUnlikeConditions, doc: finding.Doc{
	Name: "unlike-conditions", Signal: finding.PropertyNotice,
	Title: "Runs compared under unlike conditions",
	What: "Looks in every text for one figure that is quoted from runs of two versions, where it depends on what was moved, and compares the runs' payload, surface and setting. " +
		"A payload more than 10 % apart, or another surface or setting, is unlike.",
	Why:     "The difference between two packs is easily smaller than that between two loads. A comparison across them persuades somebody to buy the wrong one.",
	Needs:   "`payload`, `surface` and `setting` in the `conditions` of the runs that are quoted",
	Source:  "10 %: own choice, no source",
	Example: "  conditions: {payload: 140 kg, surface: steel-rail, setting: 55 %}",
}}

// likePayload is how far apart payloads may be that are compared.
const likePayload = 1.1

func judgeUnlikeConditions(s *subject) []verdict {
	first := map[string]quote{}
	var out []verdict
	for _, q := range s.quotes() {
		if !slices.Contains(driven, q.target.Name) {
			continue
		}
		other, seen := first[q.target.Name]
		if !seen {
			first[q.target.Name] = q
			continue
		}
		a, b := other.target.Run, q.target.Run
		differ := unlike(a, b)
		if a.Version == b.Version || len(differ) == 0 {
			continue
		}
		out = append(out, verdict{signal: finding.PropertyNotice, at: q.embed.Span, numbers: strings.Join(differ, "; "),
			related: []finding.Related{{Span: other.embed.Span, Text: "the first of the two"}},
			text:    fmt.Sprintf("the %s of `%s` stands beside that of `%s`, and the two were measured under unlike conditions: %s", figureWords(q.target.Name), b.ID(), a.ID(), strings.Join(differ, "; ")),
			remedy:  "say so in the same sentence, or compare runs of one payload on one surface."})
	}
	return out
}

// unlike lists in what the conditions of two runs differ.
func unlike(a, b *journal.Run) []string {
	var out []string
	p, q := a.Conditions.Payload, b.Conditions.Payload
	if p.Known() && q.Known() && (above(q.Value, likePayload*p.Value) || above(p.Value, likePayload*q.Value)) {
		out = append(out, fmt.Sprintf("payload %s and %s", p.Written, q.Written))
	}
	if x, y := a.Conditions.Surface, b.Conditions.Surface; x.Set && y.Set && x.Value != y.Value {
		out = append(out, fmt.Sprintf("surface %s and %s", x.Value, y.Value))
	}
	if x, y := a.Conditions.Setting, b.Conditions.Setting; x.Known() && y.Known() && x.Value != y.Value {
		out = append(out, fmt.Sprintf("setting %s and %s", x.Written, y.Written))
	}
	return out
}

// figureWords puts a figure's name in words.
func figureWords(name string) string { return strings.ReplaceAll(name, "-", " ") }
