//go:build mutate

package safety

import (
	"bytes"
	"encoding/json"
	"errors"
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

// TestMutants changes the rules one small thing at a time and asks whether a
// test notices: a comparison is turned round or moved over its boundary, a
// factor or a divisor is dropped, a threshold or any other number is moved by a
// twentieth, a sum becomes a difference, `and` becomes `or`, a signal word
// becomes another.
//
//	go test -tags mutate -run Mutants -timeout 60m ./internal/safety
//
// All changes are compiled into one test binary, each behind a number that the
// environment chooses. The rule's own cases of the corpus are asked first, then the
// tests in Go, then all other cases that come by the change. A mutant that no test notices
// and that is not among the equivalent ones fails. What stands in a table outside
// the functions is settled when the binary starts, so each change there has a run
// of its own.
func TestMutants(t *testing.T) {
	dir := t.TempDir()
	m := &mutator{fset: token.NewFileSet()}
	overlay := m.mutate(t, dir)
	binary := filepath.Join(dir, "mutants.test")
	build := exec.Command("go", "test", "-c", "-vet=off", "-tags", "mutate", "-overlay", overlay, "-o", binary, ".")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("the mutants do not compile: %v\n%s", err, out)
	}
	if out, err := run(binary, 0, "."); err != nil {
		t.Fatalf("without a mutant the tests fail: %v\n%s", err, out)
	}
	t.Logf("%d mutants", len(m.mutants))
	only := strings.Split(os.Getenv("VOLTWRIGHT_MUTANTS"), ",") // parts of files' names, to look at some
	var left []int
	for k, mu := range m.mutants {
		if slices.ContainsFunc(only, func(part string) bool { return strings.Contains(mu.file, part) }) {
			left = append(left, k)
		}
	}
	all := len(left)
	// The quickest first: the rule's own cases, then the tests in Go, then whatever else of the corpus comes by.
	left = m.survive(t, dir, binary, left, "own")
	left = slices.DeleteFunc(left, func(k int) bool {
		mu := m.mutants[k]
		if mu.early {
			if _, err := run(binary, k+1, "TestHazards/"+mu.rule()); err != nil {
				return true
			}
		}
		_, err := run(binary, k+1, "Test[^H]")
		return err != nil
	})
	t.Logf("%d are left by the tests in Go", len(left))
	left = m.survive(t, dir, binary, left, "all")
	equal, survived := 0, 0
	for _, k := range left {
		mu := m.mutants[k].String()
		if slices.ContainsFunc(equivalent, func(e string) bool { return strings.HasPrefix(mu, e) }) {
			equal++
			continue
		}
		survived++
		t.Errorf("no test notices %s", mu)
	}
	t.Logf("%d mutants: %d killed, %d equivalent, %d survived", all, all-equal-survived, equal, survived)
}

