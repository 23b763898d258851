package circuit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/quantity"
)

func protects(k Kind) bool { return k == Fuse || k == Breaker }

// fuses judges whether each pack has its fuse, near enough, and each fuse or
// breaker its rating.
func (j *judge) fuses() {
	for i := range j.c.Parts {
		switch p := &j.c.Parts[i]; {
		case p.Kind == Pack:
			j.placement(i)
		case protects(p.Kind):
			j.fuseCurrents(i)
			j.fuseAndLeads(i)
			j.fuseFault(i)
			j.fuseTimes(i)
		}
	}
}

// reach is how a node is reached from a pack before any fuse.
type reach struct {
	metres   float64
	sheathed bool
	known    bool // every lead on the way has a length
}

// beforeFuse walks from a terminal along leads and through parts that pass the
// voltage on, never through a fuse or breaker, by the shortest way, with every
// changeover in either way.
func (j *judge) beforeFuse(from int) map[int]reach {
	all := map[int]reach{}
	add := func(at func(*Part) Position) bool {
		for node, r := range j.beforeFuseAt(from, at) {
			if before, was := all[node]; !was || r.metres < before.metres {
				all[node] = r
			}
		}
		return true
	}
	if !j.c.states(usual, (*Part).twoWays, add) {
		add(usual)
	}
	return all
}

func (j *judge) beforeFuseAt(from int, at func(*Part) Position) map[int]reach {
	n := j.nets.nodes
	edges := j.c.edges(n, at, func(p *Part) bool { return passing(p) && !protects(p.Kind) })
	for i := range j.c.Parts {
		if d := &j.c.Parts[i]; d.Kind == Diode {
			edges = append(edges, edge{n.at[Terminal{d.Name, "anode"}], n.at[Terminal{d.Name, "cathode"}], i, -1})
		}
	}
	reached := map[int]reach{from: {sheathed: true, known: true}}
	for grew := true; grew; {
		grew = false
		for _, e := range edges {
			for _, end := range [2][2]int{{e.a, e.b}, {e.b, e.a}} {
				near, was := reached[end[0]]
				if !was || j.c.packMinus(n, end[0]) {
					continue
				}
				if e.lead >= 0 {
					l := &j.c.Leads[e.lead]
					near.metres += float64(l.Length)
					near.sheathed = near.sheathed && l.Sheathed
					near.known = near.known && l.Length > 0
				}
				if before, was := reached[end[1]]; !was || near.metres < before.metres {
					reached[end[1]] = near
					grew = true
				}
			}
		}
	}
	return reached
}

// packMinus tells whether a node is the negative terminal of a pack: from there
// on it is another pack of the string.
func (c *Circuit) packMinus(n *nodes, node int) bool {
	t := n.named[node]
	return c.Parts[c.find(t.Part)].Kind == Pack && t.Name == "-"
}

// placement judges the conductors that leave a pack's + before a fuse.
func (j *judge) placement(pack int) {
	n := j.nets.nodes
	from := n.at[Terminal{j.c.Parts[pack].Name, "+"}]
	reached := j.beforeFuse(from)
	own := j.fusedWithin(pack, reached)
	missing := Verdict{Rule: FuseMissing, Subject: aboutPart(pack, "+"), OK: true, Quoted: Quoted{"33 CFR 183.455(b), self-law.org", Confirmed},
		Remedy: "put a fuse or breaker in the lead from the pack, within 178 mm of its terminal."}
	for i := range j.c.Parts {
		p := &j.c.Parts[i]
		if i == pack || p.Kind == Pack || p.Kind == BalanceLead || passing(p) && !protects(p.Kind) {
			continue
		}
		for _, spec := range p.Terminals() {
			at, is := reached[n.at[Terminal{p.Name, spec.Name}]]
			switch {
			case !is:
			case protects(p.Kind):
				j.distance(i, pack, at, own)
			case p.Kind == Diode || p.Kind == Suppressor || slices.Contains(missing.Parts, i):
			default:
				missing.OK = false
				missing.Parts = append(missing.Parts, i)
			}
		}
	}
	if p := &j.c.Parts[pack]; own {
		missing.OK, missing.Parts = true, nil
		missing.Detail = "fused in the pack: " + quantity.Brief(p.Fused)
		missing.Quoted = Quoted{"as stated for " + p.Name, Stated}
		j.ownFuse(pack, reached)
	}
	if !missing.OK {
		missing.Detail = "reached from the pack without a fuse: " + j.names(missing.Parts)
	}
	j.give(missing, nil)
}

func (j *judge) names(parts []int) string {
	text := ""
	for k, i := range parts {
		if k > 0 {
			text += ", "
		}
		text += j.c.Parts[i].Name
	}
	return text
}

