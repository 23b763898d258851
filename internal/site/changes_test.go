package site

import (
	"fmt"
	"strings"
	"testing"

	"voltwright/internal/site/reading"
)

// timedVersions is a journal of one cart in two versions, each with field runs of stated laps.
func timedVersions(t *testing.T, payload string, before, now []string) reading.Input {
	files := map[string]string{
		"journal.yaml":             "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":          "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md":  "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n",
		"cart/2-second/version.md": "---\nkind: version\nname: Second\ndate: 2026-02-02\nfollows: 1-first\nmasses: {vehicle: 40 kg}\n---\n",
	}
	add := func(folder, carried string, laps []string) {
		for i, lap := range laps {
			files[fmt.Sprintf("%s/run-%d.md", folder, i+1)] = fmt.Sprintf("---\nkind: run\ntype: field\nname: Laps\ndate: 2026-03-%02d\nconditions: {payload: %s, surface: steel-rail, setting: 60 %%}\n"+
				"instruments: [{measures: time, accuracy: ±0.3 s, resolution: 0.01 s}, {measures: distance, accuracy: ±0.1 %%, resolution: 0.1 m}]\n"+
				"stopwatch: {lap: 100 m, laps: [%s]}\npause-after: 20 s\n---\n", i+1, carried, lap)
		}
	}
	add("cart/1-first", "80 kg", before)
	add("cart/2-second", payload, now)
	return input(t, written(t, files))
}

// The verdict on two single runs, on repeats that scatter more than the versions differ, on repeats that do not, and the
// refusal where what was carried differs.
func TestVersionsAreHeldAgainstEachOther(t *testing.T) {
	for _, tt := range []struct {
		name, payload string
		before, now   []string
		says          string
	}{
		{"apart, once each", "80 kg", []string{"60 s, 60 s"}, []string{"50 s, 50 s"}, "Larger than the instruments explain."},
		{"close, once each", "80 kg", []string{"60 s, 60 s"}, []string{"60.05 s, 60 s"}, "Not larger than the instruments explain."},
		{"scattered", "80 kg", []string{"60 s, 60 s", "50 s, 50 s"}, []string{"53 s, 53 s", "59 s, 59 s"}, "Not larger than the spread of the repeats and the instruments explain."},
		{"repeated and apart", "80 kg", []string{"60 s, 60 s", "60.4 s, 60.4 s", "59.7 s, 59.7 s"}, []string{"50 s, 50 s", "50.2 s, 50.2 s", "49.9 s, 49.9 s"}, "Larger than the spread of the repeats and the instruments explain."},
		{"unlike", "120 kg", []string{"60 s, 60 s"}, []string{"50 s, 50 s"}, "the payload is 80 kg and 120 kg"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, _ := build(t, timedVersions(t, tt.payload, tt.before, tt.now))
			docs := documents(t, p)
			for _, n := range elements(docs["cart/2-second/index.html"].root) {
				if attribute(n, "id") != "what-changed" {
					continue
				}
				said := text(n)
				if !strings.Contains(said, tt.says) {
					t.Errorf("says %q", said)
				}
				if unlike := strings.Contains(said, "Not held against each other"); unlike != (tt.name == "unlike") {
					t.Errorf("refused: %v", unlike)
				}
				if !strings.Contains(said, "40 kg") {
					t.Error("the mass that is new is not told")
				}
				return
			}
			t.Error("the page does not say what changed")
		})
	}
}
