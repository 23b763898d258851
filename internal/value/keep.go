package value

import (
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// Keep fills what out points to with what a step came to before for the same journal, or has it computed and keeps that. Everything that out
// points to is in exported fields.
type Keep func(step string, out any, compute func() error) error

// KeepWith has the values of places that rest on results kept between runs of the program: who reads one sentence needs few of them, and
// none of the results. It is to be called before any value is asked for; what keep keeps must be kept for all that is computed of the journal.
func (x *Index) KeepWith(keep Keep) { x.keep = keep }

// keptValue is a value that was computed, as it is kept.
type keptValue struct {
	Name, Label, Currency, Formula, From string
	Form                                 Form
	Kind                                 Kind
	Known                                bool
	Quantity                             quantity.Quantity
	Why                                  string
}

// computedBefore are the computed values of a place, from what is kept of them where they rest on results.
func (x *Index) computedBefore(p journal.Place) []Value {
	if x.keep == nil || p.Page != nil || p.Version == nil {
		return x.computed(p)
	}
	var all []keptValue
	var now []Value
	_ = x.keep("values of "+p.Address(), &all, func() error { // computing does not fail
		now = x.computed(p)
		for _, v := range now {
			k := keptValue{Name: v.Name, Label: v.Label, Currency: v.Currency, Formula: v.Formula, From: v.From, Form: v.Form, Kind: v.Kind}
			if k.Quantity, k.Known = v.Quantity.Get(); !k.Known {
				k.Why = v.Quantity.Why()
			}
			all = append(all, k)
		}
		return nil
	})
	if now != nil {
		return now
	}
	out := make([]Value, 0, len(all))
	for _, k := range all {
		v := Value{Name: k.Name, Label: k.Label, Currency: k.Currency, Formula: k.Formula, From: k.From, Form: k.Form, Kind: k.Kind}
		if k.Known {
			v.Quantity = quantity.Some(k.Quantity)
		} else {
			v.Quantity = quantity.None[quantity.Quantity](k.Why)
		}
		out = append(out, v)
	}
	return out
}
