package internal_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// unitWords are what tells what a bare number counts: a unit, or that it is a part, a ratio or a count. Numbers of a kind of quantity
// say it by their type.
var unitWords = regexp.MustCompile(`(?i)(\b(V|A|Ah|Wh|W|s|h|min|ms|kg|m|mm|m/s|km/h|K|Ω|mΩ|rad|N|Nm|J|Pa|px|Hz|rpm|%|volts?|amperes?|ampere-hours?|watts?|watt-hours?|seconds?|minutes|hours?|days?|metres?|kilograms?|kelvins?|ohms?|degrees?|newtons?|joules?|pixels?|points?|bytes?|parts?|fractions?|ratio|factor|quotient|number of|dimension|units?|share|probability|level of confidence|coefficient|exponent|numbers?|per|0 to 1|weights?|degrees of freedom|variance|square|axis|grid|steps)\b|°C|Ω|%|σ|χ²|Δ|∂)`)

// A bare number that other packages see, a field or what a function takes or gives, says its unit in its comment or in that of its
// type; a field of a record says it in what its schema says of it.
func TestExportedNumbersSayTheirUnit(t *testing.T) {
	const unsaid = `package p
type T struct { Mass float64; Time float64 // s
}
// Twice is more.
func Twice(x float64) float64 { return 2*x }`
	if got := withoutUnit(t, "unsaid.go", unsaid); len(got) != 2 {
		t.Fatalf("of a field, a field with a unit and a function, two say none: %v", got)
	}
	for dir := range packages(t) {
		names, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(dir), "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			for _, said := range withoutUnit(t, name, nil) {
				t.Errorf("%s says no unit", said)
			}
		}
	}
}

// withoutUnit lists the exported numbers of a file whose unit nothing tells.
func withoutUnit(t *testing.T, name string, text any) (out []string) {
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, name, text, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	add := func(at token.Pos, what string) { out = append(out, set.Position(at).String()+": "+what) }
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.GenDecl:
			for _, s := range d.Specs {
				if s, ok := s.(*ast.TypeSpec); ok && s.Name.IsExported() {
					fieldsWithoutUnit(s, d.Doc.Text()+s.Doc.Text(), add)
				}
			}
		case *ast.FuncDecl:
			if d.Name.IsExported() && (d.Recv == nil || exportedReceiver(d.Recv)) && d.Doc != nil && takesNumbers(d.Type) && !unitWords.MatchString(d.Doc.Text()) {
				add(d.Pos(), d.Name.Name)
			}
		}
	}
	return out
}

func fieldsWithoutUnit(s *ast.TypeSpec, doc string, add func(token.Pos, string)) {
	of, ok := s.Type.(*ast.StructType)
	if !ok {
		return
	}
	for _, field := range of.Fields.List {
		said := doc + field.Doc.Text() + field.Comment.Text()
		if field.Tag != nil {
			if _, about, ok := strings.Cut(field.Tag.Value, `about:"`); ok {
				said += about
			}
		}
		if !isNumber(field.Type) || unitWords.MatchString(said) {
			continue
		}
		for _, name := range field.Names {
			if name.IsExported() {
				add(name.Pos(), s.Name.Name+"."+name.Name)
			}
		}
	}
}

func exportedReceiver(list *ast.FieldList) bool {
	of := list.List[0].Type
	if star, ok := of.(*ast.StarExpr); ok {
		of = star.X
	}
	if index, ok := of.(*ast.IndexExpr); ok {
		of = index.X
	}
	name, ok := of.(*ast.Ident)
	return ok && name.IsExported()
}

func takesNumbers(of *ast.FuncType) bool {
	for _, list := range []*ast.FieldList{of.Params, of.Results} {
		if list == nil {
			continue
		}
		for _, field := range list.List {
			if isNumber(field.Type) {
				return true
			}
		}
	}
	return false
}

// isNumber says whether a type is a number without a kind, or holds such.
func isNumber(of ast.Expr) bool {
	switch of := of.(type) {
	case *ast.Ident:
		return of.Name == "float64"
	case *ast.ArrayType:
		return isNumber(of.Elt)
	case *ast.StarExpr:
		return isNumber(of.X)
	case *ast.MapType:
		return isNumber(of.Value)
	}
	return false
}
