package site

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/browsertest"
	"voltwright/internal/site/address"
)

// readersQuestion is what a reader asks in the reader's words.
type readersQuestion struct {
	Asked  string
	Sheets []string // any of which answers it
	Says   []string // any of which the answer must say
}

func readersQuestions(t *testing.T) (all []readersQuestion) {
	t.Helper()
	text, err := os.ReadFile("testdata/readers-questions.tsv")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, "\t")
		if len(cells) != 3 {
			t.Fatalf("a line has %d cells: %s", len(cells), line)
		}
		all = append(all, readersQuestion{cells[0], strings.Fields(cells[1]), strings.Split(cells[2], "; ")})
	}
	return all
}

// Of sixty questions in readers' own words, written before the search knew of them, how many find a sheet that answers
// among the first three, and how many have the answer's words on the first screen of a phone. The others are named.
func TestBrowserAnswersReaders(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	p, _ := build(t, input(t, demoJournal))
	page := serve(t, p, "/") + address.Search
	browsertest.Width(t, ctx, 390)
	browsertest.Go(t, ctx, page)
	questions := readersQuestions(t)
	found, answered := 0, 0
	for _, q := range questions {
		list, _ := json.Marshal(q.Asked)
		got := strings.Fields(browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.ask(%s).then(g => g.slice(0, 3).map(x => x.path).join(' '))`, list)))
		if slices.ContainsFunc(got, func(path string) bool { return slices.Contains(q.Sheets, path) }) {
			found++
		} else {
			t.Logf("%s: found %s", q.Asked, got)
		}
		shown := browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.show(%s).then(() => {
			const out = [];
			for (const e of document.querySelectorAll('#found p, #found h3, #found a, #found li')) {
				const r = e.getBoundingClientRect();
				if (r.height && r.top + scrollY < 844 && !e.querySelector('p, li, h3')) out.push(e.textContent);
			}
			return out.join(' ').replace(/\s+/g, ' ');
		})`, list))
		if slices.ContainsFunc(q.Says, func(say string) bool { return strings.Contains(strings.ToLower(shown), strings.ToLower(say)) }) {
			answered++
		} else {
			t.Logf("%s: the first screen says %.300s", q.Asked, shown)
		}
	}
	t.Logf("of %d found %d, answered %d", len(questions), found, answered)
	if len(questions) != 60 || found < 55 || answered < 50 {
		t.Errorf("of %d questions %d find their sheet, at least 55 must, and %d are answered on the first screen, at least 50 must", len(questions), found, answered)
	}
	browsertest.Leave(t, ctx)
}
