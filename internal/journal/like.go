package journal

import (
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// ownKeys are the keys of a version that its note states alone: a version that is like another takes none of them over.
var ownKeys = []string{"kind", "name", "date", "follows", "like", "without", "state", "summary", "answers", "taught-by", "facts"}

// writeOut gives the front matter of a version in full: with what it takes over from the version that it is like, with paths as leads,
// and with the parts of the wiring that the spec states elsewhere. What is taken over keeps its own place. The note's own Front stays as it
// is written.
func (l *loader) writeOut(v *Version) *notes.Node { return l.writtenOut(v, nil) }

// writtenOut is writeOut of a version on the way from others that are like it.
func (l *loader) writtenOut(v *Version, from []*Version) *notes.Node {
	own := v.Note.Front
	if own == nil || own.Kind != notes.Mapping {
		return own
	}
	if v.written != nil {
		return v.written
	}
	full := copied(own)
	l.former(full)
	if word, ok := own.Lookup("like"); ok && word.Kind == notes.Scalar {
		if base := l.likened(v, word, append(from, v)); base != nil {
			m := merger{l: l, full: full}
			m.base(base)
			m.without()
			v.TakenOver = m.taken
		}
	} else if list, ok := own.Lookup("without"); ok {
		l.add(finding.Error, RuleLike, list.Span, "`without` takes something out, and there is no `like` from which", "name under `like` the version whose spec this one takes over, or leave the key out.")
	}
	v.strayed = l.paths(full)
	if len(from) == 0 { // else nobody has been told what is wrong in it
		v.written = full
	}
	return full
}

// likened is the spec of the version that another one is like, written out; nil where there is none.
func (l *loader) likened(v *Version, word *notes.Node, from []*Version) *notes.Node {
	slug, vehicle := word.Text, v.Vehicle
	if before, rest, across := strings.Cut(word.Text, "/"); across {
		slug = rest
		i := slices.IndexFunc(l.journal.Vehicles, func(other *Vehicle) bool { return other.Slug == before })
		if i < 0 {
			var all []string
			for _, other := range l.journal.Vehicles {
				all = append(all, other.Slug)
			}
			l.add(finding.Error, RuleLike, word.Span, "`like`: there is no vehicle `"+before+"`"+notes.DidYouMean(before, all), "write the folder name of a version of this vehicle, or VEHICLE/VERSION.")
			return nil
		}
		vehicle = l.journal.Vehicles[i]
	}
	i := slices.IndexFunc(vehicle.Versions, func(other *Version) bool { return other.Slug == slug })
	if i < 0 {
		var all []string
		for _, other := range vehicle.Versions {
			if other != v {
				all = append(all, other.Slug)
			}
		}
		l.add(finding.Error, RuleLike, word.Span, "`like`: `"+vehicle.Slug+"` has no version `"+slug+"`"+notes.DidYouMean(slug, all), "write the folder name of a version of this vehicle, or VEHICLE/VERSION.")
		return nil
	}
	base := vehicle.Versions[i]
	if base == v || l.comesBack(base, v) {
		text := "`like`: the version is like itself"
		if base != v {
			text = "`like`: `" + base.Slug + "` is itself like this version, by way of others or not"
		}
		l.add(finding.Error, RuleLike, word.Span, text, "leave the key out of the one that is written in full.")
		return nil
	}
	if slices.Contains(from, base) {
		return nil // a round of others, told there
	}
	v.LikeVersion = base
	quiet := *l // what is wrong in the other note is told there
	quiet.findings = &finding.List{}
	return quiet.writtenOut(base, from)
}

// comesBack says whether one version is like another by way of any number of others.
func (l *loader) comesBack(from, to *Version) bool {
	for range l.versions() {
		word, ok := from.Note.Front.Lookup("like")
		if !ok || word.Kind != notes.Scalar {
			return false
		}
		place := word.Text
		if !strings.Contains(place, "/") {
			place = from.Vehicle.Slug + "/" + place
		}
		i := slices.IndexFunc(l.versions(), func(v *Version) bool { return v.Path() == place })
		if i < 0 {
			return false
		}
		if from = l.versions()[i]; from == to {
			return true
		}
	}
	return false
}

func (l *loader) versions() []*Version {
	var out []*Version
	for _, vehicle := range l.journal.Vehicles {
		out = append(out, vehicle.Versions...)
	}
	return out
}

// copied is a node with all below it, to be changed.
func copied(n *notes.Node) *notes.Node {
	if n == nil {
		return nil
	}
	out := *n
	out.Keys = slices.Clone(n.Keys)
	for i := range out.Keys {
		out.Keys[i].Value = copied(out.Keys[i].Value)
	}
	out.Items = nil
	for _, item := range n.Items {
		out.Items = append(out.Items, copied(item))
	}
	return &out
}

// merger puts what a version takes over under what it says itself.
type merger struct {
	l     *loader
	full  *notes.Node
	taken []string // keys of the spec of which something was taken over
}

func (m *merger) base(base *notes.Node) {
	for _, k := range base.Keys {
		if slices.Contains(ownKeys, k.Name) || k.Value == nil {
			continue
		}
		value := copied(k.Value)
		if k.Name == "parts" {
			value = bought(value)
		}
		if k.Name == "wiring" {
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

// rename gives parts of the wiring that are taken over under another name that name where leads end at them, too.
func (m *merger) rename(wiring *notes.Node) {
	parts, leads := m.list("wiring.parts"), (*notes.Node)(nil)
	if leads, _ = wiring.Lookup("leads"); parts == nil || leads == nil {
		return
	}
	now := map[string]string{}
	for _, p := range parts.Items {
		was, renamed := p.Lookup("was")
		if name, ok := p.Lookup("name"); ok && renamed && name.Kind == notes.Scalar && was.Kind == notes.Scalar {
			now[was.Text] = name.Text
		}
	}
	for _, lead := range leads.Items {
		for _, key := range []string{"from", "to"} {
			end, ok := lead.Lookup(key)
			if !ok || end.Kind != notes.Scalar {
				continue
			}
			if t, whole := circuit.ParseTerminal(end.Text); whole && now[t.Part] != "" {
				end.Text = now[t.Part] + ":" + t.Name
			}
		}
	}
}

// bought is a parts list without what it says of the version before its own: what became of a part there is no news here.
func bought(list *notes.Node) *notes.Node {
	list.Items = slices.DeleteFunc(list.Items, func(item *notes.Node) bool {
		how, ok := item.Lookup("how")
		return ok && (how.Text == string(TakenOff) || how.Text == string(UsedUp))
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
		out := *base
		out.Span = own.Span
		out.Items = slices.Clone(base.Items)
		taken := map[int]bool{}
		for _, item := range own.Items {
			i := m.same(path, item, out.Items, taken)
			_, renamed := item.Lookup("was")
			drop(item, "was")
			switch {
			case i >= 0:
				taken[i] = true
				out.Items[i] = m.under(path+".", item, ofItsKind(path, item, out.Items[i]))
			case !renamed: // else it is told already
				out.Items = append(out.Items, item)
			}
		}
		return &out
	}
	return own
}

// ofItsKind is a part of the wiring without what says nothing of the kind that it is now.
func ofItsKind(path string, now, was *notes.Node) *notes.Node {
	kind, ok := now.Lookup("kind")
	if path != "wiring.parts" || !ok {
		return was
	}
	was.Keys = slices.DeleteFunc(was.Keys, func(k notes.Key) bool {
		kinds, some := kindKeys[k.Name]
		return some && !slices.Contains(kinds, circuit.Kind(kind.Text))
	})
	return was
}

// namedLists are the lists whose items are known by their names, and leads, which are known by their label or by their ends.
var namedLists = []string{"packs", "motors", "parts", "wiring.parts", "wiring.leads", "wiring.points"}

// same finds the item that another one replaces, or -1. `was` names it where the name itself is another.
func (m *merger) same(path string, item *notes.Node, among []*notes.Node, taken map[int]bool) int {
	names := []string{nameOf(path, item)}
	was, renamed := item.Lookup("was")
	if renamed && was.Kind == notes.Scalar {
		names = []string{was.Text}
	} else if path == "wiring.leads" {
		names = leadNames(item)
	}
	if len(among) == 1 && names[0] == "" && nameOf(path, among[0]) == "" && path != "wiring.leads" {
		return 0 // the only pack of both
	}
	i := slices.IndexFunc(among, func(other *notes.Node) bool {
		return slices.ContainsFunc(namesAt(path, other), func(name string) bool { return name != "" && slices.Contains(names, name) })
	})
	if i >= 0 && taken[i] { // a second of the same name is a second item
		i = slices.IndexFunc(among[i+1:], func(other *notes.Node) bool { return slices.Contains(names, nameOf(path, other)) }) + i + 1
		if i >= len(among) || taken[i] || !slices.Contains(names, nameOf(path, among[i])) {
			i = -1
		}
	}
	if i < 0 && renamed {
		m.l.add(finding.Error, RuleLike, was.Span, "`was`: the version that this one is like has no “"+was.Text+"” here"+notes.DidYouMean(was.Text, allNames(path, among)), "write the name that it has there; of a lead without a label FROM to TO.")
	}
	return i
}

func nameOf(path string, item *notes.Node) string { return namesAt(path, item)[0] }

// namesAt are the names by which an item of a list is known; at least one, which may be "".
func namesAt(path string, item *notes.Node) []string {
	if path == "wiring.leads" {
		return leadNames(item)
	}
	if name, ok := item.Lookup("name"); ok && name.Kind == notes.Scalar {
		return []string{name.Text}
	}
	return []string{""}
}

// leadNames are the label of a lead, if it has one, and its two ends.
func leadNames(lead *notes.Node) []string {
	var out []string
	if label, ok := lead.Lookup("label"); ok && label.Kind == notes.Scalar && label.Text != "" {
		out = append(out, label.Text)
	}
	var ends [2]string
	for i, key := range []string{"from", "to"} {
		if end, ok := lead.Lookup(key); ok && end.Kind == notes.Scalar {
			t, _ := circuit.ParseTerminal(end.Text)
			ends[i] = t.String()
		}
	}
	if ends[0] != "" && ends[1] != "" {
		out = append(out, ends[0]+" to "+ends[1])
	}
	if len(out) == 0 {
		return []string{""}
	}
	return out
}

func allNames(path string, items []*notes.Node) []string {
	var out []string
	for _, item := range items {
		out = append(out, namesAt(path, item)...)
	}
	return out
}

// without takes out what a version says that it has no more: keys of the spec, parts with the leads that end at them, and leads.
func (m *merger) without() {
	list, ok := m.full.Lookup("without")
	if !ok {
		return
	}
	names := list.Items
	if list.Kind == notes.Scalar {
		names = []*notes.Node{list}
	}
	for _, name := range names {
		if name.Kind == notes.Scalar && !m.takeOut(name.Text) {
			m.l.add(finding.Error, RuleLike, name.Span, "`without`: the version that this one is like has no “"+name.Text+"”"+notes.DidYouMean(name.Text, m.names()), "write the name of a pack, a motor, a part or a lead of it (FROM to TO, or its label), or a key such as `cutout`.")
		}
	}
}

// takeOut takes out everything of one name; false if there is none. What this version states itself stays.
func (m *merger) takeOut(name string) bool {
	found := false
	if slices.Contains(m.taken, name) {
		drop(m.full, name)
		found = true
	}
	wired := false
	for _, path := range namedLists {
		list := m.list(path)
		if list == nil {
			continue
		}
		list.Items = slices.DeleteFunc(list.Items, func(item *notes.Node) bool {
			if m.stated(item) || !slices.Contains(namesAt(path, item), name) {
				return false
			}
			found = true
			wired = wired || path == "wiring.parts"
			return true
		})
	}
	again := false
	if parts := m.list("wiring.parts"); parts != nil {
		again = slices.Contains(allNames("wiring.parts", parts.Items), name)
	}
	if leads := m.list("wiring.leads"); leads != nil && wired && !again {
		leads.Items = slices.DeleteFunc(leads.Items, func(lead *notes.Node) bool { return !m.stated(lead) && endsAtPart(lead, name) })
	}
	if rows := m.list("parts"); rows != nil && found {
		rows.Items = slices.DeleteFunc(rows.Items, func(row *notes.Node) bool {
			as, ok := row.Lookup("wired-as")
			return ok && as.Kind == notes.Scalar && as.Text == name && !m.stated(row)
		})
	}
	return found
}

// stated says whether an item stands in this version's own note.
func (m *merger) stated(n *notes.Node) bool { return n.Span.Source == m.full.Span.Source }

func endsAtPart(lead *notes.Node, part string) bool {
	for _, key := range []string{"from", "to"} {
		if end, ok := lead.Lookup(key); ok {
			if t, _ := circuit.ParseTerminal(end.Text); t.Part == part {
				return true
			}
		}
	}
	return false
}

// list is the list at a path of two names at the most; nil where there is none.
func (m *merger) list(path string) *notes.Node {
	n := m.full
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

func (m *merger) names() []string {
	out := slices.Clone(m.taken)
	for _, path := range namedLists {
		if list := m.list(path); list != nil {
			out = append(out, allNames(path, list.Items)...)
		}
	}
	return out
}

// WrittenOut is the front matter of the version as YAML and in full: with what it takes over from the version that it is like, and
// its paths as leads.
func (v *Version) WrittenOut() string {
	full := copied(v.written)
	if full == nil {
		return ""
	}
	drop(full, "like")
	drop(full, "without")
	if wiring, ok := full.Lookup("wiring"); ok {
		drop(wiring, "paths")
	}
	return notes.Write(full)
}
