package internal

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// A quantity.Measured is made by Of, Exact, Unsure or Missing, or is the zero one, which is no value. A literal with fields
// would be a number that says it is none.
func TestMeasuredIsNotWrittenAsALiteral(t *testing.T) {
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || path == filepath.Join("quantity", "measured.go") {
			return err
		}
		places, err := measuredIn(path, nil)
		for _, at := range places {
			t.Errorf("%s: a literal of quantity.Measured; write quantity.Of(value, u)", at)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	const forms = `package p
var a = quantity.Measured[quantity.Volts]{Value: 1}
var b = []quantity.Measured[quantity.Volts]{{1, 2, true}, {}, quantity.Exact(quantity.Volts(1))}
var c = map[string]*quantity.Measured[quantity.Volts]{"x": {U: 1}}
var d = quantity.Measured[quantity.Volts]{}`
	if places, err := measuredIn("forms.go", forms); err != nil || len(places) != 3 {
		t.Errorf("of four forms with fields and without, three are literals with fields: %v, %v", places, err)
	}
}

// measuredIn is where a file has literals of a Measured with fields.
func measuredIn(path string, text any) (places []token.Position, err error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, path, text, 0)
	if err != nil {
		return nil, err
	}
	ast.Inspect(file, func(n ast.Node) bool {
		for _, lit := range measuredLiterals(n) {
			if len(lit.Elts) > 0 {
				places = append(places, set.Position(lit.Pos()))
			}
		}
		return true
	})
	return places, nil
}

// measuredLiterals are the literals of a Measured that a node is, or that it holds with their type left out.
func measuredLiterals(n ast.Node) []*ast.CompositeLit {
	lit, ok := n.(*ast.CompositeLit)
	if !ok {
		return nil
	}
	if isMeasured(lit.Type) {
		return []*ast.CompositeLit{lit}
	}
	var of ast.Expr
	switch t := lit.Type.(type) {
	case *ast.ArrayType:
		of = t.Elt
	case *ast.MapType:
		of = t.Value
	}
	if !isMeasured(of) {
		return nil
	}
	var out []*ast.CompositeLit
	for _, e := range lit.Elts {
		if pair, ok := e.(*ast.KeyValueExpr); ok {
			e = pair.Value
		}
		if held, ok := e.(*ast.CompositeLit); ok && held.Type == nil {
			out = append(out, held)
		}
	}
	return out
}

// isMeasured says whether a type is Measured of some kind.
func isMeasured(e ast.Expr) bool {
	if star, ok := e.(*ast.StarExpr); ok {
		e = star.X
	}
	of, ok := e.(*ast.IndexExpr)
	if !ok {
		return false
	}
	switch name := of.X.(type) {
	case *ast.SelectorExpr:
		return name.Sel.Name == "Measured"
	case *ast.Ident:
		return name.Name == "Measured"
	}
	return false
}
