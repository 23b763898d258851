package mutants

import (
	"bytes"
	"go/ast"
	"go/constant"
	"go/format"
	"go/token"
	"go/types"
	"math"
	"strconv"
	"strings"
)

var turned = map[token.Token][]token.Token{
	token.LSS: {token.GEQ, token.LEQ}, token.LEQ: {token.GTR, token.LSS}, token.GTR: {token.LEQ, token.GEQ}, token.GEQ: {token.LSS, token.GTR},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL}, token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL},
}

// Opposites are functions of the language and of its library that are taken for one another.
var Opposites = map[string]string{"min": "max", "max": "min", "math.Min": "math.Max", "math.Max": "math.Min", "math.Floor": "math.Ceil", "math.Ceil": "math.Floor"}

// expression puts the changes of one expression round it; they are made from what it was.
func (c *changer) expression(e, was ast.Expr) ast.Expr {
	tv, ok := c.info.Types[e]
	if !ok || !tv.IsValue() {
		return e
	}
	if files := c.files(e, tv); files != nil {
		return files
	}
	name, ok := c.typeName(tv.Type)
	if !ok {
		return e
	}
	plain := text(was)
	for _, other := range c.others(e, was, tv) {
		if k, ok := c.make(plain, text(other)); ok {
			e = guarded(k, name, other, e)
		}
	}
	return e
}

// others are what an expression is changed to.
func (c *changer) others(e, was ast.Expr, tv types.TypeAndValue) []ast.Expr {
	switch x := e.(type) {
	case *ast.BinaryExpr:
		if b, ok := was.(*ast.BinaryExpr); ok && tv.Value == nil {
			return c.binary(b, tv.Type, c.ties[x])
		}
	case *ast.UnaryExpr:
		b, ok := was.(*ast.UnaryExpr)
		if ok && (x.Op == token.NOT && c.Kinds&Turned != 0 || x.Op == token.SUB && tv.Value == nil && c.Kinds&Negated != 0) {
			return []ast.Expr{b.X}
		}
	case *ast.CallExpr:
		if other := c.swap(text(x.Fun)); other != "" {
			return []ast.Expr{&ast.CallExpr{Fun: ast.NewIdent(other), Args: was.(*ast.CallExpr).Args}}
		}
	case *ast.BasicLit:
		if x.Kind == token.INT || x.Kind == token.FLOAT {
			return c.moved(was, tv)
		}
	case *ast.Ident:
		if constant, ok := c.info.Uses[x].(*types.Const); ok && constant.Pkg() == c.pkg && tv.Value != nil {
			return c.moved(was, tv)
		}
	case *ast.SelectorExpr:
		if p, ok := x.X.(*ast.Ident); ok && c.Imports[p.Name+"."+x.Sel.Name] != "" {
			return []ast.Expr{ast.NewIdent(c.Imports[p.Name+"."+x.Sel.Name])}
		}
	}
	return nil
}

// fraction says whether an expression is a computed fraction: two of those are never the very same, so that a comparison of
// them has no boundary that could be moved over.
func (c *changer) fraction(e ast.Expr) bool {
	tv := c.info.Types[e]
	if tv.Type == nil || tv.Value != nil {
		return false
	}
	b, ok := tv.Type.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsFloat != 0
}

// slackened says whether a number stands in an expression that is there so that the bound itself is never hit.
func (c *changer) slackened(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		if x, ok := n.(ast.Expr); ok {
			tv := c.info.Types[x]
			if b, ok := tv.Type.(*types.Basic); ok && tv.Value != nil && b.Info()&types.IsFloat != 0 {
				found = found || constant.Sign(tv.Value) != 0 && slack(tv.Value)
			}
		}
		return !found
	})
	return found
}

func (c *changer) swap(name string) string {
	if c.Kinds&Swapped == 0 {
		return ""
	}
	return c.Swaps[name]
}

