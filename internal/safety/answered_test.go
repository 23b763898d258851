package safety

import (
	"strings"
	"testing"

	"voltwright/internal/safety/safetytest"

	"voltwright/internal/finding"
)

// An answer stands beside the callout whose numbers it repeats, and nowhere else.
func TestAnswers(t *testing.T) {
	const danger = "charger.voltage = 34.9 V"
	answer := func(rule, numbers string) string {
		return `answers = [{rule: ` + rule + `, numbers: "` + numbers + `", reason: "It is kept in the open until the right one is here."}]`
	}
	for _, tt := range []struct {
		name     string
		changes  []string
		level    finding.Level // of the callout
		answered bool
		also     string // the rule about answers that speaks
		says     string
	}{
		{"not answered", []string{danger}, finding.Error, false, "", ""},
		{"answered", []string{danger, answer("charge-voltage-high", "34.9 V, at most 34 V")}, finding.Warning, true, "", ""},
		{"spaces do not matter", []string{danger, answer("charge-voltage-high", "34.9 V,  at most 34 V ")}, finding.Warning, true, "", ""},
		{"the number changed", []string{danger, answer("charge-voltage-high", "34.8 V, at most 34 V")}, finding.Error, false, "answer-lapsed", "speaks of `34.8 V, at most 34 V`, and the callout rests on `34.9 V, at most 34 V`"},
		{"no number", []string{danger, `answers = [{rule: charge-voltage-high, reason: So be it.}]`}, finding.Error, false, "answer-lapsed", "names no numbers"},
		{"another rule", []string{danger, answer("charge-cold", "34.9 V, at most 34 V")}, finding.Error, false, "answer-to-nothing", "no callout of this note comes from the rule `charge-cold`"},
		{"a misspelt rule", []string{danger, answer("charge-voltage-hi", "34.9 V, at most 34 V")}, finding.Error, false, "answer-to-nothing", "did you mean `charge-voltage-high`?"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := hazard{&safetytest.Case{Base: "cart", Changes: tt.changes}}
			callouts, about := 0, ""
			for _, f := range h.findings(t) {
				switch {
				case f.Rule == "charge-voltage-high":
					callouts++
					if f.Level != tt.level || f.Signal != finding.Danger || (f.Answer != nil) != tt.answered {
						t.Errorf("level %v, signal %s, answer %v", f.Level, f.Signal, f.Answer)
					}
					if tt.answered && !strings.HasPrefix(f.Answer.Reason, "It is kept") {
						t.Errorf("answered %q", f.Answer.Reason)
					}
				case strings.HasPrefix(f.Rule, "answer-"):
					about = f.Rule
					if !strings.Contains(f.Text, tt.says) {
						t.Errorf("%q does not say %q", f.Text, tt.says)
					}
				}
			}
			if callouts != 1 || about != tt.also {
				t.Errorf("%d callouts, and %q about the answer, want %q", callouts, about, tt.also)
			}
		})
	}
}

// A run's answers are its own.
func TestAnswersOfARun(t *testing.T) {
	h := hazard{&safetytest.Case{Base: "cart", Changes: []string{"logged: conditions.temperature = -4 °C", `logged: answers = [{rule: run-in-frost, numbers: "-4 °C, at least 0 °C", reason: It was warmed indoors.}]`,
		`answers = [{rule: run-in-frost, numbers: "-4 °C, at least 0 °C", reason: Not here.}]`}}}
	var said []string
	for _, f := range h.findings(t) {
		if f.Answer != nil {
			said = append(said, f.Answer.Reason)
		}
		if f.Rule == "answer-to-nothing" {
			said = append(said, f.Rule)
		}
	}
	if len(said) != 2 || said[0] != "It was warmed indoors." || said[1] != "answer-to-nothing" {
		t.Errorf("%q", said)
	}
}

// What lacks for one reason at one place is asked for once.
func TestMergingOfWhatCannotBeJudged(t *testing.T) {
	h := hazard{&safetytest.Case{Base: "cart", Changes: []string{"drop charger"}}}
	var texts []string
	for _, f := range h.findings(t) {
		if f.Unjudged {
			texts = append(texts, f.Text)
		}
	}
	if len(texts) != 1 || strings.Count(texts[0], "whether") != 4 || !strings.HasSuffix(texts[0], ": no `charger` is stated") {
		t.Errorf("%q", texts)
	}
}
