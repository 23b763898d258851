package circuit

import (
	"slices"
	"strings"

	"voltwright/internal/finding"
)

// Fault is something in the spec of a circuit that is written wrong.
type Fault struct {
	Rule    string  // the name of its Doc
	Subject Subject // what it concerns
	Text    string  // one sentence
	Nearest string  // the known name that is nearest to an unknown one; "" if none is near
	Remedy  string
}

// Subject is the part or the lead that something is about.
type Subject struct {
	Part, Lead int    // index; −1 where it is none
	End        int    // of a lead: 0 From, 1 To; −1: the whole
	Terminal   string // of a part; "" the whole
}

func aboutPart(i int, terminal string) Subject { return Subject{i, -1, -1, terminal} }
func aboutLead(i, end int) Subject             { return Subject{-1, i, end, ""} }

// Check finds names, terminals and leads that do not fit together. A circuit
// without a fault can be solved and judged. Every part has a name and a kind that
// is known: who reads a circuit sees to that.
func (c *Circuit) Check() []Fault {
	var faults []Fault
	add := func(f Fault) { faults = append(faults, f) }
	named := map[string]int{}
	for i := range c.Parts {
		p := &c.Parts[i]
		if _, twice := named[p.Name]; twice {
			add(Fault{Rule: "name-used-twice", Subject: aboutPart(i, ""), Text: "two parts are called “" + p.Name + "”", Remedy: "give each part a name of its own."})
			continue
		}
		named[p.Name] = i
	}
	ends := map[Terminal][]int{} // leads at each terminal
	for i := range c.Leads {
		l := &c.Leads[i]
		sound := true
		for end, t := range [2]Terminal{l.From, l.To} {
			if f, bad := c.checkEnd(t, named); bad {
				f.Subject = aboutLead(i, end)
				add(f)
				sound = false
			} else if l.From != l.To {
				ends[t] = append(ends[t], i)
			}
		}
		if sound && l.From == l.To {
			add(Fault{Rule: "lead-to-nowhere", Subject: aboutLead(i, 1), Text: "the lead comes back to where it starts, " + l.From.String(), Remedy: "name the terminal at its other end."})
		}
	}
	readable := len(faults) == 0
	for i := range c.Parts {
		if first, known := named[c.Parts[i].Name]; known && first == i {
			faults = append(faults, c.checkTerminals(i, ends, readable)...)
		}
	}
	if readable {
		if reversed := c.reversed(); len(reversed) > 0 {
			return append(faults, reversed...)
		}
		faults = append(faults, c.misplaced()...)
	}
	return faults
}