func (c *changer) binary(x *ast.BinaryExpr, t types.Type, tie bool) []ast.Expr {
	if b, ok := t.Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		return nil
	}
	var out []ast.Expr
	if c.Kinds&Turned != 0 {
		for n, op := range turned[x.Op] {
			if n == 0 || !tie {
				out = append(out, &ast.BinaryExpr{X: x.X, Op: op, Y: x.Y})
			}
		}
	}
	if c.Kinds&Dropped != 0 && (x.Op == token.MUL || x.Op == token.QUO) {
		out = append(out, x.X)
		if x.Op == token.MUL {
			out = append(out, x.Y)
		}
	}
	return out
}

// moved moves a number by a twentieth either way, a whole one by one.
func (c *changer) moved(e ast.Expr, tv types.TypeAndValue) []ast.Expr {
	b, ok := tv.Type.Underlying().(*types.Basic)
	switch {
	case c.Kinds&Moved == 0 || !ok || b.Info()&types.IsNumeric == 0 || b.Info()&types.IsUntyped != 0:
		return nil
	case b.Info()&types.IsInteger == 0 && tv.Value != nil && (constant.Sign(tv.Value) == 0 || c.Kinds&Removed != 0 && slack(tv.Value)): // a twentieth of nothing
		return nil
	case b.Info()&types.IsInteger != 0:
		one := &ast.BasicLit{Kind: token.INT, Value: "1"}
		return []ast.Expr{&ast.BinaryExpr{X: e, Op: token.ADD, Y: one}}
	}
	up, down := &ast.BasicLit{Kind: token.FLOAT, Value: "1.05"}, &ast.BasicLit{Kind: token.FLOAT, Value: "0.95"}
	return []ast.Expr{&ast.BinaryExpr{X: e, Op: token.MUL, Y: up}, &ast.BinaryExpr{X: e, Op: token.MUL, Y: down}}
}

// files hands embedded files over through package chosen, so that one of them can be changed, where they are handed on as an
// fs.FS; what is read by a method of theirs stays.
func (c *changer) files(e ast.Expr, tv types.TypeAndValue) ast.Expr {
	id, ok := e.(*ast.Ident)
	if !ok || c.Kinds&Embedded == 0 || tv.Type.String() != "embed.FS" {
		return nil
	}
	return call("mutantchosen.Files", &ast.BasicLit{Kind: token.STRING, Value: strconv.Quote(c.prefix())}, id)
}

// guarded is `other` where the change is switched on, else the expression.
func guarded(k int, typeName string, other, e ast.Expr) ast.Expr {
	if typeName == "untyped bool" {
		typeName = "bool"
	}
	return &ast.CallExpr{Fun: &ast.FuncLit{
		Type: &ast.FuncType{Params: &ast.FieldList{}, Results: &ast.FieldList{List: []*ast.Field{{Type: ast.NewIdent(typeName)}}}},
		Body: &ast.BlockStmt{List: []ast.Stmt{
			&ast.IfStmt{Cond: on(k), Body: &ast.BlockStmt{List: []ast.Stmt{&ast.ReturnStmt{Results: []ast.Expr{other}}}}},
			&ast.ReturnStmt{Results: []ast.Expr{e}},
		}},
	}}
}

func on(k int) ast.Expr {
	return call("mutantchosen.On", &ast.BasicLit{Kind: token.INT, Value: strconv.Itoa(k)})
}

func call(name string, args ...ast.Expr) ast.Expr {
	return &ast.CallExpr{Fun: ast.NewIdent(name), Args: args}
}

// typeName is a type as the file can write it; false where it cannot.
func (c *changer) typeName(t types.Type) (string, bool) {
	ok := true
	name := types.TypeString(t, func(p *types.Package) string {
		if p == c.pkg {
			return ""
		}
		ok = ok && c.imports[p.Path()]
		return p.Name()
	})
	return name, ok
}

func text(n any) string {
	var b bytes.Buffer
	_ = format.Node(&b, token.NewFileSet(), n) // without the places of the file, which would break lines
	return strings.Join(strings.Fields(b.String()), " ")
}

// slack says whether a number is so small that it can only stand for the last binary digits.
func slack(v constant.Value) bool {
	x, _ := constant.Float64Val(constant.ToFloat(v))
	return math.Abs(x) <= 1e-8
}
