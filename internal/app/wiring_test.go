package app

import (
	"fmt"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/ride"
)

// told lists what a wiring's verdicts say against it, and what they cannot judge.
func told(w *ride.Wired) (against, unjudged []string) {
	about := func(s circuit.Subject) string {
		if s.Part >= 0 {
			return w.Circuit.Parts[s.Part].Name
		}
		l := w.Circuit.Leads[s.Lead]
		return l.From.String() + " to " + l.To.String()
	}
	for _, v := range w.Verdicts {
		line := fmt.Sprintf("%s: %s", v.Rule, about(v.Subject))
		if v.Point != "" {
			line += " at " + v.Point
		}
		switch {
		case v.CannotJudge != "":
			unjudged = append(unjudged, line+": "+v.CannotJudge)
		case !v.OK:
			against = append(against, fmt.Sprintf("%s: %v against %v %s", line, v.Number, v.Limit, v.Detail))
		}
	}
	return against, unjudged
}

func TestDemoWiring(t *testing.T) {
	in, err := read("../../content")
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	wireVersions(in.journal, in.results)
	for _, vehicle := range in.journal.Vehicles {
		for _, v := range vehicle.Versions {
			w := in.results.Circuits[v.Path()]
			if w == nil {
				t.Errorf("%s states no wiring", v.Path())
				continue
			}
			against, unjudged := told(w)
			var solved []string
			for _, s := range w.Solutions {
				line := s.Point.Name + " (" + s.Point.Basis + ")"
				for _, p := range s.Packs {
					line += fmt.Sprintf(", %s %.1f A", w.Circuit.Parts[p.Part].Name, float64(p.Current))
				}
				for _, l := range s.Loads {
					line += fmt.Sprintf(", %s %.1f A -%.1f %%", w.Circuit.Parts[l.Part].Name, float64(l.Current), 100*float64(l.Share))
				}
				solved = append(solved, line)
			}
			t.Logf("%s: faults %v\nsolved:\n  %s\nunsolved: %v\nagainst:\n  %s\nunjudged:\n  %s", v.Path(), w.Faults, strings.Join(solved, "\n  "), w.Unsolved, strings.Join(against, "\n  "), strings.Join(unjudged, "\n  "))
		}
	}
}
