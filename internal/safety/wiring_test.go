package safety

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/safety/safetytest"
)

// Every rule that a circuit is judged by has one rule here that makes callouts of it.
func TestEveryVerdictOfACircuitHasItsRule(t *testing.T) {
	spoken := map[string]string{}
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			pair, ok := n.(*ast.KeyValueExpr)
			if !ok {
				return true
			}
			if key, ok := pair.Key.(*ast.Ident); !ok || key.Name != "of" {
				return true
			}
			for _, e := range pair.Value.(*ast.CompositeLit).Elts {
				rule := e.(*ast.SelectorExpr).Sel.Name
				if spoken[rule] != "" {
					t.Errorf("%s is spoken of in %s and in %s", rule, spoken[rule], name)
				}
				spoken[rule] = name
			}
			return true
		})
	}
	judged := circuitRules(t)
	if len(judged) < 20 {
		t.Fatalf("only %d rules of circuits were found", len(judged))
	}
	for _, rule := range judged {
		if spoken[rule] == "" {
			t.Errorf("no rule here speaks of circuit.%s", rule)
		}
	}
}

// circuitRules are the names of the constants of type circuit.Rule.
func circuitRules(t *testing.T) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "../circuit/verdict.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, d := range file.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.CONST {
			continue
		}
		for _, spec := range g.Specs {
			v := spec.(*ast.ValueSpec)
			if id, ok := v.Type.(*ast.Ident); ok && id.Name == "Rule" {
				names = append(names, v.Names[0].Name)
			}
		}
	}
	return names
}

// A verdict that a circuit cannot give is passed on with its reason, at its place.
func TestWhatACircuitCannotJudgeIsPassedOn(t *testing.T) {
	h := hazard{&safetytest.Case{File: "a test", Base: "wired", Changes: []string{"drop wiring.parts.3.volts", "drop wiring.parts.9.volts", "drop wiring.parts.4.volts"}}}
	var said []string
	for _, f := range h.findings(t) {
		if f.Rule == "part-voltage-low" {
			said = append(said, f.Text)
			if f.Signal != "" || !f.Unjudged || f.Span.Source == nil {
				t.Errorf("%+v", f)
			}
		}
	}
	want := []string{"cannot judge whether each part stands the voltage of full packs: the direct voltage that stop stands is not stated; the direct voltage that cutout stands is not stated; and 1 more"}
	if !slices.Equal(said, want) {
		t.Errorf("%q, want %q", said, want)
	}
}

// A limit's source and its status stand beside it.
func TestACalloutOfTheWiringNamesTheSourceOfItsLimit(t *testing.T) {
	for _, tt := range []struct{ change, rule, source string }{
		{"wiring.leads.1.length = 179 mm", "fuse-far", "(confirmed)"},
		{"wiring.parts.3.volts = 24 V", "part-voltage-low", "as stated for stop (stated)"},
		{"wiring.parts.2.volts = 24 V", "fuse-voltage-low", "(from memory)"},
	} {
		h := hazard{&safetytest.Case{File: "a test", Base: "wired", Changes: []string{tt.change}}}
		found := false
		for _, f := range h.findings(t) {
			if f.Rule != tt.rule {
				continue
			}
			found = true
			if f.Gauge == nil || !strings.HasSuffix(f.Gauge.Source, tt.source) {
				t.Errorf("%s: the source is %q, want %q", tt.rule, f.Gauge.Source, tt.source)
			}
			if line := f.Span.Position().String(); line == "" {
				t.Errorf("%s has no place", tt.rule)
			}
		}
		if !found {
			t.Errorf("%s does not speak", tt.rule)
		}
	}
}

// The worst gives the word and the sentence, the others their places and numbers.
func TestOneCalloutForAllThatFailsAlike(t *testing.T) {
	h := hazard{&safetytest.Case{File: "a test", Base: "wired", Changes: []string{"wiring.parts.9.volts = 28 V", "wiring.parts.3.volts = 29 V", "wiring.parts.4.volts = 20 V"}}}
	for _, f := range h.findings(t) {
		if f.Rule != "part-voltage-low" {
			continue
		}
		if len(f.Related) != 2 || !strings.HasPrefix(f.Text, "`stop` is made for 29 V") || !strings.HasSuffix(f.Text, "; and so it is at 2 more places") ||
			f.Related[1].Text != "likewise, 29.4 V, at most 28 V" || f.Gauge.Limit != 29 || f.Gauge.Value != 29.4 ||
			f.Numbers != "stop: 29.4 V, at most 29 V; cutout: 29.4 V, at most 20 V; socket: 29.4 V, at most 28 V" {
			t.Errorf("%q %q %v %+v", f.Text, f.Numbers, f.Related, f.Gauge)
		}
		line := f.Span.Position()
		if got := strconv.Itoa(line.Line); f.Related[0].Span.Position().Line <= line.Line {
			t.Errorf("the worst stands in line %s, the next before it", got)
		}
		return
	}
	t.Error("part-voltage-low does not speak")
}
