package value

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/study"
)

// Index is everything that can be named in a journal with what computing gave.
//
// There is one scheme of names: a stated value is called by its keys in the front matter with points between
// (`cutout.opens`, `packs.first-pack.capacity`), anything else by words with hyphens (`running-time`, `total-cost`), an answer
// of a table by the table, the row and the column with slashes between (`run-time/field-2026-04-12/own`).
type Index struct {
	journal *journal.Journal
	results *study.Results
	places  kept
	keep    Keep                     // nil: nothing is kept
	owners  map[string]journal.Place // by address without the slash at its end: what a value can be of and be named by
}

// entry is what can be named at one place.
type entry struct {
	fill   sync.Once
	values []Value
	stated *node          // the ways to name the first of the values, those that are stated
	named  map[string]int // by name, the others
}

// New is the index of a journal and its results as far as they are computed, which may be nil. Both stay as they are from then on.
func New(j *journal.Journal, results *study.Results) *Index {
	if results == nil {
		results = study.NewResults()
	}
	x := &Index{journal: j, results: results, owners: map[string]journal.Place{}}
	for _, p := range j.Places() {
		if p.Vehicle != nil {
			x.owners[strings.TrimSuffix(p.Address(), "/")] = p
		}
	}
	return x
}

// Journal is the journal whose values these are.
func (x *Index) Journal() *journal.Journal { return x.journal }

// Answered says whether the versions of the journal were answered for: where they were not, no answer of a table is known.
func (x *Index) Answered() bool { return x.results.Answered() }

// At lists everything of a place that a sentence can be bound to: what its note states in the order of its keys, then what
// was measured and computed.
func (x *Index) At(p journal.Place) []Value { return x.entry(p).values }

func (x *Index) entry(p journal.Place) *entry {
	e := x.places.entry(p)
	e.fill.Do(func() {
		e.values, e.stated = statedIn(x.journal, front(x.journal, p))
		stated := len(e.values)
		e.values = append(e.values, x.computedBefore(p)...)
		e.named = make(map[string]int, len(e.values)-stated)
		for i := range e.values {
			e.values[i].Place = p
			if _, taken := e.named[e.values[i].Name]; i >= stated && !taken {
				e.named[e.values[i].Name] = i
			}
		}
	})
	return e
}

// front is what the front matter of a place was decoded into.
func front(j *journal.Journal, p journal.Place) any {
	switch {
	case p.Page != nil:
		return p.Page
	case p.Run != nil:
		return p.Run
	case p.Version != nil:
		return p.Version
	case p.Vehicle != nil:
		return p.Vehicle
	default:
		return j
	}
}

// value finds a value of a place by its name, or one of its names.
func (e *entry) value(name string) (Value, bool) {
	if i := e.stated.find(strings.Split(name, ".")); i > 0 {
		return e.values[i-1], true
	}
	i, ok := e.named[name]
	if !ok {
		return Value{}, false
	}
	return e.values[i], true
}

// Find finds what a sentence at a place is bound to by `value:`. What is named is the value of a place, written as its NAME
// alone for the place itself and what it belongs to, else OWNER/NAME with the owner as VERSION/RUN, RUN, VERSION, VEHICLE and
// so on, read from the place's own version and vehicle outwards; or a comparison of two such values of one dimension,
// FIRST/over/SECOND or FIRST/less/SECOND. The error says why it is bound to nothing, in words for the maker.
//
// The uncertainty of a comparison is that of two independent values (JCGM 100:2008, 5.1.2). Where both were measured with one
// instrument their errors are in part the same; what is stated is then too large rather than too small.
func (x *Index) Find(at journal.Place, target string) (Value, *journal.TargetError) {
	parts := strings.Split(target, "/")
	if slices.Contains(parts, "") {
		return Value{}, journal.NamesNothing(notes.ValueScheme, target)
	}
	if v, ok := x.single(at, parts); ok {
		return v, nil
	}
	for i := 1; i+1 < len(parts); i++ {
		if parts[i] != over && parts[i] != less {
			continue
		}
		first, ok := x.single(at, parts[:i])
		if !ok {
			return Value{}, x.unknown(at, parts[:i])
		}
		second, ok := x.single(at, parts[i+1:])
		if !ok {
			return Value{}, x.unknown(at, parts[i+1:])
		}
		return compare(first, second, parts[i])
	}
	return Value{}, x.unknown(at, parts)
}

