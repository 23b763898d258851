package predict

import (
	"errors"
	"reflect"
	"slices"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// shelf keeps what steps come to, by their names.
type shelf struct {
	kept     map[string]any
	computed []string
}

func (s *shelf) keep(step string, out any, compute func() error) error {
	if v, is := s.kept[step]; is {
		reflect.ValueOf(out).Elem().Set(reflect.ValueOf(v))
		return nil
	}
	s.computed = append(s.computed, step)
	if err := compute(); err != nil {
		return err
	}
	s.kept[step] = reflect.ValueOf(out).Elem().Interface()
	return nil
}

// What was kept of the steps of an answer gives the same answer, of which nothing is computed again; no two steps have one name.
func TestKeptSteps(t *testing.T) {
	shallow := plainLFP(8)
	shallow.longest, shallow.every, shallow.after = 6000, 60, 0
	b := bank(t, func(b *Bank) {
		b.Packs[0].Resistance = quantity.Exact(quantity.Ohms(0.08))
		b.Packs = append(b.Packs, b.Packs[0])
		b.Packs[1].Name = "two"
	})
	runs := []Run{shallow.run(t, "shallow", nil), carried(nil)}
	for _, asked := range [][]Load{nil, {asked("x", battery.Delivering(150), 1), asked("y", battery.Delivering(300), 1)}} {
		plain := told(Compute(b, runs, Options{Asked: asked}))
		packs, others := &shelf{kept: map[string]any{}}, &shelf{kept: map[string]any{}}
		o := Options{Asked: asked, PackCache: packs.keep, RequestCache: others.keep}
		for n := range 2 {
			if got := told(Compute(b, runs, o)); got != plain {
				t.Errorf("time %d: another answer\n%s\n%s", n, got, plain)
			}
			for _, s := range []*shelf{packs, others} {
				slices.Sort(s.computed)
				if len(s.computed) < 2 || len(slices.Compact(slices.Clone(s.computed))) != len(s.computed) {
					t.Errorf("time %d: computed %q", n, s.computed)
				}
			}
		}
	}
	fault := errors.New("none")
	if err := (Cache)(nil).step("a", nil, func() error { return fault }); !errors.Is(err, fault) || (Cache)(nil).under("a") != nil {
		t.Errorf("%v", err)
	}
	s := &shelf{kept: map[string]any{}}
	var x int
	if err := Cache(s.keep).under("a").step("b", &x, func() error { x = 3; return nil }); err != nil || s.kept["a b"] != 3 {
		t.Errorf("%v, %v", err, s.kept)
	}
	if err := Cache(s.keep).step("c", &x, func() error { return fault }); !errors.Is(err, fault) || s.kept["c"] != nil {
		t.Errorf("%v, %v", err, s.kept)
	}
}
