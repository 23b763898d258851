package journal

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// What cannot be of a vehicle is told in its line, and where it runs is words and no place on the map.
func TestVehicleSheetIsChecked(t *testing.T) {
	for line, says := range map[string]string{
		"year: 19": "`year`: 19 cannot be", "year: 2019": "", "seats: -1": "`seats`: -1 cannot be", "seats: 0": "", "gauge: 0 mm": "`gauge`", "gauge: 184 mm": "",
		"runs-at: 51.0012, 7.0021": "is a position on the map", "runs-at: \"N 51.00123 E 7.00214\"": "is a position on the map", "runs-at: the club's line, 2 km round": "", "subjects: [\"...\"]": "unknown key",
		"maintenance: [{date: 2026-01-01, what: oiled, hours-run: -2 h}]": "`hours-run`",
	} {
		dir := t.TempDir()
		for name, text := range map[string]string{"journal.yaml": "title: A\nmaker: {name: A}\n", "cart/vehicle.md": "---\nkind: vehicle\nname: The cart\n" + line + "\n---\n"} {
			file := filepath.Join(dir, filepath.FromSlash(name))
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		folder, err := notes.Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		var found finding.List
		Load(folder, &found)
		var said []string
		for _, f := range found.Sorted() {
			if f.Level == finding.Error {
				said = append(said, f.Text)
			}
		}
		if all := strings.Join(said, "; "); says == "" && all != "" || says != "" && !strings.Contains(all, says) {
			t.Errorf("%s: it is said %q, want %q", line, all, says)
		}
		if err := folder.Close(); err != nil {
			t.Error(err)
		}
	}
}

// How a run ended is said with its outcome.
func TestHowARunEnded(t *testing.T) {
	for _, tt := range []struct {
		outcome             Outcome
		ended               string
		head, clause, words string
	}{
		{"", "dinner.", "Ended", "ended: dinner", "dinner."},
		{Finished, "dinner", "Ended", "ended: dinner", "dinner"},
		{BrokenOff, "rain", "Broken off", "broken off: rain", "broken off: rain"},
		{Failed, "", "Failed", "failed", "failed"},
		{"", "", "Ended", "", ""},
	} {
		r := &Run{}
		r.Outcome.Value, r.Ended.Text = tt.outcome, tt.ended
		if r.EndHead() != tt.head || r.EndClause() != tt.clause || r.EndWords() != tt.words {
			t.Errorf("%q, %q: %q, %q, %q", tt.outcome, tt.ended, r.EndHead(), r.EndClause(), r.EndWords())
		}
	}
}

// Two names that make one address are one subject, with every place once; letters with marks keep their sound in an address.
func TestSubjectsAreOneByTheirAddress(t *testing.T) {
	a, b := &NotePage{Subjects: Names{{Text: "Cut outs", Set: true}, {Text: "cut-outs", Set: true}}}, &NotePage{Subjects: Names{{Text: "Räder", Set: true}, {Text: "cut outs", Set: true}}}
	got := (&Journal{Notes: []*NotePage{a, b}}).Subjects()
	if len(got) != 2 || got[0].Slug != "cut-outs" || got[0].Name != "Cut outs" || len(got[0].Places) != 2 || got[1].Slug != "raeder" || len(got[1].Places) != 1 {
		t.Errorf("subjects: %+v", got)
	}
}