// distance judges one fuse's distance from a pack. Within the sheathed limit a
// conductor must be sheathed the whole way.
func (j *judge) distance(fuse, pack int, at reach, own bool) {
	v := Verdict{Rule: FusePlacement, Subject: aboutPart(fuse, ""), Parts: []int{pack}, Remedy: "move the fuse nearer to the pack, along the lead."}
	if p := &j.c.Parts[pack]; own {
		v.OK, v.Detail, v.Quoted = true, "the lead between them is behind the fuse in the pack", Quoted{"as stated for " + p.Name, Stated}
		j.give(v, nil)
		return
	}
	limit := placementRow{}
	for _, r := range tables().placements {
		switch r.rule {
		case "33-cfr-183.455", "33-cfr-183.455-sheathed":
			if !r.sheathed || at.sheathed {
				limit = r
			}
		case "abyc-e-11-battery":
			if at.sheathed && at.metres <= r.distance {
				v.Detail = fmt.Sprintf("within the %.3f m of %s", r.distance, r.quoted.Source)
			}
		}
	}
	v.Number, v.Limit, v.Quoted = number(quantity.Metres(at.metres)), number(quantity.Metres(limit.distance)), limit.quoted
	if v.OK = atMost(quantity.Metres(at.metres), quantity.Metres(limit.distance)); v.OK {
		v.Detail = ""
	}
	switch {
	case at.known:
		j.give(v, nil)
	case v.OK: // what is stated is not too far yet
		j.give(v, unjudged("the length of a lead between %s and %s is not stated", j.c.Parts[pack].Name, j.c.Parts[fuse].Name))
	default:
		v.Detail = strings.TrimPrefix(v.Detail+"; the length of a lead is not stated and not counted", "; ")
		j.give(v, nil)
	}
}

// fuseCurrents holds a fuse against lasting currents.
func (j *judge) fuseCurrents(fuse int) {
	p := &j.c.Parts[fuse]
	amps, point, any := j.worstCurrent(lasting, inside(fuse))
	v := Verdict{Rule: FuseCarriesLoad, Subject: aboutPart(fuse, ""), Point: point, Quoted: Quoted{"NFPA 70 210.20 and 215.3, as told by intrysys.com", Confirmed}}
	switch {
	case !(p.Current > 0):
		j.give(v, unjudged("the rating of %s is not stated", p.Name))
	case !any:
		j.give(v, unjudged("no operating point that lasts was solved"))
	default:
		least := LeastFuse(amps)
		v.Number, v.Limit, v.OK = number(p.Current), number(least), atMost(least, p.Current)
		v.Detail = "the limit is the least rating, 125 % of the lasting current"
		j.give(v, nil)
	}
	v = Verdict{Rule: FuseVolts, Subject: aboutPart(fuse, ""), Quoted: Quoted{"33 CFR 183.455(d), whose end was not read; the voltage at the end of charge is taken, not the nominal one", FromMemory}}
	volts, quoted, err := p.fuseVolts()
	full := max(j.full, j.system) // not stated, it is no less than the nominal voltage
	if err == nil && j.full == 0 && atMost(full, volts) {
		err = unjudged("the voltage of a pack at the end of charge is not stated")
	}
	if err == nil {
		v.Number, v.Limit, v.OK = number(full), number(volts), atMost(full, volts)
		v.Quoted = v.also(quoted)
	}
	j.give(v, err)
}

// fuseVolts is the direct voltage that a fuse may see: its own, or that of its kind.
func (p *Part) fuseVolts() (quantity.Volts, Quoted, error) {
	if p.AC {
		return 0, Quoted{}, unjudged("%s is rated for alternating voltage", p.Name)
	}
	if p.Ratings.Volts > 0 {
		return p.Ratings.Volts, Quoted{"as stated for " + p.Name, Stated}, nil
	}
	for _, k := range tables().fuseKinds {
		if k.kind == p.FuseKind {
			return quantity.Volts(k.volts), k.quoted, nil
		}
	}
	return 0, Quoted{}, unjudged("the voltage rating of %s is not stated", p.Name)
}

// breaking is the current that a fuse interrupts: its own, or that of its kind.
func (p *Part) breaking() (quantity.Amperes, Quoted, error) {
	if p.Breaking > 0 {
		return p.Breaking, Quoted{"as stated for " + p.Name, Stated}, nil
	}
	for _, k := range tables().fuseKinds {
		if k.kind == p.FuseKind {
			return quantity.Amperes(k.breaking), k.quoted, nil
		}
	}
	return 0, Quoted{}, unjudged("the breaking capacity of %s is not stated", p.Name)
}