// single finds one value: the longest owner that is there is taken first.
func (x *Index) single(at journal.Place, parts []string) (Value, bool) {
	for i := len(parts) - 1; i >= 0; i-- {
		name := strings.Join(parts[i:], "/")
		for _, p := range x.owned(at, parts[:i]) {
			if v, ok := x.entry(p).value(name); ok {
				return v, true
			}
		}
	}
	return Value{}, false
}

// owned lists what the parts before a name stand for: the owner that they name, seen from a place; without any, the place
// itself and what it belongs to.
func (x *Index) owned(at journal.Place, parts []string) []journal.Place {
	if len(parts) == 0 {
		return outwards(at)
	}
	owner := strings.Join(parts, "/")
	if at.Version != nil {
		if p, ok := x.owners[at.Version.Path()+"/"+owner]; ok {
			return []journal.Place{p}
		}
	}
	if at.Vehicle != nil {
		if p, ok := x.owners[at.Vehicle.Slug+"/"+owner]; ok {
			return []journal.Place{p}
		}
	}
	if p, ok := x.owners[owner]; ok {
		return []journal.Place{p}
	}
	return nil
}

// outwards lists the place itself and what it stands in.
func outwards(at journal.Place) []journal.Place {
	var out []journal.Place
	if at.Page != nil {
		out = append(out, journal.Place{Page: at.Page})
	}
	if at.Run != nil {
		out = append(out, at.Run.Place())
	}
	if at.Version != nil {
		out = append(out, at.Version.Place())
	}
	if at.Vehicle != nil {
		out = append(out, at.Vehicle.Place())
	}
	return append(out, journal.Place{})
}

// unknown says why there is nothing of a name: what is most likely meant is told by the longest owner that is there.
func (x *Index) unknown(at journal.Place, parts []string) *journal.TargetError {
	j := x.journal
	i := len(parts) - 1
	owners := x.owned(at, parts[:i])
	for len(owners) == 0 {
		i--
		owners = x.owned(at, parts[:i])
	}
	name := strings.Join(parts[i:], "/")
	var known []string
	for _, p := range owners {
		for _, v := range x.At(p) {
			known = append(known, v.Name)
		}
	}
	near := notes.DidYouMean(name, known)
	var e *journal.TargetError
	switch {
	case i > 0:
		where := strings.TrimSuffix(owners[0].Address(), "/")
		e = &journal.TargetError{Text: fmt.Sprintf("`%s` has no value `%s`%s", where, name, near), Remedy: "`voltwright values " + where + "` lists what it has."}
		if i+1 < len(parts) && near == "" { // perhaps it is the owner that is mistyped
			if mistyped, near := j.Unseen(at, parts[:len(parts)-1]); near {
				e = mistyped
			}
		}
	case len(parts) == 1:
		e = &journal.TargetError{Text: fmt.Sprintf("nothing here has a value `%s`%s", name, near), Remedy: "write it as " + journal.ExampleTarget(notes.ValueScheme) + "; `voltwright values` with a version or a run lists what there is." + j.RunsNear(at)}
	default:
		e, _ = j.Unseen(at, parts[:len(parts)-1])
	}
	e.Follows = j.LeadsToFaulty(parts) || j.Faulty(owners[0])
	return e
}

// Faulty says whether the note that a value is of, or one of the two of a comparison, has errors of its own: then the value
// may rest on less than what its maker wrote.
func (x *Index) Faulty(v Value) bool {
	if v.Pair != nil {
		return x.Faulty(v.Pair.First) || x.Faulty(v.Pair.Second)
	}
	return x.journal.Faulty(v.Place)
}

// Opening is the first paragraph of a note as plain text: each bound number in its own words, or as it is now where the
// sentence leaves it to the data. It says whether every one of these has a value.
func (x *Index) Opening(at journal.Place) (text string, whole bool) {
	d := at.Document()
	whole = true
	text = d.Plain(d.Opening(), func(e *notes.Embed) string {
		if e.Words != "" || e.Scheme != notes.ValueScheme {
			return e.Words
		}
		if v, broken := x.Find(at, e.Target); broken == nil && v.Known() {
			return v.Words()
		}
		whole = false
		return "a value that is not known"
	})
	return text, whole
}

// IsAnswer says whether a target names an answer of a table, which is there only once a version has been predicted.
func IsAnswer(target string) bool {
	for _, part := range strings.Split(target, "/") {
		if part == "run-time" || part == "charge-time" || part == "storage-voltage" {
			return true
		}
	}
	return false
}
