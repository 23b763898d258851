package journal

import (
	"fmt"
	"reflect"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Front is one kind of front matter with its keys, as the types have them: what
// a program needs that tells an editor how a note is written. [Keys] has the
// same for people.
type Front struct {
	Kind  string // the word of its key `kind`; "" for journal.yaml, which has none
	Where string // where it stands: "version.md", "a run"
	Keys  []FrontKey
}

// FrontKey is one key of the front matter.
type FrontKey struct {
	Name     string
	Path     string // from the root: "packs.capacity"
	Required bool
	Shape    Shape
	Title    string
	Text     string      // what it is and how it is written, "" where the title says it: whole sentences, and the words with their meanings
	Example  *notes.Node // the value of its example
	Keys     []FrontKey  // of a Group
}

// Written says what one value is.
type Written uint8

// What one value can be. Unlisted is a value that reads itself and that [Shape]
// has no word for; a test holds that there is none.
const (
	Unlisted     Written = iota
	Group                // keys
	Texts                // keys that are the Options, each with a text
	Text                 // free text
	TextLine             // a line of text, in which numbers can be bound
	OneWord              // one of Options
	WordAndMore          // one of Options, and after a space free text
	YesOrNo              // yes or no
	WholeNumber          // without a unit
	PlainDecimal         // without a unit
	Day                  // year-month-day
	OfDimension          // a quantity of Dimension
	OfRange              // two quantities of Dimension with `to` between
	AnyQuantity          // a quantity, with a unit or without
	OfAccuracy           // an instrument's accuracy
)

// Shape says what is written after a key's colon.
type Shape struct {
	Of        Written
	List      bool           // a list of such values
	OrList    bool           // one such value, or a list of them
	Pair      bool           // one such value, or a list of exactly two
	Instead   []string       // words that may stand in its place
	Options   []notes.Option // of OneWord, WordAndMore and Texts
	Dimension quantity.Dimension
}

// words lists the options with their meanings, "" if there are none.
func (s Shape) words() string {
	if len(s.Options) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("One of:")
	for _, o := range s.Options {
		fmt.Fprintf(&b, "\n  %s: %s", o.Name, o.Meaning)
	}
	return b.String()
}

// wantsForm tells whether it needs to be said how the value is written: texts
// and groups have nothing to say, and words are listed.
func (s Shape) wantsForm() bool {
	if s.OrList || s.Pair || len(s.Instead) > 0 {
		return true
	}
	return s.Of != Group && s.Of != Text && s.Of != OneWord
}

// Fronts lists every kind of front matter, journal.yaml first.
func Fronts() []Front {
	var out []Front
	for _, r := range roots {
		out = append(out, Front{Kind: r.kind, Where: r.where, Keys: frontKeys(r.into, "")})
	}
	return out
}

func frontKeys(t reflect.Type, prefix string) []FrontKey {
	var out []FrontKey
	for _, f := range notes.Fields(t) {
		k := &key{path: prefix + f.Key}
		inner := k.describe(t.Field(f.Index).Type)
		doc := keyDocs[k.path]
		text := doc.what
		if k.shape.wantsForm() {
			text = strings.TrimSpace(text + " Written as " + k.form + ".")
		}
		if words := k.shape.words(); words != "" {
			text = strings.TrimSpace(text + "\n\n" + words)
		}
		made := FrontKey{Name: f.Key, Path: k.path, Required: f.Required, Shape: k.shape, Title: doc.title, Text: text}
		if doc.example != "" {
			made.Example, _ = notes.ParseNote("example.yaml", []byte(doc.example+"\n"), &finding.List{}).Front.Lookup(f.Key)
		}
		if inner != nil {
			made.Keys = frontKeys(inner, k.path+".")
		}
		out = append(out, made)
	}
	return out
}
