package internal_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// layer is one package of the program and the packages of the program that it
// may import. The table is a statement of policy: data goes one way, read →
// resolve → compute → inspect → lay out → write, and siblings do not know each
// other. A package that is not in the table fails the test.
var layers = map[string][]string{
	// Leaves.
	"internal/mistyped":      {},
	"internal/quantity":      {"internal/mistyped"},
	"internal/finding":       {"internal/mistyped"},
	"internal/reference":     {},
	"internal/compare":       {"internal/finding"}, // numbers against numbers; who computes with runs and who prints both need it
	"internal/phases":        {},                   // a charge cut where its charger goes from current to voltage: who measures a log and who predicts one mean the same
	"internal/whole":         {},                   // folders written whole or not at all
	"internal/svg":           {},
	"internal/register":      {},                         // finished pages in, an index and a register out; it knows no vehicle, so that whatever a page says is taken alike
	"internal/store":         {},                         // results of steps, kept between runs of the program; it knows none of them
	"internal/progress":      {},                         // how far long work is, in words that a command chooses
	"internal/outgoing/webp": {},                         // pixels in, WebP out
	"internal/outgoing":      {"internal/outgoing/webp"}, // bytes of a file in, what may leave the journal out; it knows no note
	"themes":                 {},

	// Readers and calculators. None knows a page; only notes knows Markdown.
	"internal/notes":   {"internal/quantity", "internal/finding"},
	"internal/runlog":  {"internal/outgoing", "internal/phases", "internal/quantity", "internal/finding", "internal/compare"},
	"internal/chart":   {"internal/quantity", "internal/svg"},
	"internal/battery": {"internal/phases", "internal/quantity", "internal/finding", "internal/reference"},
	"internal/drive":   {"internal/quantity", "internal/finding", "internal/reference"},
	"internal/circuit": {"internal/quantity", "internal/finding", "internal/reference"},
	"internal/diagram": {"internal/circuit", "internal/quantity", "internal/svg"},

	// Worked circuits that tests share; no package of the product imports it.
	"internal/circuit/circuittest": {"internal/circuit", "internal/quantity"},

	// The corpus of the rules of safety, laid out as folders for tests; no package of the product imports it.
	"internal/safety/safetytest": {"internal/finding"},

	// Photos as cameras write them, that tests share; no package of the product imports it.
	"internal/outgoing/phototest": {},

	// A real browser that tests share; no package of the product imports it.
	"internal/browsertest": {},

	// Changes of code that tests are asked about; no package of the product imports it. What is chosen is imported by changed
	// code alone, which is compiled in a folder of its own and never kept.
	"internal/mutants":        {"internal/mutants/chosen"},
	"internal/mutants/chosen": {},

	// Whether a comparison looks at every field, that tests ask; no package of the product imports it.
	"internal/everyfield": {},

	// What tests computed before, held against what they compute now; no package of the product imports it.
	"internal/recorded": {},

	// The journal of measured logs, laid out for tests; no package of the product imports it.
	"internal/measuredjournal": {},

	// Three questions about one version, from plain values: how long it runs and charges, how fast it goes, what its leads do.
	// They know no note, no log file and not each other; study hands each what it asks for.
	"internal/predict":    {"internal/battery", "internal/drive", "internal/phases", "internal/reference", "internal/quantity", "internal/finding"},
	"internal/drivetrain": {"internal/drive", "internal/reference", "internal/quantity", "internal/finding"},
	"internal/wiring":     {"internal/circuit", "internal/quantity", "internal/finding"},

	// The one form of results as JSON.
	"internal/record": {"internal/predict", "internal/drivetrain", "internal/wiring", "internal/runlog", "internal/circuit", "internal/quantity"},

	// The typed whole: what is written, resolved. It computes nothing; of the cores it knows the words that notes may use and
	// the plain types that a note is turned into.
	"internal/journal": {"internal/outgoing", "internal/battery", "internal/circuit", "internal/drive", "internal/notes", "internal/runlog", "internal/reference", "internal/quantity", "internal/finding"},

	// The only place that orders the computing. It takes what a step came to from the store.
	"internal/study": {"internal/progress", "internal/journal", "internal/predict", "internal/drivetrain", "internal/wiring", "internal/runlog", "internal/notes", "internal/store", "internal/finding", "internal/battery", "internal/circuit", "internal/drive", "internal/quantity", "internal/reference"},

	// Names of everything that prose can be bound to. It computes nothing but how two values compare.
	"internal/value": {"internal/study", "internal/journal", "internal/predict", "internal/wiring", "internal/notes", "internal/runlog", "internal/quantity", "internal/finding"},

	// What every version answers by itself, in sentences of named values.
	"internal/standing": {"internal/battery", "internal/circuit", "internal/drivetrain", "internal/finding", "internal/journal", "internal/notes", "internal/predict", "internal/quantity", "internal/study", "internal/value", "internal/wiring"},

	// Rule sets.
	"internal/safety":   {"internal/study", "internal/journal", "internal/predict", "internal/drivetrain", "internal/wiring", "internal/battery", "internal/circuit", "internal/drive", "internal/notes", "internal/runlog", "internal/reference", "internal/quantity", "internal/finding"},
	"internal/evidence": {"internal/value", "internal/journal", "internal/notes", "internal/runlog", "internal/quantity", "internal/finding"},

	// Output.

	// Pages: what they share from below, then the kinds of page, which only the table at the head of site knows.
	"internal/site/numeral":     {"internal/finding", "internal/journal", "internal/notes", "internal/quantity", "internal/value"},                                                                                                                                                                                                                                                                 // numbers as they are printed
	"internal/site/address":     {"internal/finding", "internal/journal", "internal/notes"},                                                                                                                                                                                                                                                                                                        // where pages stand
	"internal/site/words":       {},                                                                                                                                                                                                                                                                                                                                                                // sayings in, sayings of another language out
	"internal/site/frame":       {"internal/finding", "internal/journal", "internal/notes", "internal/outgoing", "internal/progress", "internal/site/address", "internal/site/numeral", "internal/site/words", "internal/whole", "themes"},                                                                                                                                                         // the sheet, its theme, the pages in memory and their writing; it knows no kind of page
	"internal/site/reading":     {"internal/drivetrain", "internal/finding", "internal/journal", "internal/notes", "internal/outgoing", "internal/predict", "internal/progress", "internal/quantity", "internal/runlog", "internal/safety", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/words", "internal/study", "internal/value", "internal/wiring"}, // what pages read; the kinds of page are declared in its terms
	"internal/site/cautions":    {"internal/journal"},
	"internal/site/spec":        {"internal/journal", "internal/quantity", "internal/site/frame", "internal/site/numeral", "internal/site/reading", "internal/study"},
	"internal/site/upkeep":      {"internal/journal", "internal/notes", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading", "internal/site/spec"}, // what failed, what was done, what is to do
	"internal/site/results":     {"internal/finding", "internal/journal", "internal/runlog", "internal/record", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading"},
	"internal/site/charts":      {"internal/chart", "internal/journal", "internal/predict", "internal/quantity", "internal/runlog", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading"},
	"internal/site/driving":     {"internal/drive", "internal/drivetrain", "internal/finding", "internal/journal", "internal/quantity", "internal/reference", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading", "internal/site/results", "internal/site/spec"},
	"internal/site/forecast":    {"internal/chart", "internal/finding", "internal/journal", "internal/notes", "internal/predict", "internal/quantity", "internal/record", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading", "internal/site/spec", "internal/study"},
	"internal/site/wiringsheet": {"internal/circuit", "internal/diagram", "internal/journal", "internal/notes", "internal/outgoing", "internal/quantity", "internal/record", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading", "internal/wiring"},
	"internal/site/partslist":   {"internal/circuit", "internal/journal", "internal/notes", "internal/outgoing", "internal/quantity", "internal/record", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading", "internal/wiring"},
	"internal/site/prose":       {"internal/drivetrain", "internal/finding", "internal/journal", "internal/notes", "internal/runlog", "internal/site/address", "internal/site/charts", "internal/site/forecast", "internal/site/frame", "internal/site/numeral", "internal/site/reading", "internal/site/results", "internal/site/wiringsheet", "internal/value"},
	"internal/site/social":      {"internal/site/frame"}, // the picture of a page, drawn from what it says
	"internal/site/photos":      {"internal/journal", "internal/notes", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/prose", "internal/site/reading"},
	"internal/site/answer":      {"internal/journal", "internal/notes", "internal/site/address", "internal/site/forecast", "internal/site/frame", "internal/site/numeral", "internal/site/reading"},
	"internal/site/linked":      {"internal/journal", "internal/notes", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/reading"},
	"internal/site/comparison":  {"internal/circuit", "internal/compare", "internal/journal", "internal/predict", "internal/quantity", "internal/runlog", "internal/site/address", "internal/site/frame", "internal/site/numeral", "internal/site/partslist", "internal/site/reading", "internal/site/spec"},
	"internal/site/page/*":      {"internal/chart", "internal/circuit", "internal/compare", "internal/finding", "internal/journal", "internal/notes", "internal/outgoing", "internal/predict", "internal/quantity", "internal/register", "internal/runlog", "internal/safety", "internal/site/address", "internal/site/answer", "internal/site/cautions", "internal/site/charts", "internal/site/comparison", "internal/site/driving", "internal/site/forecast", "internal/site/frame", "internal/site/linked", "internal/site/numeral", "internal/site/partslist", "internal/site/prose", "internal/site/reading", "internal/site/results", "internal/site/spec", "internal/site/upkeep", "internal/site/wiringsheet", "internal/standing", "internal/study", "internal/wiring"}, // each kind of page in a folder of its own; none knows another
	"internal/site":             {"internal/site/page/*", "internal/finding", "internal/journal", "internal/notes", "internal/progress", "internal/site/address", "internal/site/forecast", "internal/site/frame", "internal/site/linked", "internal/site/numeral", "internal/site/partslist", "internal/site/photos", "internal/site/social", "internal/site/prose", "internal/site/reading", "internal/site/spec", "internal/site/wiringsheet", "internal/whole"},

	// It takes the site's files as app hands them over, and knows no page.
	"internal/archive": {"internal/progress", "internal/record", "internal/journal", "internal/notes", "internal/whole", "internal/outgoing", "internal/finding"},

	// The first journal of a maker and the next version or run of a journal: text from text, and a folder of it.
	"internal/begin": {"internal/journal", "internal/notes", "internal/whole", "internal/quantity"},

	// It serves the site's files as app hands them over, and knows no page.
	"internal/proof": {"internal/finding", "themes"},

	// The types of the front matter written down for editors: it walks what journal says of its keys, and computes nothing.
	"internal/schema": {"internal/record", "internal/journal", "internal/notes", "internal/quantity"},

	// Journals of any size, that tests measure with; no package of the product imports it.
	"internal/sized": {},

	// The program that makes the demo's logs stands apart from the product.
	"internal/demo":          {},
	"internal/demo/generate": {"internal/demo"},

	// Only app knows everyone, and main knows only app.
	"internal/app": {"internal/progress", "internal/study", "internal/store", "internal/site", "internal/site/address", "internal/proof", "internal/archive", "internal/begin", "internal/schema", "internal/safety", "internal/evidence", "internal/value", "internal/journal", "internal/predict", "internal/drivetrain", "internal/wiring", "internal/record", "internal/battery", "internal/circuit", "internal/drive", "internal/notes",
		"internal/runlog", "internal/whole", "internal/quantity", "internal/finding", "themes", "internal/compare"},
	"cmd/voltwright": {"internal/app"},
}

// owners holds what only some packages may import, and why.
var owners = []struct {
	prefix string
	only   []string
	why    string
}{
	{"net/http", []string{"internal/proof"}, "only a local trial print serves pages"},
	{"github.com/adrg/frontmatter", []string{"internal/notes"}, "front matter is cut off in one place"},
	{"github.com/goccy/go-yaml", []string{"internal/notes", "internal/safety/safetytest"}, "YAML is read in one place, strictly; the corpus of safety alone changes it"},
	{"github.com/go-echarts", []string{"internal/chart"}, "chart options are built in one place"},
	{"github.com/yuin/goldmark", []string{"internal/notes", "internal/site/prose"}, "syntax in notes, HTML in prose"},
	{"golang.org/x/term", []string{"internal/app"}, "what is drawn on a terminal is the command's"},
	{"github.com/spf13/cobra", []string{"internal/app"}, "commands are app's"},
	{"html/template", []string{"internal/site/*", "internal/site/page/*", "internal/proof"}, "HTML is site's, and the band over it proof's"},
	{"golang.org/x/net", []string{"internal/archive", "internal/proof", "internal/register", "internal/site/words"}, "finished pages are changed for a bag, for a trial print and for a language, and what they say is read in one place"},
	{"golang.org/x/text", []string{"internal/register", "internal/runlog", "internal/outgoing", "internal/site/words"}, "words are put in the order of a language in one place and into a language in one, and logs and other files in UTF-16 are read in one place each"},
	{"os/exec", []string{"internal/browsertest", "internal/mutants"}, "no other program is started, but by tests a browser, and the go command with the tests that changed code is compiled into"},
	{"github.com/fsnotify/fsnotify", []string{"internal/proof"}, "only a trial print waits for changes"},
	{"github.com/rogpeppe/go-internal", []string{"internal/store", "internal/safety/safetytest"}, "what is kept is kept in one place; the corpus of safety is in archives of text"},
	{"github.com/tetratelabs/wazero", []string{"internal/outgoing/webp"}, "the one program that is run in it is the encoder of WebP"},
	{"golang.org/x/sync", []string{"internal/study"}, "the order of the work is study's"},
	{"unsafe", nil, "no number is worth it"},
}

// pure packages take and return plain values: no file, no network, no chance.
var pure = []string{"internal/quantity", "internal/finding", "internal/chart", "internal/runlog", "internal/battery", "internal/drive", "internal/predict", "internal/drivetrain", "internal/wiring", "internal/record", "internal/circuit", "internal/svg", "internal/diagram"}

var impure = []string{"os", "net", "path/filepath", "log", "math/rand", "math/rand/v2"}

// clockless is the name of what no package of the program may call: the same
// input gives the same bytes whenever it is published.
const clockless = "time.Now"

// clocked is the one file that may: how long a reader of a trial print may take is counted from now, and nothing is printed of it.
const clocked = "internal/proof/room.go"

func TestLayers(t *testing.T) {
	found := packages(t)
	for dir, imports := range found {
		allowed, known := layers[dir]
		if !known {
			allowed, known = layers[path.Dir(dir)+"/*"]
		}
		if !known {
			t.Errorf("%s is not in the table of layers: say what it may import", dir)
			continue
		}
		for imp, file := range imports {
			if rel, ok := strings.CutPrefix(imp, "voltwright/"); ok {
				if !covers(allowed, rel) {
					t.Errorf("%s: %s may not import %s", file, dir, rel)
				}
				continue
			}
			for _, o := range owners {
				if (imp == o.prefix || strings.HasPrefix(imp, o.prefix+"/")) && !covers(o.only, dir) {
					t.Errorf("%s: %s may not import %s: %s", file, dir, imp, o.why)
				}
			}
			if slices.Contains(pure, dir) && slices.Contains(impure, imp) {
				t.Errorf("%s: %s takes and returns plain values and may not import %s", file, dir, imp)
			}
		}
	}
	for dir := range layers {
		if !slices.ContainsFunc(slices.Collect(maps.Keys(found)), func(have string) bool { return covers([]string{dir}, have) }) && dir != "internal/demo/generate" {
			t.Errorf("%s is in the table of layers and does not exist", dir)
		}
	}
}

// covers tells whether a list of packages names one, itself or by its folder and "/*".
func covers(list []string, dir string) bool {
	return slices.Contains(list, dir) || slices.Contains(list, path.Dir(dir)+"/*")
}

// packages lists the imports of every package's non-test files, each with a
// file that has it.
func packages(t *testing.T) map[string]map[string]string {
	t.Helper()
	found := map[string]map[string]string{}
	root := ".."
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel := filepath.ToSlash(strings.TrimPrefix(strings.TrimPrefix(p, root), string(filepath.Separator)))
		if d.IsDir() {
			if rel == "themes/engine/build" || d.Name() == "testdata" || rel != "" && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			return nil
		}
		if path.Ext(rel) != ".go" || strings.HasSuffix(rel, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), p, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if sel, ok := n.(*ast.SelectorExpr); ok {
				if x, ok := sel.X.(*ast.Ident); ok && x.Name+"."+sel.Sel.Name == clockless && rel != clocked {
					t.Errorf("%s: calls %s: the same input gives the same bytes", rel, clockless)
				}
			}
			return true
		})
		dir := path.Dir(rel)
		if found[dir] == nil {
			found[dir] = map[string]string{}
		}
		for _, spec := range f.Imports {
			imp, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			found[dir][imp] = rel
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}
