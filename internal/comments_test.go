package internal_test

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Every package says what it is for, and every exported name what it means, by a comment of its own or, of constants and variables,
// by that of their group; functions that follow each other without a line between have that of the first, and Error that of its type.
func TestEveryExportedNameHasAComment(t *testing.T) {
	read := 0
	for dir := range packages(t) {
		fset := token.NewFileSet()
		names, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(dir), "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		var files []*ast.File
		shared := map[token.Pos]bool{}
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(fset, name, nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
			sharing(fset, f, shared)
		}
		p, err := doc.NewFromFiles(fset, files, "voltwright/"+dir)
		if err != nil {
			t.Fatal(err)
		}
		if strings.TrimSpace(p.Doc) == "" && p.Name != "main" {
			t.Errorf("%s: the package says nothing of itself", dir)
		}
		for _, name := range uncommented(p, shared) {
			t.Errorf("%s.%s has no comment", dir, name)
		}
		read++
	}
	if read < 20 {
		t.Errorf("only %d packages were read", read)
	}
}

// uncommented lists the exported names of a package that say nothing of themselves.
func uncommented(p *doc.Package, shared map[token.Pos]bool) []string {
	var out []string
	values := func(all []*doc.Value) {
		for _, v := range all {
			for _, spec := range v.Decl.Specs {
				s := spec.(*ast.ValueSpec)
				for _, name := range s.Names {
					if name.IsExported() && v.Doc == "" && s.Doc == nil && s.Comment == nil {
						out = append(out, name.Name)
					}
				}
			}
		}
	}
	functions := func(of string, all []*doc.Func) {
		for _, f := range all {
			if f.Doc == "" && ast.IsExported(f.Name) && f.Name != "Error" && !shared[f.Decl.Pos()] {
				out = append(out, of+f.Name)
			}
		}
	}
	values(slices.Concat(p.Consts, p.Vars))
	functions("", p.Funcs)
	for _, typ := range p.Types {
		if !ast.IsExported(typ.Name) {
			continue
		}
		if typ.Doc == "" {
			out = append(out, typ.Name)
		}
		values(slices.Concat(typ.Consts, typ.Vars))
		functions("", typ.Funcs)
		functions(typ.Name+".", typ.Methods)
	}
	slices.Sort(out)
	return out
}

// sharing notes the functions that follow another without a line between: the comment of the first is of all.
func sharing(fset *token.FileSet, f *ast.File, shared map[token.Pos]bool) {
	end, told := 0, false
	for _, d := range f.Decls {
		fn, ok := d.(*ast.FuncDecl)
		if !ok {
			told = false
			continue
		}
		follows := told && fn.Doc == nil && fset.Position(fn.Pos()).Line == end+1
		if follows {
			shared[fn.Pos()] = true
		}
		end, told = fset.Position(fn.End()).Line, fn.Doc != nil || follows
	}
}
