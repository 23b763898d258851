package diagram

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/circuit"
)

// altered is a circuit with some parts and leads changed, taken out and added.
func altered(r *dice, before circuit.Circuit) circuit.Circuit {
	c := circuit.Circuit{Parts: slices.Clone(before.Parts), Leads: slices.Clone(before.Leads)}
	other := invented(r)
	for range 1 + r.IntN(4) {
		switch r.IntN(7) {
		case 0:
			c.Parts = append(c.Parts, other.Parts[r.IntN(len(other.Parts))])
			c.Parts[len(c.Parts)-1].Name += " new"
		case 1:
			c.Parts[r.IntN(len(c.Parts))].Current++
		case 2:
			c.Parts[r.IntN(len(c.Parts))].Ways = 1 + r.IntN(3)
		case 3:
			if len(c.Parts) > 2 {
				k := 1 + r.IntN(len(c.Parts)-1)
				c.Parts = slices.Delete(c.Parts, k, k+1)
			}
		case 4:
			c.Parts[r.IntN(len(c.Parts))].Kind = circuit.Kinds()[r.IntN(len(circuit.Kinds()))]
		case 5:
			if len(c.Leads) > 0 {
				l := &c.Leads[r.IntN(len(c.Leads))]
				l.Length += 0.1
				l.From, l.To = l.To, l.From
			}
		case 6:
			if len(c.Leads) > 0 {
				k := r.IntN(len(c.Leads))
				c.Leads = append(slices.Delete(c.Leads, k, k+1), circuit.Lead{From: c.Leads[0].To, To: c.Leads[0].From, Colour: "blue"})
			}
		}
	}
	// Names are unique, as a journal holds them, and leads end at parts that there are, or are left out of a drawing.
	seen := map[string]bool{}
	c.Parts = slices.DeleteFunc(c.Parts, func(p circuit.Part) bool { was := seen[p.Name]; seen[p.Name] = true; return was })
	return c
}

// pieceOf is what a lead is cut and made up as, from whichever end it is written.
func pieceOf(l circuit.Lead) string {
	a, b := fmt.Sprint(l.From, l.EndA), fmt.Sprint(l.To, l.EndB)
	if b < a {
		a, b = b, a
	}
	return fmt.Sprint(a, " ", b, l.Size, classOf(l), l.Tinned, l.Insulation, l.Colour, l.Stripe, l.Length)
}

func classOf(l circuit.Lead) circuit.Class {
	if l.Class == 0 {
		return circuit.Flexible
	}
	return l.Class
}

// joins tells whether a circuit has both ends of a lead.
func joins(c *circuit.Circuit, l circuit.Lead) bool {
	has := func(t circuit.Terminal) bool {
		for i := range c.Parts {
			if c.Parts[i].Name == t.Part {
				return slices.ContainsFunc(c.Parts[i].Terminals(), func(x circuit.TerminalSpec) bool { return x.Name == t.Name })
			}
		}
		return false
	}
	return has(l.From) && has(l.To) && l.From != l.To
}

// wanted are the marks of a change, counted without the comparison of the circuit: pieces of lead by how many more there are, parts by
// whether one of that name was the same.
func wanted(now, before *circuit.Circuit) (leads map[string]int, parts []string, out map[string]int, goneParts int) {
	leads, out = map[string]int{}, map[string]int{}
	count := map[string]int{}
	for _, l := range before.Leads {
		count[pieceOf(l)]++
	}
	for _, l := range now.Leads {
		if count[pieceOf(l)]--; count[pieceOf(l)] < 0 && joins(now, l) {
			leads[pieceOf(l)]++
		}
	}
	for _, l := range before.Leads {
		if count[pieceOf(l)] > 0 {
			count[pieceOf(l)]--
			if joins(before, l) {
				out[pieceOf(l)]++
			}
		}
	}
	was := map[string]circuit.Part{}
	for _, p := range before.Parts {
		was[p.Name] = p
	}
	for _, p := range now.Parts {
		if old, had := was[p.Name]; !had || old != p {
			parts = append(parts, p.Name)
		}
		if old, had := was[p.Name]; had && old.Kind == p.Kind {
			delete(was, p.Name)
		}
	}
	slices.Sort(parts)
	return leads, parts, out, len(was)
}

