package journal

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// ownKeys are the keys of a version that its note states alone: a version that is like another takes none of them over.
var ownKeys = []string{"kind", "name", "date", "follows", "like", "without", "state", "held-back", "summary", "answers", "subjects", "failures", "to-do", "taught-by", "facts", "lead", "gallery", "marks"}

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
	if l.unheard && v.unheard != nil {
		return v.unheard
	}
	full := copied(own)
	l.former(full)
	if word, ok := own.Lookup("like"); ok && word.Kind == notes.Scalar {
		if base := l.likened(v, word, append(from, v)); base != nil && l.room(base, word.Span) {
			m := merger{l: l, full: full}
			_, m.listed = l.partsFileOf(v)
			m.takeOver(base)
			m.without()
			v.TakenOver = m.takenOver()
		}
	} else if list, ok := own.Lookup("without"); ok {
		l.add(finding.Error, RuleLike, list.Span, "`without` takes something out, and there is no `like` from which", "name under `like` the version whose spec this one takes over, or leave the key out.")
	}
	v.strayed = l.paths(full)
	if l.unheard {
		v.unheard = full
	} else {
		v.written, v.unheard = full, nil
	}
	return full
}

// likened is the spec of the version that another one is like, written out, with the parts list that stands beside its note; nil where
// there is none.
func (l *loader) likened(v *Version, word *notes.Node, from []*Version) *notes.Node {
	base := l.likeOf(v, word)
	if base == nil || slices.Contains(from, base) {
		return nil // the second is a round of others, told there
	}
	v.LikeVersion = base
	quiet := *l // what is wrong in the other note is told there
	quiet.findings, quiet.unheard = &finding.List{}, true
	spec := quiet.writtenOut(base, from)
	if file, there := l.partsFileOf(base); there && spec != nil {
		if list, source := quiet.partsOf(file); list != nil {
			with := *spec
			with.Keys = append(slices.Clip(spec.Keys), notes.Key{Name: "parts", Span: finding.Span{Source: source}, Value: list})
			return &with
		}
	}
	return spec
}

// likeOf is the version that `like` names; nil where there is none, or where that one is itself like this.
func (l *loader) likeOf(v *Version, word *notes.Node) *Version {
	const remedy = "write the folder name of a version of this vehicle, or VEHICLE/VERSION."
	base := l.named(v, word.Text)
	switch {
	case base == nil:
		l.add(finding.Error, RuleLike, word.Span, l.namesNone(v, word.Text), remedy)
	case base == v:
		l.add(finding.Error, RuleLike, word.Span, "`like`: the version is like itself", "leave the key out.")
	case l.comesBack(base, v):
		l.add(finding.Error, RuleLike, word.Span, "`like`: `"+base.Slug+"` is itself like this version, by way of others or not", "leave the key out of the one that is written in full.")
	default:
		return base
	}
	return nil
}

// named is the version that is called so beside another one: VERSION of the same vehicle, or VEHICLE/VERSION; nil where there is none.
func (l *loader) named(beside *Version, called string) *Version {
	if !strings.Contains(called, "/") {
		called = beside.Vehicle.Slug + "/" + called
	}
	if l.byPath == nil {
		l.byPath = map[string]*Version{}
		for _, vehicle := range l.journal.Vehicles {
			for _, v := range vehicle.Versions {
				l.byPath[v.Path()] = v
			}
		}
	}
	return l.byPath[called]
}

// namesNone says what of a name that named does not find is not there.
func (l *loader) namesNone(beside *Version, called string) string {
	vehicle, slug := beside.Vehicle, called
	if before, rest, across := strings.Cut(called, "/"); across {
		var all []string
		for _, other := range l.journal.Vehicles {
			if all = append(all, other.Slug); other.Slug == before {
				vehicle, slug = other, rest
			}
		}
		if slug != rest {
			return "`like`: there is no vehicle `" + before + "`" + notes.DidYouMean(before, all)
		}
	}
	var all []string
	for _, other := range vehicle.Versions {
		if other != beside {
			all = append(all, other.Slug)
		}
	}
	return "`like`: `" + vehicle.Slug + "` has no version `" + slug + "`" + notes.DidYouMean(slug, all)
}

// comesBack says whether one version is like another by way of any number of others.
func (l *loader) comesBack(from, to *Version) bool {
	for seen := map[*Version]bool{}; from != nil && !seen[from]; {
		if from == to {
			return true
		}
		seen[from] = true
		word, ok := from.Note.Front.Lookup("like")
		if !ok || word.Kind != notes.Scalar {
			return false
		}
		from = l.named(from, word.Text)
	}
	return false
}

// room takes as much as a node is long from what versions may take over and paths may stand for, all together; false, and an error, where it
// is more than that. As all front matter of a journal has a bound, a short note must not stand for a long one a thousand times.
func (l *loader) room(n *notes.Node, at finding.Span) bool {
	of := &l.made[0]
	if l.unheard {
		of = &l.made[1]
	}
	if *of += length(n); *of <= notes.MaxAllFront {
		return true
	}
	l.add(finding.Error, notes.RuleJournalTooLarge, at, fmt.Sprintf("what versions take over from others and what paths stand for comes to more than %d MiB of front matter", notes.MaxAllFront>>20), "write fewer versions like others, or split the journal.")
	return false
}

// length is about how many bytes a node takes as it is written.
func length(n *notes.Node) int {
	if n == nil {
		return 0
	}
	sum := len(n.Text) + 2
	for _, k := range n.Keys {
		sum += len(k.Name) + 2 + length(k.Value)
	}
	for _, item := range n.Items {
		sum += length(item)
	}
	return sum
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

// Here is a place of the spec as one of this version's own: what it takes over is this version's at `like`, with where it stands beside it, so
// that what is said of it is said of each version that has it.
func (v *Version) Here(at finding.Span) (here finding.Span, from []finding.Related) {
	file := at.File()
	for base := v.LikeVersion; base != nil; base = base.LikeVersion {
		if file == base.Note.Path || file == base.Path()+"/"+PartsFile {
			return v.Like.Span, []finding.Related{{Span: at, Text: "taken over from here"}}
		}
	}
	return at, nil
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
