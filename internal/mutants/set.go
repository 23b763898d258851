package mutants

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/format"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

const chosenPath = "voltwright/internal/mutants/chosen"

// Set is every change of some packages, and those of them that are made.
type Set struct {
	sources []*Source
	exports map[string]string // what the go command has compiled of the packages that these import
	bad     map[int]bool      // changes that do not compile
	All     []*Mutant         // those that do, in the order of the code
}

// Read finds every change of some packages. The numbers follow from the code alone. Code that does not parse is an error.
func Read(sources ...*Source) (*Set, error) {
	s := &Set{sources: sources, bad: map[int]bool{}}
	if err := s.list(); err != nil {
		return nil, err
	}
	for { // until what is left compiles
		texts, made, err := s.change(func(k int) bool { return !s.bad[k] })
		if err != nil {
			return nil, err
		}
		bad, err := s.faults(texts)
		if err != nil {
			return nil, err
		}
		if len(bad) == 0 {
			s.All = made
			return s, nil
		}
		for _, k := range bad {
			s.bad[k] = true
		}
	}
}

// Write makes some changes: it writes the changed files and the overlay that puts them in place of the others, and gives
// the overlay's name. The error is of the first file that could not be written.
func (s *Set) Write(dir string, mutants []*Mutant) (string, error) {
	texts, made, err := s.change(func(k int) bool { return slices.ContainsFunc(mutants, func(m *Mutant) bool { return m.Number == k }) })
	if err != nil {
		return "", err
	}
	for _, m := range made { // a change must not be another one for those that are made beside it
		if !slices.ContainsFunc(mutants, func(o *Mutant) bool { return o.Number == m.Number && o.String() == m.String() }) {
			return "", fmt.Errorf("the change %d was another one before: now it is %s", m.Number, m)
		}
	}
	replace := map[string]string{}
	for i, src := range s.sources {
		for name, text := range texts[i] {
			to := filepath.Join(dir, fmt.Sprintf("%d-%s", i, name))
			if err := os.WriteFile(to, text, 0o644); err != nil {
				return "", err
			}
			from, err := filepath.Abs(filepath.Join(src.Dir, name))
			if err != nil {
				return "", err
			}
			replace[from] = to
		}
	}
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	overlay := filepath.Join(dir, "overlay.json")
	return overlay, os.WriteFile(overlay, text, 0o644)
}

// list has the go command compile what the packages import.
func (s *Set) list() error {
	args := []string{"list", "-export", "-deps", "-f", "{{.ImportPath}}={{.Export}}", chosenPath}
	for _, src := range s.sources {
		abs, err := filepath.Abs(src.Dir)
		if err != nil {
			return err
		}
		args = append(args, abs)
	}
	out, err := exec.Command("go", args...).Output()
	if err != nil {
		return fmt.Errorf("go list: %w", err)
	}
	s.exports = map[string]string{}
	for line := range strings.SplitSeq(string(out), "\n") {
		if path, file, ok := strings.Cut(line, "="); ok {
			s.exports[path] = file
		}
	}
	return nil
}

// change gives the text of every changed file, by package and name, and the changes that were made.
func (s *Set) change(keep func(int) bool) (texts []map[string][]byte, made []*Mutant, err error) {
	next := 1
	for _, src := range s.sources {
		c := &changer{Source: src, fset: token.NewFileSet(), first: next, keep: keep}
		names, files, err := parsed(c.fset, src.Dir)
		if err != nil {
			return nil, nil, err
		}
		c.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
		if c.pkg, err = s.check(c.fset, files, c.info, nil); err != nil {
			return nil, nil, err
		}
		changed := map[string][]byte{}
		for i, f := range files {
			if src.Skip != nil && src.Skip(names[i]) {
				continue
			}
			if changed[names[i]], err = c.changeFile(names[i], f); err != nil {
				return nil, nil, err
			}
		}
		if err := c.changeData(); err != nil {
			return nil, nil, err
		}
		texts, made, next = append(texts, changed), append(made, c.made...), c.first+c.n
	}
	return texts, made, nil
}

