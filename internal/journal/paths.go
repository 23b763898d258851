package journal

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// WiringPath is a line of leads as one would say it: from a pack through fuse, switch and cutout to the controller. It is
// written for short; what is read of it are the leads that it stands for (see [loader.writeOut]).
type WiringPath struct {
	Through []notes.Word `key:"through,required"` // parts in the order in which the current meets them, or their terminals

	Lengths    []notes.Value[quantity.Metres]          `key:"lengths"` // of each lead, in order; one holds for all of them
	Size       notes.Value[quantity.SquareMillimetres] `key:"size"`
	Stranding  notes.Choice[Stranding]                 `key:"stranding"`
	Tinned     notes.Flag                              `key:"tinned"`
	Insulation notes.Value[quantity.Celsius]           `key:"insulation"`
	Colour     notes.Choice[LeadColour]                `key:"colour"`
	Stripe     notes.Choice[LeadColour]                `key:"stripe"`
	Ends       LeadEnds                                `key:"ends"`
	Bundle     notes.Integer                           `key:"bundle"`
	Ambient    notes.Value[quantity.Celsius]           `key:"ambient"`
	Sheathed   notes.Flag                              `key:"sheathed"`
}

// circuitText is the wiring of a front matter on the way from paths to leads.
type circuitText struct {
	l       *loader
	parts   *notes.Node               // the list, so that parts that are implied can be added
	known   map[string]circuit.Part   // by name, those that are listed
	implied map[string]circuit.Kind   // by name, those that the rest of the spec states
	strayed bool                      // a path could not be followed
	ways    map[string]map[string]int // of terminal blocks, by part and way: leads that end there
	next    map[string]int            // the last way that was given to a lead, by part
}

// paths turns the paths of a wiring into its leads, and lists the packs, motors, cutout and controller of the spec that paths and
// leads name without listing them. strayed tells that not all could be followed, so that leads are missing.
func (l *loader) paths(front *notes.Node) (strayed bool) {
	wiring, _ := front.Lookup("wiring")
	if wiring == nil || wiring.Kind != notes.Mapping {
		return false
	}
	_, hasParts := wiring.Lookup("parts")
	_, hasLeads := wiring.Lookup("leads")
	paths, hasPaths := wiring.Lookup("paths")
	if !hasLeads && !hasPaths {
		l.add(finding.Error, notes.RuleMissingKey, wiring.Span, "the wiring has neither `leads` nor `paths`", "write what is joined to what: `paths` for lines of leads, `leads` for single ones.")
		return true
	}
	c := &circuitText{l: l, known: map[string]circuit.Part{}, implied: impliedParts(front), ways: map[string]map[string]int{}, next: map[string]int{}}
	c.parts = listOf(wiring, "parts")
	leads := listOf(wiring, "leads")
	if c.parts == nil || leads == nil {
		return true // of another kind, which is told when it is read
	}
	for _, p := range c.parts.Items {
		c.know(p)
	}
	for _, lead := range leads.Items {
		for _, end := range []string{"from", "to"} {
			if t, ok := lead.Lookup(end); ok && t.Kind == notes.Scalar {
				at, _ := circuit.ParseTerminal(t.Text)
				c.imply(at.Part, t.Span)
				c.take(at.Part, at.Name)
			}
		}
	}
	defer func() {
		if !hasParts && len(c.parts.Items) == 0 {
			l.add(finding.Error, notes.RuleMissingKey, wiring.Span, "the key `parts` is missing in `wiring`", "add it: each part with its name and kind. Packs, motors, cutout and controller that the spec states by name need no line.")
		}
	}()
	if paths == nil || paths.Kind != notes.Sequence {
		return false
	}
	var read [][]stop
	for _, p := range paths.Items { // ways that are named are taken before those that are not
		stops := c.stops(p)
		read = append(read, stops)
		for _, s := range stops {
			if s.block {
				c.take(s.part, s.hint)
			}
		}
	}
	for i, p := range paths.Items {
		made := c.leads(p, read[i])
		if len(made) > 0 && !l.room(&notes.Node{Kind: notes.Sequence, Items: made}, p.Span) {
			return true
		}
		leads.Items = append(leads.Items, made...)
	}
	return c.strayed
}

