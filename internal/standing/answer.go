package standing

import (
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

// State says how far a question is answered.
type State string

// The states of an answer.
const (
	Answered    State = "answered"
	NotMeasured State = "not measured yet" // Settles says which run would settle it
	NotStated   State = "not stated yet"   // Settles names the key of the front matter
)

// Answer is what a version answers to one question.
type Answer struct {
	Name     string // stable, for its address: "run-time"
	Question string // "How long does it run on one charge?"
	Said     [][]Piece
	State    State
	Settles  string            // what would settle it, a sentence; "" where it is answered
	Written  *journal.NotePage // a question of the journal that takes its place; nil where there is none
}

// Piece is a piece of a sentence: words, or a value in it.
type Piece struct {
	Text  string
	Value *value.Value
}

// Words is the answer as plain text, each number with its uncertainty.
func (a Answer) Words() string {
	var out []string
	for _, s := range a.Said {
		out = append(out, Words(s))
	}
	if a.Settles != "" {
		out = append(out, a.Standing())
	}
	return strings.Join(out, " ")
}

// Standing is what an answer that is not whole says of itself: "Not measured yet. A field run from full …".
func (a Answer) Standing() string {
	if a.Settles == "" {
		return ""
	}
	return strings.ToUpper(string(a.State[:1])) + string(a.State[1:]) + ". " + a.Settles
}

// Words is a sentence as plain text.
func Words(sentence []Piece) string {
	var b strings.Builder
	for _, p := range sentence {
		if p.Value != nil {
			b.WriteString(p.Value.Words())
			continue
		}
		b.WriteString(p.Text)
	}
	return b.String()
}

// teller puts the sentences of one answer together.
type teller struct {
	*asker
	Answer
}

// say adds a sentence in which {NAME} stands for a value of the version, or of what it belongs to, by its name. Where one is
// not known the sentence is not said; that is told.
func (t *teller) say(text string) bool {
	var out []Piece
	for text != "" {
		before, rest, found := strings.Cut(text, "{")
		if before != "" {
			out = append(out, Piece{Text: before})
		}
		if !found {
			break
		}
		name, after, _ := strings.Cut(rest, "}")
		v, err := t.index.Find(t.version.Place(), name)
		if err != nil || !v.Known() {
			return false
		}
		out, text = append(out, Piece{Value: &v}), after
	}
	t.Said = append(t.Said, out)
	return true
}

// with adds a sentence whose {} are values that no name leads to, such as those of a chemistry.
func (t *teller) with(text string, values ...value.Value) {
	var out []Piece
	for i, part := range strings.Split(text, "{}") {
		if i > 0 {
			out = append(out, Piece{Value: &values[i-1]})
		}
		if part != "" {
			out = append(out, Piece{Text: part})
		}
	}
	t.Said = append(t.Said, out)
}

// unstated says that a key is missing, unmeasured that a run is. The first that is missing stands.
func (t *teller) unstated(key, what string) {
	if t.Settles == "" {
		t.State, t.Settles = NotStated, "`"+key+"` in the front matter says "+what+"."
	}
}

func (t *teller) unmeasured(run string) {
	if t.Settles == "" {
		t.State, t.Settles = NotMeasured, run
	}
}

// number is a value of the version that no name leads to.
func number[K quantity.Kind](t *teller, label string, kind value.Kind, x K) value.Value {
	return value.Value{Label: label, Place: t.version.Place(), Form: value.FormNumber, Kind: kind, Quantity: quantity.Exact(x).OrWhy("")}
}

func (t *teller) count(label string, n int) value.Value {
	return value.Value{Label: label, Place: t.version.Place(), Form: value.FormCount, Kind: value.Computed, Quantity: quantity.Some(quantity.Exact(quantity.Number(n)).Quantity())}
}
