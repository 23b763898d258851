package app

import (
	"strings"
	"testing"

	"voltwright/internal/predict"
	"voltwright/internal/record"
)

func publishedTime(minutes, u float64, change func(*record.Prediction)) record.Prediction {
	s := func(x float64) *float64 { x *= 60; return &x }
	out := 5.0
	p := record.Prediction{
		Basis: record.Basis{Packs: "7 cells of LFP, 15 Ah", Formulas: predict.Formulas(), Runs: []record.CalibrationRun{{Run: "cart/1/a", Taught: true, Out: record.Number{Value: &out}}, {Run: "cart/1/b"}}},
		RunTimes: []record.RunTime{{Name: "a", Load: "field, 60 kg", LoadWords: "150 W", Ambient: 18, EndsBy: "the cutout",
			Cutout: &record.EndPoint{Running: record.Number{Value: s(minutes), U: s(u), Unit: "s"}}}},
	}
	if change != nil {
		change(&p)
	}
	return p
}

// An answer has moved where it lies outside the bounds that were published; what is told is what is another.
func TestAnswersThatMoved(t *testing.T) {
	old := publishedTime(330, 10, nil) // 310 min to 350 min
	more := 6.0
	for name, c := range map[string]struct {
		now  record.Prediction
		says string // "": nothing is said
	}{
		"as it was":         {publishedTime(330, 10, nil), ""},
		"inside":            {publishedTime(349, 5, nil), ""},
		"no cause":          {publishedTime(352, 5, nil), "said 5 h 30 min (5 h 10 min to 5 h 50 min), now 5 h 52 min (5 h 42 min to 6 h 2 min). Why: neither spec nor logs"},
		"a run teaches":     {publishedTime(220, 10, func(p *record.Prediction) { p.Basis.Runs[1].Taught = true }), "Why: cart/1/b teaches now."},
		"a run is left out": {publishedTime(220, 10, func(p *record.Prediction) { p.Basis.Runs[0].Taught = false }), "Why: cart/1/a teaches no more."},
		"a run is gone":     {publishedTime(220, 10, func(p *record.Prediction) { p.Basis.Runs = p.Basis.Runs[1:] }), "Why: cart/1/a is gone."},
		"another log":       {publishedTime(220, 10, func(p *record.Prediction) { p.Basis.Runs[0].Out.Value = &more }), "Why: the log of cart/1/a is another."},
		"another spec":      {publishedTime(220, 10, func(p *record.Prediction) { p.Basis.Packs = "7 cells of LFP, 10 Ah" }), "Why: the spec is another: 7 cells of LFP, 10 Ah, before 7 cells of LFP, 15 Ah."},
		"another load":      {publishedTime(220, 10, func(p *record.Prediction) { p.RunTimes[0].LoadWords = "200 W" }), "Why: its load is another: 200 W at 18 °C, before 150 W at 18 °C."},
		"bounds alone": {publishedTime(220, 10, func(p *record.Prediction) {
			e := p.RunTimes[0].Cutout
			low, high := 3600.0, 14400.0
			e.Running, e.Between = record.Number{}, []*float64{&low, &high}
		}), "now 1 h 0 min to 4 h 0 min"},
		"a load that is new": {publishedTime(220, 10, func(p *record.Prediction) { p.RunTimes[0].Name = "b" }), ""},
	} {
		got := answersMoved("cart/1", old, c.now)
		if c.says == "" && got != "" || !strings.Contains(got, c.says) || strings.Contains(got, "correction") {
			t.Errorf("%s: %q, want %q", name, got, c.says)
		}
	}
	// Published before formulas were numbered: the changes since are named.
	old.Basis.Formulas = 0
	if got := answersMoved("cart/1", old, publishedTime(220, 10, nil)); !strings.Contains(got, "a better formula since "+predict.FormulasSince(0)[0].Day) {
		t.Error(got)
	}
}

// Where a formula was wrong a correction is drafted, with what was said, until when, and what is to be filled in.
func TestCorrectionIsDrafted(t *testing.T) {
	is := publishedTime(220, 10, nil).RunTimes[0]
	got := draftOf("cart/1-first", is, "5 h 30 min", "3 h 40 min", predict.FormulaChange{Day: "2026-05-03", What: "the cold was counted twice", Wrong: true})
	for _, want := range []string{"not written", "kind: correction", "in: cart/1-first/version.md", "said 5 h 30 min until 2026-05-03: the cold was counted twice", "date:  # the day"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in\n%s", want, got)
		}
	}
}
