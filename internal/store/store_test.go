package store

import (
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

type cell struct {
	Name  string
	Volts []float64
	Of    map[string]int
	by    *cell
	told  func()
}

func open(t *testing.T) (*Store, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "kept")
	s, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return s, dir
}

func TestKeptIsFound(t *testing.T) {
	s, _ := open(t)
	k := KeyOf("step", 1)
	want := cell{Name: "a", Volts: []float64{1, math.NaN(), math.Inf(1), 5e-324}, Of: map[string]int{"b": 2}}
	var got cell
	if s.Get(k, &got) {
		t.Error("something is kept in an empty store")
	}
	s.Put(k, want)
	if !s.Get(k, &got) || KeyOf("", got) != KeyOf("", want) {
		t.Errorf("kept %+v, found %+v", want, got)
	}
	var nothing *cell
	s.Put(k.Of("nothing"), &nothing)
	if s.Get(k.Of("nothing"), &nothing) {
		t.Error("nothing was kept as something")
	}
	if s.Get(Key{}, &got) {
		t.Error("the zero key finds something")
	}
	var none *Store
	none.Put(k, want)
	if none.Get(k, &got) {
		t.Error("no store finds something")
	}
}

// Any two inputs that differ anywhere have two keys, and the same input has the same.
func TestKeysTellInputsApart(t *testing.T) {
	keyed := func(change func(*cell)) Key {
		inner := &cell{Name: "in", Volts: []float64{3, 4}}
		c := cell{Name: "out", Volts: []float64{1, 2}, Of: map[string]int{"x": 1, "y": 2, "z": 3}, by: inner}
		change(&c)
		return KeyOf("step", c, 7)
	}
	same := func(*cell) {}
	if first, again := keyed(same), keyed(same); first != again {
		t.Fatal("one input has two keys")
	}
	keys := map[Key]string{keyed(same): "as it is"}
	for name, change := range map[string]func(*cell){
		"a name":            func(c *cell) { c.Name = "ou" },
		"a number":          func(c *cell) { c.Volts[1] = math.Nextafter(2, 3) },
		"a number missing":  func(c *cell) { c.Volts = c.Volts[:1] },
		"a number moved":    func(c *cell) { c.Volts[0], c.Volts[1] = c.Volts[1], c.Volts[0] },
		"no number":         func(c *cell) { c.Volts[1] = math.NaN() },
		"an entry":          func(c *cell) { c.Of["y"] = 3 },
		"another entry":     func(c *cell) { c.Of["w"] = 0 },
		"behind a pointer":  func(c *cell) { c.by.Volts[0] = 5 },
		"a pointer missing": func(c *cell) { c.by = nil },
		"a circle":          func(c *cell) { c.by.by = c.by },
		"a word moved":      func(c *cell) { c.Name, c.by.Name = "outi", "n" },
	} {
		k := keyed(change)
		if was, met := keys[k]; met {
			t.Errorf("%s has the key of %s", name, was)
		}
		keys[k] = name
	}
	for name, k := range map[string]Key{"another step": KeyOf("other", cell{}), "another value": KeyOf("step", cell{}, 1), "a step of it": KeyOf("step", cell{}).Of("x"), "the step": KeyOf("step", cell{}), "with more": KeyOf("step", cell{}).With(1), "two": KeyOf("step", cell{}, cell{})} {
		if was, met := keys[k]; met {
			t.Errorf("%s has the key of %s", name, was)
		}
		keys[k] = name
	}
	if KeyOf("step", math.Copysign(0, -1)) != KeyOf("step", 0.0) {
		t.Error("a zero below zero is no zero")
	}
	if keyed(func(c *cell) { c.told = func() {} }).sure {
		t.Error("a function has a key")
	}
}

// Entries that are cut short, changed or gone are not found, and no other harm is done.
func TestDamage(t *testing.T) {
	for name, damage := range map[string]func(path string, text []byte) error{
		"cut":     func(path string, text []byte) error { return os.WriteFile(path, text[:len(text)/2], 0o644) },
		"empty":   func(path string, _ []byte) error { return os.WriteFile(path, nil, 0o644) },
		"flipped": func(path string, text []byte) error { text[len(text)/2] ^= 1; return os.WriteFile(path, text, 0o644) },
		"longer":  func(path string, text []byte) error { return os.WriteFile(path, append(text, 'x'), 0o644) },
		"gone":    func(path string, _ []byte) error { return os.Remove(path) },
	} {
		t.Run(name, func(t *testing.T) {
			s, dir := open(t)
			want := cell{Name: "a", Volts: []float64{1, 2, 3}}
			s.Put(KeyOf("step"), want)
			n := 0
			err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() || d.Name() == "README" || d.Name() == "trim.txt" {
					return err
				}
				text, err := os.ReadFile(path)
				if err != nil || len(text) == 0 {
					return err
				}
				n++
				return damage(path, text)
			})
			if err != nil || n < 2 {
				t.Fatalf("%d files damaged, %v", n, err)
			}
			var got cell
			if s.Get(KeyOf("step"), &got) {
				t.Errorf("a damaged entry gave %+v", got)
			}
			s.Put(KeyOf("step"), want)
			if s, err = Open(dir); err != nil {
				t.Fatal(err)
			}
			s.Put(KeyOf("step"), want)
			got = cell{}
			if !s.Get(KeyOf("step"), &got) || got.Name != "a" {
				t.Error("the damaged entry was not made anew")
			}
		})
	}
}

// What cannot be written is not kept, and that is all.
func TestNoPlace(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(filepath.Join(file, "kept")); err == nil {
		t.Error("a store lies in a file")
	}
	s, dir := open(t)
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	s.Put(KeyOf("step"), 1)
	var got int
	if s.Get(KeyOf("step"), &got) {
		t.Error("found in a folder that is gone")
	}
}

func TestManyAtOnce(t *testing.T) {
	s, dir := open(t)
	other, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for i := range 200 {
		all.Go(func() {
			at, k := []*Store{s, other}[i%2], KeyOf("step", i/4)
			var got int
			if at.Get(k, &got) && got != i/4 {
				t.Errorf("%d kept for %d", got, i/4)
			}
			at.Put(k, i/4)
		})
	}
	all.Wait()
	for i := range 50 {
		var got int
		if !s.Get(KeyOf("step", i), &got) || got != i {
			t.Errorf("%d: %d", i, got)
		}
	}
}
