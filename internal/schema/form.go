package schema

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// document is a JSON Schema or a part of one; its fields are keywords of the
// standard, in the order in which a person reads them.
type document struct {
	Schema      string             `json:"$schema,omitempty"`
	Ref         string             `json:"$ref,omitempty"`
	Title       string             `json:"title,omitempty"`
	Description string             `json:"description,omitempty"`
	Type        any                `json:"type,omitempty"` // a string, or a list of them
	Const       any                `json:"const,omitempty"`
	Enum        []any              `json:"enum,omitempty"`
	Pattern     string             `json:"pattern,omitempty"`
	Format      string             `json:"format,omitempty"`
	Minimum     *int64             `json:"minimum,omitempty"`
	Maximum     *int64             `json:"maximum,omitempty"`
	Required    []string           `json:"required,omitempty"`
	Properties  inOrder[*document] `json:"properties,omitzero"`
	Additional  *bool              `json:"additionalProperties,omitempty"`

	Items    *document `json:"items,omitempty"`
	MinItems int       `json:"minItems,omitempty"`
	MaxItems int       `json:"maxItems,omitempty"`

	AnyOf []*document `json:"anyOf,omitempty"`
	AllOf []*document `json:"allOf,omitempty"`
	If    *document   `json:"if,omitempty"`
	Then  *document   `json:"then,omitempty"`
	Else  *document   `json:"else,omitempty"`

	Examples []any              `json:"examples,omitempty"`
	Defs     inOrder[*document] `json:"$defs,omitzero"`
}

// inOrder is an object whose members keep the order in which they were put in.
type inOrder[V any] struct{ members []member[V] }

type member[V any] struct {
	name  string
	value V
}

// IsZero tells the encoder to leave an empty object out.
func (o inOrder[V]) IsZero() bool { return o.members == nil }

func (o *inOrder[V]) put(name string, value V) {
	o.members = append(o.members, member[V]{name, value})
}

// get finds a member; the zero value where there is none.
func (o *inOrder[V]) get(name string) (value V) {
	for _, m := range o.members {
		if m.name == name {
			return m.value
		}
	}
	return value
}

// MarshalJSON writes the members in order. The error is of a member that has no JSON.
func (o inOrder[V]) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o.members {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := encode(m.name)
		if err != nil {
			return nil, err
		}
		value, err := encode(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// encode leaves < and > as they are.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimRight(b.Bytes(), "\n"), err
}

// print writes a schema for people as well: indented, and with the spaces that
// nobody can see as escapes.
func (d *document) print() ([]byte, error) {
	raw, err := encode(d)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := json.Indent(&b, raw, "", "  "); err != nil {
		return nil, err
	}
	var out strings.Builder
	for _, r := range b.String() {
		if r == '\u0085' || r == '\u00a0' || r == '\u1680' || r >= '\u2000' && r <= '\u200a' || r == '\u202f' || r == '\u205f' || r == '\u2060' || r == '\u3000' {
			fmt.Fprintf(&out, `\u%04x`, r)
			continue
		}
		out.WriteRune(r)
	}
	return []byte(out.String() + "\n"), nil
}