// checkEnd looks for the terminal that a lead names.
func (c *Circuit) checkEnd(t Terminal, named map[string]int) (Fault, bool) {
	if i, known := named[t.Part]; known && t.Name == "" {
		return Fault{Rule: "lead-to-nowhere", Text: "the lead names “" + t.Part + "” and none of its terminals", Remedy: "write " + t.Part + ":" + strings.Join(c.terminalNames(i), ", or "+t.Part+":") + "."}, true
	}
	if t.Part == "" || t.Name == "" {
		return Fault{Rule: "lead-to-nowhere", Text: "one end of the lead names no terminal", Remedy: "write part:terminal, such as fuse:in."}, true
	}
	i, known := named[t.Part]
	if !known {
		var names []string
		for j := range c.Parts {
			if name := c.Parts[j].Name; name != "" && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
		return Fault{Rule: "unknown-part", Text: "no part is called “" + t.Part + "”", Nearest: near(t.Part, names), Remedy: "write one of " + strings.Join(names, ", ") + ", or add the part."}, true
	}
	names := c.terminalNames(i)
	if slices.Contains(names, t.Name) {
		return Fault{}, false
	}
	return Fault{Rule: "unknown-terminal", Text: "“" + t.Part + "” has no terminal “" + t.Name + "”", Nearest: near(t.Name, names), Remedy: "write one of " + strings.Join(names, ", ") + "."}, true
}

func (c *Circuit) terminalNames(part int) []string {
	var names []string
	for _, spec := range c.Parts[part].Terminals() {
		names = append(names, spec.Name)
	}
	return names
}

// checkTerminals finds terminals with too many leads and, where every lead could
// be placed, those with none: the lead that is missing may be one that is not.
func (c *Circuit) checkTerminals(i int, ends map[Terminal][]int, placed bool) []Fault {
	p := &c.Parts[i]
	var faults []Fault
	used := 0
	terminals := p.Terminals()
	for _, spec := range terminals {
		n := len(ends[Terminal{p.Name, spec.Name}])
		used += min(n, 1)
		if n > spec.Takes {
			remedy := "join them at a terminal block, and take one lead on from there."
			if p.Kind == TerminalBlock {
				remedy = "use another way of the block."
			}
			faults = append(faults, Fault{Rule: "terminal-crowded", Subject: aboutPart(i, spec.Name),
				Text: countText(n, "lead") + " end at " + p.Name + ":" + spec.Name + ", which takes " + countText(spec.Takes, "lead"), Remedy: remedy})
		}
	}
	if !placed {
		return faults
	}
	if used == 0 {
		return append(faults, Fault{Rule: "part-not-wired", Subject: aboutPart(i, ""), Text: "no lead goes to “" + p.Name + "”", Remedy: "wire it, or list it under the parts that are not."})
	}
	if p.Kind == TerminalBlock {
		if used < 2 {
			faults = append(faults, Fault{Rule: "terminal-floating", Subject: aboutPart(i, ""), Text: "only one way of “" + p.Name + "” is used, so the block joins nothing", Remedy: "take the lead straight on to where it goes, or add the one that is missing."})
		}
		return faults
	}
	has := func(name string) bool { return len(ends[Terminal{p.Name, name}]) > 0 }
	for _, spec := range terminals {
		if has(spec.Name) || c.mayStayFree(p, spec.Name, has) {
			continue
		}
		faults = append(faults, Fault{Rule: "terminal-floating", Subject: aboutPart(i, spec.Name), Text: "no lead goes to " + p.Name + ":" + spec.Name, Remedy: "add the lead that is missing; a part with one end in the air does nothing."})
	}
	return faults
}

// mayStayFree tells whether a terminal without a lead is as it should be: one
// way of a changeover, a pole that is not used at all, a coil that another
// drawing shows, the end of a cell; the negative of a socket
// or cutout never.
func (c *Circuit) mayStayFree(p *Part, name string, has func(string) bool) bool {
	if strings.HasPrefix(name, "coil") {
		return p.Coil == 0 && !has("coil+") && !has("coil-")
	}
	if p.Kind == Pack && name != "+" && name != "-" {
		return true // an end of a cell that is brought out and not used
	}
	for _, way := range p.polesAt(Usual) {
		if way.from != name && way.to != name {
			continue
		}
		other := way.from
		if other == name {
			other = way.to
		}
		if p.Kind == Cutout {
			// A module that switches the positive may take its negative at one side only.
			return name == "out-" && has("in-")
		}
		if p.changeover() && name != way.from {
			pole := strings.TrimRight(name, "ab")
			return has(pole+"a") || has(pole+"b") || !has(way.from)
		}
		if p.changeover() {
			return !has(strings.TrimRight(way.to, "ab")+"a") && !has(strings.TrimRight(way.to, "ab")+"b")
		}
		return !has(other) && (p.Kind == Connector || p.poles() > 1)
	}
	return false
}

var smallNumbers = []string{"no", "one", "two", "three", "four", "five", "six"}

func countText(n int, what string) string {
	word := "many"
	if n < len(smallNumbers) {
		word = smallNumbers[n]
	}
	if n == 1 {
		return word + " " + what
	}
	return word + " " + what + "s"
}

// near is the known name that is nearest to one that is not known, or "".
func near(word string, known []string) string {
	found, _ := finding.Nearest(word, known)
	return found
}
