package journal

import (
	"cmp"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// likeVersions are those of the fixture, by slug.
func likeVersions(t *testing.T) map[string]*Version {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/like.txtar")
	if err != nil {
		t.Fatal(err)
	}
	dir, _ := unpack(t, archive)
	j, _ := load(t, dir)
	out := map[string]*Version{}
	for _, v := range j.Vehicles[0].Versions {
		out[v.Slug] = v
	}
	return out
}

// circuitOf is a version's circuit with its parts and leads in the order of their names.
func circuitOf(t *testing.T, v *Version) *circuit.Circuit {
	t.Helper()
	c, ok := v.Circuit()
	if !ok {
		t.Fatal("no circuit")
	}
	slices.SortFunc(c.Parts, func(a, b circuit.Part) int { return cmp.Compare(a.Name, b.Name) })
	slices.SortFunc(c.Leads, func(a, b circuit.Lead) int {
		return cmp.Or(cmp.Compare(a.From.String(), b.From.String()), cmp.Compare(a.To.String(), b.To.String()))
	})
	return c
}

// Paths mean the circuit that is written lead by lead: but for the ends and the clamps, of which they say nothing.
func TestPathsMeanTheSameCircuit(t *testing.T) {
	all := likeVersions(t)
	long, short := circuitOf(t, all["1-long"]), circuitOf(t, all["2-paths"])
	if len(long.Parts) != 5 || len(long.Leads) != 7 {
		t.Fatalf("%d parts and %d leads in the long form", len(long.Parts), len(long.Leads))
	}
	for _, c := range []*circuit.Circuit{long, short} {
		for i := range c.Parts {
			c.Parts[i].Clamp = circuit.Range{}
		}
		for i := range c.Leads {
			c.Leads[i].EndA, c.Leads[i].EndB = circuit.End{}, circuit.End{}
			switch c.Leads[i].Colour { // a path has one colour
			case "brown":
				c.Leads[i].Colour = "red"
			case "blue":
				c.Leads[i].Colour = "black"
			}
		}
	}
	if !reflect.DeepEqual(long, short) {
		t.Errorf("lead by lead\n%+v\nas paths\n%+v", long, short)
	}
}

// What a version takes over, what it replaces, moves, gives another name and takes out.
func TestLike(t *testing.T) {
	all := likeVersions(t)
	v := all["3-like"]
	if v.LikeVersion != all["1-long"] || v.Before != v.LikeVersion || !slices.Equal(v.TakenOver, []string{"packs", "cutout", "controller", "motors", "wiring", "parts"}) {
		t.Errorf("like %v, taken over %q", v.LikeVersion, v.TakenOver)
	}
	if v.Cutout.Opens.Value != 24 || v.Cutout.Threshold.Value != 1.9 || v.Packs[0].Capacity.Value != 15 {
		t.Errorf("cutout %v, %v; capacity %v", v.Cutout.Opens.Value, v.Cutout.Threshold.Value, v.Packs[0].Capacity.Value)
	}
	if v.Name.Text != "A breaker in the place of the fuse, and a lamp" || v.Summary.Text != "" {
		t.Errorf("name %q, summary %q", v.Name.Text, v.Summary.Text)
	}
	if len(v.Motors) != 1 {
		t.Errorf("%d motors: the only one has no name, and the part of the wiring is what goes", len(v.Motors))
	}
	if len(v.Parts) != 2 || v.Parts[0].How.Set {
		t.Errorf("parts %+v: what became of them is not taken over", v.Parts)
	}
	var leads []string
	for _, l := range circuitOf(t, v).Leads {
		leads = append(leads, l.From.String()+" "+l.To.String())
	}
	want := []string{"box:+ breaker:in", "box:- cutout:in-", "breaker:out cutout:in+", "controller:out+ lamp:1", "cutout:out+ controller:in+", "cutout:out- controller:in-", "lamp:2 controller:out-"}
	if !slices.Equal(leads, want) {
		t.Errorf("leads\n%q, want\n%q", leads, want)
	}
	for _, l := range v.Wiring.Leads {
		if l.From.Text == "box:-" && (l.Length.Value != 0.4 || l.Colour.Value != "black") {
			t.Errorf("the lead that another stands for is %v m, %s", l.Length.Value, l.Colour.Value)
		}
		if l.From.Text == "breaker:out" && l.Length.Value != 0.35 {
			t.Errorf("a lead is known by what it was called before its part got another name; it is %v m", l.Length.Value)
		}
		if l.From.Text == "box:+" && l.From.Span.File() != "shunter/1-long/version.md" {
			t.Errorf("what is taken over stands in %s", l.From.Span.File())
		}
	}
}

// What is asked with other values is asked of the whole: of what was taken over and of the leads that paths stand for.
func TestOtherValuesOfALikeVersion(t *testing.T) {
	all := likeVersions(t)
	for slug, leads := range map[string]int{"2-paths": 7, "3-like": 7, "6-listed": 7} {
		var found finding.List
		v := all[slug].With([]Setting{{"packs.box.capacity", "30 Ah"}, {"cutout.opens", "23.9 V"}}, &found)
		if found.Count(finding.Error) > 0 || len(v.Packs) != 1 || v.Packs[0].Capacity.Value != 30 || v.Cutout.Opens.Value != 23.9 || v.Cutout.Current.Value != 30 {
			t.Errorf("%s: %v %+v", slug, found.Sorted(), v.Packs)
		}
		if c := circuitOf(t, v); len(c.Leads) != leads {
			t.Errorf("%s: %d leads, want %d", slug, len(c.Leads), leads)
		}
		if len(v.Parts) != len(all[slug].Parts) {
			t.Errorf("%s: %d parts of %d", slug, len(v.Parts), len(all[slug].Parts))
		}
	}
}

// A parts list is taken over from the file beside the other note as well, and gives way to a file of its own; none is published twice.
func TestPartsFilesOfLikeVersions(t *testing.T) {
	all := likeVersions(t)
	for slug, want := range map[string]struct{ parts, file string }{
		"5-filed": {"a box, a lamp, solder", "shunter/5-filed/parts.csv"}, "6-listed": {"a box, a lamp, a horn", ""}, "7-other": {"a bell", "shunter/7-other/parts.csv"},
	} {
		v := all[slug]
		var names []string
		for _, p := range v.Parts {
			names = append(names, p.Name.Text)
			if slug == "6-listed" && p.How.Set {
				t.Errorf("what became of %s is taken over", p.Name.Text)
			}
		}
		if got := strings.Join(names, ", "); got != want.parts || v.PartsSource != want.file {
			t.Errorf("%s: %s of %q, want %s of %q", slug, got, v.PartsSource, want.parts, want.file)
		}
		if written := strings.Contains(v.WrittenOut(), "\nparts:"); written != (want.file == "") {
			t.Errorf("%s: written out with a parts list: %t\n%s", slug, written, v.WrittenOut())
		}
	}
	if got := all["6-listed"].TakenOver; slices.Contains(got, "charger") || !slices.Contains(got, "parts") {
		t.Errorf("taken over: %q; its charger is all its own", got)
	}
}

// What is written out reads as what it was made from.
func TestWrittenOutIsTheSame(t *testing.T) {
	for slug, v := range likeVersions(t) {
		if v.Wiring == nil || slug == "4-astray" || slug == "7-nobody" {
			continue
		}
		var found finding.List
		n := notes.ParseNote("version.yaml", []byte(v.WrittenOut()), &found)
		again := &Version{Vehicle: v.Vehicle}
		notes.Decode(n.Front, again, &found)
		if found.Len() > 0 {
			t.Errorf("%s: %v\n%s", slug, found.Sorted(), v.WrittenOut())
			continue
		}
		if a, b := circuitOf(t, v), circuitOf(t, again); !reflect.DeepEqual(a, b) {
			t.Errorf("%s: written out\n%+v\nread again\n%+v", slug, a, b)
		}
		if again.Like.Set || len(again.Wiring.Paths) > 0 || len(again.Packs) != len(v.Packs) || v.PartsSource == "" && len(again.Parts) != len(v.Parts) {
			t.Errorf("%s: written out is not in full:\n%s", slug, v.WrittenOut())
		}
	}
}
