package app

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/wiring"
)

// told lists what a wiring's verdicts say against it, and what they cannot judge.
func told(w *wiring.Analysis) (against, unjudged []string) {
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

// The demo's wiring: no fault in any, all points solved that the version has
// parts for, the newest versions sound throughout, and the older ones with just
// the weaknesses that their stories own up to.
func TestDemoWiring(t *testing.T) {
	in, err := read("../../content")
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	in.study.Wire()
	for _, tt := range []struct {
		path              string
		solved            string
		against, unjudged []string // beginnings
	}{
		{"barrow/1-li-ion", "cruise, hill, stall", []string{"fuse-placement: fuse: 260 mm against 178 mm"}, []string{"fuse-opens-at-stall: fuse"}},
		{"barrow/2-larger-pack", "cruise, hill, stall", nil, []string{"fuse-opens-at-stall: fuse"}},
		{"shunter/1-lead-acid", "cruise, hill, stall", []string{"fuse-opens-at-stall: main fuse"}, nil},
		{"shunter/2-lifepo4", "cruise, hill, stall, cutout open", []string{"fuse-interrupts: main fuse", "contact-direct-current: cutout at stall", "positive-colour: main fuse:out to isolator:in"}, []string{"fuse-opens-at-stall: main fuse"}},
		{"shunter/3-second-pack", "cruise, horn sounding, hill, stall, charging, cutout open, emergency stop", nil, nil},
	} {
		w := in.results.Circuit(tt.path)
		if w == nil {
			t.Errorf("%s states no wiring", tt.path)
			continue
		}
		against, unjudged := told(w)
		var points []string
		for _, s := range w.Solutions {
			points = append(points, s.Point.Name)
			t.Logf("%s, %s: %s", tt.path, s.Point.Name, s.Point.Basis)
		}
		if got := strings.Join(points, ", "); got != tt.solved || len(w.Faults) > 0 {
			t.Errorf("%s: solved %s, want %s; unsolved %v; faults %v", tt.path, got, tt.solved, w.Unsolved, w.Faults)
		}
		for _, list := range []struct {
			what      string
			got, want []string
		}{{"against", against, tt.against}, {"unjudged", unjudged, tt.unjudged}} {
			same := len(list.got) == len(list.want)
			for i := range list.want {
				same = same && strings.HasPrefix(list.got[i], list.want[i])
			}
			if !same {
				t.Errorf("%s, %s:\n  %s\nwant\n  %s", tt.path, list.what, strings.Join(list.got, "\n  "), strings.Join(list.want, "\n  "))
			}
		}
	}

	// What the packs of a run gave on average is what the leads of its cruise carry: the log is the oracle.
	for _, tt := range []struct{ path, run string }{{"shunter/2-lifepo4", "field-2025-04-27"}, {"shunter/3-second-pack", "field-2026-04-12"}, {"barrow/2-larger-pack", "field-2026-05-09"}} {
		var measured, solved float64
		for id, r := range in.results.Runs {
			if string(id) == tt.path+"/"+tt.run {
				measured = float64(r.MeanCurrent.Value)
			}
		}
		for _, s := range in.results.Circuit(tt.path).Solutions {
			if s.Point.Name == string(circuit.Cruise) {
				for _, p := range s.Packs {
					solved += float64(p.Current)
				}
			}
		}
		if !(math.Abs(solved-measured) < 1e-6*measured) {
			t.Errorf("%s: %v A solved at cruise, %v A measured", tt.path, solved, measured)
		}
	}
	if colour, usual := in.results.Circuit("shunter/1-lead-acid").Circuit.PositiveColour(); colour != "white" || usual {
		t.Errorf("the first shunter's positive is %s", colour)
	}
}
