package schema

import (
	"encoding/json"
	"reflect"
	"strings"

	"voltwright/internal/record"
)

// documents are the kinds of document of the results, with the type of each and where it is to be had.
var documents = []struct {
	kind  record.Kind
	typ   reflect.Type
	where string
}{
	{record.RunKind, reflect.TypeFor[record.RunDocument](), "results.json beside a run's page: what was measured on it"},
	{record.MeasurementKind, reflect.TypeFor[record.MeasurementDocument](), "measure --format json: what was measured by a log"},
	{record.PredictionKind, reflect.TypeFor[record.PredictionDocument](), "predictions.json beside a version's page: how long it runs and charges"},
	{record.WiringKind, reflect.TypeFor[record.WiringDocument](), "wiring.json beside a version's page: what its wiring does"},
	{record.PartsKind, reflect.TypeFor[record.PartsDocument](), "parts.json beside a version's page: what became of its parts, and what they come to"},
	{record.AnswerKind, reflect.TypeFor[record.AnswerDocument](), "predict --format json: what was asked of a version"},
	{record.MatrixKind, reflect.TypeFor[record.MatrixDocument](), "predict --matrix --format json: its runs by each choice of others that teach"},
	{record.ValuesKind, reflect.TypeFor[record.ValuesDocument](), "values --format json: what sentences can quote"},
	{record.BagKind, reflect.TypeFor[record.BagDocument](), "results/results.json of a bag: all documents of a version"},
}

// Results is a JSON Schema of every document of results that the program hands on. It looks at `record` and judges by
// that alone. The error is of the encoder.
func Results() ([]byte, error) {
	b := &resultsBuilder{}
	root := &document{Schema: draft, Title: "Results of a Voltwright journal", Type: "object", Required: []string{"record", "vocabulary"},
		Description: "Values are in base units with standard uncertainties (k = 1); a number that is not known is null. `record` says what a document is, `vocabulary` by which number of this vocabulary it is written."}
	kind := &document{Description: "What the document is."}
	root.Properties.put("record", kind)
	root.Properties.put("vocabulary", &document{Const: record.Vocabulary})
	for _, d := range documents {
		kind.Enum = append(kind.Enum, string(d.kind))
		body := b.object(d.typ)
		body.Description = d.where
		b.defs.put(string(d.kind)+"-document", body)
		is := &document{Required: []string{"record"}}
		is.Properties.put("record", &document{Const: string(d.kind)})
		root.AllOf = append(root.AllOf, &document{If: is, Then: &document{Ref: "#/$defs/" + string(d.kind) + "-document"}})
	}
	root.Defs = b.defs
	return root.print()
}

// resultsBuilder writes types of package record down, each struct once.
type resultsBuilder struct{ defs inOrder[*document] }

// object is a struct as it is encoded: embedded structs spread, what may be left out not required.
func (b *resultsBuilder) object(t reflect.Type) *document {
	no := false
	out := &document{Type: "object", Additional: &no}
	b.fields(t, out)
	return out
}

func (b *resultsBuilder) fields(t reflect.Type, out *document) {
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous && name == "" {
			b.fields(f.Type, out)
			continue
		}
		d := b.of(f.Type)
		if about := f.Tag.Get("about"); about != "" {
			d.Description = about
		}
		out.Properties.put(name, d)
		if options != "omitempty" {
			out.Required = append(out.Required, name)
		}
	}
}

func (b *resultsBuilder) of(t reflect.Type) *document {
	switch {
	case t == reflect.TypeFor[json.RawMessage]():
		return &document{Type: "object"}
	case t.Kind() == reflect.Pointer && t.Elem().Kind() == reflect.Struct:
		return b.of(t.Elem())
	case t.Kind() == reflect.Pointer:
		d := b.of(t.Elem())
		d.Type = []any{d.Type, "null"}
		return d
	}
	switch t.Kind() {
	case reflect.Float64:
		return &document{Type: "number"}
	case reflect.Int:
		return &document{Type: "integer"}
	case reflect.Bool:
		return &document{Type: "boolean"}
	case reflect.Slice:
		return &document{Type: "array", Items: b.of(t.Elem())}
	case reflect.Map:
		return &document{Type: "object"}
	case reflect.Struct:
		if b.defs.get(t.Name()) == nil {
			b.defs.put(t.Name(), nil)
			d := b.object(t)
			for i := range b.defs.members {
				if b.defs.members[i].name == t.Name() {
					b.defs.members[i].value = d
				}
			}
		}
		return &document{Ref: "#/$defs/" + t.Name()}
	}
	return &document{Type: "string"}
}
