package journal

import (
	"reflect"
	"slices"
	"testing"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

func pathsOf(keys []FrontKey, each func(FrontKey)) {
	for _, k := range keys {
		each(k)
		pathsOf(k.Keys, each)
	}
}

// What is handed to programs is what people are told: the same keys, each with
// its text, its example and a shape that is known.
func TestFrontsHaveEveryKey(t *testing.T) {
	var got, want []string
	for _, f := range Fronts() {
		pathsOf(f.Keys, func(k FrontKey) {
			if !slices.Contains(got, k.Path) {
				got = append(got, k.Path)
			}
			if k.Shape.Of == Unlisted {
				t.Errorf("%s: nothing is known of how %s is written: say it in describe", f.Where, k.Path)
			}
			if k.Title == "" || k.Example == nil {
				t.Errorf("%s: the key %s has no title or no example", f.Where, k.Path)
			}
		})
	}
	for _, k := range keys() {
		want = append(want, k.path)
	}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("keys %v, the key table has %v", got, want)
	}
}

// A field with a tag is a key, whatever it is.
func TestAFieldIsAKeyOfItsFront(t *testing.T) {
	type inner struct {
		Depth notes.Value[quantity.Metres] `key:"depth,required"`
	}
	type wider struct {
		Name    notes.Word            `key:"name,required"`
		Colours []notes.Choice[State] `key:"colours"`
		Inner   []inner               `key:"inner"`
		Words   Names                 `key:"words"`
		Left    int
	}
	got := frontKeys(reflect.TypeFor[wider](), "")
	if len(got) != 4 || !got[0].Required || got[0].Shape.Of != Text {
		t.Fatalf("%+v", got)
	}
	if s := got[1].Shape; s.Of != OneWord || !s.List || len(s.Options) == 0 {
		t.Errorf("%+v", s)
	}
	if k := got[2]; k.Shape.Of != Group || !k.Shape.List || len(k.Keys) != 1 || k.Keys[0].Path != "inner.depth" || k.Keys[0].Shape.Dimension != quantity.Length || !k.Keys[0].Required {
		t.Errorf("%+v", k)
	}
	if s := got[3].Shape; s.Of != Text || !s.OrList || s.List {
		t.Errorf("%+v", s)
	}
}
