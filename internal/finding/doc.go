package finding

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// Doc is the documentation of a rule, a formula or a front-matter key: one
// text, printed by `voltwright explain` and by the site's method page.
type Doc struct {
	Kind    Kind   // rule, formula or key
	Name    string // what it is called by
	Former  string // what it was called by before, under which it is still found; "" for most
	Title   string // a few words
	What    string // what it looks at or gives: whole sentences
	Why     string // why it matters
	Formula string // for a formula: the relation, in plain text
	Units   string // shapes and units
	Range   string // where it holds
	Source  string // the published source, or `common practice, no source`, or `from memory`
	Example string // a worked or written example
	Level   Level  // for a rule: the level of its findings
	Signal  Signal // for a rule of safety: the most serious signal word that it gives
	Needs   string // for a rule: the values that it needs to judge
}

// Kind tells what a Doc documents.
type Kind string

// The kinds of documentation.
const (
	RuleDoc    Kind = "rule"
	FormulaDoc Kind = "formula"
	KeyDoc     Kind = "key"
)

// Print writes the documentation for a terminal. The error is the writer's.
func (d Doc) Print(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s", d.Name, d.Kind)
	switch {
	case d.Signal != "":
		fmt.Fprintf(&b, ", %s", d.Signal)
	case d.Kind == RuleDoc:
		fmt.Fprintf(&b, ", %s", d.Level)
	}
	b.WriteString(")\n")
	if d.Title != "" {
		fmt.Fprintf(&b, "  %s\n", d.Title)
	}
	for _, part := range d.Parts() {
		fmt.Fprintf(&b, "\n%s\n%s\n", part.Label, indent(part.Text))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Part is one labelled paragraph of a Doc.
type Part struct{ Label, Text string }

// Parts gives the paragraphs that are not empty, in printing order.
func (d Doc) Parts() []Part {
	all := []Part{
		{"What", d.What},
		{"Why", d.Why},
		{"Needs", d.Needs},
		{"Formula", d.Formula},
		{"Units", d.Units},
		{"Holds", d.Range},
		{"Source", d.Source},
		{"Example", d.Example},
	}
	return slices.DeleteFunc(all, func(p Part) bool { return p.Text == "" })
}

func indent(text string) string {
	const width = 76
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		if strings.HasPrefix(line, " ") { // set as written, such as an example
			out = append(out, "  "+line)
			continue
		}
		row := " "
		for _, word := range strings.Fields(line) {
			if len(row)+1+len(word) > width && row != " " {
				out = append(out, row)
				row = " "
			}
			row += " " + word
		}
		out = append(out, row)
	}
	return strings.Join(out, "\n")
}
