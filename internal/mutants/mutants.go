// Package mutants changes packages one small thing at a time, so that their tests can be asked whether they notice. It
// is for tests alone: no package of the product imports it. Since the changed code has to be built, and one run of a
// test binary must not bring down another, it starts the go command and the binaries that this makes.
//
// All changes are compiled in at once, each behind a number that the environment chooses (package chosen).
package mutants

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

// Kind is a way to change code.
type Kind int

// The ways to change code, and all of them.
const (
	Turned   Kind = 1 << iota // a comparison turned or moved over its boundary, a sum and a difference, `and` and `or`, a negation taken away
	Dropped                   // a factor or a divisor dropped
	Moved                     // a number moved by a twentieth either way, a whole one by one
	Swapped                   // a function for its opposite: min for max, and whatever the package has of the kind
	Negated                   // the condition of an `if` that is a name or a call; the sign of a number; += and -=
	Removed                   // a statement taken away: an assignment, a call, a return or a continue that comes before the end
	Embedded                  // a number of an embedded table moved by a twentieth, a whole one by one at least
	All      = Turned | Dropped | Moved | Swapped | Negated | Removed | Embedded
)

// Source is a package whose code is to be changed.
type Source struct {
	Name    string            // what its files' names begin with, in the names of changes
	Dir     string            // its folder
	Kinds   Kind              // which changes are made
	Skip    func(string) bool // files that are left alone; nil: none
	Swaps   map[string]string // functions by their opposite
	Imports map[string]string // names of other packages, written with theirs, by their opposite
}

// Mutant is one change.
type Mutant struct {
	Number                int // what switches it on
	Source                *Source
	File, From, To, Where string
	Early                 bool   // made before any test runs
	data                  []byte // what an embedded file becomes
}

// String says what is changed into what and where, for a list.
func (m *Mutant) String() string {
	return fmt.Sprintf("%s%s: `%s` as `%s` in %s", m.Source.prefix(), m.File, m.From, m.To, m.Where)
}

func (s *Source) prefix() string {
	if s.Name == "" {
		return ""
	}
	return s.Name + "/"
}

// changer puts changes into the files of one package.
type changer struct {
	*Source
	fset    *token.FileSet
	info    *types.Info
	pkg     *types.Package
	file    string
	where   string
	early   bool
	imports map[string]bool
	ties    map[*ast.BinaryExpr]bool // comparisons of two computed fractions, or with a slack, told before anything is put round them
	first   int                      // the number of the package's first change
	n       int                      // how many changes there were so far
	keep    func(int) bool           // whether the change of a number is made
	made    []*Mutant
}

// make counts a change, and gives its number where it is to be made.
func (c *changer) make(from, to string) (int, bool) {
	number := c.first + c.n
	c.n++
	if !c.keep(number) {
		return 0, false
	}
	c.made = append(c.made, &Mutant{Number: number, Source: c.Source, File: c.file, From: from, To: to, Where: c.where, Early: c.early})
	return number, true
}

// decl changes the bodies of functions, and the values of variables without what only explains them.
func (c *changer) decl(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Recv != nil && d.Name.Name == "Error" {
			return // a message
		}
		c.where = d.Name.Name
		if d.Body != nil {
			c.walk(d.Body)
		}
	case *ast.GenDecl:
		if d.Tok != token.VAR {
			return
		}
		for _, spec := range d.Specs {
			v := spec.(*ast.ValueSpec)
			c.where = v.Names[0].Name
			putBack := c.functionsOf(v)
			c.early = true
			c.walk(v)
			c.early = false
			for _, again := range putBack {
				again()
			}
		}
	}
}

// functionsOf changes the functions in a variable's value and takes them out, as what only explains is; what it gives puts
// them back.
func (c *changer) functionsOf(v *ast.ValueSpec) []func() {
	var putBack []func()
	ast.Inspect(v, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.FuncLit:
			body := x.Body
			c.walk(body)
			putBack = append(putBack, func() { x.Body = body })
			x.Body = &ast.BlockStmt{}
			return false
		case *ast.CompositeLit:
			if text(x.Type) == "finding.Doc" {
				elements := x.Elts
				putBack = append(putBack, func() { x.Elts = elements })
				x.Elts = nil
				return false
			}
		}
		return true
	})
	return putBack
}

func (c *changer) walk(n ast.Node) {
	r := &rewriter{expr: c.expression, stmt: c.statement, cond: c.condition, skip: c.explains, args: c.arguments, fail: c.failed}
	r.rewrite(n)
}

// failed says whether the last of the values that a return gives is false or an error: noughts beside it stand for nothing and are not read.
func (c *changer) failed(last ast.Expr) bool {
	if id, ok := last.(*ast.Ident); ok && id.Name == "false" {
		return true
	}
	tv := c.info.Types[last]
	return !tv.IsNil() && tv.Type != nil && tv.Type.String() == "error"
}

// explains says whether an expression only makes a message or the text of a finding: changes there are changes of words.
func (c *changer) explains(e ast.Expr) bool {
	if c.Kinds&Removed == 0 {
		return false
	}
	switch x := e.(type) {
	case *ast.CallExpr:
		name := text(x.Fun)
		return name == "fmt.Errorf" || name == "errors.New" || name == "panic"
	case *ast.CompositeLit:
		return x.Type != nil && strings.HasPrefix(text(x.Type), "finding.Doc")
	}
	return false
}

// arguments says how many of a call's arguments are changed: not the room that is made for what comes, the form and the
// bits of strconv, and what stands for the sign of an infinity.
func (c *changer) arguments(x *ast.CallExpr) int {
	n := len(x.Args)
	if c.Kinds&Removed == 0 || n == 0 {
		return n
	}
	switch name := text(x.Fun); {
	case name == "math.Inf":
		return 0
	case name == "math.IsInf" || strings.HasPrefix(name, "strconv.Parse") || strings.HasPrefix(name, "strconv.Format"):
		return 1
	case name == "make" && n == 3:
		return 2
	case name == "make" && n == 2:
		if _, slice := c.info.TypeOf(x).Underlying().(*types.Slice); !slice {
			return 1
		}
	}
	return n
}
