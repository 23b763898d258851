package wiringsheet

import (
	"fmt"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// RevisionView is what the wiring of a version changes of the wiring of the version before.
type RevisionView struct {
	Since  frame.Link
	Groups []revisionGroup
	Face   string
}

// revisionGroup is one list: what to take out, to make up, to keep.
type revisionGroup struct {
	Words string
	Items []string
}

// revised compares the wiring of a version with that of the version before; nil where one of the two has none.
func revised(rd *reading.Reader, v *journal.Version) (now, before *wiring.Analysis, r circuit.Revision) {
	if v.Before == nil || v.Before.Vehicle != v.Vehicle {
		return nil, nil, r
	}
	if now, before = rd.Wired(v), rd.Wired(v.Before); now == nil || before == nil {
		return nil, nil, r
	}
	return now, before, now.Circuit.Since(before.Circuit)
}

// Revision is what the wiring of a version changes; nil where it or the version before has none.
func Revision(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *RevisionView {
	now, before, r := revised(rd, v)
	if now == nil {
		return nil
	}
	view := &RevisionView{Since: linkBefore(s, v), Face: revisionFace(r)}
	parts := func(c *circuit.Circuit, which []int) (all []string) {
		for _, i := range which {
			all = append(all, numeral.OnPage(c.Parts[i].Name+", "+strings.ReplaceAll(string(c.Parts[i].Kind), "-", " ")))
		}
		return all
	}
	leads := func(of *circuit.Circuit, labels []circuit.Whip, which []int) (all []string) {
		for _, i := range which {
			l := &of.Leads[i]
			words := []string{labels[i].Label + ", " + OnTerminal(l.From) + " to " + OnTerminal(l.To)}
			if l.Size.Area > 0 {
				words = append(words, l.Size.String())
			}
			if l.Colour != "" {
				words = append(words, l.Colour)
			}
			all = append(all, numeral.OnPage(strings.Join(words, ", ")))
		}
		return all
	}
	for _, g := range []revisionGroup{
		{"Leads to take out", leads(before.Circuit, before.Whips, r.TakeOut)}, {"Parts that go", parts(before.Circuit, r.GoneParts)},
		{"Parts that come", parts(now.Circuit, r.NewParts)}, {"Parts of another rating", parts(now.Circuit, r.ChangedParts)},
		{"Leads to make up", leads(now.Circuit, now.Whips, r.MakeUp)}, {"Leads that stay", leads(now.Circuit, now.Whips, r.Keep)},
	} {
		if len(g.Items) > 0 {
			view.Groups = append(view.Groups, g)
		}
	}
	return view
}

// linkBefore leads to the version before.
func linkBefore(s *frame.Sheet, v *journal.Version) frame.Link {
	return frame.Link{Words: reading.VersionWords(v.Before), Href: s.To(address.Version(v.Before))}
}

// revisionFace is a revision in a line.
func revisionFace(r circuit.Revision) string {
	if r.Empty() {
		return "Nothing: every part and lead is as it was."
	}
	return fmt.Sprintf("%s to take out, %d to make up, %d stay.", numeral.Count(len(r.TakeOut), "lead"), len(r.MakeUp), len(r.Keep))
}