// fuseAndLeads holds a fuse against every lead that it is to save: those on its
// far side from a pack, up to the next fuse or load. Returns to the pack are not
// among them; LeadAmpacity judges those.
func (j *judge) fuseAndLeads(fuse int) {
	p := &j.c.Parts[fuse]
	if !(p.Current > 0) {
		j.give(Verdict{Rule: FuseSavesLead, Subject: aboutPart(fuse, "")}, unjudged("the rating of %s is not stated", p.Name))
		return
	}
	for _, i := range j.behind(fuse) {
		j.savesLead(fuse, p.Current, i)
	}
}

// savesLead holds the rating of a fuse against the greatest that saves a lead. Of a lead whose ampacity cannot be found
// the most that it may be is enough to say that the fuse is too great.
func (j *judge) savesLead(fuse int, rating quantity.Amperes, lead int) {
	v := Verdict{Rule: FuseSavesLead, Subject: aboutLead(lead, -1), Parts: []int{fuse}, Remedy: "take a smaller fuse if the load allows it, else a thicker lead."}
	a, err := j.ampacity(lead)
	if err != nil {
		if most, known := j.mostAmpacity(lead); known && !atMost(rating, GreatestFuse(most.Amperes, j.system)) {
			a, err = most, nil
		}
	}
	if err == nil {
		greatest := GreatestFuse(a.Amperes, j.system)
		v.Number, v.Limit, v.OK = number(rating), number(greatest), atMost(rating, greatest)
		v.Quoted = Quoted{"33 CFR 183.455(c)", Confirmed}.also(a.Quoted)
		v.Detail = "the limit is 150 % of the ampacity"
		if j.system >= bundlesFrom {
			v.Detail = "the limit is the ampacity"
		}
		if melts := FusingCurrent(j.c.Leads[lead].Size.Area); !v.OK && rating >= melts {
			v.Detail += fmt.Sprintf("; a wire of that size melts at some %.2g A, so the lead is the fuse", float64(melts))
			v.Quoted = v.also(Quoted{"W. H. Preece, On the heating effects of electric currents, 1884 to 1888", FromMemory})
		}
	}
	j.give(v, err)
}

// fusedWithin tells whether a pack has a fuse that the wiring does not show. Where the first fuse on a way out has the
// rating that is stated for the pack, it is that one.
func (j *judge) fusedWithin(pack int, reached map[int]reach) bool {
	stated := j.c.Parts[pack].Fused
	return stated > 0 && !slices.ContainsFunc(j.c.Parts, func(p Part) bool {
		if !protects(p.Kind) || math.Abs(float64(p.Current-stated)) > 1e-9 {
			return false
		}
		_, in := reached[j.nets.nodes.at[Terminal{p.Name, "in"}]]
		_, out := reached[j.nets.nodes.at[Terminal{p.Name, "out"}]]
		return in || out
	})
}

// ownFuse judges the fuse that is in a pack itself: it has to carry the load and to save every lead up to the next
// fuse or load.
func (j *judge) ownFuse(pack int, reached map[int]reach) {
	p := &j.c.Parts[pack]
	amps, point, any := j.worstCurrent(lasting, inside(pack))
	v := Verdict{Rule: FuseCarriesLoad, Subject: aboutPart(pack, ""), Point: point, Quoted: Quoted{"NFPA 70 210.20 and 215.3, as told by intrysys.com", Confirmed}}
	if any {
		least := LeastFuse(amps)
		v.Number, v.Limit, v.OK = number(p.Fused), number(least), atMost(least, p.Fused)
		v.Detail = "the fuse in the pack; the limit is the least rating, 125 % of the lasting current"
		j.give(v, nil)
	} else {
		j.give(v, unjudged("no operating point that lasts was solved"))
	}
	n := j.nets.nodes
	for i := range j.c.Leads {
		_, from := reached[n.at[j.c.Leads[i].From]]
		_, to := reached[n.at[j.c.Leads[i].To]]
		if from && to {
			j.savesLead(pack, p.Fused, i)
		}
	}
}

// behind lists the leads on the far side of a fuse, with every changeover in
// either way.
func (j *judge) behind(fuse int) []int {
	var leads []int
	if !j.c.states(usual, (*Part).changeover, func(at func(*Part) Position) bool {
		leads = append(leads, j.behindAt(fuse, at)...)
		return true
	}) {
		leads = j.behindAt(fuse, usual)
	}
	slices.Sort(leads)
	return slices.Compact(leads)
}

