package mutants

import (
	"bytes"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"reflect"
	"slices"
)

var exprType = reflect.TypeFor[ast.Expr]()

// rewriter replaces what stands below a node, innermost first. Types, labels, the left side of assignments and keys of
// literals stay.
type rewriter struct {
	expr func(e, was ast.Expr) ast.Expr
	// stmt is asked before a statement is changed inside, and what it gives puts changes round the statement after that;
	// optional says that the code compiles without it even where it leaves its block.
	stmt func(s ast.Stmt, optional bool) func(ast.Stmt) ast.Stmt
	cond func(e, was ast.Expr) ast.Expr // of an `if`, after expr
	skip func(e ast.Expr) bool          // what stays as it is, all through
	args func(e *ast.CallExpr) int      // how many of a call's arguments are changed
	fail func(last ast.Expr) bool       // a return that ends so gives nothing
}

func (r *rewriter) rewrite(n any) {
	switch x := n.(type) {
	case *ast.AssignStmt:
		r.list(x.Rhs)
		return
	case *ast.ValueSpec:
		r.list(x.Values)
		return
	case *ast.GenDecl:
		if x.Tok.String() == "const" {
			return
		}
	case *ast.IfStmt:
		r.rewrite(x.Init)
		was := copied(x.Cond)
		x.Cond = r.cond(r.inside(x.Cond), was)
		r.block(x.Body.List, x.Else == nil)
		r.rewrite(x.Else)
		return
	case *ast.BlockStmt:
		r.block(x.List, false)
		return
	case *ast.SwitchStmt:
		r.rewrite(x.Init)
		x.Tag = r.inside(x.Tag)
		whole := slices.ContainsFunc(x.Body.List, func(s ast.Stmt) bool { return s.(*ast.CaseClause).List == nil })
		for _, s := range x.Body.List {
			clause := s.(*ast.CaseClause)
			r.list(clause.List)
			r.block(clause.Body, !whole)
		}
		return
	case *ast.CaseClause:
		r.block(x.Body, false) // of a switch over types
		return
	case *ast.RangeStmt:
		x.X = r.inside(x.X)
		r.rewrite(x.Body)
		return
	case *ast.KeyValueExpr:
		x.Value = r.inside(x.Value)
		return
	case *ast.CompositeLit:
		r.list(x.Elts)
		return
	case *ast.SelectorExpr:
		if _, ok := x.X.(*ast.Ident); !ok {
			x.X = r.inside(x.X)
		}
		return
	case *ast.CallExpr:
		if s, ok := x.Fun.(*ast.SelectorExpr); ok {
			r.rewrite(s)
		}
		r.list(x.Args[:r.args(x)])
		return
	case *ast.UnaryExpr:
		if x.Op.String() != "&" {
			x.X = r.inside(x.X)
		} else {
			r.rewrite(x.X) // what it points to stays in place
		}
		return
	case *ast.IncDecStmt:
		return
	case *ast.ReturnStmt:
		if n := len(x.Results); n > 1 && r.fail(x.Results[n-1]) {
			for i, e := range x.Results {
				if lit, ok := e.(*ast.BasicLit); !ok || lit.Value != "0" {
					x.Results[i] = r.inside(e)
				}
			}
			return
		}
	case *ast.FuncLit:
		r.rewrite(x.Body)
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
			f.Set(reflect.ValueOf(r.inside(f.Interface().(ast.Expr))))
		case f.Kind() == reflect.Slice:
			for j := range f.Len() {
				if e := f.Index(j); e.Kind() == reflect.Interface && !e.IsNil() {
					if x, ok := e.Interface().(ast.Expr); ok && e.Type() == exprType {
						e.Set(reflect.ValueOf(r.inside(x)))
					} else {
						r.rewrite(e.Interface())
					}
				}
			}
		case f.Kind() == reflect.Interface && !f.IsNil():
			r.rewrite(f.Interface())
		case f.Kind() == reflect.Pointer && !f.IsNil(): // files are parsed without objects, which would lead round in circles
			r.rewrite(f.Interface())
		}
	}
}

// inside changes what stands in an expression, then the expression, which is handed over beside a copy of what it was:
// what is put in its place has no changes inside, or they would double at every level.
func (r *rewriter) inside(e ast.Expr) ast.Expr {
	if e == nil || r.skip(e) {
		return e
	}
	was := copied(e)
	r.rewrite(e)
	return r.expr(e, was)
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

func (r *rewriter) list(all []ast.Expr) {
	for i := range all {
		all[i] = r.inside(all[i])
	}
}

func (r *rewriter) block(all []ast.Stmt, optional bool) {
	for i := range all {
		after := r.stmt(all[i], optional)
		r.rewrite(all[i])
		all[i] = after(all[i])
	}
}
