package journal

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// root is a kind of front matter: what it is called and what it is read into.
type root struct {
	where string
	into  reflect.Type
}

var roots = []root{
	{"journal.yaml", reflect.TypeFor[Journal]()},
	{"vehicle.md", reflect.TypeFor[Vehicle]()},
	{"version.md", reflect.TypeFor[Version]()},
	{"a run", reflect.TypeFor[Run]()},
	{"a note", reflect.TypeFor[NotePage]()},
	{"a question", reflect.TypeFor[Question]()},
	{"a correction", reflect.TypeFor[Correction]()},
}

// key is one key of the front matter as the types have it.
type key struct {
	path     string
	where    []string // kinds of front matter
	needed   []string // those of them that cannot do without it
	form     string   // what is written after the colon
	options  []notes.Option
	sections []string // keys below it
}

// keys walks the types. Keys of one path in several kinds of front matter are one key.
func keys() []*key {
	var out []*key
	for _, r := range roots {
		walkKeys(r, r.into, "", func(k *key) {
			i := slices.IndexFunc(out, func(other *key) bool { return other.path == k.path })
			if i < 0 {
				out = append(out, k)
				return
			}
			out[i].where = append(out[i].where, k.where...)
			out[i].needed = append(out[i].needed, k.needed...)
		})
	}
	return out
}

func walkKeys(r root, t reflect.Type, prefix string, found func(*key)) {
	for _, f := range notes.Fields(t) {
		ft := t.Field(f.Index).Type
		k := &key{path: prefix + f.Key, where: []string{r.where}}
		if f.Required {
			k.needed = k.where
		}
		inner := k.describe(ft)
		found(k)
		if inner != nil {
			for _, sub := range notes.Fields(inner) {
				k.sections = append(k.sections, sub.Key)
			}
			walkKeys(r, inner, k.path+".", found)
		}
	}
}

// describe fills in the form of a key from its field's type, and returns the
// struct below it if there is one.
func (k *key) describe(t reflect.Type) reflect.Type {
	list := ""
	if t.Kind() == reflect.Slice {
		list, t = "a list, each item ", t.Elem()
	}
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	v := reflect.New(t)
	switch x := v.Interface().(type) {
	case *Protection:
		k.form = "`none`, `in-appliance-only`, or a group of keys"
		return reflect.TypeFor[ProtectionPoints]()
	case *PackFuse:
		k.form = "`none`, or a current such as " + quantity.Current.Example()
		return nil
	case *Sayings:
		k.form = "a group of keys, or a list of such groups"
		return reflect.TypeFor[Said]()
	case *Columns:
		k.form = "a group of keys, each a channel of the log"
		k.options = Measure("").Options()
		return nil
	case *LeadEnds:
		k.form, k.options = "two words in [ ], or one for both ends, each with what it goes on", EndWord("").Options()
	case *notes.Word:
		k.form = list + "text"
	case *notes.Line:
		k.form = list + "a line of text, in which numbers can be bound"
	case *Names:
		k.form = list + "a name, or a list of names in [ ]"
	case *notes.Flag:
		k.form = list + "`yes` or `no`"
	case *notes.Integer:
		k.form = list + "a whole number without a unit"
	case *notes.Decimal:
		k.form = list + "a decimal number without a unit"
	case *notes.Date:
		k.form = list + "a date, year-month-day"
	case *notes.Accuracy:
		k.form = list + "an accuracy: per cent, digits or both"
	case *notes.Amount:
		k.form = list + "a quantity with its unit"
	case interface{ Options() []notes.Option }:
		k.form, k.options = list+"one word of a list", x.Options()
	case interface{ Dimension() quantity.Dimension }:
		k.form = list + x.Dimension().WithArticle() + " such as " + x.Dimension().Example()
		if _, isRange := v.Interface().(interface{ RangeEnds() }); isRange {
			k.form = list + "a range of " + x.Dimension().String() + ", two ends with `to` between"
		}
	default:
		k.form = list + "a group of keys"
		return t
	}
	return nil
}

// Keys documents every key of the front matter, by its path.
func Keys() []finding.Doc {
	var out []finding.Doc
	for _, k := range keys() {
		doc := keyDocs[k.path]
		d := finding.Doc{Kind: finding.KeyDoc, Name: k.path, Title: doc.title, Units: "Written as " + k.form + "."}
		d.What = strings.TrimSpace(doc.what + " It stands in " + strings.Join(k.where, ", in ") + ", and " + k.need() + ".")
		if len(k.options) > 0 {
			var b strings.Builder
			b.WriteString("One of:")
			for _, o := range k.options {
				fmt.Fprintf(&b, "\n  %s: %s", o.Name, o.Meaning)
			}
			d.Range = b.String()
		}
		if len(k.sections) > 0 {
			d.Range = "Keys in it: " + strings.Join(k.sections, ", ") + "."
		}
		d.Example = "  " + strings.ReplaceAll(doc.example, "\n", "\n  ")
		out = append(out, d)
	}
	return out
}

func (k *key) need() string {
	switch {
	case len(k.needed) == 0:
		return "may be left out"
	case len(k.needed) == len(k.where):
		return "is needed"
	default:
		return "is needed in " + strings.Join(k.needed, " and in ")
	}
}
