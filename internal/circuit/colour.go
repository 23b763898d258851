package circuit

import (
	"cmp"
	"slices"
)

// Colours are the words and letter codes for the colours of leads. Source: IEC
// 60757, from memory.
var Colours = []struct{ Word, Code string }{
	{"black", "BK"}, {"brown", "BN"}, {"red", "RD"}, {"orange", "OG"}, {"yellow", "YE"}, {"green", "GN"}, {"blue", "BU"},
	{"violet", "VT"}, {"grey", "GY"}, {"white", "WH"}, {"pink", "PK"}, {"turquoise", "TQ"},
}

// ColourCode is the code of a lead's colour and stripe: "RD", "RDBK". A word that
// is not in Colours gives "" and false.
func ColourCode(colour, stripe string) (code string, ok bool) {
	for _, word := range []string{colour, stripe} {
		found := word == "" && code != ""
		for _, c := range Colours {
			if c.Word == word {
				code += c.Code
				found = true
			}
		}
		if !found {
			return "", false
		}
	}
	return code, true
}

// sideOf tells on which side of the packs a lead is.
func (c *Circuit) sideOf(at potentials, n *nets, lead int) Polarity {
	node, known := n.nodes.at[c.Leads[lead].From]
	if !known {
		return Either
	}
	net := n.root(node)
	volts, known := at.volts[net]
	switch { // a network without a voltage has no sides
	case known && volts < unlike*at.high[net]:
		return Negative
	case known && at.high[net]-volts < unlike*at.high[net]:
		return Positive
	}
	return Either
}

// PositiveColour is the colour of most leads on the positive side of the packs,
// and whether it is the usual red; "" if none states one. Of two that as many
// leads have it is the one that goes to a pack's +, else red, else the one whose
// lead stands first. A drawing keeps an unusual colour and says so in its legend.
func (c *Circuit) PositiveColour() (colour string, usualOne bool) {
	n := c.nets(usual, passing)
	return c.positiveColour(c.potentials(n, sourceOf), n)
}

func (c *Circuit) positiveColour(at potentials, n *nets) (string, bool) {
	type tally struct{ leads, atPack, red, first int }
	count := map[string]tally{}
	for i := range c.Leads {
		l := &c.Leads[i]
		if l.Colour == "" || c.sideOf(at, n, i) != Positive {
			continue
		}
		t, seen := count[l.Colour]
		if !seen {
			t.first = -i
		}
		t.leads++
		if l.Colour == usualPositive {
			t.red = 1
		}
		for _, end := range [2]Terminal{l.From, l.To} {
			if end.Name == "+" && slices.ContainsFunc(c.Parts, func(p Part) bool { return p.Kind == Pack && p.Name == end.Part }) {
				t.atPack++
			}
		}
		count[l.Colour] = t
	}
	best := ""
	for colour, t := range count { // no two have their first lead in one place
		b, any := count[best]
		if order := cmp.Or(cmp.Compare(t.leads, b.leads), cmp.Compare(t.atPack, b.atPack), cmp.Compare(t.red, b.red), cmp.Compare(t.first, b.first)); !any || order > 0 {
			best = colour
		}
	}
	return best, best == usualPositive
}

// usualPositive is the colour that positive mostly has. Common practice, no source.
const usualPositive = "red"

// colours judges that one colour is positive throughout, and only positive. Each
// lead that departs is told; where none does, the first positive lead stands for
// them.
func (j *judge) colours() {
	colour, usualOne := j.c.positiveColour(j.at, j.nets)
	var first *Verdict
	departs := false
	for i := range j.c.Leads {
		l := &j.c.Leads[i]
		side := j.c.sideOf(j.at, j.nets, i)
		if side == Either || j.c.balances(i) {
			continue
		}
		v := Verdict{Rule: PositiveColour, Subject: aboutLead(i, -1), OK: true, Quoted: Quoted{practice, Practice}}
		switch {
		case l.Colour == "":
			j.give(v, unjudged("the colour of the lead is not stated"))
			departs = true
		case side == Positive && l.Colour != colour:
			v.OK, v.Detail = false, "positive is "+colour+" elsewhere, and "+l.Colour+" here"
			v.Remedy = "use one colour for positive throughout, or explain it in the legend."
		case side == Negative && l.Colour == colour:
			v.OK, v.Detail = false, "negative, in the colour that positive has: "+colour
			v.Remedy = "use another colour for negative."
		case side == Positive && !usualOne:
			v.Detail = "positive is " + colour + ", not red; a legend has to say so"
		}
		if !v.OK {
			departs = true
			j.give(v, nil)
		} else if first == nil && side == Positive {
			first = &v
		}
	}
	if first != nil && !departs {
		j.give(*first, nil)
	}
}
