// Package everyfield asks of a comparison whether it looks at every field of what it compares. It is for tests alone: no
// package of the product imports it.
package everyfield

import (
	"maps"
	"reflect"
	"slices"
	"testing"
)

// Matters gives every field of a struct another value, one at a time; a field of numbers gets each of them changed
// alone. Fields that are left out are named with the reason why they do not matter.
func Matters[T any](t testing.TB, like T, irrelevant map[string]string, unlike func(a, b T) bool) {
	t.Helper()
	left := maps.Clone(irrelevant)
	typ := reflect.TypeFor[T]()
	for i := range typ.NumField() {
		name := typ.Field(i).Name
		if _, is := irrelevant[name]; is {
			delete(left, name)
			continue
		}
		other := like
		if !alter(reflect.ValueOf(&other).Elem().Field(i)) {
			t.Errorf("%s.%s: no other value is known", typ, name)
		} else if !unlike(like, other) || !unlike(other, like) {
			t.Errorf("%s: two that differ in %s are taken for alike, and no reason is given why it does not matter", typ, name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(left)) {
		t.Errorf("%s has no field %s", typ, name)
	}
	if unlike(like, like) {
		t.Errorf("%s: one is unlike itself", typ)
	}
}

// alter gives a value another one.
func alter(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(v.Float()*1.5 + 1)
	case reflect.Int, reflect.Int64:
		v.SetInt(v.Int() + 1)
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.String:
		v.SetString(v.String() + "x")
	case reflect.Struct:
		if present := v.FieldByName("Present"); present.IsValid() { // of a quantity.Measured
			present.SetBool(true)
		}
		for _, name := range []string{"Measured", "Value", "Text", "Year"} { // of a stated value, what it is of a quantity
			if f := v.FieldByName(name); f.IsValid() {
				if set := v.FieldByName("Set"); set.IsValid() {
					set.SetBool(true)
				}
				return alter(f)
			}
		}
		return false
	default:
		return false
	}
	return true
}