// survive asks the corpus, of each rule its own cases or all, and gives the mutants that it does not notice.
func (m *mutator) survive(t *testing.T, dir, binary string, mutants []int, cases string) []int {
	t.Helper()
	var plan strings.Builder
	for _, k := range mutants {
		fmt.Fprintf(&plan, "%d %s\n", k+1, m.mutants[k].rule())
	}
	file := filepath.Join(dir, "plan")
	if err := os.WriteFile(file, []byte(plan.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := run(binary, 0, "TestCorpusOfMutants", planVariable+"="+file, casesVariable+"="+cases)
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	noticed := strings.Fields(out)
	left := slices.DeleteFunc(mutants, func(k int) bool { return slices.Contains(noticed, strconv.Itoa(k+1)) })
	t.Logf("%d are left by the corpus (%s)", len(left), cases)
	return left
}

// TestCorpusOfMutants runs inside the binary of the mutants: it switches one after the other on, asks the corpus of the
// rule, and prints the numbers of those that it notices.
func TestCorpusOfMutants(t *testing.T) {
	plan, err := os.ReadFile(os.Getenv(planVariable))
	if err != nil {
		return // not in the binary of the mutants
	}
	cases := map[string][]*hazard{}
	var all []*hazard
	for _, file := range hazardFiles(t) {
		own := readHazards(t, file)
		cases[strings.TrimSuffix(filepath.Base(file), ".txt")] = own
		all = append(all, own...)
	}
	comesBy := map[*hazard]map[int]bool{}
	come := func(h *hazard) map[int]bool {
		if comesBy[h] == nil {
			mutant, reached = 0, map[int]bool{}
			if noticed(h) {
				t.Fatalf("without a mutant, %s is noticed", h.words)
			}
			comesBy[h], reached = reached, nil
		}
		return comesBy[h]
	}
	for line := range strings.Lines(string(plan)) {
		number, rule, _ := strings.Cut(strings.TrimSpace(line), " ")
		k, _ := strconv.Atoi(number)
		asked := cases[rule]
		if os.Getenv(casesVariable) == "all" {
			asked = all
		}
		if slices.ContainsFunc(asked, func(h *hazard) bool {
			if !come(h)[k] {
				return false
			}
			mutant = k
			return noticed(h)
		}) {
			fmt.Println(number)
		}
	}
	mutant = 0
}

// noticed says whether a case comes out otherwise than it should.
func noticed(h *hazard) (yes bool) {
	dir, err := os.MkdirTemp("", "mutant")
	if err != nil {
		return false
	}
	defer os.RemoveAll(dir)
	defer func() {
		if recover() != nil {
			yes = true
		}
	}()
	problems, err := h.problems(dir)
	return err != nil || len(problems) > 0
}

// equivalent are mutants that change nothing that could be told, by the reason.
var equivalent = slices.Concat(
	// A value that is not known is NaN, which is neither above nor below anything, and an unknown chemistry stops at its error.
	[]string{
		"charge_cool_fast.go: `!known || !amps.Known()` as `!known && ", "charge_cool_fast.go: `!known || !amps.Known() || !capacity.Known()` as",
		"charge_log_current_high.go: `!ok || !amps.Known()` as", "charge_voltage_high.go: `!ok || !set.Known()` as",
		"discharge_below_conservative_floor.go: `!ok || !opens.Known()` as", "discharge_below_data_sheet.go: `!ok || !opens.Known()` as",
		"log_gap_charge.go: `r == nil || !r.Charge.Out.Known()` as", "parallel_capacity.go: `!a.Known() || !b.Known()` as",
		"parallel_chemistry.go: `!okA || !okB` as", "parallel_joining_current.go: `!ok || !fuller.JoinedAt.Known()", "parallel_series.go: `!first.Series.Set || !other.Series.Set` as",
		"unlike_conditions.go: `p.Known() && q.Known()` as",
	},
	// One pack alone has no other one to be held against, and no second pack to be missing.
	[]string{
		"parallel_chemistry.go: `!joined || diodes` as", "parallel_series.go: `!joined || diodes` as", "parallel_protection_apart.go: `!joined || !alike` as",
		"parallel_share.go: `!joined || run == nil", "discharge_rate.go: `len(s.version.Packs) > 0` as `len(s.version.Packs) >= 0`",
	},
	// Every chemistry that may plate lithium is charged at once its capacity at the most.
	[]string{"charge_cool_fast.go: `float64(rate) * float64(capacity.Value)` as `float64(capacity.Value)`", "parallel_joining_current.go: `float64(rate) * float64(emptier.Capacity.Value)` as `float64(emptier.Capacity.Value)`"},
	// Two numbers that are the very same, which both ways give the same.
	[]string{
		"cutout_did_not_open.go: `u > margin` as", "cutout_did_not_open.go: `r.Series.Current[k] > idle` as", "measured.go: `i.Value > most.Value` as", "measured.go: `1` as `1 + 1` in extremes",
		"parallel_joining_current.go: `fuller.JoinedAt.Value < emptier.JoinedAt.Value` as", "reset_margin.go: `far.Margin.Value < margin.Margin.Value` as",
		"standing_drain.go: `amps.Value > 0` as", "standing_drain.go: `days > drainWithin` as", "log_gap_charge.go: `counted > 0` as", "limits.go: `float64(value)",
		"reset_margin.go: `quantity.Volts(tenths)/10 < v-1e-9` as", "driving.go: `full.Value > out.Value` as", "drop_large.go: `l.Share > worst.Share` as", "stop_far.go: `stop.Distance.Value > worst` as",
	},
	// An infinity goes by its sign alone; one that is written is written as no value, as what is no number is; nothing over a resistance is nothing.
	[]string{"wiring.go: `1` as `1 + 1` in excess", "wiring.go: `0` as `0 + 1` in inDigits", "wiring.go: `p.Full > 0` as `p.Full >= 0` in short"},
	// A line anywhere between a load and nothing, and a slack anywhere between the last binary digits and what a meter shows.
	[]string{"cutout_did_not_open.go: `20` as", "cutout_did_not_open.go: `1` as", "limits.go: `slack` as", "limits.go: `1` as `1 * ", "reset_margin.go: `1e-9` as"},
	// Only which of a note's own places the callout points to.
	[]string{"parallel_age.go: `0` as", "parallel_one_alone.go: `0` as", "parallel_full_voltage.go: `!other.Full.Set` as"},
)

// run runs the tests that a pattern names with one mutant switched on, 0 for none.
func run(binary string, number int, pattern string, env ...string) (string, error) {
	c := exec.Command(binary, "-test.run", pattern, "-test.skip", "TestMutants|TestTextsAreCalm|TestAnswers|TestFactsOfTheTrade|TestEveryRule", "-test.failfast", "-test.timeout", "60m")
	c.Env = append(os.Environ(), mutantVariable+"="+strconv.Itoa(number))
	c.Env = append(c.Env, env...)
	out, err := c.CombinedOutput()
	if exit, ok := errors.AsType[*exec.ExitError](err); err != nil && !ok {
		return string(out), fmt.Errorf("not run: %w, %v", err, exit)
	}
	return string(out), err
}

const (
	mutantVariable = "VOLTWRIGHT_MUTANT"
	planVariable   = "VOLTWRIGHT_MUTANT_PLAN"
	casesVariable  = "VOLTWRIGHT_MUTANT_CASES"
)

// mutant is the number of the change that is switched on; 0: none.
var mutant, _ = strconv.Atoi(os.Getenv(mutantVariable))

// reached are the changes that were come by, while that is asked; else nil.
var reached map[int]bool

// on says whether a change is switched on, where the change would be.
func on(k int) bool {
	if reached != nil {
		reached[k] = true
	}
	return mutant == k
}

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

var turned = map[token.Token][]token.Token{
	token.LSS: {token.GEQ, token.LEQ}, token.LEQ: {token.GTR, token.LSS}, token.GTR: {token.LEQ, token.GEQ}, token.GEQ: {token.LSS, token.GTR},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL}, token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL},
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
