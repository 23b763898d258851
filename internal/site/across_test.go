package site

import (
	"strings"
	"testing"

	"voltwright/internal/site/frame"
)

// What differs between versions stands first, value by value, with a cell for every version in every row; of results it says
// whether they differ by more than chance. What is the same on every version is folded.
func TestVersionsSideBySide(t *testing.T) {
	journals(t, func(t *testing.T, _ *frame.Pages, docs map[string]*document) {
		d := docs["shunter/across/index.html"]
		if d == nil {
			return
		}
		differs := rows(t, d, "table-built")
		for label, cells := range differs {
			if label != "" && len(cells) != 3 {
				t.Errorf("%s has %d cells", label, len(cells))
			}
		}
		for label, want := range map[string]string{
			"Cutout opens":          "no cutout|24.0 V|24.6 V",
			"Reset threshold":       "not stated|0.9 V|1.6 V",
			"Wiring":                "9 parts, 11 leads|9 parts, 12 leads|22 parts, 28 leads",
			"Capacity of all packs": "(36 ± 8) Ah|(20.6 ± 2.6) Ah−42.7 %, more than chance|(40.3 ± 3.3) Ah+96.0 %, more than chance",
			"Resistance at once, half charged of all packs": "(22 ± 14) mΩ|(16 ± 7) mΩ−25.0 %, within chance|(6.7 ± 3.2) mΩ−58.6 %, more than chance",
		} {
			var got []string
			for _, c := range differs[label] {
				got = append(got, text(c))
			}
			if strings.Join(got, "|") != want {
				t.Errorf("%s: %q, wanted %s", label, got, want)
			}
		}
		if _, ok := differs["Controller setting"]; ok {
			t.Error("what is the same on every version stands among what differs")
		}
		same := rows(t, d, "table-same")["Controller setting"]
		if len(same) != 3 || attribute(same[0], "data-of") != "1 to 3" || attribute(same[1], "class") != "same" {
			t.Errorf("the same on every version is told as %d cells", len(same))
		}
	})
}
