package site

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/browsertest"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/page/question"
	"voltwright/internal/site/reading"
)

const runTimeQuestion = "questions/how-long-does-the-shunter-run/index.html"

// gridOf is the grid behind the question's page.
func gridOf(t *testing.T, in reading.Input) (*predict.RunTimeGrid, predict.Load) {
	t.Helper()
	for _, n := range in.Journal.Questions {
		if address.Question(n) == runTimeQuestion {
			if a := in.Results.Predictions[n.Question.Predicted.Version.Path()]; a != nil && a.Grid != nil {
				if c, ok := a.RunTime(n.Question.Predicted.Name); ok {
					return a.Grid, a.Table.Loads[c.Load]
				}
			}
		}
	}
	t.Fatal("the question has no grid")
	return nil, predict.Load{}
}

// The page without a script has the times for some loads and capacities, and no fields that do nothing.
func TestReckonTable(t *testing.T) {
	in := input(t, demoJournal)
	p, _ := build(t, in)
	d := documents(t, p)[runTimeQuestion]
	r, like := gridOf(t, in)
	var warmth quantity.Celsius
	if _, err := fmt.Sscan(fieldOf(d.root, "warmth"), &warmth); err != nil {
		t.Fatal(err)
	}
	rows := 0
	for _, table := range elements(d.root) {
		if attribute(table, "id") != "table-your-numbers" {
			continue
		}
		for _, tr := range elements(table) {
			if tr.Data != "tr" {
				continue
			}
			var cells []string
			for _, n := range elements(tr) {
				if n.Data == "td" || n.Data == "th" {
					cells = append(cells, strings.Join(strings.Fields(text(n)), " "))
				}
			}
			var load float64
			if _, err := fmt.Sscan(cells[0], &load); err != nil {
				continue // the head
			}
			rows++
			for i, part := range question.ReckonCapacities {
				got := r.RunTime(like, quantity.Watts(load), quantity.AmpereHours(part)*r.Capacity, warmth)
				want := numeral.OnPage(got.Err + got.End().Err)
				if want == "" {
					want = forecast.RunTime(got.End().Running, "").Whole
				}
				if cell := bare(cells[i+1]); cell != bare(want) && cell != bare(strings.Replace(want, " ±", " "+got.End().Running.Quantity().Parts().Unit+" ±", 1)) {
					t.Errorf("%g W, %g times the capacity: %q, want %q", load, part, cells[i+1], want)
				}
			}
		}
	}
	if rows != len(question.ReckonLoads) {
		t.Errorf("the table has %d rows", rows)
	}
	hidden := false
	for _, n := range elements(d.root) {
		if n.Data == "form" && attribute(n, "class") == "reckon" {
			hidden = slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "hidden" })
		}
	}
	if !hidden {
		t.Error("the fields show without the script that makes them do something")
	}
}

// fieldOf is what a field of the page begins with.
func fieldOf(root *html.Node, name string) string {
	for _, n := range elements(root) {
		if n.Data == "input" && attribute(n, "name") == name {
			return attribute(n, "value")
		}
	}
	return ""
}

// bare takes brackets and spaces out of a time.
func bare(text string) string {
	return strings.NewReplacer("(", "", ")", "", " ", "", "\u00a0", "", "\u202f", "", "\u2009", "").Replace(text)
}

