package site

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/recorded"
	"voltwright/internal/site/address"
	"voltwright/internal/site/reading"
	"voltwright/internal/standing"
)

// What every version of the demo answers by itself, word for word. The record is no oracle: whoever writes it anew reads it.
func TestStandingAnswersOfTheDemo(t *testing.T) {
	in := reading.New(input(t, demoJournal), nil)
	var b strings.Builder
	for _, vehicle := range in.Journal.Vehicles {
		for _, v := range vehicle.Versions {
			for _, a := range standing.Of(in.Values, in.Results, v) {
				fmt.Fprintf(&b, "== %s#%s %s\n", v.Path(), a.Name, a.Question)
				if a.Written != nil {
					fmt.Fprintf(&b, "written: %s\n", a.Written.Slug)
				}
				for _, s := range a.Said {
					fmt.Fprintln(&b, standing.Words(s))
				}
				if a.Settles != "" {
					fmt.Fprintln(&b, a.Standing())
				}
			}
		}
	}
	const file = "testdata/standing-demo.txt"
	if recorded.Updating() {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	kept, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got, want := strings.Split(b.String(), "\n"), strings.Split(string(kept), "\n")
	for i := range max(len(got), len(want)) {
		switch {
		case i >= len(got) || i >= len(want):
			t.Fatalf("%s has %d lines, and there are %d", file, len(want), len(got))
		case got[i] != want[i]:
			t.Errorf("%s:%d: %q, not %q", file, i+1, got[i], want[i])
		}
	}
}

// Each answer has an address, stands in the linked data under it, and prints its numbers with their kind; a question that the
// journal answers in its own words is printed in these and leads to its page.
func TestStandingPages(t *testing.T) {
	from := input(t, demoJournal)
	in := reading.New(from, nil)
	p, _ := build(t, from)
	docs := documents(t, p)
	written := 0
	for _, vehicle := range in.Journal.Vehicles {
		for _, v := range vehicle.Versions {
			name := address.Standing(v)
			d := docs[name]
			if d == nil {
				t.Fatalf("%s is not there", name)
			}
			var page struct {
				Type       string `json:"@type"`
				MainEntity []struct {
					Name, URL                       string
					AcceptedAnswer, SuggestedAnswer *struct{ Text, URL string }
				}
			}
			for _, n := range elements(d.root) {
				if n.Data == "script" && attribute(n, "type") == "application/ld+json" {
					if err := json.Unmarshal([]byte(n.FirstChild.Data), &page); err != nil {
						t.Fatal(err)
					}
				}
			}
			answers := standing.Of(in.Values, in.Results, v)
			if page.Type != "FAQPage" || len(page.MainEntity) != len(answers) {
				t.Fatalf("%s: linked data is a %s of %d", name, page.Type, len(page.MainEntity))
			}
			for i, a := range answers {
				if d.ids[a.Name] != 1 {
					t.Errorf("%s has no #%s", name, a.Name)
				}
				q := page.MainEntity[i]
				if q.Name != a.Question || !strings.HasSuffix(q.URL, "#"+a.Name) || (q.AcceptedAnswer != nil) == (q.SuggestedAnswer != nil) || (q.AcceptedAnswer != nil) != (a.State == standing.Answered) {
					t.Errorf("%s: linked data of %s is %+v", name, a.Name, q)
				}
				if a.Written != nil {
					written++
					leads := false
					for _, n := range elements(d.root) {
						leads = leads || n.Data == "a" && strings.Contains(attribute(n, "href"), "questions/"+a.Written.Slug)
					}
					if !leads {
						t.Errorf("%s does not lead to %s", name, a.Written.Slug)
					}
				}
			}
			kinds := map[string]bool{}
			for _, n := range elements(d.root) {
				if class := strings.Fields(attribute(n, "class")); len(class) > 1 && class[0] == "num" {
					kinds[class[1]] = true
				}
			}
			for _, k := range []string{"computed", "quoted"} {
				if !kinds[k] {
					t.Errorf("%s prints no %s number", name, k)
				}
			}
		}
	}
	if written < 5 {
		t.Errorf("only %d answers are the journal's own", written)
	}
	if !slices.Contains(p.Paths(), "shunter/3-second-pack/answers/index.html") {
		t.Error("the newest version of the shunter has no answers")
	}
}
