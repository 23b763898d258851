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
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
)

const runTimeQuestion = "questions/how-long-does-the-shunter-run/index.html"

// reckonerOf is the reckoner behind the question's page.
func reckonerOf(t *testing.T, in Input) *ride.Reckoner {
	t.Helper()
	for _, n := range in.Journal.Questions {
		if questionPage(n) == runTimeQuestion {
			if a := in.Results.Predictions[n.Question.Predicted.Version.Path()]; a != nil && a.Reckoner != nil {
				return a.Reckoner
			}
		}
	}
	t.Fatal("the question has no reckoner")
	return nil
}

// The page without a script has the times for some loads and capacities, and no fields that do nothing.
func TestReckonTable(t *testing.T) {
	in := input(t, demoJournal)
	p, _ := build(t, in)
	d := documents(t, p)[runTimeQuestion]
	r := reckonerOf(t, in)
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
			for i, part := range reckonCapacities {
				got, err := r.Reckon(quantity.Watts(load), quantity.AmpereHours(part)*r.Capacity, warmth)
				want := "not carried"
				if err == nil {
					want = runTime(got.Time, "").Whole
				}
				if bare(cells[i+1]) != bare(want) {
					t.Errorf("%g W, %g times the capacity: %q, want %q", load, part, cells[i+1], want)
				}
			}
		}
	}
	if rows != len(reckonLoads) {
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

// The script says what the program says, at places on and between the points, and refuses what it refuses.
func TestBrowserReckons(t *testing.T) {
	ctx, said := browsertest.Open(t)
	in := input(t, demoJournal)
	p, _ := build(t, in)
	r := reckonerOf(t, in)
	base := serve(t, p, siteRoot(t, documents(t, p)))
	browsertest.Width(t, ctx, 390)
	browsertest.Go(t, ctx, base+runTimeQuestion)
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
	answers := 0
	for i := range 120 {
		capacity := math.Round(10*float64(r.Capacity)*math.Pow(4, random.Float64()-0.5)) / 10
		load := math.Round(r.Loads[0] * capacity * math.Pow(2, 7.5*random.Float64()-0.6))
		warmth := math.Round(10*(36*random.Float64()-3)) / 10
		if i < len(r.Loads) { // on the points
			capacity, load, warmth = float64(r.Capacity), r.Loads[i]*float64(r.Capacity), float64(r.Ambients[i%len(r.Ambients)])
		}
		want := ""
		got, err := r.Reckon(quantity.Watts(load), quantity.AmpereHours(capacity), quantity.Celsius(warmth))
		if err != nil {
			want = whyNot(err.Error())
		} else {
			want = runTime(got.Time, "").Whole
			answers++
		}
		if said := ask(fmt.Sprint(capacity), fmt.Sprint(load), fmt.Sprint(warmth)); plainSpaces(said) != plainSpaces(want) {
			t.Errorf("%g Ah, %g W, %g °C: the page says %q, the program %q", capacity, load, warmth, said, want)
		}
	}
	if answers < 50 {
		t.Errorf("only %d of the questions have a time for an answer", answers)
	}
	for _, nothing := range [][3]string{{"", "100", "15"}, {"40", "", "15"}, {"0", "100", "15"}, {"40", "-5", "15"}} {
		if got := ask(nothing[0], nothing[1], nothing[2]); got != whyNot(ride.ReckonNothing) {
			t.Errorf("%v: %q", nothing, got)
		}
	}
	if got := ask("40", "100", ""); plainSpaces(got) != plainSpaces(whyNot(r.OutOfRange())) {
		t.Errorf("without a temperature: %q", got)
	}
	if over := browsertest.Evaluate[int](t, ctx, `document.documentElement.scrollWidth - 390`); over > 0 {
		t.Errorf("%d pixels run off the screen", over)
	}
	for _, line := range said.Take() {
		t.Errorf("the console says: %s", line)
	}
}

// plainSpaces takes the spaces that do not break for what they mean.
func plainSpaces(text string) string {
	return strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ").Replace(text)
}
