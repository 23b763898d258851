package begin

import (
	"errors"
	"strings"
	"testing"
)

// One line of the front matter of the first version, from an answer in a maker's words; without one, what is wrong with it.
func TestAnswers(t *testing.T) {
	for _, c := range []struct {
		option, answer string
		line           string // of the draft
		why            string // the answer is refused
	}{
		{"packs", "lfp, 8 in series, 20 Ah", "  - {name: pack, chemistry: lfp, series: 8, capacity: 20 Ah}", ""},
		{"packs", "20Ah LiFePO4 8s", "  - {name: pack, chemistry: lfp, series: 8, capacity: 20Ah}", ""},
		{"packs", "2 × NMC 7 cells in series 5.2 Ah", "  - {name: pack 2, chemistry: nmc, series: 7, capacity: 5.2 Ah}", ""},
		{"packs", "2x agm, 6 cells, 7000 mAh", "  - {name: pack 1, chemistry: lead-acid-agm, series: 6, capacity: 7000 mAh}", ""},
		{"packs", "lfp, 20 Ah", "", "how many cells are in series"},
		{"packs", "lfp, 0s, 20 Ah", "", "how many cells are in series"},
		{"packs", "lfp, 8s", "", "names no capacity"},
		{"packs", "8s, 20 Ah", "", `names "" where one chemistry is wanted`},
		{"packs", "lithium, 8s, 20 Ah", "", `names "lithium" where one chemistry is wanted: lead-acid-agm`},
		{"packs", "0 × lfp, 8s, 20 Ah", "", "is no pack"},
		{"charger", "28.8 V, 5 A", "charger: {voltage: 28.8 V, current: 5 A}", ""},
		{"charger", "5 A, 28.8 V", "charger: {voltage: 28.8 V, current: 5 A}", ""},
		{"charger", "5 A", "", "is not a voltage and a current"},
		{"charger", "5 A, 28 V, 29 V", "", "is not a voltage and a current"},
		{"motors", "24 V", "  - {name: motor, rated: 24 V}", ""},
		{"motors", "2 × 24 V, 150 W", "  - {name: motor, rated: 24 V, power: 150 W, count: 2}", ""},
		{"motors", "150 W", "", "is not a voltage"},
		{"motors", "24 V, strong", "", "is not a voltage"},
		{"rider", "nobody", "use: {rider: nobody}", ""},
		{"rider", "toy, Child, 8", "use: {as: toy, rider: child, age: 8}", ""},
		{"rider", "a dog", "", `says "a dog"`},
		{"rider", "child, 0", "", `says "0"`},
		{"date", "2026-03-01", "date: 2026-03-01", ""},
		{"date", "2026-02-30", "", "is no day of the calendar"},
		{"vehicle", "…", "", "has no letter or digit"},
	} {
		a := Answers{Vehicle: "The barrow"}
		var asking Asking
		for _, q := range Askings() {
			if q.Option == c.option {
				asking = q
			}
		}
		*asking.Answer(&a) = c.answer
		d, err := Vehicle(a)
		if c.why != "" {
			var slip *AnswerError
			if !errors.As(err, &slip) || slip.Option != c.option || !strings.Contains(slip.Said(), c.why) || !strings.Contains(slip.Error(), asking.Example) {
				t.Errorf("%s %q: %v, want one that says %q and how it is written", c.option, c.answer, err, c.why)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s %q: %v", c.option, c.answer, err)
			continue
		}
		if text := string(d.Files[1].Text); !strings.Contains(text, "\n"+c.line+"\n") {
			t.Errorf("%s %q gives\n%s\nwithout the line %s", c.option, c.answer, text, c.line)
		}
	}
}

// Every example is an answer that is taken.
func TestExamplesAreAnswers(t *testing.T) {
	var a Answers
	for _, q := range Askings() {
		*q.Answer(&a) = q.Example
	}
	d, err := Vehicle(a)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Empty) > 0 {
		t.Errorf("still to be filled in: %q", d.Empty)
	}
}
