package schema

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// draft is the meta-schema's name; nobody needs to fetch it.
const draft = "https://json-schema.org/draft/2020-12/schema"

// JournalKind is what stands for journal.yaml among the kinds of note.
const JournalKind = "journal"

// Kinds lists what For has a schema of: the kinds of note, and journal.yaml.
func Kinds() []string {
	var out []string
	for _, f := range journal.Fronts() {
		out = append(out, nameOf(f))
	}
	return out
}

func nameOf(f journal.Front) string {
	if f.Kind == "" {
		return JournalKind
	}
	return f.Kind
}

// For is the schema of one kind; the error is for a kind that is none.
func For(kind string) ([]byte, error) {
	for _, f := range journal.Fronts() {
		if nameOf(f) == kind {
			b := &builder{}
			root := b.front(f)
			root.Schema, root.Defs = draft, b.defs
			return root.print()
		}
	}
	return nil, fmt.Errorf("there is no kind of note %q", kind)
}

// All is one schema for every kind of note and journal.yaml. It looks at `kind`
// and then judges by that kind alone, so that a slip is reported once and for
// what the note is, which a choice among all kinds would not do. Where there is
// no kind, a key that only journal.yaml has tells that it is that file.
func All() ([]byte, error) { return all(journal.Fronts()).print() }

func all(fronts []journal.Front) *document {
	b := &builder{}
	root := &document{Schema: draft, Title: "A note of a Voltwright journal",
		Description: "The front matter of a note, the YAML between its two --- lines, told apart by `kind`; or " + notes.JournalFile + ", which has no kind.",
		Type:        "object"}
	kind := &document{Title: "What the note is", Description: "It decides which other keys there are."}
	root.Properties.put("kind", kind)
	noKind := &document{Title: "A note without its kind", Required: []string{"kind"}}
	var settings *document
	for _, f := range fronts {
		name := nameOf(f)
		b.defs.put(name, b.front(f))
		to := &document{Ref: "#/$defs/" + name}
		if f.Kind == "" {
			settings = &document{Title: notes.JournalFile, AnyOf: keysAlone(f, fronts)}
			noKind = &document{If: settings, Then: to, Else: noKind}
			continue
		}
		kind.Enum = append(kind.Enum, f.Kind)
		is := &document{Required: []string{"kind"}}
		is.Properties.put("kind", &document{Const: f.Kind})
		root.AllOf = append(root.AllOf, &document{If: is, Then: to})
	}
	root.If, root.Else = &document{Required: []string{"kind"}}, noKind
	root.Defs = b.defs
	return root
}

// keysAlone asks for any of the keys that one kind of front matter has and no other.
func keysAlone(f journal.Front, fronts []journal.Front) []*document {
	var out []*document
	for _, k := range f.Keys {
		elsewhere := slices.ContainsFunc(fronts, func(other journal.Front) bool {
			return other.Kind != f.Kind && slices.ContainsFunc(other.Keys, func(o journal.FrontKey) bool { return o.Name == k.Name })
		})
		if !elsewhere {
			out = append(out, &document{Required: []string{k.Name}})
		}
	}
	return out
}

// builder keeps the definitions that the keys share: the forms of values.
type builder struct{ defs inOrder[*document] }

func (b *builder) front(f journal.Front) *document {
	out := b.group(f.Keys)
	out.Title = "The front matter of " + f.Where
	if f.Kind == "" {
		out.Title = f.Where
		return out
	}
	if kind := out.Properties.get("kind"); kind != nil {
		*kind = document{Title: kind.Title, Description: "It says that the note is " + f.Where + ".", Const: f.Kind}
	}
	return out
}

func (b *builder) group(keys []journal.FrontKey) *document {
	no := false
	out := &document{Type: "object", Additional: &no}
	for _, k := range keys {
		if k.Required {
			out.Required = append(out.Required, k.Name)
		}
		out.Properties.put(k.Name, b.key(k))
	}
	return out
}

// key is the schema of one key's value, with its text.
func (b *builder) key(k journal.FrontKey) *document {
	out := b.shape(k)
	out.Title, out.Description = k.Title, k.Text
	if k.Example != nil {
		out.Examples = []any{plain(k.Example)}
	}
	return out
}

func (b *builder) shape(k journal.FrontKey) *document {
	one := b.one(k)
	switch s := k.Shape; {
	case s.List:
		return &document{Type: "array", Items: one}
	case s.OrList, s.Pair:
		list := &document{Items: one}
		if s.Pair {
			list.MinItems, list.MaxItems = 2, 2
		}
		return &document{If: &document{Type: "array"}, Then: list, Else: one}
	case len(s.Instead) > 0 && s.Of == journal.Group: // judged by what it is, so that a slip in the group is reported as one
		return &document{If: &document{Type: "object"}, Then: one, Else: &document{Enum: anyOf(s.Instead)}}
	case len(s.Instead) > 0:
		return &document{AnyOf: []*document{{Enum: anyOf(s.Instead)}, one}}
	}
	return one
}

