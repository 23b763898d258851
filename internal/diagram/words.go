package diagram

import (
	"strconv"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// spoken is a terminal as it is said: "battery +".
func spoken(t circuit.Terminal) string { return clean(t.Part) + " " + clean(t.Name) }

// colourWords is the colour of a lead in words.
func colourWords(colour, stripe string) string {
	switch {
	case colour == "":
		return ""
	case stripe == "":
		return clean(colour)
	}
	return clean(colour) + " with a " + clean(stripe) + " stripe"
}

// list joins words as a sentence does.
func list(items []string) string {
	switch len(items) {
	case 0:
		return ""
	case 1:
		return items[0]
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

// coloursUsed are the legend lines of the colours, in the order of their first
// use.
func (s *sheet) coloursUsed() []LegendLine {
	var lines []LegendLine
	seen := map[[2]string]bool{}
	for i := range s.net.c.Leads {
		l := &s.net.c.Leads[i]
		if !s.net.leads[i] || l.Colour == "" || seen[[2]string{l.Colour, l.Stripe}] {
			continue
		}
		seen[[2]string{l.Colour, l.Stripe}] = true
		code, _ := circuit.ColourCode(l.Colour, l.Stripe)
		lines = append(lines, LegendLine{Colour: l.Colour, Stripe: l.Stripe, Code: code, Words: colourWords(l.Colour, l.Stripe)})
	}
	return lines
}

// aboutColours are the remarks on colours.
func (s *sheet) aboutColours() []LegendLine {
	var lines []LegendLine
	if colour, usual := s.net.c.PositiveColour(); colour != "" && !usual && s.atPlus(colour) && !s.atPlus("red") {
		lines = append(lines, LegendLine{Words: "Positive is " + clean(colour) + " in this vehicle, not red."})
	}
	for i := range s.net.c.Leads {
		if s.net.leads[i] && s.net.c.Leads[i].Colour == "" {
			return append(lines, LegendLine{Words: "A lead without letters: its colour is not stated."})
		}
	}
	return lines
}

// atPlus tells whether a lead of a colour ends at the + of a pack.
func (s *sheet) atPlus(colour string) bool {
	for i := range s.net.c.Leads {
		l := &s.net.c.Leads[i]
		for _, t := range []circuit.Terminal{l.From, l.To} {
			if s.net.leads[i] && l.Colour == colour && t.Name == "+" && s.net.c.Parts[s.net.index[t.Part]].Kind == circuit.Pack {
				return true
			}
		}
	}
	return false
}

func (s *sheet) powerLegend(sol *circuit.Solution) []LegendLine {
	lines := append(s.coloursUsed(), s.aboutColours()...)
	say := func(words string) { lines = append(lines, LegendLine{Words: words}) }
	light, heavy := false, false
	for i := range s.net.c.Leads {
		light = light || s.net.leads[i] && s.net.c.Leads[i].Size.Area < heavyArea
		heavy = heavy || s.net.leads[i] && s.net.c.Leads[i].Size.Area >= heavyArea
	}
	if light && heavy {
		say("Heavy line: " + quantity.Brief(heavyArea) + " or more.")
	}
	if len(s.net.c.Leads) > 1 {
		say("Leads are joined only at terminals, the rings; lines that cross are not joined.")
	}
	switch {
	case sol != nil && s.opt.Lettering == InFull && !s.opt.Tall:
		say("Currents at " + clean(sol.Point.Name) + ", in the direction of the arrows; contacts as they stand then.")
	case sol != nil:
		say("Contacts as they stand at " + clean(sol.Point.Name) + ".")
	case s.hasContacts():
		say("Contacts are drawn open.")
	}
	return lines
}

func (s *sheet) hasContacts() bool {
	for i := range s.net.c.Parts {
		switch s.net.c.Parts[i].Kind {
		case circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Cutout, circuit.EmergencyStop, circuit.Breaker, circuit.ReversingSwitch, circuit.HalfSpeedSwitch:
			return true
		}
	}
	return false
}

// kindWords is a kind of part in words.
func kindWords(p *circuit.Part) string {
	return strings.ReplaceAll(string(p.Kind), "-", " ")
}

// describe tells the way of the power part by part, from the packs on: what each
// is, and where its leads go.
func (s *sheet) describe(sol *circuit.Solution) string {
	var b strings.Builder
	count := 0
	for i := range s.net.leads {
		if s.net.leads[i] {
			count++
		}
	}
	b.WriteString("From the packs at the left to the loads at the right, " + counted(len(s.net.c.Parts), "part") + " and " + counted(count, "lead") + ".")
	s.eachPart(func(i int) {
		p := &s.net.c.Parts[i]
		b.WriteString(" " + clean(p.Name))
		if kind := kindWords(p); !strings.EqualFold(kind, p.Name) {
			b.WriteString(", " + kind)
		}
		for _, r := range ratingOf(p) {
			b.WriteString(", " + r)
		}
		if sol != nil {
			switch sol.Point.Parts[p.Name].Position {
			case circuit.Opened:
				b.WriteString(", open")
			case circuit.OtherWay:
				b.WriteString(", on its way b")
			}
		}
		var ways []string
		for k := range s.net.c.Leads {
			if way := s.wayOf(i, k, sol); way != "" {
				ways = append(ways, way)
			}
		}
		if len(ways) > 0 {
			b.WriteString(": " + strings.Join(ways, "; "))
		}
		b.WriteString(".")
	})
	return b.String()
}

// wayOf tells of a lead at the part that it leaves outwards.
func (s *sheet) wayOf(part, lead int, sol *circuit.Solution) string {
	l := &s.net.c.Leads[lead]
	if !s.net.leads[lead] {
		return ""
	}
	from, to := l.From, l.To
	side, _ := s.net.outward(from, to)
	if side > 0 || side == 0 && s.net.layer[s.net.index[to.Part]] < s.net.layer[s.net.index[from.Part]] {
		from, to = to, from
	}
	if s.net.index[from.Part] != part {
		return ""
	}
	facts := []string{}
	if c := colourWords(l.Colour, l.Stripe); c != "" {
		facts = append(facts, c)
	}
	if l.Size.Area > 0 {
		facts = append(facts, l.Size.String())
	}
	if l.Length > 0 {
		facts = append(facts, quantity.Brief(l.Length))
	}
	if sol != nil {
		amps := float64(sol.Leads[lead].Current)
		if from != l.From {
			amps = -amps
		}
		text := quantity.Brief(rounded(sol.Leads[lead].Current))
		switch sign(amps) {
		case 1:
			text += " outwards"
		case -1:
			text += " back"
		}
		facts = append(facts, text)
	}
	text := clean(from.Name) + " by " + clean(s.whips[lead].Label)
	if len(facts) > 0 {
		text += " (" + strings.Join(facts, ", ") + ")"
	}
	return text + " to " + spoken(to)
}

// eachPart visits the parts from left to right and from the top.
func (s *sheet) eachPart(visit func(part int)) {
	for _, ids := range s.columns {
		for _, id := range ids {
			if f := s.items[id].fig; f != nil {
				visit(f.part)
			}
		}
	}
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}