// changeFile gives the text of a file with its changes.
func (c *changer) changeFile(name string, f *ast.File) ([]byte, error) {
	c.file, c.imports = name, map[string]bool{}
	for _, spec := range f.Imports {
		path, _ := strconv.Unquote(spec.Path.Value)
		c.imports[path] = true
	}
	c.ties = map[*ast.BinaryExpr]bool{}
	ast.Inspect(f, func(n ast.Node) bool {
		if x, ok := n.(*ast.BinaryExpr); ok && c.Kinds&Removed != 0 {
			c.ties[x] = c.fraction(x.X) && c.fraction(x.Y) || c.slackened(x.X) || c.slackened(x.Y)
		}
		return true
	})
	for _, d := range f.Decls {
		c.decl(d)
	}
	var b bytes.Buffer
	if err := format.Node(&b, c.fset, f); err != nil {
		return nil, err
	}
	out := c.embedded(b.Bytes())
	if !bytes.Contains(out, []byte("mutantchosen.")) {
		return out, nil
	}
	head := fmt.Sprintf("package %s\n", f.Name.Name)
	return bytes.Replace(out, []byte(head), []byte(head+"\nimport mutantchosen \""+chosenPath+"\"\n"), 1), nil
}

// embedded puts the lines back that say what is embedded: comments are not kept otherwise.
func (c *changer) embedded(text []byte) []byte {
	src, err := os.ReadFile(filepath.Join(c.Dir, c.file))
	if err != nil {
		return text
	}
	for _, m := range regexp.MustCompile(`(?m)^(//go:embed .*\n)(var \w+ )`).FindAllSubmatch(src, -1) {
		text = bytes.Replace(text, append([]byte("\n"), m[2]...), append([]byte("\n"), slices.Concat(m[1], m[2])...), 1)
	}
	return text
}

// parsed reads a package without its tests.
func parsed(fset *token.FileSet, dir string) (names []string, files []*ast.File, err error) {
	all, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, nil, err
	}
	for _, name := range all {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		src, err := os.ReadFile(name)
		if err != nil {
			return nil, nil, err
		}
		f, err := parser.ParseFile(fset, name, src, parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		names, files = append(names, filepath.Base(name)), append(files, f)
	}
	return names, files, nil
}

// check types a package. Where faults are asked for, all are handed over and none stops it.
func (s *Set) check(fset *token.FileSet, files []*ast.File, info *types.Info, fault func(types.Error)) (*types.Package, error) {
	lookup := func(path string) (io.ReadCloser, error) { return os.Open(s.exports[path]) }
	conf := types.Config{Importer: importer.ForCompiler(fset, "gc", lookup)}
	if fault != nil {
		conf.Error = func(err error) {
			if e, ok := errors.AsType[types.Error](err); ok {
				fault(e)
			}
		}
	}
	return conf.Check(files[0].Name.Name, fset, files, info)
}

// faults are the changes that do not compile: each is the last one switched on before the fault.
func (s *Set) faults(texts []map[string][]byte) ([]int, error) {
	var bad []int
	var stray error
	for i, src := range s.sources {
		fset := token.NewFileSet()
		var files []*ast.File
		names, kept, err := parsed(fset, src.Dir)
		if err != nil {
			return nil, err
		}
		for j, name := range names {
			f := kept[j]
			if text, ok := texts[i][name]; ok {
				if f, err = parser.ParseFile(fset, name, text, parser.SkipObjectResolution); err != nil {
					return nil, err
				}
			}
			files = append(files, f)
		}
		_, _ = s.check(fset, files, nil, func(e types.Error) {
			at := fset.Position(e.Pos)
			before := texts[i][at.Filename]
			const switched = "mutantchosen.On("
			k := bytes.LastIndex(before[:min(at.Offset, len(before))], []byte(switched))
			if k < 0 {
				stray = fmt.Errorf("%s: no change explains it: %w", at, e)
				return
			}
			digits, _, _ := strings.Cut(string(before[k+len(switched):]), ")")
			number, _ := strconv.Atoi(digits)
			bad = append(bad, number)
		})
	}
	return bad, stray
}