// one is the schema of one value.
func (b *builder) one(k journal.FrontKey) *document {
	s := k.Shape
	switch s.Of {
	case journal.Group:
		return b.group(k.Keys)
	case journal.Texts:
		no := false
		out := &document{Type: "object", Additional: &no}
		for _, o := range s.Options {
			text := b.share("text", textForm)
			text.Title = o.Meaning
			out.Properties.put(o.Name, text)
		}
		return out
	case journal.Text, journal.TextLine:
		return b.share("text", textForm)
	case journal.OneWord:
		return &document{Enum: anyOf(names(s.Options))}
	case journal.WordAndMore:
		blank := "[" + blanks + "]*"
		return &document{Type: "string", Pattern: "^" + blank + "(?:" + strings.Join(quoted(names(s.Options)), "|") + ")(?: |" + blank + "$)"}
	case journal.YesOrNo:
		return b.share("yes-or-no", func() *document {
			return &document{Enum: []any{"yes", "no", true, false, "true", "false"}}
		})
	case journal.WholeNumber:
		return b.share("whole-number", func() *document {
			low, high := int64(-1<<31), int64(1<<31-1)
			return &document{Type: []string{"integer", "string"}, Pattern: "^[+-]?[0-9]+$", Minimum: &low, Maximum: &high}
		})
	case journal.PlainDecimal:
		return b.share("decimal-number", func() *document {
			return &document{Type: []string{"number", "string"}, Pattern: decimalPattern}
		})
	case journal.Day:
		return b.share("day", func() *document {
			return &document{Type: "string", Format: "date", Pattern: "^[0-9]{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])$"}
		})
	case journal.OfDimension:
		d := s.Dimension
		return b.share(defName(d.String()), func() *document {
			out := &document{Description: "Written as " + d.WithArticle() + " such as " + d.Example() + ".", Type: "string", Pattern: quantity.Pattern(d)}
			if d == quantity.Plain {
				out.Type = []string{"number", "string"}
			} else {
				out.Description += " Units: " + units(d) + "."
			}
			return out
		})
	case journal.OfRange:
		d := s.Dimension
		return b.share(defName("range of "+d.String()), func() *document {
			return &document{Description: "Written as two values with `to` between, such as " + d.Example() + " to " + d.Example() + ". Units: " + units(d) + ".", Type: "string", Pattern: quantity.RangePattern(d)}
		})
	case journal.AnyQuantity:
		return b.share("quantity", func() *document {
			return &document{Description: "Written as a number and its unit.", Type: []string{"number", "string"}, Pattern: quantity.AmountPattern()}
		})
	case journal.OfAccuracy:
		return b.share("accuracy", func() *document {
			return &document{Description: "Written as an accuracy such as ±(0.5 % + 2 digits).", Type: "string", Pattern: quantity.AccuracyPattern()}
		})
	default:
		return &document{} // whatever the program makes of it
	}
}

// share puts a form that many keys have into the definitions, once, and refers to it.
func (b *builder) share(name string, form func() *document) *document {
	if b.defs.get(name) == nil {
		b.defs.put(name, form())
	}
	return &document{Ref: "#/$defs/" + name}
}

// blanks are the characters that leave a text blank, as they stand in a class: those of unicode.IsSpace.
const blanks = "\t-\r \u0085\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000"

// textForm is any text that is not blank; to YAML a number and a truth are none, to a note they are.
func textForm() *document {
	return &document{Type: []string{"string", "number", "boolean"}, Pattern: "[^" + blanks + "]"}
}

// units lists the symbols of a dimension's units.
func units(d quantity.Dimension) string {
	var out []string
	for _, u := range quantity.Units() {
		if u.Dimension == d {
			out = append(out, u.Symbol)
		}
	}
	return strings.Join(out, ", ")
}

// defName names a definition: small letters and hyphens.
func defName(words string) string { return strings.ReplaceAll(words, " ", "-") }

func names(options []notes.Option) []string {
	var out []string
	for _, o := range options {
		out = append(out, o.Name)
	}
	return out
}

func quoted(words []string) []string {
	var out []string
	for _, w := range words {
		out = append(out, regexp.QuoteMeta(w))
	}
	return out
}

// anyOf gives words as values of an enumeration, each as a text, and as what
// YAML makes of it where that is something else: a thermal class may be a number.
func anyOf(words []string) []any {
	var out []any
	for _, w := range words {
		out = append(out, w)
		if v := resolve(w); v != any(w) && v != nil {
			out = append(out, v)
		}
	}
	return out
}

// decimalPattern is a number as package notes reads it: with a decimal point or comma, in groups of three or not.
var decimalPattern = func() string {
	spaces, ticks := "(?: [0-9]{3}|\u00a0[0-9]{3}|\u202f[0-9]{3}|\u2009[0-9]{3})+", "(?:['’][0-9]{3})+"
	return `^[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})|[0-9]{1,3}(?:,[0-9]{3}\.[0-9]+|(?:,[0-9]{3}){2,}(?:\.[0-9]+)?|(?:\.[0-9]{3}){2,}|(?:\.[0-9]{3})+,[0-9]+|(?:` +
		spaces + `|` + ticks + `)(?:[.,][0-9]+)?))$`
}()