// listOf is the list under a key, made if there is none; nil where something else stands there.
func listOf(n *notes.Node, key string) *notes.Node {
	if list, ok := n.Lookup(key); ok {
		if list == nil || list.Kind != notes.Sequence {
			return nil
		}
		return list
	}
	list := &notes.Node{Kind: notes.Sequence, Span: n.Span}
	n.Keys = append(n.Keys, notes.Key{Name: key, Span: n.Span, Value: list})
	return list
}

// impliedParts are what the spec states by name beside the wiring.
func impliedParts(front *notes.Node) map[string]circuit.Kind {
	out := map[string]circuit.Kind{}
	for _, of := range []struct {
		key, alone string
		kind       circuit.Kind
	}{{"packs", "pack", circuit.Pack}, {"motors", "motor", circuit.Motor}} {
		list, _ := front.Lookup(of.key)
		if list == nil {
			continue
		}
		for _, item := range list.Items {
			if name, ok := item.Lookup("name"); ok && name.Kind == notes.Scalar {
				out[name.Text] = of.kind
			} else if len(list.Items) == 1 {
				out[of.alone] = of.kind
			}
		}
	}
	for name, kind := range map[string]circuit.Kind{"cutout": circuit.Cutout, "controller": circuit.Controller} {
		if value, ok := front.Lookup(name); ok && value.Kind == notes.Mapping {
			out[name] = kind
		}
	}
	return out
}

// know takes up a part that is listed.
func (c *circuitText) know(p *notes.Node) {
	name, ok := p.Lookup("name")
	if !ok || name.Kind != notes.Scalar {
		return
	}
	number := func(key string) int {
		n, ok := p.Lookup(key)
		if !ok || n.Kind != notes.Scalar {
			return 0
		}
		v, err := strconv.Atoi(n.Text)
		if err != nil {
			return 0 // told when it is read
		}
		return max(0, min(v, mostWays))
	}
	part := circuit.Part{Name: name.Text, Poles: number("poles"), Throws: number("throws"), Ways: number("ways")}
	if kind, ok := p.Lookup("kind"); ok {
		part.Kind = circuit.Kind(kind.Text)
	}
	c.known[part.Name] = part
}

// imply lists a part that is named and that the spec states elsewhere.
func (c *circuitText) imply(name string, at finding.Span) {
	kind, stated := c.implied[name]
	if _, listed := c.known[name]; listed || !stated {
		return
	}
	word := func(key, text string) notes.Key {
		return notes.Key{Name: key, Span: at, Value: &notes.Node{Span: at, Kind: notes.Scalar, Text: text}}
	}
	c.known[name] = circuit.Part{Name: name, Kind: kind}
	c.parts.Items = append(c.parts.Items, &notes.Node{Span: at, Kind: notes.Mapping, Keys: []notes.Key{word("name", name), word("kind", string(kind))}})
}

// take counts a lead at a way of a terminal block.
func (c *circuitText) take(part, way string) {
	if c.ways[part] == nil {
		c.ways[part] = map[string]int{}
	}
	c.ways[part][way]++
}

// free is the first way of a block at which no lead ends, taken.
func (c *circuitText) free(part string) string {
	for {
		c.next[part]++
		if way := strconv.Itoa(c.next[part]); c.ways[part][way] == 0 {
			c.take(part, way)
			return way
		}
	}
}

// stop is one part of a path.
type stop struct {
	part, hint string // the hint is what stands after the colon
	block      bool   // a terminal block whose way is named
	node       *notes.Node
}

