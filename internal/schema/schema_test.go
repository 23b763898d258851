package schema

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/goccy/go-yaml"
	"github.com/rogpeppe/go-internal/txtar"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// judge is the schemas as an independent library reads them, for one kind each
// and "" for all; days are checked against the calendar if it asserts formats.
type judge map[string]*jsonschema.Schema

func newJudge(t testing.TB, formats bool) judge {
	t.Helper()
	out := judge{}
	for _, kind := range append(Kinds(), "") {
		text := written(t, kind)
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		c := jsonschema.NewCompiler()
		c.UseLoader(noNetwork{})
		if formats {
			c.AssertFormat()
		}
		if err := c.AddResource("front.json", doc); err != nil {
			t.Fatal(err)
		}
		compiled, err := c.Compile("front.json")
		if err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		out[kind] = compiled
	}
	return out
}

type noNetwork struct{}

func (noNetwork) Load(url string) (any, error) { return nil, fmt.Errorf("asked for %s", url) }

func written(t testing.TB, kind string) []byte {
	t.Helper()
	text, err := All()
	if kind != "" {
		text, err = For(kind)
	}
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// instance reads YAML as an editor does, by a reader that knows nothing of notes.
func instance(front []byte) (any, error) {
	var v any
	if err := yaml.Unmarshal(front, &v); err != nil {
		return nil, err
	}
	if v == nil {
		v = map[string]any{}
	}
	text, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return jsonschema.UnmarshalJSON(bytes.NewReader(text))
}

// into is what each kind is decoded into.
var into = map[string]reflect.Type{
	"vehicle": reflect.TypeFor[journal.Vehicle](), "version": reflect.TypeFor[journal.Version](), "run": reflect.TypeFor[journal.Run](), "note": reflect.TypeFor[journal.NotePage](),
	"question": reflect.TypeFor[journal.Question](), "correction": reflect.TypeFor[journal.Correction](), JournalKind: reflect.TypeFor[journal.Journal](),
}

// decoded gives what the program's decoder says of a note.
func decoded(name string, text []byte) (kind string, n *notes.Note, said []finding.Finding) {
	var list finding.List
	n = notes.ParseNote(name, text, &list)
	kind = n.Kind
	if name == notes.JournalFile {
		kind = JournalKind
	}
	if t := into[kind]; t != nil && !n.Broken && n.Front != nil {
		notes.Decode(n.Front, reflect.New(t).Interface(), &list)
	}
	return kind, n, list.Sorted()
}

// frontOf cuts the YAML out of a note.
func frontOf(name string, text []byte) []byte {
	if path.Base(name) == notes.JournalFile {
		return text
	}
	_, rest, _ := strings.Cut("\n"+strings.ReplaceAll(string(text), "\r\n", "\n"), "\n---\n")
	front, _, _ := strings.Cut("\n"+rest, "\n---")
	return []byte(front)
}

// The schemas are schemas: by the meta-schema of the standard, which comes with
// the library.
func TestMetaSchema(t *testing.T) {
	meta, err := jsonschema.NewCompiler().Compile(draft)
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range append(Kinds(), "") {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(written(t, kind)))
		if err != nil {
			t.Fatal(err)
		}
		if err := meta.Validate(doc); err != nil {
			t.Errorf("%q: %v", kind, err)
		}
	}
	bad, err := jsonschema.UnmarshalJSON(strings.NewReader(`{"required": "kind"}`))
	if err != nil || meta.Validate(bad) == nil {
		t.Errorf("the meta-schema holds nothing: %v", err)
	}
}

// walk visits every schema within a schema.
func walk(v any, at string, visit func(at string, o map[string]any)) {
	switch v := v.(type) {
	case map[string]any:
		visit(at, v)
		for k, sub := range v {
			if k != "examples" && k != "enum" && k != "const" {
				walk(sub, at+"/"+k, visit)
			}
		}
	case []any:
		for i, sub := range v {
			walk(sub, fmt.Sprintf("%s/%d", at, i), visit)
		}
	}
}

