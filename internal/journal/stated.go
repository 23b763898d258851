package journal

import (
	"reflect"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// segment is one step of the path of a stated value: a key, or an item of a
// list. An item is called by its name, by words that no other name begins with, by its
// number from 1, or by nothing where it is the only one.
type segment struct {
	name    string   // as it is listed
	also    []string // other ways to call it
	without bool
}

// stated is a value of the front matter with the ways to name it.
type stated struct {
	Value
	path []segment
}

// called says whether a path names the value.
func (s stated) called(path []string) bool { return calls(s.path, path) }

func calls(segments []segment, path []string) bool {
	if len(segments) == 0 {
		return len(path) == 0
	}
	first := segments[0]
	if len(path) > 0 {
		match := first.name == path[0]
		for _, a := range first.also {
			match = match || a == path[0]
		}
		if match && calls(segments[1:], path[1:]) {
			return true
		}
	}
	return first.without && calls(segments[1:], path)
}

// statedIn lists the values that a note's front matter states, in the order of
// its keys. into is a pointer to what it was decoded into.
func (j *Journal) statedIn(into any) []stated {
	w := &statedWalk{journal: j}
	w.structure(reflect.ValueOf(into).Elem(), nil, "")
	return w.out
}

type statedWalk struct {
	journal *Journal
	out     []stated
}

func (w *statedWalk) structure(v reflect.Value, path []segment, keys string) {
	for _, f := range notes.Fields(v.Type()) {
		key := strings.TrimPrefix(keys+"."+f.Key, ".")
		w.field(v.Field(f.Index), append(path[:len(path):len(path)], segment{name: f.Key}), key, v)
	}
}

func (w *statedWalk) field(v reflect.Value, path []segment, key string, group reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			w.field(v.Elem(), path, key, group)
		}
		return
	case reflect.Slice:
		if facts, is := v.Interface().([]Fact); is {
			w.facts(facts, path)
			return
		}
		w.list(v, path, key)
		return
	}
	switch x := v.Addr().Interface().(type) {
	case *notes.Line:
		w.field(reflect.ValueOf(&x.Word).Elem(), path, key, group)
	case *notes.Word:
		if x.Set {
			w.add(path, key, x.Span, Value{Form: FormName, Text: []string{x.Text}})
		}
	case *notes.Integer:
		if x.Set {
			w.add(path, key, x.Span, Value{Form: FormCount, Quantity: quantity.Exact(quantity.Number(x.Value)).Quantity()})
		}
	case *notes.Decimal:
		if x.Set {
			currency := w.journal.Currency.Text
			if c := group.FieldByName("Currency"); c.IsValid() {
				if own, is := c.Interface().(notes.Word); is && own.Set {
					currency = own.Text
				}
			}
			w.add(path, key, x.Span, Value{Form: FormPrice, Currency: currency, Quantity: quantity.Exact(quantity.Number(x.Value)).Quantity()})
		}
	case *notes.Date:
		if x.Set {
			w.add(path, key, x.Span, Value{Form: FormDate, Day: *x})
		}
	case *notes.Amount:
		if x.Set {
			w.add(path, key, x.Span, Value{Form: FormNumber, Quantity: x.Quantity})
		}
	case *Protection:
		if x.Set && !x.None {
			w.structure(reflect.ValueOf(&x.ProtectionPoints).Elem(), path, key)
		}
	case interface {
		AsWritten() (quantity.Quantity, bool)
	}:
		if q, ok := x.AsWritten(); ok {
			w.add(path, key, spanOf(v), Value{Form: FormNumber, Quantity: q})
		}
	case interface {
		Ends() (from, to quantity.Quantity, ok bool)
	}:
		if from, to, ok := x.Ends(); ok {
			w.add(append(path[:len(path):len(path)], segment{name: "from"}), key, spanOf(v), Value{Form: FormNumber, Quantity: from})
			w.add(append(path[:len(path):len(path)], segment{name: "to"}), key, spanOf(v), Value{Form: FormNumber, Quantity: to})
		}
	case interface {
		Chosen() (word, meaning string, ok bool)
	}:
		if word, meaning, ok := x.Chosen(); ok {
			w.add(path, key, spanOf(v), Value{Form: FormName, Text: []string{word, meaning}})
		}
	default:
		if v.Kind() == reflect.Struct {
			w.structure(v, path, key)
		}
	}
}

func spanOf(v reflect.Value) finding.Span {
	if f := v.FieldByName("Span"); f.IsValid() {
		if s, is := f.Interface().(finding.Span); is {
			return s
		}
	}
	return finding.Span{}
}

func (w *statedWalk) add(path []segment, key string, at finding.Span, v Value) {
	names := make([]string, len(path))
	for i, s := range path {
		names[i] = s.name
	}
	v.Name, v.Span, v.Origin = strings.Join(names, "."), at, OfStating
	v.Label = keyDocs[key].title
	if v.Label == "" {
		v.Label = key
	}
	w.out = append(w.out, stated{v, path})
}

// facts are called by their names alone.
func (w *statedWalk) facts(facts []Fact, path []segment) {
	for i, f := range facts {
		if !f.Value.Set || !f.Name.Set {
			continue
		}
		w.add(append(path[:len(path):len(path)], segment{name: notes.Slug(f.Name.Text), also: []string{strconv.Itoa(i + 1)}}), "facts", f.Value.Span,
			Value{Form: FormNumber, Quantity: f.Value.Quantity, From: f.From.Text})
		w.out[len(w.out)-1].Label = f.Name.Text
	}
}

func (w *statedWalk) list(v reflect.Value, path []segment, key string) {
	n := v.Len()
	slugs := make([]string, n)
	for i := range n {
		item := v.Index(i)
		if item.Kind() == reflect.Struct {
			if f := item.FieldByName("Name"); f.IsValid() {
				if word, is := f.Interface().(notes.Word); is && word.Set {
					slugs[i] = notes.Slug(word.Text)
				}
			}
		}
	}
	for i := range n {
		s := segment{name: strconv.Itoa(i + 1), without: n == 1}
		if slugs[i] != "" && only(slugs, i, slugs[i]) {
			s.also = append(s.also, s.name)
			s.name = slugs[i]
			for at := range slugs[i] {
				if slugs[i][at] == '-' && only(slugs, i, slugs[i][:at]) {
					s.also = append(s.also, slugs[i][:at])
				}
			}
		}
		w.field(v.Index(i), append(path[:len(path):len(path)], s), key, v.Index(i))
	}
}

// only says whether no other name is, or begins with, these words.
func only(slugs []string, own int, words string) bool {
	for i, s := range slugs {
		if i != own && (s == words || strings.HasPrefix(s, words+"-")) {
			return false
		}
	}
	return true
}
