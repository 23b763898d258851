// Package recorded holds what a test computes to what was computed before and is kept beside it, number by number. It is
// for tests alone: no package of the product imports it.
//
// A record is no oracle. It says that an answer is what it was, and not that it is right: what is right is told by checks
// against something from outside, and a record stands beside them as a net, read by whoever writes it anew.
package recorded

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Case is one answer under a name.
type Case struct {
	Name  string
	Value any
}

// Update is the variable that has records written anew.
const Update = "VOLTWRIGHT_UPDATE"

// same is how far apart two numbers may be that are written with six digits: one in the last of them either way.
const same = 1.5e-5

// Hold compares cases with a file, or writes it where Update is set. short are types whose values are told by their Name
// alone, as "battery.Chemistry".
func Hold(t testing.TB, file string, cases []Case, short ...string) {
	t.Helper()
	var out strings.Builder
	for _, c := range cases {
		fmt.Fprintf(&out, "== %s\n", c.Name)
		w := writer{out: &out, short: short}
		w.value("", reflect.ValueOf(c.Value))
	}
	if Updating() {
		write(t, file, out.String())
		return
	}
	for _, d := range Differences(read(t, file), out.String()) {
		t.Errorf("%s: %s", file, d)
	}
}

// most is how many differences are told.
const most = 12

// Differences tells what is another in got than in want, case by case and line by line.
func Differences(want, got string) []string {
	w, g := parts(want), parts(got)
	var out []string
	for _, name := range names(w, g) {
		if len(out) >= most {
			return append(out[:most], "and more")
		}
		a, b := w[name], g[name]
		for _, line := range names(a, b) {
			x, is := a[line]
			y, has := b[line]
			switch {
			case !has:
				out = append(out, fmt.Sprintf("%s: %s is gone; it was %s", name, line, x))
			case !is:
				out = append(out, fmt.Sprintf("%s: %s is %s; there was none", name, line, y))
			case !alike(x, y):
				out = append(out, fmt.Sprintf("%s: %s is %s; it was %s", name, line, y, x))
			}
		}
	}
	return out
}

// parts takes a record apart: cases, and in each its lines by what they are called.
func parts(text string) map[string]map[string]string {
	out := map[string]map[string]string{}
	var now map[string]string
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		if name, ok := strings.CutPrefix(line, "== "); ok {
			now = map[string]string{}
			out[name] = now
			continue
		}
		if name, value, ok := strings.Cut(line, " "); ok && now != nil {
			now[name] = value
		}
	}
	return out
}

func names[V any](a, b map[string]V) []string {
	var out []string
	for name := range a {
		out = append(out, name)
	}
	for name := range b {
		if _, is := a[name]; !is {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// alike says whether two values are the same, numbers to their last digit.
func alike(a, b string) bool {
	if a == b {
		return true
	}
	x, y := strings.Fields(a), strings.Fields(b)
	if len(x) != len(y) || strings.HasPrefix(a, `"`) {
		return false
	}
	for i := range x {
		if x[i] == y[i] {
			continue
		}
		p, err := strconv.ParseFloat(x[i], 64)
		q, fault := strconv.ParseFloat(y[i], 64)
		if err != nil || fault != nil || !(math.Abs(p-q) <= same*max(math.Abs(p), math.Abs(q))) {
			return false
		}
	}
	return true
}

// writer writes values as lines of path and value. What is nothing is left out.
type writer struct {
	out   *strings.Builder
	short []string
}

func (w writer) line(path, value string) {
	if path == "" {
		path = "."
	}
	fmt.Fprintf(w.out, "%s %s\n", path, value)
}

func digits(x float64) string {
	if math.Abs(x) < 1e-12 { // what is left of a difference of two like numbers
		x = 0
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

func (w writer) value(path string, v reflect.Value) {
	if !v.IsValid() || v.IsZero() {
		return
	}
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		w.line(path, digits(v.Float()))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.line(path, strconv.FormatInt(v.Int(), 10))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		w.line(path, strconv.FormatUint(v.Uint(), 10))
	case reflect.Bool:
		w.line(path, "yes")
	case reflect.String:
		w.line(path, strconv.Quote(v.String()))
	case reflect.Pointer, reflect.Interface:
		w.value(path, v.Elem())
	case reflect.Slice, reflect.Array:
		w.list(path, v)
	case reflect.Map:
		w.pairs(path, v)
	case reflect.Struct:
		w.fields(path, v)
	}
}

func (w writer) fields(path string, v reflect.Value) {
	if slices.Contains(w.short, v.Type().String()) {
		if name := v.FieldByName("Name"); name.IsValid() && name.Kind() == reflect.String {
			w.line(path, strconv.Quote(name.String()))
		}
		return
	}
	if v.Type().PkgPath() == "sync" {
		return
	}
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		if value := v.FieldByName("Value"); name == "Present" && value.IsValid() && !value.IsZero() {
			continue // of a quantity.Measured: the value says that it is there
		}
		w.value(path+"."+name, v.Field(i))
	}
}

func (w writer) pairs(path string, v reflect.Value) {
	byName := map[string]reflect.Value{}
	for _, key := range v.MapKeys() {
		byName[strings.ReplaceAll(fmt.Sprint(key), " ", "_")] = v.MapIndex(key)
	}
	for _, name := range names(byName, nil) {
		w.value(path+"["+name+"]", byName[name])
	}
}

// longest is how many numbers of a list are written; a longer one is told by how many there are, the first and the last,
// their sum and that of their squares, and the sum of each times its place.
const longest = 12

func (w writer) list(path string, v reflect.Value) {
	n := v.Len()
	if kind := v.Type().Elem().Kind(); kind != reflect.Float64 {
		if n > 4*longest {
			w.line(path+".len", strconv.Itoa(n))
		}
		for i := range n {
			if n > 4*longest && i%(n/longest) != 0 && i != n-1 { // some of very many
				continue
			}
			w.value(path+"["+strconv.Itoa(i)+"]", v.Index(i))
		}
		return
	}
	var all []string
	var sum, squares, places float64
	for i := range n {
		x := v.Index(i).Float()
		if n <= longest {
			all = append(all, digits(x))
		}
		if !math.IsNaN(x) {
			sum, squares, places = sum+x, squares+x*x, places+x*float64(i)
		}
	}
	if n > longest {
		all = []string{strconv.Itoa(n), digits(v.Index(0).Float()), digits(v.Index(n - 1).Float()), digits(sum), digits(squares), digits(places)}
	}
	w.line(path, strings.Join(all, " "))
}
