package journal

import (
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// merger puts what a version takes over under what it says itself.
type merger struct {
	l      *loader
	full   *notes.Node
	taken  []string               // keys of the spec that the other version has
	listed bool                   // this one has its parts list in a file
	before map[*notes.Node]string // leads that are taken over, by what they were called before parts got other names
}

// namedLists are the lists whose items are known by their names, and leads, which are known by their label or by their ends.
var namedLists = []string{wiredPartsList, wiredLeadsList, "packs", "motors", "parts", "wiring.points"}

const (
	wiredPartsList = "wiring.parts"
	wiredLeadsList = "wiring.leads"
)

// takeOver takes the spec of another version over.
func (m *merger) takeOver(base *notes.Node) {
	m.before = map[*notes.Node]string{}
	for _, k := range base.Keys {
		if slices.Contains(ownKeys, k.Name) || k.Value == nil || k.Name == "parts" && m.listed {
			continue
		}
		value := copied(k.Value)
		switch k.Name {
		case "parts":
			value = bought(value)
		case "wiring":
			drop(value, "paths") // their leads are there
			m.rename(value)
		}
		m.taken = append(m.taken, k.Name)
		if own, ok := m.full.Lookup(k.Name); ok {
			*own = *m.under(k.Name, own, value)
			continue
		}
		m.full.Keys = append(m.full.Keys, notes.Key{Name: k.Name, Span: k.Span, Value: value})
	}
}

// takenOver are the keys of the spec of which something stands that this version's own note does not say.
func (m *merger) takenOver() []string {
	return slices.DeleteFunc(slices.Clone(m.taken), func(key string) bool {
		value, ok := m.full.Lookup(key)
		return !ok || m.allStated(value)
	})
}

// allStated says whether all of a value stands in this version's own note.
func (m *merger) allStated(n *notes.Node) bool {
	if n == nil {
		return true
	}
	for _, k := range n.Keys {
		if !m.allStated(k.Value) {
			return false
		}
	}
	for _, item := range n.Items {
		if !m.allStated(item) {
			return false
		}
	}
	return m.stated(n)
}

// stated says whether an item stands in this version's own note.
func (m *merger) stated(n *notes.Node) bool { return n.Span.Source == m.full.Span.Source }

// rename gives parts of the wiring that are taken over under another name that name where leads end at them, too.
func (m *merger) rename(wiring *notes.Node) {
	parts := listAt(m.full, wiredPartsList)
	leads, _ := wiring.Lookup("leads")
	if parts == nil || leads == nil {
		return
	}
	now := map[string]string{}
	for _, p := range parts.Items {
		if was, name := word(p, "was"), word(p, "name"); was != "" && name != "" {
			now[was] = name
		}
	}
	for _, lead := range leads.Items {
		called := byEnds(lead)
		for _, key := range []string{"from", "to"} {
			if t, whole := circuit.ParseTerminal(word(lead, key)); whole && now[t.Part] != "" {
				end, _ := lead.Lookup(key)
				end.Text = now[t.Part] + ":" + t.Name
				m.before[lead] = called
			}
		}
	}
}

// bought is a parts list without what it says of the version before its own: what became of a part there is no news here.
func bought(list *notes.Node) *notes.Node {
	list.Items = slices.DeleteFunc(list.Items, func(item *notes.Node) bool {
		how := PartHow(word(item, "how"))
		return how == TakenOff || how == UsedUp
	})
	for _, item := range list.Items {
		drop(item, "how")
	}
	return list
}

func drop(n *notes.Node, key string) {
	n.Keys = slices.DeleteFunc(n.Keys, func(k notes.Key) bool { return k.Name == key })
}

// under puts a value that is taken over under the one that stands there: of groups key by key, of lists item by item where the items have
// names; else the one that stands there holds.
func (m *merger) under(path string, own, base *notes.Node) *notes.Node {
	switch {
	case own.Kind == notes.Mapping && base.Kind == notes.Mapping:
		out := *base
		out.Span = own.Span
		out.Keys = slices.Clone(base.Keys)
		for _, k := range own.Keys {
			i := slices.IndexFunc(out.Keys, func(other notes.Key) bool { return other.Name == k.Name })
			switch {
			case i < 0:
				out.Keys = append(out.Keys, k)
			case out.Keys[i].Value == nil || k.Value == nil:
				out.Keys[i] = k
			default:
				out.Keys[i] = notes.Key{Name: k.Name, Span: k.Span, Value: m.under(path+"."+k.Name, k.Value, out.Keys[i].Value)}
			}
		}
		return &out
	case own.Kind == notes.Sequence && base.Kind == notes.Sequence && slices.Contains(namedLists, path):
		return m.byName(path, own, base)
	}
	return own
}

// byName puts the items of a list under those of the same names, and those that have none there behind them.
func (m *merger) byName(path string, own, base *notes.Node) *notes.Node {
	out := *base
	out.Span = own.Span
	out.Items = slices.Clone(base.Items)
	at, taken := map[string][]int{}, map[int]bool{}
	for i, item := range base.Items {
		for _, name := range m.names(path, item) {
			at[name] = append(at[name], i)
		}
	}
	same := func(names []string) int { // of several of one name the first that nothing stands for yet
		for _, name := range names {
			for _, i := range at[name] {
				if !taken[i] && (name != "" || len(base.Items) == 1) { // of what has no name only the only one is the same
					return i
				}
			}
		}
		return -1
	}
	for _, item := range own.Items {
		names, was := m.names(path, item), word(item, "was")
		if was != "" {
			names = []string{was}
		}
		i := same(names)
		switch {
		case i >= 0:
			taken[i] = true
			drop(item, "was")
			out.Items[i] = m.under(path+".", item, ofItsKind(path, item, out.Items[i]))
		case was != "":
			node, _ := item.Lookup("was")
			m.l.add(finding.Error, RuleLike, node.Span, "`was`: the version that this one is like has no “"+was+"” here"+notes.DidYouMean(was, m.allNames(path, base)), "write the name that it has there; of a lead without a label FROM to TO.")
		default:
			out.Items = append(out.Items, item)
		}
	}
	return &out
}

// ofItsKind is a part of the wiring without what says nothing of the kind that it is now.
func ofItsKind(path string, now, was *notes.Node) *notes.Node {
	kind := word(now, "kind")
	if path != wiredPartsList || kind == "" {
		return was
	}
	was.Keys = slices.DeleteFunc(was.Keys, func(k notes.Key) bool {
		kinds, some := kindKeys[k.Name]
		return some && !slices.Contains(kinds, circuit.Kind(kind))
	})
	return was
}

// word is the text of a key, "" where none stands there.
func word(n *notes.Node, key string) string {
	if value, ok := n.Lookup(key); ok && value != nil && value.Kind == notes.Scalar {
		return value.Text
	}
	return ""
}

// names are those by which an item of a list is known; at least one, which may be "". A lead has its label and its two ends, as they
// are called now and as they were.
func (m *merger) names(path string, item *notes.Node) []string {
	if path != wiredLeadsList {
		return []string{word(item, "name")}
	}
	out := slices.DeleteFunc([]string{word(item, "label"), byEnds(item), m.before[item]}, func(name string) bool { return name == "" })
	if len(out) == 0 {
		return []string{""}
	}
	return out
}

// byEnds is what a lead is called by its ends, "" where it has not both.
func byEnds(lead *notes.Node) string {
	from, _ := circuit.ParseTerminal(word(lead, "from"))
	to, _ := circuit.ParseTerminal(word(lead, "to"))
	if from.Part == "" || to.Part == "" {
		return ""
	}
	return from.String() + " to " + to.String()
}

func (m *merger) allNames(path string, list *notes.Node) []string {
	var out []string
	for _, item := range list.Items {
		out = append(out, m.names(path, item)...)
	}
	return out
}

// without takes out what a version says that it has no more: keys of the spec, packs and motors, parts with the leads that end at them, and
// leads. What this version states itself stays.
func (m *merger) without() {
	list, ok := m.full.Lookup("without")
	if !ok {
		return
	}
	asked := list.Items
	if list.Kind == notes.Scalar {
		asked = []*notes.Node{list}
	}
	known := slices.Clone(m.taken)
	gone := map[string]bool{} // what is asked for, and whether it was there
	for _, name := range asked {
		if name.Kind == notes.Scalar {
			gone[name.Text] = slices.Contains(m.taken, name.Text)
		}
	}
	for _, path := range namedLists {
		if list := listAt(m.full, path); list != nil {
			known = append(known, m.allNames(path, list)...)
			m.takeOut(path, list, gone)
		}
	}
	for name := range gone {
		if slices.Contains(m.taken, name) {
			drop(m.full, name)
		}
	}
	for _, name := range asked {
		if name.Kind == notes.Scalar && !gone[name.Text] {
			m.l.add(finding.Error, RuleLike, name.Span, "`without`: the version that this one is like has no “"+name.Text+"”"+notes.DidYouMean(name.Text, known), "write the name of a pack, a motor, a part or a lead of it (FROM to TO, or its label), or a key such as `cutout`.")
		}
	}
}

// takeOut takes what is gone out of a list, and of leads and of the parts list what goes with a part that is.
func (m *merger) takeOut(path string, list *notes.Node, gone map[string]bool) {
	stays := map[string]bool{} // parts that this version has under the same name
	if parts := listAt(m.full, wiredPartsList); parts != nil {
		for _, p := range parts.Items {
			stays[word(p, "name")] = m.stated(p)
		}
	}
	with := func(part string) bool { return gone[part] && !stays[part] }
	list.Items = slices.DeleteFunc(list.Items, func(item *notes.Node) bool {
		if m.stated(item) {
			return false
		}
		for _, name := range m.names(path, item) {
			if _, asked := gone[name]; asked {
				gone[name] = true
				return true
			}
		}
		switch path {
		case wiredLeadsList:
			from, _ := circuit.ParseTerminal(word(item, "from"))
			to, _ := circuit.ParseTerminal(word(item, "to"))
			return with(from.Part) || with(to.Part)
		case "parts":
			return with(word(item, "wired-as"))
		}
		return false
	})
}

// listAt is the list at a path of keys; nil where there is none.
func listAt(n *notes.Node, path string) *notes.Node {
	for name := range strings.SplitSeq(path, ".") {
		next, ok := n.Lookup(name)
		if !ok {
			return nil
		}
		n = next
	}
	if n == nil || n.Kind != notes.Sequence {
		return nil
	}
	return n
}