// checkChange holds the marks of a drawing against the difference of two circuits.
func checkChange(t *testing.T, name string, now, before *circuit.Circuit, o Options) {
	t.Helper()
	d := Change(Issue{now, "7"}, Issue{before, "6"}, o)
	clear(t, name, d)
	wellFormed(t, name, d.SVG)
	leads, parts, out, goneParts := wanted(now, before)
	both, _ := merged(now, before, now.Since(before))
	separate(t, name, both, d)
	byLabel := map[string]string{}
	whips, _ := now.CutList(0)
	for i, w := range whips {
		if joins(now, now.Leads[i]) {
			byLabel[w.Label] = pieceOf(now.Leads[i])
		}
	}
	var gotParts []string
	gotLeads := map[string]int{}
	signs := 0
	for _, b := range d.Boxes {
		switch piece, lead := byLabel[b.Of]; {
		case b.Ink != Revision:
		case b.Of == "legend":
			signs++
		case lead:
			gotLeads[piece]++
		default:
			gotParts = append(gotParts, b.Of)
		}
	}
	slices.Sort(gotParts)
	if fmt.Sprint(gotLeads) != fmt.Sprint(leads) || !slices.Equal(gotParts, parts) {
		t.Errorf("%s: marks on leads %v and parts %q, want %v and %q", name, gotLeads, gotParts, leads, parts)
	}
	if n := bytes.Count(d.SVG, []byte(`class="d-revision"`)); n != len(gotParts)+signs+sum(gotLeads) {
		t.Errorf("%s: %d triangles drawn, %d kept account of", name, n, len(gotParts)+signs+sum(gotLeads))
	}
	gotOut := map[string]int{}
	old, _ := before.CutList(0)
	texts := map[string]bool{}
	for _, b := range d.Boxes {
		if b.Ink == Wire && strings.HasSuffix(b.Of, " out") && !texts[b.Of] {
			texts[b.Of] = true
			for i, w := range old {
				if w.Label+" out" == b.Of {
					gotOut[pieceOf(before.Leads[i])]++
				}
			}
		}
	}
	if fmt.Sprint(gotOut) != fmt.Sprint(out) {
		t.Errorf("%s: taken out %v, want %v", name, gotOut, out)
	}
	if n := bytes.Count(d.SVG, []byte(`class="d-part d-out"`)); n < goneParts {
		t.Errorf("%s: %d parts drawn as going, want %d", name, n, goneParts)
	}
	if again := Change(Issue{now, "7"}, Issue{before, "6"}, o); !bytes.Equal(again.SVG, d.SVG) {
		t.Errorf("%s: drawn twice, two drawings", name)
	}
}

func sum(m map[string]int) (n int) {
	for _, x := range m {
		n += x
	}
	return n
}

// The marks of a drawing of a change are the difference of its two circuits, whatever they are, and no text lies on anything.
func TestChangeMarksWhatDiffers(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 3))
	marks, outs := 0, 0
	for n := range 150 {
		data := make([]byte, 80+r.IntN(300))
		for i := range data {
			data[i] = byte(r.UintN(256))
		}
		d := dice(data)
		before := invented(&d)
		now := altered(&d, before)
		if n%5 == 0 {
			now = invented(&d)
		}
		leads, parts, out, _ := wanted(&now, &before)
		marks, outs = marks+len(parts)+sum(leads), outs+sum(out)
		for _, o := range []Options{{}, {Tall: true, Standalone: true}, {Lettering: Numbers}, {Paper: A4, Monochrome: true}} {
			checkChange(t, fmt.Sprintf("pair %d %+v", n, o), &now, &before, o)
		}
		if t.Failed() {
			break
		}
	}
	if marks < 150 || outs < 50 {
		t.Errorf("%d marks and %d leads taken out: the pairs differ too little", marks, outs)
	}
}

// The worked circuits against each other, and each against itself.
func TestChangeOfWorkedCircuits(t *testing.T) {
	all := drawn(t)
	for i := range all {
		before := &all[(i+1)%len(all)].Circuit
		checkChange(t, all[i].Name, &all[i].Circuit, before, Options{Standalone: true})
		same := Change(Issue{&all[i].Circuit, "2"}, Issue{&all[i].Circuit, "1"}, Options{})
		if bytes.Contains(same.SVG, []byte("d-revision\"")) || !strings.Contains(same.Description, "Nothing changes") {
			t.Errorf("%s against itself: %s", all[i].Name, same.Description)
		}
	}
}

// What changed is said in words as well, with the number of the issue.
func TestChangeSaysWhatItShows(t *testing.T) {
	before := &circuit.Circuit{Parts: []circuit.Part{{Name: "battery", Kind: circuit.Pack, Nominal: 24}, {Name: "main fuse", Kind: circuit.Fuse, Ratings: circuit.Ratings{Current: 30}}, {Name: "headlamp", Kind: circuit.Lamp, Nominal: 24}},
		Leads: []circuit.Lead{{From: circuit.Terminal{Part: "battery", Name: "+"}, To: circuit.Terminal{Part: "main fuse", Name: "in"}, Size: circuit.Metric(4), Colour: "red"},
			{From: circuit.Terminal{Part: "main fuse", Name: "out"}, To: circuit.Terminal{Part: "headlamp", Name: "1"}, Colour: "red"},
			{From: circuit.Terminal{Part: "headlamp", Name: "2"}, To: circuit.Terminal{Part: "battery", Name: "-"}, Colour: "black"}}}
	now := &circuit.Circuit{Parts: slices.Clone(before.Parts), Leads: slices.Clone(before.Leads)}
	now.Parts[1].Current = 40
	now.Parts[2].Kind = circuit.Horn
	now.Leads[0].Size = circuit.Metric(6)
	d := Change(Issue{now, "3"}, Issue{before, "2"}, Options{})
	for _, want := range []string{"What issue 3 changes of issue 2.", "Leads to take out: W1 battery + to main fuse in, 4 mm², red.", "Parts that go: headlamp, lamp, 24 V.", "Parts that come: headlamp, horn, 24 V.",
		"Parts of other values: main fuse, fuse, 40 A instead of 30 A.", "Leads to make up: W1 battery + to main fuse in, 6 mm², red.", "2 leads stay."} {
		if !strings.Contains(d.Description, want) {
			t.Errorf("not said: %s\n%s", want, d.Description)
		}
		if want != "What issue 3 changes of issue 2." && !slices.ContainsFunc(d.Legend, func(l LegendLine) bool { return l.Words == want }) {
			t.Errorf("not in the list of the drawing: %s", want)
		}
	}
	if !slices.ContainsFunc(d.Boxes, func(b Box) bool { return b.Ink == Symbol && b.Of == "headlamp, before" }) {
		t.Error("the lamp that goes is not drawn beside the horn of its name")
	}
}
