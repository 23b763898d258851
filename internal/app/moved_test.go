package app

import (
	"bytes"
	"errors"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"voltwright/internal/begin"
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

// Where a formula was wrong one correction is drafted of all that it moved, with what was said. Written into a journal as it is, but for its day,
// it stands beside what is computed now: on the version's page, on that of a question that asks for it, and on its own.
func TestCorrectionIsDrafted(t *testing.T) {
	const answer = "cart/2-wired/run-time/field/own"
	wrong := predict.FormulaChange{Day: "2026-05-03", What: "the cold was counted twice", Wrong: true}
	draft := draftOf([]begin.Was{{Answer: answer, Said: "5 h 30 min (5 h 10 min to 5 h 50 min)"}, {Answer: "cart/2-wired/charge-time/c-5", Said: "9 h"}}, "2-wired: field runs 2 h 35 min", wrong)
	for _, want := range []string{"not written", "kind: correction", answer, "5 h 30 min (5 h 10 min to 5 h 50 min)", "A formula of ours was wrong until 3 May 2026: the cold was counted twice.", "date:  # the day"} {
		if !strings.Contains(draft, want) {
			t.Errorf("%q is not in\n%s", want, draft)
		}
	}
	_, note, _ := strings.Cut(draft, "\n")
	note = strings.ReplaceAll(strings.TrimPrefix(note, "  "), "\n  ", "\n")
	day := regexp.MustCompile("date:.*").ReplaceAllString(note, "date: 2026-05-04")
	day = strings.Replace(day, `said: "9 h"}`, `said: "9 h", until: 2026-05-02}`, 1)
	dir := filepath.Join(t.TempDir(), "journal")
	site := filepath.Join(t.TempDir(), "site")
	if err := errors.Join(unpack("base", dir), os.WriteFile(filepath.Join(dir, "corrections", "2026-05-04-moved.md"), []byte(day), 0o644),
		os.WriteFile(filepath.Join(dir, "questions", "how-long-moved.md"), []byte("---\nkind: question\ntitle: How long with the open day's train?\nprediction: "+answer+"\n---\n\nSo.\n"), 0o644)); err != nil {
		t.Fatal(err)
	}
	var out, complaints bytes.Buffer
	if status := Main([]string{"publish", "--no-store", dir, "--to", site}, nil, &out, &complaints); status != 0 {
		t.Fatalf("status %d: %s%s", status, out.String(), complaints.String())
	}
	page := func(name string) string {
		text, err := os.ReadFile(filepath.Join(site, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		plain := regexp.MustCompile(`<[^>]+>`).ReplaceAllString(string(text), "")
		return strings.ReplaceAll(strings.Join(strings.Fields(html.UnescapeString(plain)), " "), "\u00a0", " ")
	}
	said := "Said before: 5 h 30 min (5 h 10 min to 5 h 50 min), until 4 May 2026. A formula of ours was wrong until 3 May 2026: the cold was counted twice. How it was found"
	version := page("cart/2-wired/index.html")
	for name, want := range map[string][]string{
		"cart/2-wired/index.html":                 {said, ": s" + said[1:], "Charge time, a fifth of the capacity an hour: said before: 9 h, until 2 May 2026.", "CORRECTED4 May 2026: 2-wired: field runs 2 h 35 min To the words"},
		"questions/how-long-moved/index.html":     {said, "CORRECTED4 May 2026"},
		"corrections/2026-05-04-moved/index.html": {"Which answers were others", "5 h 30 min (5 h 10 min to 5 h 50 min), until 4 May 2026; now"},
	} {
		text := page(name)
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not say %q: %.600q", name, w, text[max(0, strings.Index(text, "aid before")-200):])
			}
		}
	}
	if strings.Count(version, said[1:]) != 2 { // beside the answer, and where all answers stand
		t.Errorf("it is said %d times", strings.Count(version, said))
	}
	if strings.Contains(page("cart/1-before/index.html"), "aid before") {
		t.Error("another version says it")
	}
	// An answer that is none is told.
	gone := strings.Replace(day, answer, "cart/2-wired/run-time/field-9/own", 1)
	if err := os.WriteFile(filepath.Join(dir, "corrections", "2026-05-04-moved.md"), []byte(gone), 0o644); err != nil {
		t.Fatal(err)
	}
	out.Reset()
	if status := Main([]string{"inspect", "--no-store", dir}, nil, &out, &complaints); status != int(Findings) || !strings.Contains(out.String(), "corrections/2026-05-04-moved.md:6:14: error: `answer`: ") {
		t.Errorf("status %d: %s", status, out.String())
	}
}
