package notes

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Decode fills the struct that into points to from a mapping, by the struct
// tags `key:"opens"` and `key:"opens,required"`. It is strict and reports
// everything in one go: keys that no field has, values of another kind or
// dimension, keys that are needed and not there. What it can use it fills in.
//
// A field is a [Decodable], a struct or a pointer to one (for a mapping), a
// map with string keys, or a slice of any of these. A field of type
// finding.Span with the tag `key:"@"` gets the place of the mapping itself.
// Fields without the tag are left alone. A nil node is an empty mapping without
// a place. Decode panics if into is no pointer to a struct.
func Decode(n *Node, into any, findings *finding.List) {
	v := reflect.ValueOf(into)
	if v.Kind() != reflect.Pointer || v.Elem().Kind() != reflect.Struct {
		panic(fmt.Sprintf("notes.Decode into %T: want a pointer to a struct", into))
	}
	if n == nil {
		n = &Node{Kind: Mapping}
	}
	d := &Decoder{findings: findings}
	d.structure(n, v.Elem())
}

// Decoder is what a [Decodable] reports to while it is being filled.
type Decoder struct {
	findings *finding.List
	path     []string // keys from the root
}

// Report adds an error finding about the value being decoded.
func (d *Decoder) Report(rule string, at finding.Span, text, remedy string) {
	d.report(rule, at, text, remedy)
}

// Struct decodes a mapping into the struct that into points to, as [Decode] does.
func (d *Decoder) Struct(n *Node, into any) { d.structure(n, reflect.ValueOf(into).Elem()) }

// Path is the key being decoded, from the root: "packs.capacity".
func (d *Decoder) Path() string { return strings.Join(d.path, ".") }

func (d *Decoder) report(rule string, at finding.Span, text, remedy string) {
	d.findings.Add(finding.Finding{Rule: rule, Level: finding.Error, Span: at, Text: text, Remedy: remedy})
}

func (d *Decoder) name() string {
	if len(d.path) == 0 {
		return "the front matter"
	}
	return "`" + d.path[len(d.path)-1] + "`"
}

func (d *Decoder) within(key string, do func()) {
	d.path = append(d.path, key)
	do()
	d.path = d.path[:len(d.path)-1]
}

// Field is one key of a struct that [Decode] fills.
type Field struct {
	Key      string
	Required bool
	Index    int // in the struct
}

// Fields lists the keys of a struct type in the order of its fields.
func Fields(t reflect.Type) []Field {
	var out []Field
	for i := range t.NumField() {
		tag, ok := t.Field(i).Tag.Lookup("key")
		if !ok || tag == "@" {
			continue
		}
		name, opts, _ := strings.Cut(tag, ",")
		out = append(out, Field{Key: name, Required: opts == "required", Index: i})
	}
	return out
}

var spanType = reflect.TypeFor[finding.Span]()

func (d *Decoder) structure(n *Node, v reflect.Value) {
	fields := Fields(v.Type())
	known := make([]string, len(fields))
	for i, f := range fields {
		known[i] = f.Key
		clearUnset(v.Field(f.Index))
	}
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("key") == "@" && v.Field(i).Type() == spanType {
			v.Field(i).Set(reflect.ValueOf(n.Span))
		}
	}
	if n.Kind != Mapping {
		d.wrongKind(n, "a group of keys: "+strings.Join(known, ", "))
		return
	}
	for _, k := range n.Keys {
		i := slices.Index(known, k.Name)
		if i < 0 {
			d.UnknownKey(k, known)
			continue
		}
		d.within(k.Name, func() { d.fill(k.Value, v.Field(fields[i].Index)) })
	}
	for _, f := range fields {
		if _, there := n.Lookup(f.Key); f.Required && !there {
			at := n.Span
			if len(d.path) == 0 && at.Source != nil { // the whole front matter: say it at its start
				at.End = min(at.End, at.Start+1)
			}
			d.report(RuleMissingKey, at, fmt.Sprintf("the key `%s` is missing %s", f.Key, d.where()),
				fmt.Sprintf("add it; `voltwright explain %s` says what it means.", strings.Join(append(slices.Clone(d.path), f.Key), ".")))
		}
	}
}

func (d *Decoder) where() string {
	if len(d.path) == 0 {
		return "here"
	}
	return "in `" + d.Path() + "`"
}

// fill decodes one value. A nil node is a key without a value.
func (d *Decoder) fill(n *Node, v reflect.Value) {
	if n.Kind == Refused {
		return
	}
	if t, ok := v.Addr().Interface().(Decodable); ok {
		if n.Kind == Null {
			d.empty(n)
			return
		}
		t.DecodeNode(n, d)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if n.Kind == Null {
			d.empty(n)
			return
		}
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		d.fill(n, v.Elem())
	case reflect.Struct:
		if n.Kind == Null {
			d.empty(n)
			return
		}
		d.structure(n, v)
	case reflect.Slice:
		d.list(n, v)
	case reflect.Map:
		d.dictionary(n, v)
	default:
		panic(fmt.Sprintf("notes.Decode: the field for %s has the type %s", d.Path(), v.Type()))
	}
}

func (d *Decoder) list(n *Node, v reflect.Value) {
	switch n.Kind {
	case Null:
		d.empty(n)
		return
	case Sequence:
	default:
		d.wrongKind(n, "a list, each item after `- ` or all of them in [ ]")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(n.Items), len(n.Items))
	for i, item := range n.Items {
		clearUnset(out.Index(i))
		d.fill(item, out.Index(i))
	}
	v.Set(out)
}

