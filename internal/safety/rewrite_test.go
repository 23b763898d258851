//go:build mutate

package safety

import (
	"bytes"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"reflect"
)

var exprType = reflect.TypeFor[ast.Expr]()

// rewrite replaces the expressions below a node, innermost first. Types, labels,
// the left side of assignments, keys of literals and the cases of a switch stay.
func rewrite(n any, change func(e, was ast.Expr) ast.Expr) {
	switch x := n.(type) {
	case *ast.AssignStmt:
		list(x.Rhs, change)
		return
	case *ast.ValueSpec:
		list(x.Values, change)
		return
	case *ast.GenDecl:
		if x.Tok.String() == "const" {
			return
		}
	case *ast.RangeStmt:
		x.X = inside(x.X, change)
		rewrite(x.Body, change)
		return
	case *ast.KeyValueExpr:
		x.Value = inside(x.Value, change)
		return
	case *ast.CompositeLit:
		list(x.Elts, change)
		return
	case *ast.SelectorExpr:
		if _, ok := x.X.(*ast.Ident); !ok {
			x.X = inside(x.X, change)
		}
		return
	case *ast.CallExpr:
		if s, ok := x.Fun.(*ast.SelectorExpr); ok {
			rewrite(s, change)
		}
		list(x.Args, change)
		return
	case *ast.UnaryExpr:
		if x.Op.String() != "&" {
			x.X = inside(x.X, change)
		} else {
			rewrite(x.X, change) // what it points to stays in place
		}
		return
	case *ast.IncDecStmt:
		return
	case *ast.FuncLit:
		rewrite(x.Body, change)
		return
	case *ast.Ident, *ast.BasicLit:
		return
	}
	v := reflect.ValueOf(n)
	if v.Kind() != reflect.Pointer || v.IsNil() || v.Elem().Kind() != reflect.Struct {
		return
	}
	for i := range v.Elem().NumField() {
		f := v.Elem().Field(i)
		switch {
		case f.Type() == exprType && !f.IsNil():
			f.Set(reflect.ValueOf(inside(f.Interface().(ast.Expr), change)))
		case f.Kind() == reflect.Slice:
			for j := range f.Len() {
				if e := f.Index(j); e.Kind() == reflect.Interface && !e.IsNil() {
					if x, ok := e.Interface().(ast.Expr); ok && e.Type() == exprType {
						e.Set(reflect.ValueOf(inside(x, change)))
					} else {
						rewrite(e.Interface(), change)
					}
				}
			}
		case f.Kind() == reflect.Interface && !f.IsNil():
			rewrite(f.Interface(), change)
		case f.Kind() == reflect.Pointer && !f.IsNil() && f.Type() != reflect.TypeFor[*ast.Object]() && f.Type() != reflect.TypeFor[*ast.Scope]():
			rewrite(f.Interface(), change)
		}
	}
}

// inside changes what stands in an expression, then the expression, which is handed over beside a copy of what it was:
// what is put in its place has no changes inside, or they would double at every level.
func inside(e ast.Expr, change func(e, was ast.Expr) ast.Expr) ast.Expr {
	if e == nil {
		return nil
	}
	was := copied(e)
	rewrite(e, change)
	return change(e, was)
}

func copied(e ast.Expr) ast.Expr {
	var b bytes.Buffer
	if err := format.Node(&b, token.NewFileSet(), e); err != nil {
		return e
	}
	was, err := parser.ParseExpr(b.String())
	if err != nil {
		return e
	}
	return was
}

func list(all []ast.Expr, change func(e, was ast.Expr) ast.Expr) {
	for i := range all {
		all[i] = inside(all[i], change)
	}
}
