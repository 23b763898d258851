package value

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// step is one step of the path of a stated value: a key, or an item of a list. An item is called by its name, by words that
// no other name begins with, by its number from 1, or by nothing where it is the only one.
type step struct {
	before  *step
	name    string   // as it is listed
	also    []string // other ways to call it
	without bool     // it may be left out

	node *node // nil until something stands at the end of it
}

// node is where the ways to name stated values meet.
type node struct {
	called map[string][]*node // by what comes next in the path
	only   *node              // reached by nothing
	value  int                // the place among the stated values, from 1; 0 where none ends here
}

// at is the node of a step, made where it is not there yet. A nil step is the note itself.
func (w *statedWalk) at(s *step) *node {
	switch {
	case s == nil:
		return &w.root
	case s.node != nil:
		return s.node
	}
	s.node = &node{}
	n := w.at(s.before)
	if n.called == nil {
		n.called = map[string][]*node{}
	}
	for _, name := range append([]string{s.name}, s.also...) {
		n.called[name] = append(n.called[name], s.node)
	}
	if s.without {
		n.only = s.node
	}
	return s.node
}

// find is the number of the value that a path names, from 1: the first that is stated where it names several. 0 is none.
func (n *node) find(path []string) int {
	if n == nil {
		return 0
	}
	first := n.only.find(path)
	if len(path) == 0 {
		return earlier(first, n.value)
	}
	for _, next := range n.called[path[0]] {
		first = earlier(first, next.find(path[1:]))
	}
	return first
}

func earlier(a, b int) int {
	if a == 0 || b != 0 && b < a {
		return b
	}
	return a
}

// statedIn lists the values that a note's front matter states, in the order of its keys, and how each may be named. into is a
// pointer to what it was decoded into.
func statedIn(j *journal.Journal, into any) ([]Value, *node) {
	w := &statedWalk{journal: j}
	w.structure(reflect.ValueOf(into).Elem(), nil, "")
	return w.out, &w.root
}

type statedWalk struct {
	journal *journal.Journal
	out     []Value
	root    node
}

func (w *statedWalk) structure(v reflect.Value, to *step, keys string) {
	for _, f := range notes.Fields(v.Type()) {
		key := strings.TrimPrefix(keys+"."+f.Key, ".")
		w.field(v.Field(f.Index), &step{before: to, name: f.Key}, key, v)
	}
}

func (w *statedWalk) field(v reflect.Value, to *step, key string, group reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			w.field(v.Elem(), to, key, group)
		}
		return
	case reflect.Slice:
		if facts, is := v.Interface().([]journal.Fact); is {
			w.facts(facts, to)
			return
		}
		w.list(v, to, key)
		return
	}
	switch x := v.Addr().Interface().(type) {
	case *notes.Line:
		w.field(reflect.ValueOf(&x.Word).Elem(), to, key, group)
	case *notes.Word:
		if x.Set {
			w.add(to, key, x.Span, Value{Form: FormName, Text: []string{x.Text}})
		}
	case *notes.Integer:
		if x.Set {
			w.add(to, key, x.Span, Value{Form: FormCount, Quantity: quantity.Some(quantity.Exact(quantity.Number(x.Value)).Quantity())})
		}
	case *notes.Decimal:
		if x.Set {
			currency := w.journal.Currency.Text
			if c := group.FieldByName("Currency"); c.IsValid() {
				if own, is := c.Interface().(notes.Word); is && own.Set {
					currency = own.Text
				}
			}
			w.add(to, key, x.Span, Value{Form: FormPrice, Currency: currency, Quantity: quantity.Some(quantity.Exact(quantity.Number(x.Value)).Quantity())})
		}
	case *notes.Date:
		if x.Set {
			w.add(to, key, x.Span, Value{Form: FormDate, Day: *x})
		}
	case *notes.Amount:
		if x.Set {
			w.add(to, key, x.Span, Value{Form: FormNumber, Quantity: quantity.Some(x.Quantity)})
		}
	case *journal.Protection:
		if x.Set && !x.None {
			w.structure(reflect.ValueOf(&x.ProtectionPoints).Elem(), to, key)
		}
	case interface {
		AsWritten() (quantity.Quantity, bool)
	}:
		if q, ok := x.AsWritten(); ok {
			w.add(to, key, spanOf(v), Value{Form: FormNumber, Quantity: quantity.Some(q)})
		}
	case interface {
		Ends() (from, to quantity.Quantity, ok bool)
	}:
		if low, high, ok := x.Ends(); ok {
			w.add(&step{before: to, name: "from"}, key, spanOf(v), Value{Form: FormNumber, Quantity: quantity.Some(low)})
			w.add(&step{before: to, name: "to"}, key, spanOf(v), Value{Form: FormNumber, Quantity: quantity.Some(high)})
		}
	case interface {
		Chosen() (word, meaning string, ok bool)
	}:
		if word, meaning, ok := x.Chosen(); ok {
			w.add(to, key, spanOf(v), Value{Form: FormName, Text: []string{word, meaning}})
		}
	default:
		if v.Kind() == reflect.Struct {
			w.structure(v, to, key)
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

func (w *statedWalk) add(to *step, key string, at finding.Span, v Value) {
	var names []string
	for s := to; s != nil; s = s.before {
		names = append(names, s.name)
	}
	slices.Reverse(names)
	v.Name, v.Span, v.Kind = strings.Join(names, "."), at, Quoted
	v.Label = journal.KeyTitle(key)
	if v.Label == "" {
		v.Label = key
	}
	w.out = append(w.out, v)
	if n := w.at(to); n.value == 0 {
		n.value = len(w.out)
	}
}

// facts are called by their names alone.
func (w *statedWalk) facts(facts []journal.Fact, to *step) {
	for i, f := range facts {
		if !f.Value.Set || !f.Name.Set {
			continue
		}
		w.add(&step{before: to, name: notes.Slug(f.Name.Text), also: []string{strconv.Itoa(i + 1)}}, "facts", f.Value.Span,
			Value{Form: FormNumber, Quantity: quantity.Some(f.Value.Quantity), From: f.From.Text})
		w.out[len(w.out)-1].Label = f.Name.Text
	}
}

func (w *statedWalk) list(v reflect.Value, to *step, key string) {
	n := v.Len()
	slugs := make([]string, n)
	begun := map[string]int{} // how many names are these words, or begin with them
	for i := range n {
		item := v.Index(i)
		if item.Kind() == reflect.Struct {
			if f := item.FieldByName("Name"); f.IsValid() {
				if word, is := f.Interface().(notes.Word); is && word.Set {
					slugs[i] = notes.Slug(word.Text)
				}
			}
		}
		for at := range slugs[i] {
			if slugs[i][at] == '-' {
				begun[slugs[i][:at]]++
			}
		}
		begun[slugs[i]]++
	}
	for i := range n {
		s := &step{before: to, name: strconv.Itoa(i + 1), without: n == 1}
		if slugs[i] != "" && begun[slugs[i]] == 1 {
			s.also = append(s.also, s.name)
			s.name = slugs[i]
			for at := range slugs[i] {
				if slugs[i][at] == '-' && begun[slugs[i][:at]] == 1 {
					s.also = append(s.also, slugs[i][:at])
				}
			}
		}
		w.field(v.Index(i), s, key, v.Index(i))
	}
}