func (j *judge) behindAt(fuse int, at func(*Part) Position) []int {
	p := &j.c.Parts[fuse]
	n := j.nets.nodes
	apart := &nets{newGroups(len(n.named)), n}
	for _, e := range j.c.edges(n, at, func(q *Part) bool { return passing(q) && !protects(q.Kind) }) {
		apart.join(e.a, e.b)
	}
	without := j.c.nets(at, func(q *Part) bool { return passing(q) && q != p })
	var leads []int
	hot := func(side string) bool {
		for i := range j.c.Parts {
			if q := &j.c.Parts[i]; q.Kind == Pack && without.of(Terminal{q.Name, "+"}) == without.of(Terminal{p.Name, side}) {
				return true
			}
		}
		return false
	}
	both := hot("in") && hot("out")
	for _, side := range []string{"in", "out"} {
		if hot(side) && !both {
			continue
		}
		net := apart.of(Terminal{p.Name, side})
		for i := range j.c.Leads {
			if apart.of(j.c.Leads[i].From) == net && !slices.Contains(leads, i) {
				leads = append(leads, i)
			}
		}
	}
	return leads
}

// FaultCurrent is the current through a fuse or breaker when its far side is
// joined to the negative of the packs without resistance: full packs, contacts as
// usual, no loads. The packs' resistances limit it (where one was not stated, the
// least that it may be), with the leads up to the
// fuse; the return is left out, so the answer is on the safe side. An
// *UnjudgedError says what is not stated.
func (c *Circuit) FaultCurrent(fuse int) (quantity.Amperes, error) {
	op := OperatingPoint{Name: "fault", Parts: map[string]State{}}
	for i := range c.Parts {
		p := &c.Parts[i]
		if p.Kind != Pack {
			continue
		}
		if !(p.Resistance > 0) {
			return 0, unjudged("the resistance of %s is not stated", p.Name)
		}
		op.Parts[p.Name] = State{Volts: max(p.Full, sourceOf(p))}
	}
	n, err := c.least().network(&op)
	if err != nil {
		return 0, unjudged("the fault current cannot be found: %v", err)
	}
	for i := range n.branches {
		b := &n.branches[i]
		if b.part >= 0 && !passing(&c.Parts[b.part]) && c.Parts[b.part].Kind != Pack && b.way != "common" {
			b.law = open
		}
	}
	minus := c.lowest()
	if minus == "" {
		return 0, unjudged("there is no pack")
	}
	var most float64
	solved := false
	for _, side := range []string{"in", "out"} { // on the near side nothing flows through the fuse, unless packs are on both
		bolted := *n
		bolted.branches = append(slices.Clone(n.branches), branch{from: n.nodes.at[Terminal{c.Parts[fuse].Name, side}], to: n.nodes.at[Terminal{minus, "-"}], part: -1, lead: -1})
		x, err := bolted.linear()
		if err != nil {
			continue // that side is joined to the pack without resistance
		}
		for i, b := range n.branches {
			if b.part == fuse {
				most, solved = max(most, math.Abs(x[len(n.nodes.named)+i])), true
			}
		}
	}
	if !solved {
		return 0, unjudged("the fault current cannot be found: lengths or resistances are missing")
	}
	return quantity.Amperes(most), nil
}

// least is the circuit with every pack whose resistance was not stated at the
// least that it may have.
func (c *Circuit) least() *Circuit {
	out := *c
	out.Parts = slices.Clone(c.Parts)
	for i := range out.Parts {
		if p := &out.Parts[i]; p.Kind == Pack && p.Taken != "" && p.Least > 0 {
			p.Resistance = p.Least
		}
	}
	return &out
}

// lowest is the pack whose negative terminal has the lowest voltage.
func (c *Circuit) lowest() string {
	n := c.nets(usual, passing)
	at := c.potentials(n, sourceOf)
	best, volts := "", math.Inf(1)
	for i := range c.Parts {
		if p := &c.Parts[i]; p.Kind == Pack {
			if v := at.volts[n.of(Terminal{p.Name, "-"})]; v < volts {
				best, volts = p.Name, v
			}
		}
	}
	return best
}

func (j *judge) fuseFault(fuse int) {
	v := Verdict{Rule: FuseInterrupts, Subject: aboutPart(fuse, "")}
	fault, err := j.c.FaultCurrent(fuse)
	if err == nil {
		v.Number = number(fault)
		var breaking quantity.Amperes
		breaking, v.Quoted, err = j.c.Parts[fuse].breaking()
		if err == nil {
			v.Limit, v.OK = number(breaking), atMost(fault, breaking)
			v.Remedy = "take a fuse or breaker that interrupts the fault current at direct voltage."
		}
	}
	j.give(v, err)
}
