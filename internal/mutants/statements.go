package mutants

import (
	"go/ast"
	"go/token"
	"strings"
	"unicode/utf8"
)

// condition puts the negation round a condition that has no operator of its own to be turned.
func (c *changer) condition(e, was ast.Expr) ast.Expr {
	if c.Kinds&Negated == 0 {
		return e
	}
	switch was.(type) {
	case *ast.Ident, *ast.CallExpr, *ast.SelectorExpr, *ast.IndexExpr:
	default:
		return e
	}
	not := &ast.UnaryExpr{Op: token.NOT, X: was}
	if k, ok := c.make(text(was), text(not)); ok {
		return guarded(k, "bool", not, e)
	}
	return e
}

var otherAssignment = map[token.Token]token.Token{token.ADD_ASSIGN: token.SUB_ASSIGN, token.SUB_ASSIGN: token.ADD_ASSIGN, token.MUL_ASSIGN: token.QUO_ASSIGN, token.QUO_ASSIGN: token.MUL_ASSIGN}

// statement takes a statement away, where the code compiles without it, and turns what += and its like do.
func (c *changer) statement(s ast.Stmt, optional bool) func(ast.Stmt) ast.Stmt {
	nothing := func(s ast.Stmt) ast.Stmt { return s }
	if c.Kinds&Removed == 0 {
		return nothing
	}
	var other ast.Stmt
	switch x := s.(type) {
	case *ast.AssignStmt:
		if x.Tok == token.DEFINE || c.words(x) {
			return nothing
		}
		if tok := otherAssignment[x.Tok]; tok != token.ILLEGAL && c.Kinds&Negated != 0 && !c.isString(x.Lhs[0]) {
			other = &ast.AssignStmt{Lhs: []ast.Expr{copied(x.Lhs[0])}, Tok: tok, Rhs: []ast.Expr{copied(x.Rhs[0])}}
		}
	case *ast.IncDecStmt:
	case *ast.ExprStmt:
		if c.explains(x.X) {
			return nothing
		}
	case *ast.ReturnStmt:
		if !optional || handsOn(x) {
			return nothing
		}
	case *ast.BranchStmt:
		if !optional || x.Tok == token.FALLTHROUGH || x.Tok == token.GOTO {
			return nothing
		}
	default:
		return nothing
	}
	plain := short(text(s))
	return func(s ast.Stmt) ast.Stmt {
		if other != nil {
			if k, ok := c.make(plain, text(other)); ok {
				s = &ast.IfStmt{Cond: on(k), Body: &ast.BlockStmt{List: []ast.Stmt{other}}, Else: &ast.BlockStmt{List: []ast.Stmt{s}}}
			}
		}
		if k, ok := c.make(plain, "nothing"); ok {
			s = &ast.IfStmt{Cond: &ast.UnaryExpr{Op: token.NOT, X: on(k)}, Body: &ast.BlockStmt{List: []ast.Stmt{s}}}
		}
		return s
	}
}

func (c *changer) isString(e ast.Expr) bool {
	tv, ok := c.info.Types[e]
	return ok && tv.Type.Underlying().String() == "string"
}

// short keeps the name of a change to a line.
func short(s string) string {
	const most = 100
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}

// words says whether an assignment only sets or adds to a text that stands there.
func (c *changer) words(x *ast.AssignStmt) bool {
	for i, rhs := range x.Rhs {
		if len(x.Lhs) != len(x.Rhs) || !c.isString(x.Lhs[i]) || !strings.Contains(text(rhs), "\"") {
			return false
		}
	}
	return true
}

// handsOn says whether a return only hands on an error that another function gave.
func handsOn(x *ast.ReturnStmt) bool {
	for _, e := range x.Results {
		if id, ok := e.(*ast.Ident); ok && id.Name == "err" {
			return true
		}
	}
	return false
}
