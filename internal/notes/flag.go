package notes

import (
	"fmt"

	"voltwright/internal/finding"
)

// Flag is a scalar that is `true` or `false`, or `yes` or `no`.
type Flag struct {
	Value bool
	Set   bool
	Span  finding.Span
}

// DecodeNode reads `yes` or `no`; `true` and `false`, which YAML has for them, are read as well.
func (f *Flag) DecodeNode(n *Node, d *Decoder) {
	text, ok := d.Words(n, "`yes` or `no`")
	if !ok {
		return
	}
	switch text {
	case "true", "yes":
		*f = Flag{Value: true, Set: true, Span: n.Span}
	case "false", "no":
		*f = Flag{Set: true, Span: n.Span}
	default:
		d.Report(RuleUnknownWord, n.Span, fmt.Sprintf("%s: unknown word `%s`", d.name(), clip(text)), "write `yes` or `no`.")
	}
}