// Nothing in it leads out of it, but for the name of the meta-schema; every
// reference leads somewhere; every pattern can be read.
func TestSelfContained(t *testing.T) {
	for _, kind := range append(Kinds(), "") {
		var doc map[string]any
		if err := json.Unmarshal(written(t, kind), &doc); err != nil {
			t.Fatal(err)
		}
		if doc["$schema"] != draft {
			t.Errorf("%q: $schema is %v", kind, doc["$schema"])
		}
		defs, _ := doc["$defs"].(map[string]any)
		used := map[string]bool{}
		walk(doc, "", func(at string, o map[string]any) {
			if strings.HasSuffix(at, "/properties") {
				return
			}
			if _, has := o["$id"]; has {
				t.Errorf("%q: %s has an $id", kind, at)
			}
			if ref, has := o["$ref"].(string); has {
				name, local := strings.CutPrefix(ref, "#/$defs/")
				if used[name] = true; !local || defs[name] == nil {
					t.Errorf("%q: %s refers to %s", kind, at, ref)
				}
			}
			if p, has := o["pattern"].(string); has {
				if _, err := regexp.Compile(p); err != nil {
					t.Errorf("%q: %s: %v", kind, at, err)
				}
			}
		})
		for name := range defs {
			if !used[name] {
				t.Errorf("%q: nothing refers to %s", kind, name)
			}
		}
	}
	for r := rune(0); r <= 0xffff; r++ {
		if regexp.MustCompile("["+blanks+"]").MatchString(string(r)) != (unicode.IsSpace(r)) && r < 0xd800 {
			t.Errorf("%U is no blank of both", r)
		}
	}
}

// Every key of the key table is in the schema, where it belongs, and no other;
// each with a title, an example that the schema itself accepts, and its text.
func TestEveryKey(t *testing.T) {
	docs := map[string]finding.Doc{}
	for _, d := range journal.Keys() {
		docs[d.Name] = d
	}
	seen := map[string]bool{}
	all := map[string]any{}
	if err := json.Unmarshal(written(t, ""), &all); err != nil {
		t.Fatal(err)
	}
	for kind, typ := range into {
		var doc map[string]any
		if err := json.Unmarshal(written(t, kind), &doc); err != nil {
			t.Fatal(err)
		}
		c := jsonschema.NewCompiler()
		if err := c.AddResource("front.json", doc); err != nil {
			t.Fatal(err)
		}
		var group func(at, path string, o map[string]any) []string
		key := func(at, path string, o map[string]any) {
			seen[path] = true
			d, known := docs[path]
			if !known {
				t.Errorf("%s: the key %s is in the schema and in no table", kind, path)
			}
			text, _ := o["description"].(string)
			if o["title"] != d.Title && path != "kind" || text == "" && strings.Contains(d.What, ". It stands in") {
				t.Errorf("%s: %s is called %v, %q", kind, path, o["title"], text)
			}
			if path != "kind" {
				examples, _ := o["examples"].([]any)
				s, err := c.Compile("front.json#" + at)
				if err != nil || len(examples) == 0 {
					t.Fatalf("%s: %s has no example that could be tried (%v)", kind, path, err)
				}
				for _, e := range examples {
					if err := s.Validate(e); err != nil && !strings.Contains(err.Error(), "missing propert") {
						t.Errorf("%s: the example of %s: %v", kind, path, err)
					}
				}
			}
			for _, form := range []string{"", "/items", "/then", "/else", "/then/items"} {
				inner := any(o)
				for _, step := range strings.Split(strings.TrimPrefix(form, "/"), "/") {
					if m, is := inner.(map[string]any); is && step != "" {
						inner = m[step]
					}
				}
				if m, is := inner.(map[string]any); is && m["properties"] != nil && path != "log.columns" {
					group(at+form, path+".", m)
				}
			}
		}
		group = func(at, prefix string, o map[string]any) (names []string) {
			for name, sub := range o["properties"].(map[string]any) {
				key(at+"/properties/"+name, prefix+name, sub.(map[string]any))
				names = append(names, name)
			}
			if o["additionalProperties"] != false {
				t.Errorf("%s: %s takes unknown keys", kind, at)
			}
			return names
		}
		got := group("", "", doc)
		var want []string
		for _, f := range notes.Fields(typ) {
			want = append(want, f.Key)
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s has %v, its type %v", kind, got, want)
		}
		var one, among any = maps(doc), all["$defs"].(map[string]any)[kind]
		if !reflect.DeepEqual(one, among) {
			t.Errorf("%s alone is not what it is among all", kind)
		}
	}
	for path := range docs {
		if !seen[path] {
			t.Errorf("the key %s is not in the schema", path)
		}
	}
}

// maps is a schema without what only a root has.
func maps(doc map[string]any) map[string]any {
	delete(doc, "$schema")
	delete(doc, "$defs")
	return doc
}