// The script says what the program computes, within a quarter of the printed uncertainty, and refuses for the reason that
// the core gives. Close to where the answers end, as the points have it, either may be said.
func TestBrowserReckons(t *testing.T) {
	ctx, console := browsertest.Open(t)
	in := input(t, demoJournal)
	p, _ := build(t, in)
	r, like := gridOf(t, in)
	base := serve(t, p, siteRoot(t, documents(t, p)))
	browsertest.Width(t, ctx, 390)
	browsertest.Go(t, ctx, base+runTimeQuestion+"#your-numbers")
	ask := func(capacity, load, warmth string) string {
		return browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`(() => {
			const form = document.querySelector('form.reckon');
			for (const [name, value] of [['capacity', %q], ['load', %q], ['warmth', %q]]) form.elements[name].value = value;
			form.dispatchEvent(new Event('input'));
			const refused = form.querySelector('.refused');
			return refused.checkVisibility() ? refused.textContent : form.querySelector('.reckoned').checkVisibility() ? form.querySelector('[data-is=time]').textContent : '';
		})()`, capacity, load, warmth))
	}
	random := rand.New(rand.NewPCG(3, 5))
	answers, reasons, worst := 0, 0, 0.0
	for i := range 90 {
		capacity := math.Round(10*float64(r.Capacity)*math.Pow(4, random.Float64()-0.5)) / 10
		load := math.Round(100*capacity*25*math.Pow(10, 4*random.Float64()-3)) / 100
		warmth := math.Round(10*(55*random.Float64()-10)) / 10
		if rows := r.Rows; i < 2*len(rows) { // on the points
			row := rows[i%len(rows)]
			g := row.Points[i*(len(row.Points)-1)/(2*len(rows)-1)]
			capacity, load, warmth = float64(r.Capacity), g.Load*float64(r.Capacity), float64(row.Ambient)
		}
		got := r.RunTime(like, quantity.Watts(load), quantity.AmpereHours(capacity), quantity.Celsius(warmth))
		said := plainSpaces(ask(fmt.Sprint(capacity), fmt.Sprint(load), fmt.Sprint(warmth)))
		why := plainSpaces(numeral.OnPage(got.Err + got.End().Err))
		time, isTime := timeSaid(said)
		switch {
		case why == "" && isTime:
			answers++
			want, off := got.End().Running, 0.0
			if off = math.Abs(time-float64(want.Value)) - 30; off > 0.25*float64(want.Expanded()) { // half a minute for the rounding
				t.Errorf("%g Ah, %g W, %g °C: the page says %q, the program %s", capacity, load, warmth, said, forecast.RunTime(want, "").Whole)
			}
			worst = max(worst, off/float64(want.Expanded()))
		case why != "" && !isTime:
			reasons++
			if first := why[:6]; !strings.HasPrefix(said, first) {
				t.Errorf("%g Ah, %g W, %g °C: the page says %q, the program %q", capacity, load, warmth, said, why)
			}
		case !near(r, load/capacity, quantity.Celsius(warmth)):
			t.Errorf("%g Ah, %g W, %g °C: the page says %q, the program %q %s", capacity, load, warmth, said, why, forecast.RunTime(got.End().Running, "").Whole)
		}
	}
	t.Logf("%d times, at most %.3f of the printed uncertainty off; %d reasons", answers, worst, reasons)
	if answers < 30 || reasons < 10 {
		t.Errorf("only %d of the questions have a time for an answer, %d a reason", answers, reasons)
	}
	for _, nothing := range [][3]string{{"", "100", "15"}, {"40", "", "15"}, {"0", "100", "15"}, {"40", "-5", "15"}, {"40", "100", ""}} {
		if got := ask(nothing[0], nothing[1], nothing[2]); got != question.WhyNot(predict.GridInputMissing) {
			t.Errorf("%v: %q", nothing, got)
		}
	}
	if over := browsertest.Evaluate[int](t, ctx, `document.documentElement.scrollWidth - 390`); over > 0 {
		t.Errorf("%d pixels run off the screen", over)
	}
	for _, line := range console.Take() {
		t.Errorf("the console says: %s", line)
	}
}

// near tells whether a load is within a tenth of where the answers end at the temperatures beside one.
func near(r *predict.RunTimeGrid, p float64, at quantity.Celsius) bool {
	low, high := math.Inf(1), 0.0
	for _, row := range r.Rows {
		if d := row.Ambient - at; d > -16 && d < 16 {
			end := row.Points[len(row.Points)-1].Load
			low, high = min(low, end), max(high, end)
		}
	}
	return p > 0.9*low && p < 1.1*high
}

// timeSaid reads the time of "3 h 43 min ± 40 min" or "(43 ± 4) min", s.
func timeSaid(text string) (float64, bool) {
	if !strings.Contains(text, "±") {
		return 0, false
	}
	if inside, unit, ok := strings.Cut(strings.TrimPrefix(text, "("), ")"); ok {
		text = strings.TrimSpace(strings.Split(inside, "±")[0]) + " " + strings.TrimSpace(unit)
	}
	q, err := quantity.ParseAs(strings.TrimSpace(strings.Split(text, "±")[0]), quantity.Time)
	return q.Value, err == nil
}

// plainSpaces takes the spaces that do not break for what they mean.
func plainSpaces(text string) string {
	return strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ").Replace(text)
}