// stops reads the parts of a path; none where it is not written as one.
func (c *circuitText) stops(path *notes.Node) []stop {
	through := path
	if path.Kind == notes.Mapping {
		through, _ = path.Lookup("through")
	}
	if through == nil || through.Kind != notes.Sequence {
		return nil // told when it is read
	}
	var out []stop
	for _, n := range through.Items {
		if n.Kind != notes.Scalar {
			return nil
		}
		s := stop{part: n.Text, node: n}
		if _, whole := c.find(n.Text); !whole {
			if at := strings.LastIndexByte(n.Text, ':'); at >= 0 {
				s.part, s.hint = strings.TrimSpace(n.Text[:at]), strings.TrimSpace(n.Text[at+1:])
			}
		}
		part, known := c.find(s.part)
		if !known {
			c.unknown(s)
			return nil
		}
		c.imply(s.part, n.Span)
		s.block = part.Kind == circuit.TerminalBlock && s.hint != ""
		out = append(out, s)
	}
	if len(out) == 1 {
		c.l.add(finding.Error, RulePath, through.Span, "a path of one part joins nothing", "write at least two, such as [main:+, main fuse].")
		return nil
	}
	return out
}

func (c *circuitText) find(name string) (circuit.Part, bool) {
	if part, ok := c.known[name]; ok {
		return part, true
	}
	kind, ok := c.implied[name]
	return circuit.Part{Name: name, Kind: kind}, ok
}

