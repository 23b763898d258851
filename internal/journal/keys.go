package journal

import (
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
	kind  string // the word of its key `kind`; "" for journal.yaml, which has none
	into  reflect.Type
}

var roots = []root{
	{notes.JournalFile, "", reflect.TypeFor[Journal]()},
	{"vehicle.md", KindVehicle, reflect.TypeFor[Vehicle]()},
	{"version.md", KindVersion, reflect.TypeFor[Version]()},
	{"a run", KindRun, reflect.TypeFor[Run]()},
	{"a note", KindNote, reflect.TypeFor[NotePage]()},
	{"a question", KindQuestion, reflect.TypeFor[Question]()},
	{"a correction", KindCorrection, reflect.TypeFor[Correction]()},
}

// key is one key of the front matter as the types have it.
type key struct {
	path     string
	where    []string // kinds of front matter
	needed   []string // those of them that cannot do without it
	form     string   // what is written after the colon, in words
	shape    Shape    // the same, for a program
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
	decodes := t.Implements(decodable) || reflect.PointerTo(t).Implements(decodable)
	if t.Kind() == reflect.Slice && !decodes { // a slice that decodes itself says what it is
		list, t = "a list, each item ", t.Elem()
		k.shape.List = true
		decodes = reflect.PointerTo(t).Implements(decodable)
	}
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	v := reflect.New(t)
	switch x := v.Interface().(type) {
	case *Protection:
		k.form = "`" + wordNone + "`, `" + wordTied + "`, or a group of keys"
		k.shape.Of, k.shape.Instead = Group, []string{wordNone, wordTied}
		return reflect.TypeFor[ProtectionPoints]()
	case *PackFuse:
		k.form = "`" + wordNone + "`, or a current such as " + quantity.Current.Example()
		k.shape.Of, k.shape.Dimension, k.shape.Instead = OfDimension, quantity.Current, []string{wordNone}
		return nil
	case *Sayings:
		k.form = "a group of keys, or a list of such groups"
		k.shape.Of, k.shape.OrList = Group, true
		return reflect.TypeFor[Said]()
	case *Columns:
		k.form = "a group of keys, each a channel of the log"
		k.shape.Of, k.shape.Options = Texts, Measure("").Options()
		return nil
	case *LeadEnds:
		k.form = "two words in [ ], or one for both ends, each with what it goes on"
		k.shape.Of, k.shape.Options, k.shape.Pair = WordAndMore, EndWord("").Options(), true
		return nil
	case *Spot:
		k.form, k.shape.Of = "two percentages, from the left and from the top", Text
		return nil
	case *notes.Word:
		k.form, k.shape.Of = list+"text", Text
	case *notes.Line:
		k.form, k.shape.Of = list+"a line of text, in which numbers can be bound", TextLine
	case *Names:
		k.form, k.shape.Of, k.shape.OrList = list+"a name, or a list of names in [ ]", Text, true
	case *notes.Flag:
		k.form, k.shape.Of = list+"`yes` or `no`", YesOrNo
	case *notes.Integer:
		k.form, k.shape.Of = list+"a whole number without a unit", WholeNumber
	case *notes.Decimal:
		k.form, k.shape.Of = list+"a decimal number without a unit", PlainDecimal
	case *notes.Date:
		k.form, k.shape.Of = list+"a date, year-month-day", Day
	case *notes.Accuracy:
		k.form, k.shape.Of = list+"an accuracy: per cent, digits or both", OfAccuracy
	case *notes.Amount:
		k.form, k.shape.Of = list+"a quantity with its unit", AnyQuantity
	case interface{ Options() []notes.Option }:
		k.form = list + "one word of a list"
		k.shape.Of, k.shape.Options = OneWord, x.Options()
	case interface{ Dimension() quantity.Dimension }:
		k.form = list + x.Dimension().WithArticle() + " such as " + x.Dimension().Example()
		k.shape.Of, k.shape.Dimension = OfDimension, x.Dimension()
		if _, isRange := v.Interface().(interface{ RangeEnds() }); isRange {
			k.form = list + "a range of " + x.Dimension().String() + ", two ends with `to` between"
			k.shape.Of = OfRange
		}
	default:
		if decodes {
			k.form = list + "as its example has it"
			return nil
		}
		k.form, k.shape.Of = list+"a group of keys", Group
		return t
	}
	return nil
}

var decodable = reflect.TypeFor[notes.Decodable]()

// Keys documents every key of the front matter, by its path.
func Keys() []finding.Doc {
	var out []finding.Doc
	for _, k := range keys() {
		doc := keyDocs[k.path]
		d := finding.Doc{Kind: finding.KeyDoc, Name: k.path, Title: doc.title, Units: "Written as " + k.form + "."}
		d.What = strings.TrimSpace(doc.what + " It stands in " + strings.Join(k.where, ", in ") + ", and " + k.need() + ".")
		d.Range = k.shape.words()
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
