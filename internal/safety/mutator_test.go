//go:build mutate

package safety

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/constant"
	"go/format"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mutantOf is one change; an early one is made before any test runs.
type mutantOf struct {
	file, from, to, where string
	early                 bool
}

// rule is the name of the rule that its file would hold.
func (m mutantOf) rule() string {
	return strings.ReplaceAll(strings.TrimSuffix(m.file, ".go"), "_", "-")
}

func (m mutantOf) String() string {
	return fmt.Sprintf("%s: `%s` as `%s` in %s", m.file, m.from, m.to, m.where)
}

type mutator struct {
	fset    *token.FileSet
	info    *types.Info
	pkg     *types.Package
	mutants []mutantOf
	file    string
	where   string
	early   bool
	imports map[string]bool
}

// mutate writes the changed files and the overlay that puts them in place of the others.
func (m *mutator) mutate(t *testing.T, dir string) string {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var files []*ast.File
	var kept []string
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(m.fset, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files, kept = append(files, f), append(kept, name)
	}
	m.check(t, files)
	replace := map[string]string{}
	put := func(name string, text []byte) {
		to := filepath.Join(dir, name)
		if err := os.WriteFile(to, text, 0o644); err != nil {
			t.Fatal(err)
		}
		from, err := filepath.Abs(name)
		if err != nil {
			t.Fatal(err)
		}
		replace[from] = to
	}
	for i, f := range files {
		if slices.Contains([]string{"safety.go", "answered.go", "unjudged.go", "rules.go"}, kept[i]) {
			continue // the engine, not the rules
		}
		m.file, m.imports = kept[i], map[string]bool{}
		for _, spec := range f.Imports {
			path, _ := strconv.Unquote(spec.Path.Value)
			m.imports[path] = true
		}
		for _, d := range f.Decls {
			m.decl(d)
		}
		var b bytes.Buffer
		if err := format.Node(&b, m.fset, f); err != nil {
			t.Fatal(err)
		}
		put(kept[i], b.Bytes())
	}
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	overlay := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(overlay, text, 0o644); err != nil {
		t.Fatal(err)
	}
	return overlay
}

// check types the package, from what the go command has compiled of its imports.
func (m *mutator) check(t *testing.T, files []*ast.File) {
	t.Helper()
	list, err := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}}={{.Export}}", ".").Output()
	if err != nil {
		t.Fatal(err)
	}
	exports := map[string]string{}
	for line := range strings.SplitSeq(string(list), "\n") {
		if path, file, ok := strings.Cut(line, "="); ok {
			exports[path] = file
		}
	}
	lookup := func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) }
	m.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
	conf := types.Config{Importer: importer.ForCompiler(m.fset, "gc", lookup)}
	if m.pkg, err = conf.Check("voltwright/internal/safety", m.fset, files, m.info); err != nil {
		t.Fatal(err)
	}
}

// decl changes the bodies of functions, and the values of variables without what only explains them.
func (m *mutator) decl(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		m.where = d.Name.Name
		m.walk(d.Body)
	case *ast.GenDecl:
		if d.Tok != token.VAR {
			return
		}
		for _, spec := range d.Specs {
			v := spec.(*ast.ValueSpec)
			m.where = v.Names[0].Name
			var putBack []func()
			ast.Inspect(v, func(n ast.Node) bool {
				switch x := n.(type) {
				case *ast.FuncLit:
					body := x.Body
					m.walk(body)
					putBack = append(putBack, func() { x.Body = body })
					x.Body = &ast.BlockStmt{}
					return false
				case *ast.CompositeLit:
					if m.text(x.Type) == "finding.Doc" {
						elements := x.Elts
						putBack = append(putBack, func() { x.Elts = elements })
						x.Elts = nil
						return false
					}
				}
				return true
			})
			m.early = true
			m.walk(v)
			m.early = false
			for _, again := range putBack {
				again()
			}
		}
	}
}

// walk changes every expression below a node, innermost first.
func (m *mutator) walk(n ast.Node) {
	if n == nil {
		return
	}
	rewrite(n, m.change)
}