func (c *circuitText) unknown(s stop) {
	c.strayed = true
	var names []string
	for name := range c.known {
		names = append(names, name)
	}
	for name := range c.implied {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	c.l.add(finding.Error, RulePath, s.node.Span, "the path names “"+s.part+"”, and no part is called so"+notes.DidYouMean(s.part, names), "list it under `parts` of the wiring, or write one of "+strings.Join(names, ", ")+".")
}

// leads are those that a path stands for.
func (c *circuitText) leads(path *notes.Node, stops []stop) []*notes.Node {
	if len(stops) == 0 {
		return nil
	}
	type side struct{ arrive, leave string }
	sides := make([]side, len(stops))
	sign := ""
	for i, s := range stops {
		if s.hint == "+" || s.hint == "-" {
			sign = s.hint
		}
		part, _ := c.find(s.part)
		arrive, leave, turns, ok := terminalsOf(&part, s.hint, sign)
		if turns { // behind a lamp the current is on its way back
			sign = ""
		}
		if part.Kind == circuit.TerminalBlock && s.hint == "" {
			if i > 0 {
				arrive = c.free(s.part)
			}
			if i < len(stops)-1 {
				leave = c.free(s.part)
			}
			ok = true
		}
		if s.hint != "+" && s.hint != "-" && part.Kind != circuit.TerminalBlock { // at an end, a terminal by its name is that one
			if i == 0 && hasTerminal(&part, s.hint) {
				leave = s.hint
			}
			if i == len(stops)-1 && hasTerminal(&part, s.hint) {
				arrive = s.hint
			}
		}
		inside := i > 0 && i < len(stops)-1
		if !ok || inside && arrive == leave && part.Kind != circuit.TerminalBlock {
			c.astray(s, &part, inside)
			return nil
		}
		sides[i] = side{arrive, leave}
	}
	var out []*notes.Node
	for i := range len(stops) - 1 {
		from, to := stops[i], stops[i+1]
		word := func(key string, s stop, terminal string) notes.Key {
			return notes.Key{Name: key, Span: s.node.Span, Value: &notes.Node{Span: s.node.Span, Kind: notes.Scalar, Text: s.part + ":" + terminal, Quoted: true}}
		}
		lead := &notes.Node{Span: to.node.Span, Kind: notes.Mapping, Keys: []notes.Key{word("from", from, sides[i].leave), word("to", to, sides[i+1].arrive)}}
		out = append(out, lead)
	}
	c.dress(path, out)
	return out
}

func hasTerminal(part *circuit.Part, name string) bool {
	return slices.ContainsFunc(part.Terminals(), func(t circuit.TerminalSpec) bool { return t.Name == name })
}

// dress gives the leads of a path what it says of them.
func (c *circuitText) dress(path *notes.Node, leads []*notes.Node) {
	if path.Kind != notes.Mapping {
		return
	}
	for _, k := range path.Keys {
		switch {
		case k.Name == "through" || k.Value == nil:
		case k.Name != "lengths":
			for _, lead := range leads {
				lead.Keys = append(lead.Keys, k)
			}
		case k.Value.Kind == notes.Sequence:
			if n := len(k.Value.Items); n != 1 && n != len(leads) {
				c.l.add(finding.Error, RulePath, k.Value.Span, fmt.Sprintf("`lengths`: %d stand here; a path through %d parts has %d, or one for all", n, len(leads)+1, len(leads)), "write one length for each lead, in their order, or one that all of them have.")
				continue
			}
			for i, lead := range leads {
				lead.Keys = append(lead.Keys, notes.Key{Name: "length", Span: k.Span, Value: k.Value.Items[min(i, len(k.Value.Items)-1)]})
			}
		}
	}
}

// astray says that a path cannot tell at which terminals it meets a part.
func (c *circuitText) astray(s stop, part *circuit.Part, inside bool) {
	var names []string
	for _, t := range part.Terminals() {
		names = append(names, s.part+":"+t.Name)
	}
	c.strayed = true
	text := "the path does not say at which side it meets “" + s.part + "”"
	remedy := "write " + s.part + ":+ or " + s.part + ":-, here or at the pack where the path begins."
	switch arrive, leave, _, met := terminalsOf(part, s.hint, "+"); {
	case s.hint != "" && !met:
		text = "“" + s.part + "” has no terminal “" + s.hint + "”"
		remedy = "write one of " + strings.Join(names, ", ") + "."
	case inside && met && arrive == leave:
		text = "a path does not go on through “" + s.part + "”"
		remedy = "end the path there, and begin another at its other terminal; it has " + strings.Join(names, ", ") + "."
	}
	c.l.add(finding.Error, RulePath, s.node.Span, text, remedy)
}

// terminalsOf are the terminals of a part at which a path arrives and goes on: of what has in and out these, of what has both for each side
// those of the path's sign, of what has none but + and - the one of the sign, at both. turns tells that the sign is lost behind it.
func terminalsOf(part *circuit.Part, hint, sign string) (arrive, leave string, turns, ok bool) {
	var names []string
	for _, t := range part.Terminals() {
		names = append(names, t.Name)
	}
	has := func(name string) bool { return slices.Contains(names, name) }
	if hint != "" && has(hint) && hint != "+" && hint != "-" { // a terminal by its whole name
		if out, is := strings.CutPrefix(hint, "in"); is && has("out"+out) {
			return hint, "out" + out, false, true
		}
		if in, is := strings.CutPrefix(hint, "out"); is {
			if in = "in" + strings.TrimRight(strings.TrimSuffix(in, "-a"), "ab"); has(in) {
				return in, hint, false, true
			}
			if has("in") {
				return "in", hint, false, true
			}
		}
		return hint, hint, false, true
	}
	pairs := [][2]string{{"in", "out"}, {"in" + sign, "out" + sign}, {sign, sign}}
	switch hint {
	case "":
		pairs = append(pairs, [2]string{"anode", "cathode"}, [2]string{"1", "2"})
	case "+", "-":
		pairs = pairs[1:]
	default: // the pole of a switch
		pairs = [][2]string{{"in-" + hint, "out-" + hint}}
	}
	for _, p := range pairs {
		if has(p[0]) && has(p[1]) && part.Kind != circuit.TerminalBlock {
			return p[0], p[1], p[0] == "1", true
		}
	}
	return "", "", false, false
}
