package diagram

import (
	"cmp"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// Issue is a circuit with the number under which it was issued.
type Issue struct {
	*circuit.Circuit
	Number string
}

// fate is what a change does to a part or a lead.
type fate uint8

const (
	stays  fate = iota
	marked      // new, or with other values
	gone
)

// change is what a drawing of a change shows beside the circuit: each part and lead by what becomes of it.
type change struct {
	mark  string // in the triangles: the number of the later issue
	parts []fate
	leads []fate
}

// Change draws what an issue of a circuit changes of the one before: parts and leads that are new or have other values carry a
// triangle with the issue's number, those that go are dashed and pale, and a list says each of them in words. A mark in a triangle near
// the change, the same triangle in the list: Engineering Aid Basic, page 3-15, revision block, read in an excerpt (it has letters;
// the number is our own choice). Dashes for what goes: common practice, no source. No currents are written; contacts are drawn open.
func Change(now, before Issue, o Options) Drawing {
	var shared plans
	d := drawChange(now, before, o, &shared)
	if o.Paper != NoPaper && o.Lettering == InFull && d.CapHeight < LeastLettering {
		o.Lettering = Numbers
		if short := drawChange(now, before, o, &shared); short.CapHeight > d.CapHeight {
			return short
		}
	}
	return d
}

func drawChange(now, before Issue, o Options, shared *plans) Drawing {
	since := now.Since(before.Circuit)
	both, ch := merged(now.Circuit, before.Circuit, since)
	ch.mark = clean(now.Number)
	s := shared.layChange(both, ch, o)
	for i := range both.Leads {
		l := &both.Leads[i]
		if o.Lettering == Numbers {
			s.labels[i] = [2]string{clean(s.whips[i].Label), s.code(i)}
			continue
		}
		s.labels[i] = [2]string{s.number(i), ""}
		if l.Size.Area > 0 {
			s.labels[i][0] += " " + l.Size.String()
		}
		if l.Length > 0 {
			s.labels[i][1] = quantity.Brief(l.Length)
		}
	}
	s.position = contactsOpen
	s.title = cmp.Or(o.Title, "What issue "+ch.mark+" changes of issue "+clean(before.Number))
	words := s.changeWords(now.Circuit, before.Circuit, since)
	s.legend = append(s.changeSigns(), append(s.coloursUsed(), s.aboutColours()...)...)
	for _, w := range words {
		s.legend = append(s.legend, LegendLine{Words: w})
	}
	return s.finish(s.title + ". " + strings.Join(words, " "))
}

// merged is the later circuit with what was taken out of the earlier one beside it. What goes has a name of its own where the later
// circuit has its name too, and its leads are labelled as they were, with the word out.
func merged(now, before *circuit.Circuit, r circuit.Revision) (*circuit.Circuit, *change) {
	both := &circuit.Circuit{Parts: append([]circuit.Part(nil), now.Parts...)}
	ch := &change{parts: make([]fate, len(now.Parts))}
	for _, i := range r.NewParts {
		ch.parts[i] = marked
	}
	for _, i := range r.ChangedParts {
		ch.parts[i] = marked
	}
	taken := map[string]bool{}
	for i := range now.Parts {
		taken[now.Parts[i].Name] = true
	}
	called := map[string]string{} // what goes, by its name in the earlier circuit
	leave := func(p circuit.Part) {
		name := p.Name
		for taken[name] {
			name += ", before"
		}
		called[p.Name], taken[name] = name, true
		p.Name = name
		both.Parts, ch.parts = append(both.Parts, p), append(ch.parts, gone)
	}
	for _, i := range r.GoneParts {
		leave(before.Parts[i])
	}
	for _, p := range fewerTerminals(now, before, r) {
		leave(p)
	}
	put := func(of *circuit.Circuit, which []int, f fate, after string) {
		whips, _ := of.CutList(0)
		for _, i := range which {
			l := of.Leads[i]
			if !hasTerminal(of, l.From) || !hasTerminal(of, l.To) {
				continue
			}
			l.Label = whips[i].Label + after
			if f == gone {
				l.From.Part, l.To.Part = cmp.Or(called[l.From.Part], l.From.Part), cmp.Or(called[l.To.Part], l.To.Part)
			}
			both.Leads, ch.leads = append(both.Leads, l), append(ch.leads, f)
		}
	}
	put(now, r.Keep, stays, "")
	put(now, r.MakeUp, marked, "")
	put(before, r.TakeOut, gone, " out")
	return both, ch
}

// fewerTerminals are the parts, as they were, of which a lead that is taken out ends at a terminal that the part has no more.
func fewerTerminals(now, before *circuit.Circuit, r circuit.Revision) (all []circuit.Part) {
	for _, i := range r.ChangedParts {
		k := slices.IndexFunc(before.Parts, func(p circuit.Part) bool { return p.Name == now.Parts[i].Name })
		left := func(at circuit.Terminal) bool {
			return at.Part == before.Parts[k].Name && hasTerminal(before, at) && !hasTerminal(now, at)
		}
		if slices.ContainsFunc(r.TakeOut, func(lead int) bool { return left(before.Leads[lead].From) || left(before.Leads[lead].To) }) {
			all = append(all, before.Parts[k])
		}
	}
	return all
}

// hasTerminal tells whether a circuit has a terminal.
func hasTerminal(c *circuit.Circuit, at circuit.Terminal) bool {
	k := slices.IndexFunc(c.Parts, func(p circuit.Part) bool { return p.Name == at.Part })
	return k >= 0 && slices.ContainsFunc(c.Parts[k].Terminals(), func(t circuit.TerminalSpec) bool { return t.Name == at.Name })
}

// layChange begins a drawing of a change: what is marked has the room for its mark.
func (p *plans) layChange(c *circuit.Circuit, ch *change, o Options) *sheet {
	at := map[string]fate{}
	for i := range c.Parts {
		at[c.Parts[i].Name] = ch.parts[i]
	}
	s := p.layWith(c, o, func(f *figure) {
		switch at[c.Parts[f.part].Name] {
		case marked:
			f.mark = markHigh + 2
		case gone:
			f.rating = append(f.rating, "out")
		}
	})
	s.change = ch
	return s
}

// changeSigns are the lines of the legend that say what the signs mean.
func (s *sheet) changeSigns() (lines []LegendLine) {
	has := func(f fate) bool {
		for _, all := range [][]fate{s.change.parts, s.change.leads} {
			for _, x := range all {
				if x == f {
					return true
				}
			}
		}
		return false
	}
	if has(marked) {
		lines = append(lines, LegendLine{Sign: RevisionSign, Words: "new, or of other values"})
	}
	if has(gone) {
		lines = append(lines, LegendLine{Sign: OutSign, Words: "taken out"})
	}
	return lines
}

// changeWords lists in sentences what changes, one for each kind of change.
func (s *sheet) changeWords(now, before *circuit.Circuit, r circuit.Revision) (words []string) {
	say := func(what string, items []string) {
		if len(items) > 0 {
			words = append(words, what+": "+strings.Join(items, "; ")+".")
		}
	}
	lead := func(c *circuit.Circuit, which []int) (all []string) {
		whips, _ := c.CutList(0)
		for _, i := range which {
			l := &c.Leads[i]
			text := clean(whips[i].Label) + " " + spoken(l.From) + " to " + spoken(l.To)
			if l.Size.Area > 0 {
				text += ", " + l.Size.String()
			}
			if colour := colourWords(l.Colour, l.Stripe); colour != "" {
				text += ", " + colour
			}
			all = append(all, text)
		}
		return all
	}
	part := func(c *circuit.Circuit, which []int) (all []string) {
		for _, i := range which {
			all = append(all, partWords(&c.Parts[i]))
		}
		return all
	}
	var others []string
	for _, i := range r.ChangedParts {
		text := partWords(&now.Parts[i])
		for k := range before.Parts {
			if p := &before.Parts[k]; p.Name == now.Parts[i].Name {
				if was := strings.Join(ratingOf(p), ""); was != "" && was != strings.Join(ratingOf(&now.Parts[i]), "") {
					text += " instead of " + was
				}
				break
			}
		}
		others = append(others, text)
	}
	say("Leads to take out", lead(before, r.TakeOut))
	say("Parts that go", part(before, r.GoneParts))
	say("Parts that come", part(now, r.NewParts))
	say("Parts of other values", others)
	say("Leads to make up", lead(now, r.MakeUp))
	if r.Empty() {
		return []string{"Nothing changes: every part and lead is as it was."}
	}
	return append(words, counted(len(r.Keep), "lead")+" "+map[bool]string{true: "stays.", false: "stay."}[len(r.Keep) == 1])
}

// partWords is a part with its kind and what it stands.
func partWords(p *circuit.Part) string {
	words := []string{clean(p.Name)}
	if kind := kindWords(p); !strings.EqualFold(kind, p.Name) {
		words = append(words, kind)
	}
	return strings.Join(append(words, ratingOf(p)...), ", ")
}
