package journal

import (
	"math"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// listed holds a part of the wiring to what the parts list says of it: where both state what it stands, the lesser
// holds. The rating of a fuse or breaker is what opens it, so there the two have to agree.
func (v *Version) listed(p *WiringPart, f filler, out *circuit.Part) {
	for i := range v.Parts {
		l := &v.Parts[i]
		if !l.IsWired(p.Name.Text) {
			continue
		}
		if out.Kind == circuit.Fuse || out.Kind == circuit.Breaker {
			take(f, "current", p.Current, l.Current.Stated(), l.Current.Span, &out.Current)
		} else {
			lesser(l.Current, &out.Current)
		}
		lesser(l.Peak, &out.Peak)
		if out.Kind != circuit.Pack {
			lesser(l.Volts, &out.Ratings.Volts)
		}
	}
}

// IsWired tells whether the part is one of the wiring: by the names that it states there, else by its own.
func (p *Part) IsWired(name string) bool {
	if len(p.WiredAs) == 0 {
		return PartKey(p.Name.Text) == PartKey(name)
	}
	for _, n := range p.WiredAs {
		if PartKey(n.Text) == PartKey(name) {
			return true
		}
	}
	return false
}

func lesser[K quantity.Kind](listed notes.Value[K], into *K) {
	if s := listed.Stated(); s.Known() && (!(*into > 0) || s.Value < *into) {
		*into = s.Value
	}
}

// clash is a value that the wiring and another place of the spec state, and not alike.
type clash struct {
	key        string
	own, other finding.Span
	written    string // in the wiring
	there      string // in the other place
}

// filler takes values from the rest of the spec.
type filler struct{ clash func(clash) }

// take fills in a value that the wiring leaves to another place of the spec.
func take[K quantity.Kind](f filler, key string, own notes.Value[K], there quantity.Measured[K], at finding.Span, into *K) {
	switch {
	case !there.Known():
	case !own.Known():
		*into = there.Value
	case math.Abs(float64(own.Value-there.Value)) > 1e-9*math.Abs(float64(there.Value)) && f.clash != nil:
		f.clash(clash{key, own.Span, at, own.Written, there.String()})
	}
}
