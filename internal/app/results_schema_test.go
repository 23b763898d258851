package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"voltwright/internal/record"
	"voltwright/internal/schema"
)

// documentTypes are the types that the documents of the results are read back into.
var documentTypes = map[record.Kind]reflect.Type{
	record.RunKind: reflect.TypeFor[record.RunDocument](), record.MeasurementKind: reflect.TypeFor[record.MeasurementDocument](),
	record.PredictionKind: reflect.TypeFor[record.PredictionDocument](), record.WiringKind: reflect.TypeFor[record.WiringDocument](),
	record.PartsKind: reflect.TypeFor[record.PartsDocument](), record.AnswerKind: reflect.TypeFor[record.AnswerDocument](),
	record.MatrixKind: reflect.TypeFor[record.MatrixDocument](), record.ValuesKind: reflect.TypeFor[record.ValuesDocument](), record.BagKind: reflect.TypeFor[record.BagDocument](),
}

// resultsSchema is the schema of the results as an independent library reads it.
func resultsSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := schema.Results()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("results.json", doc); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("results.json")
	if err != nil {
		t.Fatal(err)
	}
	return compiled
}

// documentFault says what is the matter with a document: against the schema, or read back and written again; "" for nothing.
func documentFault(s *jsonschema.Schema, text []byte) (record.Kind, string) {
	instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return "", err.Error()
	}
	if err := s.Validate(instance); err != nil {
		return "", err.Error()
	}
	var head record.Head
	if err := json.Unmarshal(text, &head); err != nil {
		return "", err.Error()
	}
	into := reflect.New(documentTypes[head.Kind])
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(into.Interface()); err != nil {
		return head.Kind, "read back: " + err.Error()
	}
	again, err := json.Marshal(into.Interface())
	if err != nil {
		return head.Kind, err.Error()
	}
	var was, is bytes.Buffer
	if err := json.Compact(&was, text); err != nil {
		return head.Kind, err.Error()
	}
	if err := json.Compact(&is, again); err != nil {
		return head.Kind, err.Error()
	}
	// Angle brackets are written as they are on the command line, and as escapes in a file.
	plain := strings.NewReplacer(`\u003c`, "<", `\u003e`, ">", `\u0026`, "&")
	if a, b := plain.Replace(was.String()), plain.Replace(is.String()); a != b {
		return head.Kind, fmt.Sprintf("read back and written again:\n%.2000s\nand it was\n%.2000s", b, a)
	}
	return head.Kind, ""
}

// Every document of results that is handed on is by its schema, and what it says is what is read back from it: beside the
// pages of a site, in a bag, and on the command line.
func TestResultsAreByTheirSchema(t *testing.T) {
	const dir = "../../content"
	t.Setenv("XDG_CACHE_HOME", t.TempDir()) // what one command computed the next takes
	s := resultsSchema(t)
	seen := map[record.Kind]int{}
	look := func(name string, text []byte) {
		t.Helper()
		kind, fault := documentFault(s, text)
		if fault != "" {
			t.Errorf("%s: %s", name, fault)
		}
		seen[kind]++
	}
	asked := func(args ...string) []byte {
		t.Helper()
		var out, complaints bytes.Buffer
		if status := Main(args, nil, &out, &complaints); status > 1 {
			t.Fatalf("%q: status %d: %s", args, status, complaints.String())
		}
		return out.Bytes()
	}
	to := filepath.Join(t.TempDir(), "site")
	asked("publish", dir, "--to", to)
	var version, run, log string
	err := filepath.WalkDir(to, func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !slices.Contains([]string{"results.json", "predictions.json", "wiring.json", "parts.json"}, e.Name()) {
			return err
		}
		text, err := os.ReadFile(name)
		look(name, text)
		rel, _ := filepath.Rel(to, filepath.Dir(name))
		switch e.Name() {
		case "results.json":
			run = filepath.ToSlash(rel)
		case "predictions.json":
			version = filepath.ToSlash(rel)
		}
		return err
	})
	if err != nil || version == "" || run == "" {
		t.Fatalf("%v; version %q, run %q", err, version, run)
	}
	if logs, err := filepath.Glob(filepath.Join(dir, "*", "*", "*.csv")); err == nil && len(logs) > 0 {
		log = logs[0]
	}
	look("measure", asked("measure", log, "--format", "json"))
	look("values", asked("values", run, "--journal", dir, "--format", "json"))
	look("values of a version", asked("values", version, "--journal", dir, "--format", "json"))
	look("predict", asked("predict", version, "--journal", dir, "--format", "json"))
	look("matrix", asked("predict", version, "--journal", dir, "--matrix", "--format", "json"))
	bag := filepath.Join(t.TempDir(), "bag")
	asked("archive", version, "--journal", dir, "--to", bag)
	text, err := os.ReadFile(filepath.Join(bag, "data", "results", "results.json"))
	if err != nil {
		t.Fatal(err)
	}
	look("bag", text)
	t.Logf("%v", seen)
	for _, kind := range slices.Sorted(maps.Keys(documentTypes)) {
		if seen[kind] == 0 {
			t.Errorf("no document of kind %s was seen", kind)
		}
	}
	// The schema is not one that lets everything pass.
	for _, bad := range []string{`{}`, `{"record":"run","vocabulary":2}`, `{"record":"walk","vocabulary":1}`, `{"record":"values","vocabulary":1,"place":"x","values":[{"name":1}]}`, `{"record":"values","vocabulary":1,"place":"x","values":[],"more":1}`} {
		if _, fault := documentFault(s, []byte(bad)); fault == "" {
			t.Errorf("%s passes", bad)
		}
	}
}
