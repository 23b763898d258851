package journal

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Setting is a value to put in place of what a version's front matter says:
// "packs.first.capacity" and "5 Ah".
type Setting struct{ Path, Value string }

// setPrefix begins the name of the place of a value that was put in.
const setPrefix = "--set "

// PutIn says whether a place is that of a value that was put in by With.
func PutIn(at finding.Span) bool {
	return at.Source != nil && strings.HasPrefix(at.Source.Name, setPrefix)
}

// With is the version as its front matter, in full, would be with other values. A path
// goes by keys; an item of a list is called by its number from 1, by its name,
// or by words its name begins with. The values go through the same decoder and
// the same checks as the note, so that a wrong one gives the same findings, at
// the place `--set PATH`. Runs, story and vehicle stay those of the version.
func (v *Version) With(settings []Setting, findings *finding.List) *Version {
	front := &notes.Node{Kind: notes.Mapping}
	switch {
	case v.written != nil:
		front = v.written
	case v.Note != nil && v.Note.Front != nil: // it was not loaded from a folder
		front = v.Note.Front
	}
	for _, s := range settings {
		source := finding.NewSource(setPrefix+s.Path, []byte(s.Value))
		value := &notes.Node{Kind: notes.Scalar, Text: s.Value, Span: source.At(0, len(s.Value))}
		if keys := strings.Split(s.Path, "."); slices.Contains(keys, "") {
			findings.Add(finding.Finding{Rule: notes.RuleUnknownKey, Level: finding.Error, Span: value.Span, Text: fmt.Sprintf("`%s` is no path of keys", s.Path), Remedy: "write the keys with points between them, such as packs.1.capacity."})
		} else {
			front = put(front, keys, value, s.Path, findings)
		}
	}
	out := &Version{Vehicle: v.Vehicle, Slug: v.Slug, Number: v.Number, Before: v.Before, Note: v.Note, document: v.document, Runs: v.Runs, LikeVersion: v.LikeVersion, TakenOver: v.TakenOver, written: front}
	notes.Decode(front, out, findings)
	if v.PartsSource != "" {
		out.Parts, out.PartsSource = v.Parts, v.PartsSource
	}
	out.likeCells(v)
	l := &loader{findings: findings, journal: &Journal{}}
	l.checkSpec(out)
	return out
}

// likeCells lets a stated resistance go with a capacity that was put in: another capacity is more or fewer of the same
// cells, unless the resistance was put in as well.
func (v *Version) likeCells(before *Version) {
	for i := range v.Packs {
		p := &v.Packs[i]
		if i >= len(before.Packs) || !p.Capacity.Known() || !PutIn(p.Capacity.Span) || !p.Resistance.Known() || PutIn(p.Resistance.Span) {
			continue
		}
		if was := before.Packs[i].Capacity; was.Known() && p.Capacity.Value > 0 {
			p.Resistance.Measured = quantity.Scale(p.Resistance.Measured, float64(was.Value/p.Capacity.Value))
		}
	}
}

// put gives a copy of a tree with a value at the end of a path.
func put(n *notes.Node, keys []string, value *notes.Node, path string, findings *finding.List) *notes.Node {
	if len(keys) == 0 {
		return value
	}
	refuse := func(text, remedy string) *notes.Node {
		findings.Add(finding.Finding{Rule: notes.RuleUnknownKey, Level: finding.Error, Span: value.Span, Text: text, Remedy: remedy})
		return n
	}
	out := *n
	switch n.Kind {
	case notes.Sequence:
		i, names := item(n, keys[0])
		if i < 0 {
			return refuse(fmt.Sprintf("`%s`: there is no item `%s`%s", path, keys[0], notes.DidYouMean(keys[0], names)), "write one of "+strings.Join(names, ", ")+".")
		}
		out.Items = slices.Clone(n.Items)
		out.Items[i] = put(n.Items[i], keys[1:], value, path, findings)
	case notes.Mapping:
		out.Keys = slices.Clone(n.Keys)
		for i, k := range out.Keys {
			if k.Name == keys[0] {
				out.Keys[i].Value = put(k.Value, keys[1:], value, path, findings)
				return &out
			}
		}
		under := &notes.Node{Kind: notes.Mapping, Span: value.Span}
		out.Keys = append(out.Keys, notes.Key{Name: keys[0], Span: value.Span, Value: put(under, keys[1:], value, path, findings)})
	default: // a single value, such as `none`, gives way to a group of keys
		return put(&notes.Node{Kind: notes.Mapping, Span: value.Span}, keys, value, path, findings)
	}
	return &out
}

// item finds an item of a list by number, by name, or by words that one name
// alone begins with; −1 and what there is where it is not found.
func item(n *notes.Node, called string) (at int, names []string) {
	begins, like := -1, 0
	for i, it := range n.Items {
		number := strconv.Itoa(i + 1)
		name := number
		if w, ok := it.Lookup("name"); ok && w.Kind == notes.Scalar && w.Text != "" {
			name = w.Text
		}
		if called == number || called == name {
			return i, nil
		}
		names = append(names, name)
		if strings.HasPrefix(name, called+" ") || strings.HasPrefix(name, called+"-") {
			begins, like = i, like+1
		}
	}
	if like > 1 {
		begins = -1
	}
	return begins, names
}
