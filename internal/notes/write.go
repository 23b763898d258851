package notes

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
)

// Write is front matter as YAML, such that reading it gives the same tree but for the places: a key to a line, and under it groups and the
// items of lists each on one line. A nil node and what could not be read are left out.
func Write(n *Node) string {
	var b strings.Builder
	writeKeys(&b, n, "")
	return b.String()
}

func writeKeys(b *strings.Builder, n *Node, indent string) {
	if n == nil {
		return
	}
	for _, k := range n.Keys {
		v := k.Value
		if v == nil || v.Kind == Refused || v.Kind == Null {
			continue
		}
		b.WriteString(indent + key(k.Name) + ":")
		switch {
		case v.Kind == Mapping && holdsLists(v):
			b.WriteByte('\n')
			writeKeys(b, v, indent+"  ")
		case v.Kind == Sequence && holdsGroups(v):
			b.WriteByte('\n')
			for _, item := range v.Items {
				b.WriteString(indent + "  - " + flow(item) + "\n")
			}
		default:
			b.WriteString(" " + flow(v) + "\n")
		}
	}
}

// holdsLists says whether a group has lists of groups in it, which want lines of their own.
func holdsLists(n *Node) bool {
	for _, k := range n.Keys {
		if k.Value != nil && k.Value.Kind == Sequence && holdsGroups(k.Value) {
			return true
		}
	}
	return false
}

func holdsGroups(n *Node) bool {
	for _, item := range n.Items {
		if item.Kind == Mapping {
			return true
		}
	}
	return false
}

// flow is a node on one line.
func flow(n *Node) string {
	var parts []string
	switch n.Kind {
	case Mapping:
		for _, k := range n.Keys {
			if k.Value != nil && k.Value.Kind != Refused && k.Value.Kind != Null {
				parts = append(parts, key(k.Name)+": "+flow(k.Value))
			}
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case Sequence:
		for _, item := range n.Items {
			parts = append(parts, flow(item))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case Scalar:
		return scalar(n.Text)
	}
	return "~"
}

func key(name string) string { return scalar(name) }

// scalar is a text as it stands where that reads as the same text, also within brackets; else in quotes.
func scalar(text string) string {
	plain := text != "" && strings.TrimSpace(text) == text && !strings.ContainsAny(text, "\n\r\t{}[],") && !strings.ContainsAny(text[:1], "\"'`#&*!|>%@:") &&
		!strings.Contains(text, ": ") && !strings.Contains(text, " #") && !strings.HasSuffix(text, ":") && !strings.HasPrefix(text, "- ") && !strings.HasPrefix(text, "? ") && text != "-" && text != "~" && text != "?"
	if plain {
		for _, r := range text {
			if !strconv.IsPrint(r) {
				plain = false
			}
		}
		if strings.Contains(text, ":") && !strings.Contains(text, "://") {
			plain = false // a terminal: quoted as notes have it
		}
	}
	if plain {
		switch strings.ToLower(text) {
		case "null", "true", "false":
		default:
			return text
		}
	}
	quoted, err := yaml.MarshalWithOptions(text, yaml.JSON())
	if err != nil {
		return strconv.Quote(text)
	}
	return strings.TrimRight(string(quoted), "\n")
}
