package diagram

import (
	"slices"
	"strings"

	"voltwright/internal/circuit"
)

// Classes of leads by their state: what is live is marked by a flash and a word
// and has a heavy line, what is dead is pale and has neither.
const (
	hotLead    = "d-hot"
	returnLead = "d-return"
	fedLead    = "d-fed"
	coldLead   = "d-cold"
)

// Live draws the circuit with a part opened: what is still joined to the + of a
// pack, the return to its −, and what is dead.
func Live(c *circuit.Circuit, live circuit.Live, o Options) Drawing {
	var shared plans
	d := drawLive(c, live, o, &shared)
	if o.Paper != NoPaper && o.Lettering == InFull && d.CapHeight < LeastLettering {
		o.Lettering = Numbers
		if short := drawLive(c, live, o, &shared); short.CapHeight > d.CapHeight {
			return short
		}
	}
	return d
}

func drawLive(c *circuit.Circuit, live circuit.Live, o Options, shared *plans) Drawing {
	remarks := map[string]string{}
	for _, part := range live.Fed {
		if part >= 0 && part < len(c.Parts) {
			remarks[c.Parts[part].Name] = "can still run"
		}
	}
	opened := ""
	if live.Opened >= 0 && live.Opened < len(c.Parts) {
		opened = c.Parts[live.Opened].Name
		remarks[opened] = "open"
	}
	s := shared.lay(c, o, remarks)
	s.position = func(p *circuit.Part) circuit.Position {
		if p.Name == opened {
			return circuit.Opened
		}
		return circuit.Usual
	}
	s.hot = map[circuit.Terminal]bool{}
	for _, t := range live.Terminals {
		s.hot[t] = true
	}
	s.state = make([]string, len(c.Leads))
	fed := s.fed(live, opened)
	for i := range c.Leads {
		word := "dead"
		s.state[i] = coldLead
		switch {
		case fed[i] && !slices.Contains(live.Leads, i) && !s.net.low[c.Leads[i].From]:
			s.state[i], word = fedLead, "fed"
		case slices.Contains(live.Leads, i):
			s.state[i], word = hotLead, "live"
		case s.net.low[c.Leads[i].From]:
			s.state[i], word = returnLead, "return"
		}
		s.labels[i] = [2]string{s.number(i), word}
		if o.Lettering == Numbers {
			s.labels[i][0] = clean(s.whips[i].Label)
		}
	}
	s.title = o.Title
	if s.title == "" {
		s.title = "What stays live with " + clean(opened) + " open"
	}
	words := s.liveWords(live, opened)
	s.legend = s.liveLegend(words)
	return s.finish(strings.Join(words, " "))
}

// fed finds the leads at a load, coil or controller that a current can still go
// through, and what hangs together with them by closed contacts.
func (s *sheet) fed(live circuit.Live, opened string) []bool {
	c := s.net.c
	warm := map[circuit.Terminal]bool{}
	for _, part := range live.Fed {
		if part >= 0 && part < len(c.Parts) {
			for _, t := range c.Parts[part].Terminals() {
				if c.Parts[part].Coil == 0 || strings.HasPrefix(t.Name, "coil") {
					warm[s.net.at(part, t.Name)] = true
				}
			}
		}
	}
	leads := make([]bool, len(c.Leads))
	for grew := true; grew; {
		grew = false
		spread := func(a, b circuit.Terminal) bool {
			if !warm[a] && !warm[b] {
				return false
			}
			if !warm[a] || !warm[b] {
				grew = true
			}
			warm[a], warm[b] = true, true
			return true
		}
		for i := range c.Leads {
			if l := &c.Leads[i]; s.net.leads[i] && !s.hot[l.From] && !s.net.low[l.From] {
				leads[i] = spread(l.From, l.To)
			}
		}
		for i := range c.Parts {
			if c.Parts[i].Name == opened {
				continue
			}
			for _, way := range through(&c.Parts[i]) {
				if a, b := s.net.at(i, way[0]), s.net.at(i, way[1]); !s.hot[a] && !s.net.low[a] {
					spread(a, b)
				}
			}
		}
	}
	return leads
}

func (s *sheet) liveLegend(words []string) []LegendLine {
	lines := append(s.coloursUsed(), s.aboutColours()...)
	marks := "Live: heavy line and filled terminals. Return: joined to the − of a pack. Dead: pale."
	if slices.Contains(s.state, fedLead) {
		marks = strings.Replace(marks, "Dead", "Fed: by a part that can still run. Dead", 1)
	}
	for _, w := range append(words, marks) {
		lines = append(lines, LegendLine{Words: w})
	}
	return lines
}

// liveWords says in sentences what is live.
func (s *sheet) liveWords(live circuit.Live, opened string) []string {
	name := func(parts []int) (names []string) {
		for _, p := range parts {
			if p >= 0 && p < len(s.net.c.Parts) {
				names = append(names, clean(s.net.c.Parts[p].Name))
			}
		}
		return names
	}
	var words, terminals, leads, back []string
	for _, t := range live.Terminals {
		terminals = append(terminals, spoken(t))
	}
	for i := range s.state {
		switch {
		case !s.net.leads[i]:
		case s.state[i] == hotLead:
			leads = append(leads, clean(s.whips[i].Label))
		case s.state[i] == returnLead:
			back = append(back, clean(s.whips[i].Label))
		}
	}
	when := "With " + clean(opened) + " open"
	if len(terminals) == 0 {
		words = append(words, when+", nothing is joined to the + of a pack.")
	} else {
		words = append(words, when+", these terminals stay live: "+list(terminals)+".")
	}
	if len(leads) > 0 {
		words = append(words, "Live leads: "+list(leads)+".")
	}
	if len(back) > 0 {
		words = append(words, "Leads of the return: "+list(back)+".")
	}
	if fed := name(live.Fed); len(fed) > 0 {
		words = append(words, "A current can still go through "+list(fed)+".")
	} else {
		words = append(words, "No load can draw a current.")
	}
	if len(live.Bypass) > 0 {
		var steps []string
		for _, st := range live.Bypass {
			switch {
			case st.Lead >= 0 && st.Lead < len(s.whips):
				steps = append(steps, clean(s.whips[st.Lead].Label))
			case st.Part >= 0:
				steps = append(steps, name([]int{st.Part})...)
			}
		}
		words = append(words, "There is a way around it: "+list(steps)+".")
	}
	if behind := name(live.FedBehind); len(behind) > 0 {
		words = append(words, "Fed from its far side too, by "+list(behind)+".")
	}
	return words
}
