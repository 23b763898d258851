package schema

import (
	"encoding/json"
	"regexp"

	"voltwright/internal/notes"
)

// plain gives a piece of front matter as JSON has it, by the core schema of
// YAML 1.2 (chapter 10.3), as an editor sees it.
func plain(n *notes.Node) any {
	switch n.Kind {
	case notes.Scalar:
		if n.Quoted {
			return n.Text
		}
		return resolve(n.Text)
	case notes.Sequence:
		out := make([]any, len(n.Items))
		for i, item := range n.Items {
			out[i] = plain(item)
		}
		return out
	case notes.Mapping:
		var out inOrder[any]
		for _, k := range n.Keys {
			out.put(k.Name, plain(k.Value))
		}
		return out
	default:
		return nil
	}
}

var (
	yamlNull    = regexp.MustCompile(`^(?:null|Null|NULL|~|)$`)
	yamlTrue    = regexp.MustCompile(`^(?:true|True|TRUE)$`)
	yamlFalse   = regexp.MustCompile(`^(?:false|False|FALSE)$`)
	yamlDecimal = regexp.MustCompile(`^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$`)
	jsonNumber  = regexp.MustCompile(`^-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?$`)
)

// resolve gives an unquoted scalar as JSON has it. A number that JSON writes
// otherwise, such as +5 or 07, keeps the text that people read.
func resolve(text string) any {
	switch {
	case yamlNull.MatchString(text):
		return nil
	case yamlTrue.MatchString(text):
		return true
	case yamlFalse.MatchString(text):
		return false
	case yamlDecimal.MatchString(text) && jsonNumber.MatchString(text):
		return json.Number(text)
	}
	return text
}
