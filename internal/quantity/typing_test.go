package quantity

import (
	"go/ast"
	"go/importer"
	goparser "go/parser"
	"go/token"
	"go/types"
	"os"
	"strings"
	"testing"
)

// TestCompilerRefusesMixedUnits type-checks a line of code at a time beside the
// package: what mixes dimensions must not compile, and its like must.
func TestCompilerRefusesMixedUnits(t *testing.T) {
	fset := token.NewFileSet()
	var files []*ast.File
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if name := e.Name(); strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") {
			f, err := goparser.ParseFile(fset, name, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
	}
	config := types.Config{Importer: importer.ForCompiler(fset, "source", nil)}
	tests := []struct {
		line     string
		compiles bool
	}{
		{"var _ = Volts(24) + Volts(1)", true},
		{"var _ = Volts(24) + Amperes(1)", false},
		{"var _ = Celsius(17) + Kelvins(3)", false},
		{"var _ Volts = Amperes(1)", false},
		{"var _ = Sum(Exact(Volts(24)), Exact(Volts(1)))", true},
		{"var _ = Sum(Exact(Volts(24)), Exact(Amperes(1)))", false},
		{"var _ Watts = PowerFrom(24, 5)", true},
		{"var v, i = Volts(24), Amperes(5); var _ = PowerFrom(i, v)", false},
		{"var _ Measured[Watts] = Product(Exact(Volts(24)), Exact(Amperes(5)), PowerFrom)", true},
		{"var _ Measured[Ohms] = Product(Exact(Volts(24)), Exact(Amperes(5)), PowerFrom)", false},
		{"var _ Measured[float64]", false},
	}
	for _, tt := range tests {
		extra, err := goparser.ParseFile(fset, "line.go", "package quantity\n"+tt.line, 0)
		if err != nil {
			t.Fatal(err)
		}
		_, err = config.Check("quantity", fset, append(files[:len(files):len(files)], extra), nil)
		if (err == nil) != tt.compiles {
			t.Errorf("%s: compiles: %v, want %v (%v)", tt.line, err == nil, tt.compiles, err)
		}
	}
}
