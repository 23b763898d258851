package safety

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/runlog"
)

// statuses are the words with which a source says how far it is to be trusted; one of them stands in every rule.
var statuses = []string{"confirmed", "from memory", "common practice, no source", "own choice, no source", "second-hand", "computed", "owner's rule", "disputed"}

// Every rule that is written is in the table, under the name of its file, and says all that a reader of the method page needs.
func TestEveryRuleIsListedAndExplained(t *testing.T) {
	written := map[string]string{} // variable → file
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	listed := 0
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.VAR {
				continue
			}
			for _, spec := range g.Specs {
				v := spec.(*ast.ValueSpec)
				if len(v.Values) != 1 {
					continue
				}
				if u, ok := v.Values[0].(*ast.UnaryExpr); ok {
					if c, ok := u.X.(*ast.CompositeLit); ok {
						if id, ok := c.Type.(*ast.Ident); ok && id.Name == "rule" {
							written[v.Names[0].Name] = name
						}
					}
				}
				if c, ok := v.Values[0].(*ast.CompositeLit); ok && v.Names[0].Name == "rules" {
					listed = len(c.Elts)
				}
			}
		}
	}
	if listed == 0 || listed != len(rules) || len(written) != len(rules) {
		t.Errorf("%d rules are written, %d are listed", len(written), len(rules))
	}
	files := map[string]bool{}
	for _, name := range written {
		files[strings.TrimSuffix(name, ".go")] = true
	}
	seen := map[string]bool{}
	for _, r := range rules {
		d := r.doc
		if seen[d.Name] {
			t.Errorf("%s is listed twice", d.Name)
		}
		seen[d.Name] = true
		if !files[strings.ReplaceAll(d.Name, "-", "_")] {
			t.Errorf("%s does not stand in a file of its name", d.Name)
		}
		if d.Title == "" || d.What == "" || d.Why == "" || d.Needs == "" || d.Example == "" || levels[d.Signal] == 0 && d.Signal != finding.PropertyNotice {
			t.Errorf("%s does not say all of what, why, needs, example and signal: %+v", d.Name, d)
		}
		if !slices.ContainsFunc(statuses, func(s string) bool { return strings.Contains(d.Source, s) }) && !strings.Contains(d.Source, "own data sheet") && !strings.Contains(d.Source, "as stated") {
			t.Errorf("%s: the source %q says nothing of its status", d.Name, d.Source)
		}
	}
}

// A rule is asked of what it looks at: of each pack or run where it takes one up, else once of the version. With one pack
// it would speak either way.
func TestRulesAreAskedOfWhatTheyLookAt(t *testing.T) {
	for _, r := range rules {
		file, err := os.ReadFile(strings.ReplaceAll(r.doc.Name, "-", "_") + ".go")
		if err != nil {
			t.Fatal(err)
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), "", file, 0)
		if err != nil {
			t.Fatal(err)
		}
		want := eachVersion
		ast.Inspect(parsed, func(n ast.Node) bool {
			f, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := f.X.(*ast.Ident); ok && x.Name == "s" {
				switch f.Sel.Name {
				case "pack", "thePack", "packName":
					want = max(want, eachPack)
				case "run", "result":
					want = max(want, eachRun)
				case "place", "quotes":
					want = max(want, eachText)
				}
			}
			return true
		})
		if r.each != want {
			t.Errorf("%s is asked of %d, and looks at %d", r.doc.Name, r.each, want)
		}
	}
}

// Names of figures that rules look for are figures.
func TestQuotedFiguresExist(t *testing.T) {
	for _, name := range slices.Concat(driven, timed) {
		if !slices.Contains(runlog.FigureNames(), name) {
			t.Errorf("no run has a figure %s", name)
		}
	}
}

// No text blames anybody, shouts or ends in the middle of a sentence.
func TestTextsAreCalm(t *testing.T) {
	cases := 0
	for _, file := range hazardFiles(t) {
		for _, h := range readHazards(t, file) {
			if signals[h.Want] == "" {
				continue
			}
			for _, f := range h.findings(t) {
				if f.Signal == "" {
					continue
				}
				cases++
				for _, word := range []string{"!", "you should have", "foolish", "must never", "idiot", "careless", "wrongly", "NaN", "%!"} {
					if strings.Contains(f.Text+f.Remedy, word) {
						t.Errorf("%s says %q: %s %s", f.Rule, word, f.Text, f.Remedy)
					}
				}
				if f.Text == "" || strings.HasSuffix(f.Text, ".") || !strings.HasSuffix(f.Remedy, ".") || f.Numbers == "" {
					t.Errorf("%s: text %q, remedy %q, numbers %q", f.Rule, f.Text, f.Remedy, f.Numbers)
				}
				if n := len(strings.Fields(f.Text)); n > 60 {
					t.Errorf("%s: a sentence of %d words: %s", f.Rule, n, f.Text)
				}
			}
			break // one of each file is enough
		}
	}
	if cases < 40 {
		t.Errorf("only %d texts were read", cases)
	}
}
