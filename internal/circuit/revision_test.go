package circuit

import (
	"reflect"
	"slices"
	"testing"
)

func revised() *Circuit {
	return &Circuit{
		Parts: []Part{{Name: "battery", Kind: Pack, Nominal: 24}, {Name: "fuse", Kind: Fuse, Ratings: Ratings{Current: 30}}, {Name: "lamp", Kind: Lamp, Nominal: 24}},
		Leads: []Lead{
			{From: Terminal{"battery", "+"}, To: Terminal{"fuse", "in"}, Size: Metric(4), Length: 0.1, Colour: "red", EndA: End{Ring, "M6"}, EndB: End{Crimp, ""}},
			{From: Terminal{"fuse", "out"}, To: Terminal{"lamp", "1"}, Size: Metric(1.5), Length: 0.4, Colour: "red"},
			{From: Terminal{"lamp", "2"}, To: Terminal{"battery", "-"}, Size: Metric(1.5), Length: 0.5, Colour: "black"},
		}}
}

func TestSince(t *testing.T) {
	for _, tt := range []struct {
		name   string
		change func(*Circuit)
		want   Revision
	}{
		{"nothing", func(*Circuit) {}, Revision{Keep: []int{0, 1, 2}}},
		{"written from its other end", func(c *Circuit) {
			l := &c.Leads[0]
			l.From, l.To, l.EndA, l.EndB = l.To, l.From, l.EndB, l.EndA
		}, Revision{Keep: []int{0, 1, 2}}},
		{"laid otherwise, and labelled", func(c *Circuit) { c.Leads[1].Bundle, c.Leads[1].Label = 3, "L1" }, Revision{Keep: []int{0, 1, 2}}},
		{"its ends changed over", func(c *Circuit) { c.Leads[0].EndA, c.Leads[0].EndB = c.Leads[0].EndB, c.Leads[0].EndA }, Revision{Keep: []int{1, 2}, MakeUp: []int{0}, TakeOut: []int{0}}},
		{"a thicker lead", func(c *Circuit) { c.Leads[1].Size = Metric(2.5) }, Revision{Keep: []int{0, 2}, MakeUp: []int{1}, TakeOut: []int{1}}},
		{"a shorter lead", func(c *Circuit) { c.Leads[2].Length = 0.4 }, Revision{Keep: []int{0, 1}, MakeUp: []int{2}, TakeOut: []int{2}}},
		{"a greater fuse", func(c *Circuit) { c.Parts[1].Current = 40 }, Revision{Keep: []int{0, 1, 2}, ChangedParts: []int{1}}},
		{"a horn for the lamp", func(c *Circuit) { c.Parts[2].Kind = Horn }, Revision{Keep: []int{0, 1, 2}, NewParts: []int{2}, GoneParts: []int{2}}},
		{"the lamp moved behind a switch", func(c *Circuit) {
			c.Parts = append(c.Parts, Part{Name: "switch", Kind: Switch})
			c.Leads[1].To = Terminal{"switch", "in"}
			c.Leads = append(c.Leads, Lead{From: Terminal{"switch", "out"}, To: Terminal{"lamp", "1"}, Size: Metric(1.5), Length: 0.4, Colour: "red"})
		}, Revision{Keep: []int{0, 2}, NewParts: []int{3}, MakeUp: []int{1, 3}, TakeOut: []int{1}}},
		{"no lamp", func(c *Circuit) { c.Parts, c.Leads = c.Parts[:2], c.Leads[:1] }, Revision{Keep: []int{0}, GoneParts: []int{2}, TakeOut: []int{1, 2}}},
	} {
		now := revised()
		tt.change(now)
		got := now.Since(revised())
		if !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%s: %+v, want %+v", tt.name, got, tt.want)
		}
		if back := revised().Since(now); len(back.TakeOut) != len(got.MakeUp) || len(back.MakeUp) != len(got.TakeOut) || len(back.Keep) != len(got.Keep) {
			t.Errorf("%s: back again %+v", tt.name, back)
		}
		if got.Empty() != (len(tt.want.Keep) == 3 && len(tt.want.NewParts)+len(tt.want.ChangedParts) == 0) {
			t.Errorf("%s: empty is %v", tt.name, got.Empty())
		}
	}
	twice := revised()
	twice.Leads = append(twice.Leads, twice.Leads[0])
	if got := twice.Since(revised()); !slices.Equal(got.MakeUp, []int{3}) || len(got.TakeOut) != 0 {
		t.Errorf("a second lead of the same make beside the first: %+v", got)
	}
}