func (d *Decoder) dictionary(n *Node, v reflect.Value) {
	if n.Kind != Mapping {
		d.wrongKind(n, "a group of keys")
		return
	}
	v.Set(reflect.MakeMap(v.Type()))
	for _, k := range n.Keys {
		key := reflect.New(v.Type().Key()).Elem()
		key.SetString(k.Name)
		value := reflect.New(v.Type().Elem()).Elem()
		clearUnset(value)
		d.within(k.Name, func() { d.fill(k.Value, value) })
		v.SetMapIndex(key, value)
	}
}

// clearUnset gives a field the state "not written", which for a quantity is NaN and not zero.
func clearUnset(v reflect.Value) {
	if c, ok := v.Addr().Interface().(interface{ clear() }); ok {
		c.clear()
		return
	}
	if v.Kind() == reflect.Struct {
		for _, f := range Fields(v.Type()) {
			clearUnset(v.Field(f.Index))
		}
	}
}

func (d *Decoder) empty(n *Node) {
	d.report(RuleEmptyValue, n.Span, d.name()+" has no value", "write the value, or leave the key out.")
}

func (d *Decoder) wrongKind(n *Node, want string) {
	if n.Kind == Null && len(d.path) > 0 {
		d.empty(n)
		return
	}
	d.report(RuleWrongKind, n.Span, fmt.Sprintf("%s is %s where %s belongs", d.name(), n.Kind, strings.SplitN(want, ":", 2)[0]), "write "+want+".")
}

func (d *Decoder) scalar(n *Node, want string) bool {
	if n.Kind == Scalar {
		return true
	}
	d.wrongKind(n, want)
	return false
}

// quantity reads a scalar of a dimension.
func (d *Decoder) quantity(n *Node, dim quantity.Dimension) (quantity.Quantity, bool) {
	if !d.scalar(n, "a value with its unit, such as "+dim.Example()) {
		return quantity.Quantity{}, false
	}
	return d.parse(n, n.Text, dim)
}

func (d *Decoder) parse(n *Node, text string, dim quantity.Dimension) (quantity.Quantity, bool) {
	text = strings.TrimSpace(text)
	q, err := quantity.ParseAs(text, dim)
	if err == nil {
		return q, true
	}
	if plainNumber(text) {
		example := dim.Example()
		if _, unit, ok := strings.Cut(example, " "); ok {
			example = text + " " + unit
		}
		if dim == quantity.Time { // an example of it has several units
			example = text + " s, or " + text + " min"
		}
		if dim == quantity.Length { // a lead and a run are lengths
			example = text + " mm, or " + example
		}
		d.report(RuleMissingUnit, n.Span, fmt.Sprintf("%s: %s has no unit; write e.g. %s", d.name(), clip(text), example), "write the unit after the number, with a space between.")
		return q, false
	}
	if other, otherErr := quantity.Parse(text); otherErr == nil && other.Dimension != dim {
		d.report(RuleWrongDimension, n.Span, fmt.Sprintf("%s: %s", d.name(), err), "write a value such as "+dim.Example()+".")
		return q, false
	}
	d.parseError(n, text, err, dim.Example())
	return q, false
}

// parseError reports what quantity could not read, at the character it stopped
// at if the scalar was written without quotes and in one line.
func (d *Decoder) parseError(n *Node, text string, err error, example string) {
	at := n.Span
	var pe *quantity.ParseError
	if errors.As(err, &pe) && !n.Quoted && n.Text == text && int64(len(text)) == at.End-at.Start && pe.Offset > 0 && pe.Offset < len(text) && utf8.RuneStart(text[pe.Offset]) {
		at.Start += int64(pe.Offset)
	}
	d.report(RuleNotAQuantity, at, fmt.Sprintf("%s: %s", d.name(), err), "write a value such as "+example+".")
}

func plainNumber(text string) bool {
	return text != "" && strings.Trim(text, "+-0123456789.,_eE") == "" && strings.ContainsAny(text, "0123456789")
}

// DidYouMean is the end of a message that names the nearest known word, "" if none is near.
func DidYouMean(word string, known []string) string {
	if near, ok := finding.Nearest(word, known); ok {
		return fmt.Sprintf("; did you mean `%s`?", near)
	}
	return ""
}

// clip keeps a message readable when the text it quotes is not.
func clip(text string) string {
	const limit = 60
	text = strings.Join(strings.Fields(text), " ")
	if utf8.RuneCountInString(text) <= limit {
		return text
	}
	return string([]rune(text)[:limit]) + "…"
}

// UnknownKey reports a key that is none of the known ones.
func (d *Decoder) UnknownKey(k Key, known []string) {
	remedy := fmt.Sprintf("allowed %s: %s.", d.where(), strings.Join(known, ", "))
	if k.Value == nil || k.Value.Kind == Null { // `ends: ring M6, crimp` within braces
		remedy = "if it belongs to the value before it, put both in [ ], or in quotes: a comma begins a new key. " + strings.ToUpper(remedy[:1]) + remedy[1:]
	}
	if strings.ContainsAny(k.Name, "“”„‘’") {
		remedy = `write plain quotes, " or ', in place of the curved ones.`
	}
	d.report(RuleUnknownKey, k.Span, fmt.Sprintf("unknown key `%s`%s", clip(k.Name), DidYouMean(k.Name, known)), remedy)
}

// Within decodes the value of a key into the value that into points to.
func (d *Decoder) Within(k Key, into any) {
	d.within(k.Name, func() { d.fill(k.Value, reflect.ValueOf(into).Elem()) })
}

// WrongKind reports a node of another kind than the one wanted.
func (d *Decoder) WrongKind(n *Node, want string) { d.wrongKind(n, want) }

// Words reads a scalar as it is written; false, and a finding, if it is none.
func (d *Decoder) Words(n *Node, want string) (string, bool) { return n.Text, d.scalar(n, want) }