// change puts the changes of one expression round it; they are made from what it was.
func (m *mutator) change(e, was ast.Expr) ast.Expr {
	tv, ok := m.info.Types[e]
	if !ok || !tv.IsValue() {
		return e
	}
	var others []ast.Expr
	plain := m.text(was)
	switch x := e.(type) {
	case *ast.BinaryExpr:
		if b, ok := was.(*ast.BinaryExpr); ok && tv.Value == nil {
			others = m.binary(b, tv.Type)
		}
	case *ast.UnaryExpr:
		if b, ok := was.(*ast.UnaryExpr); ok && x.Op == token.NOT {
			others = append(others, b.X)
		}
	case *ast.CallExpr:
		if id, ok := x.Fun.(*ast.Ident); ok {
			if other := map[string]string{"above": "below", "below": "above", "max": "min", "min": "max", "most": "", "least": ""}[id.Name]; other != "" {
				others = append(others, &ast.CallExpr{Fun: ast.NewIdent(other), Args: was.(*ast.CallExpr).Args})
			}
		}
	case *ast.BasicLit:
		if x.Kind == token.INT || x.Kind == token.FLOAT {
			others = m.moved(was, tv)
		}
	case *ast.Ident:
		if c, ok := m.info.Uses[x].(*types.Const); ok && c.Pkg() == m.pkg && tv.Value != nil {
			others = m.moved(was, tv)
		}
	case *ast.SelectorExpr:
		if p, ok := x.X.(*ast.Ident); ok && p.Name == "finding" {
			if other := map[string]string{"Danger": "SignalWarning", "SignalWarning": "Caution", "Caution": "SignalWarning", "PropertyNotice": "Caution"}[x.Sel.Name]; other != "" {
				others = append(others, &ast.SelectorExpr{X: p, Sel: ast.NewIdent(other)})
			}
		}
	}
	name, ok := m.typeName(tv.Type)
	if !ok {
		return e
	}
	for _, other := range others {
		m.mutants = append(m.mutants, mutantOf{m.file, plain, m.text(other), m.where, m.early})
		e = guarded(len(m.mutants), name, other, e)
	}
	return e
}

func (m *mutator) binary(x *ast.BinaryExpr, t types.Type) []ast.Expr {
	if b, ok := t.Underlying().(*types.Basic); !ok || b.Info()&types.IsString != 0 {
		return nil
	}
	var out []ast.Expr
	for _, op := range turned[x.Op] {
		out = append(out, &ast.BinaryExpr{X: x.X, Op: op, Y: x.Y})
	}
	if x.Op == token.MUL || x.Op == token.QUO { // drop a factor
		out = append(out, x.X)
		if x.Op == token.MUL {
			out = append(out, x.Y)
		}
	}
	return out
}

// moved moves a number by a twentieth either way, a whole one by one.
func (m *mutator) moved(e ast.Expr, tv types.TypeAndValue) []ast.Expr {
	b, ok := tv.Type.Underlying().(*types.Basic)
	switch {
	case !ok || b.Info()&types.IsNumeric == 0 || b.Info()&types.IsUntyped != 0:
		return nil
	case b.Info()&types.IsInteger == 0 && tv.Value != nil && constant.Sign(tv.Value) == 0: // a twentieth of nothing
		return nil
	case b.Info()&types.IsInteger != 0:
		one := &ast.BasicLit{Kind: token.INT, Value: "1"}
		return []ast.Expr{&ast.BinaryExpr{X: e, Op: token.ADD, Y: one}}
	}
	up, down := &ast.BasicLit{Kind: token.FLOAT, Value: "1.05"}, &ast.BasicLit{Kind: token.FLOAT, Value: "0.95"}
	return []ast.Expr{&ast.BinaryExpr{X: e, Op: token.MUL, Y: up}, &ast.BinaryExpr{X: e, Op: token.MUL, Y: down}}
}

// guarded is `other` where the mutant is switched on, else the expression.
func guarded(k int, typeName string, other, e ast.Expr) ast.Expr {
	if typeName == "untyped bool" {
		typeName = "bool"
	}
	return &ast.CallExpr{Fun: &ast.FuncLit{
		Type: &ast.FuncType{Params: &ast.FieldList{}, Results: &ast.FieldList{List: []*ast.Field{{Type: ast.NewIdent(typeName)}}}},
		Body: &ast.BlockStmt{List: []ast.Stmt{
			&ast.IfStmt{Cond: &ast.CallExpr{Fun: ast.NewIdent("on"), Args: []ast.Expr{&ast.BasicLit{Kind: token.INT, Value: strconv.Itoa(k)}}},
				Body: &ast.BlockStmt{List: []ast.Stmt{&ast.ReturnStmt{Results: []ast.Expr{other}}}}},
			&ast.ReturnStmt{Results: []ast.Expr{e}},
		}},
	}}
}

// typeName is a type as the file can write it; false where it cannot.
func (m *mutator) typeName(t types.Type) (string, bool) {
	ok := true
	name := types.TypeString(t, func(p *types.Package) string {
		if p == m.pkg {
			return ""
		}
		ok = ok && m.imports[p.Path()]
		return p.Name()
	})
	return name, ok
}

func (m *mutator) text(e ast.Expr) string {
	var b bytes.Buffer
	_ = format.Node(&b, token.NewFileSet(), e) // without the places of the file, which would break lines
	return strings.Join(strings.Fields(b.String()), " ")
}
