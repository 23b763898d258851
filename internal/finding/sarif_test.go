package finding

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Oracle: the JSON schema of OASIS SARIF 2.1.0, testdata/sarif.
func TestSARIFIsValid(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("testdata/sarif/sarif-schema-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	valid := func(text []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		return schema.Validate(v)
	}
	source := NewSource("a folder/with space.md", []byte("kind: version\ncutout: {opens: 24 V}\n"))
	all := []Finding{
		{Rule: "no-place", Level: Note, Text: "nothing points here"},
		{Rule: "whole-file", Level: Warning, Span: Span{Source: source}, Text: "the whole file"},
		{Rule: "a-callout", Level: Error, Signal: Danger, Span: source.At(23, 11), Text: "it opens at 24 V", Remedy: "set it higher.", Numbers: "24 V, at least 25 V",
			Gauge: &Gauge{What: "opening voltage", Value: 24, Limit: 25, Written: "24 V", Bound: "25 V", Least: true}, Answer: &Answer{Reason: "it is spare"},
			Related: []Related{{Span: source.At(0, 4), Text: "here"}, {Text: "nowhere"}}},
		{Rule: "a-callout", Level: Note, Unjudged: true, Span: source.At(0, 4), Text: "cannot judge"},
	}
	for _, findings := range [][]Finding{nil, all} {
		var b bytes.Buffer
		if err := PrintSARIF(&b, "0.0.0", "journal", findings, []Doc{{Name: "a-callout", Title: "A title", What: "What it looks at."}}); err != nil {
			t.Fatal(err)
		}
		if err := valid(b.Bytes()); err != nil {
			t.Errorf("%d findings: %v", len(findings), err)
		}
		var log map[string]any
		if err := json.Unmarshal(b.Bytes(), &log); err != nil {
			t.Fatal(err)
		}
		delete(log, "version") // and that the schema can refuse
		text, _ := json.Marshal(log)
		if valid(text) == nil {
			t.Error("a log without a version passes")
		}
	}
}