// A key that a type gains is in the schema without more ado.
func TestANewKeyAppears(t *testing.T) {
	fronts := journal.Fronts()
	i := slices.IndexFunc(fronts, func(f journal.Front) bool { return f.Kind == "version" })
	fronts[i].Keys = append(fronts[i].Keys, journal.FrontKey{Name: "whistle", Path: "whistle", Required: true, Shape: journal.Shape{Of: journal.YesOrNo}, Title: "Whistle"},
		journal.FrontKey{Name: "odd", Path: "odd"})
	text, err := all(fronts).print()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Defs map[string]struct {
			Required   []string
			Properties map[string]any
		} `json:"$defs"`
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	v := doc.Defs["version"]
	if v.Properties["whistle"] == nil || !slices.Contains(v.Required, "whistle") {
		t.Error("the schema has no whistle")
	}
	if odd, _ := v.Properties["odd"].(map[string]any); odd == nil || len(odd) > 0 {
		t.Errorf("what is not known is not left open: %v", odd)
	}
}

// Every note of the repository: the demo, the first journal of a maker, the
// measured journal, and those of the tests, the bad ones with them. What the
// decoder finds nothing in, the schema accepts; what the decoder refuses, the
// schema refuses, but for what a row of lenient says.
func TestEveryNoteOfTheRepository(t *testing.T) {
	good, bad, left := 0, 0, map[string]int{}
	for _, formats := range []bool{false, true} {
		all := newJudge(t, formats)
		everyNote(t, func(name string, text []byte) {
			kind, n, said := decoded(path.Base(name), text)
			if into[kind] == nil || n.Broken || n.Front == nil || strings.Contains(name, "/questions/") && kind == "note" {
				return // not a kind of note, or no YAML that an editor could read either
			}
			v, err := instance(frontOf(name, text))
			if err != nil {
				left["the editor's YAML reader: "+err.Error()[:min(30, len(err.Error()))]]++
				return
			}
			alone, among := all[kind].Validate(v), all[""].Validate(v)
			if (alone == nil) != (among == nil) {
				t.Errorf("%s: alone %v, among all %v", name, alone, among)
			}
			said = slices.DeleteFunc(said, func(f finding.Finding) bool { return f.Level != finding.Error })
			switch {
			case len(said) == 0:
				good++
				if alone != nil {
					t.Errorf("%s: the program finds nothing, and %v", name, alone)
				}
			case alone == nil && !slices.ContainsFunc(said, func(f finding.Finding) bool { return lenient(f) != "" }):
				t.Errorf("%s: the schema accepts what the program refuses: %s: %s", name, said[0].Rule, said[0].Text)
			default:
				bad++
			}
		})
	}
	t.Logf("%d sound notes, %d bad ones, not to be read %v", good, bad, left)
	if good < 300 || bad < 30 {
		t.Errorf("only %d sound notes and %d bad ones were tried", good, bad)
	}
}

// lenient says why a schema cannot see what the decoder reports, "" where it can.
func lenient(f finding.Finding) string {
	switch {
	case f.Rule == notes.RuleDuplicateKey:
		return "a YAML reader keeps one of the two, or says so itself"
	case f.Rule == notes.RuleYAMLFeature:
		return "an editor follows anchors, merge keys and tags, and the schema sees what comes out"
	case f.Rule == notes.RuleBoundLine:
		return "what stands in square and round brackets is Markdown, and text to a schema"
	case f.Rule == notes.RuleImpossibleValue:
		return "a range upside down"
	case f.Rule == notes.RuleNotADate:
		return "a pattern does not know how long a month is; the format date does, where an editor asserts it"
	case f.Rule == notes.RuleNotANumber:
		return "0x10 and 3.0 are numbers to YAML"
	case strings.Contains(f.Text, "absolute zero"), strings.Contains(f.Text, "too much"), strings.Contains(f.Text, "out of range"):
		return "a regular expression does not compute"
	}
	return ""
}

// everyNote visits the front matter of every note in the repository, those in
// archives too, by its name.
func everyNote(t *testing.T, visit func(name string, text []byte)) {
	t.Helper()
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			if err == nil && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
				return fs.SkipDir
			}
			return err
		}
		name := filepath.ToSlash(file)
		isNote := func(name string) bool {
			return path.Ext(name) == ".md" || path.Base(name) == notes.JournalFile
		}
		text, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		switch {
		case path.Ext(name) == ".txtar":
			for _, f := range txtar.Parse(text).Files {
				if isNote(f.Name) {
					visit(name+"/"+f.Name, f.Data)
				}
			}
		case isNote(name):
			visit(name, text)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
