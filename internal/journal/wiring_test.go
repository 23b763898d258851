package journal

import (
	"math"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// fixture loads the version of a name from the wiring fixture.
func fixture(t *testing.T, name string) *Version {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/wiring.txtar")
	if err != nil {
		t.Fatal(err)
	}
	dir, _ := unpack(t, archive)
	j, _ := load(t, dir)
	for _, v := range j.Vehicles[0].Versions {
		if v.Slug == name {
			return v
		}
	}
	t.Fatal("no version ", name)
	return nil
}

// A vehicle of five parts is wired in under forty lines, and what its packs,
// motor, cutout and controller say of themselves is said once.
func TestFivePartsInUnderFortyLines(t *testing.T) {
	v := fixture(t, "1-sound")
	text := string(v.Note.Text())
	from := strings.Index(text, "\nwiring:")
	lines := strings.Count(text[from:], "\n") - 2 // the line end before it, and the closing ---
	if len(v.Wiring.Parts) != 5 || lines >= 40 {
		t.Errorf("%d parts in %d lines", len(v.Wiring.Parts), lines)
	}
	c, ok := v.Circuit()
	if !ok || len(c.Check()) > 0 {
		t.Fatalf("faults: %v", c.Check())
	}
	for _, tt := range []struct {
		what      string
		got, want float64
	}{
		{"the pack's resistance", float64(c.Parts[0].Resistance), 0.022},
		{"its full voltage, 8 cells of 3.65 V", float64(c.Parts[0].Full), 29.2},
		{"its nominal voltage, 8 cells of 3.2 V", float64(c.Parts[0].Nominal), 25.6},
		{"the cutout's current", float64(c.Parts[2].Current), 30},
		{"the controller's voltage", float64(c.Parts[3].Ratings.Volts), 36},
		{"the resistance of the motor without a name", float64(c.Parts[4].Resistance), 0.24},
		{"the usual size", float64(c.Leads[0].Size.Area), 6},
	} {
		if math.Abs(tt.got-tt.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", tt.what, tt.got, tt.want)
		}
	}
	if c.Leads[0].EndA != (circuit.End{Kind: circuit.Ring, For: "M6"}) || c.Leads[3].EndB.Kind != circuit.Ferrule {
		t.Errorf("ends %+v, %+v", c.Leads[0].EndA, c.Leads[3].EndB)
	}
}

// Whatever a wiring says, it is decoded and checked without a panic, and every finding has a place.
func FuzzWiring(f *testing.F) {
	archive, err := txtar.ParseFile("testdata/wiring.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range archive.Files {
		_, text, ok := strings.Cut(string(file.Data), "date: ")
		if _, text, cut := strings.Cut(text, "\n"); ok && cut {
			f.Add(strings.TrimSuffix(text, "---\n"))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<13 || strings.Count(text, "kind") > 12 {
			return
		}
		var list finding.List
		v := &Version{Vehicle: &Vehicle{Slug: "cart"}, Slug: "1-first"}
		n := notes.ParseNote("version.yaml", []byte(text), &list)
		if n.Front == nil {
			return
		}
		notes.Decode(n.Front, v, &list)
		l := &loader{findings: &list, journal: &Journal{}}
		l.checkWiring(v)
		for _, x := range list.Sorted() {
			if x.Span.Source == nil || x.Text == "" {
				t.Errorf("%s has no place or no words: %s", x.Rule, x.Text)
			}
		}
		_, _ = v.Circuit()
	})
}
