package safety

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"voltwright/internal/finding"
)

// blames are words that no line says: it states a number or a step, and neither frightens nor names a culprit.
var blames = regexp.MustCompile(`(?i)\b(kill|die|dead|death|explo\w*|fatal\w*|deadly|terribl\w*|careless\w*|forgot\w*|fault|blame|stupid|your mistake|never ever)\b|!`)

// lineProblem says what is wrong with the line of a callout; "" where nothing is.
func lineProblem(f finding.Finding) string {
	line := Line(f)
	subject, rest, ok := strings.Cut(line, ": ")
	switch {
	case utf8.RuneCountInString(line) > LineMost:
		return "longer than a line: " + line
	case !ok || subject == "" || rest == "":
		return "neither a number nor a first step: " + line
	case blames.MatchString(line):
		return "blames or frightens: " + line
	}
	return ""
}

// Every rule has its words for one line, and no words are of a rule that is gone. The corpus holds the lines of what it finds.
func TestEveryRuleHasALine(t *testing.T) {
	for _, r := range rules {
		b, ok := wordings[r.doc.Name]
		if !ok || len(b.about) == 0 {
			t.Errorf("%s has no words for a line, or bears on nothing", r.doc.Name)
			continue
		}
		if p := lineProblem(finding.Finding{Rule: r.doc.Name}); p != "" {
			t.Errorf("%s: %s", r.doc.Name, p)
		}
	}
	if len(wordings) != len(rules) {
		t.Errorf("%d rules, and lines for %d", len(rules), len(wordings))
	}
}

// A line takes the beginning of the remedy that is an order by itself, else the rule's own first step.
func TestLine(t *testing.T) {
	wet := &finding.Gauge{Value: 0.1324, Limit: 0.125, Written: "0.1324", Bound: "0.125"}
	for _, tt := range []struct {
		f    finding.Finding
		want string
	}{
		{finding.Finding{Rule: "wet-rail-slips", Gauge: wet}, "Wet rails: take less behind"},
		{finding.Finding{Rule: "charge-hot", Remedy: "let it cool."}, "Charged in the heat: let it cool"},
		{finding.Finding{Rule: "wet-rail-slips", Remedy: "take less behind when the rails are wet, and start before the hill; keep leaves off."}, "Wet rails: take less behind when the rails are wet"},
		{finding.Finding{Rule: "cutout-did-not-open", Remedy: "do not rely on the cutout. Look for a bridged lead."}, "Cutout stayed closed: do not rely on the cutout"},
		{finding.Finding{Rule: "brake-above-grip", Remedy: "when the rails are not dry, go so slowly that you stop."}, "Braking on wet rails: go more slowly"},
		{finding.Finding{Rule: "charge-hot", Remedy: strings.Repeat("wait ", 20)}, "Charged in the heat: let the pack cool first"},
		{finding.Finding{Rule: "no-such-rule", Gauge: wet}, ""},
	} {
		if got := Line(tt.f); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.f.Rule, got, tt.want)
		}
	}
}

func TestBearsOn(t *testing.T) {
	for _, tt := range []struct {
		rule   string
		topics []Topic
		want   bool
	}{
		{"wet-rail-slips", []Topic{Charging}, false}, {"wet-rail-slips", []Topic{Running, Driving}, true}, {"wet-rail-slips", nil, true},
		{"charge-cold", []Topic{Charging}, true}, {"charge-cold", []Topic{Driving}, false}, {"found-swollen", []Topic{Standing}, true}, {"no-such-rule", []Topic{Standing}, true},
	} {
		if got := BearsOn(tt.rule, tt.topics); got != tt.want {
			t.Errorf("%s bears on %q: %t", tt.rule, tt.topics, got)
		}
	}
}
