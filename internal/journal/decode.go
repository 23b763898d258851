package journal

import (
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

// Words that stand in the place of a value.
const (
	wordNone = "none"              // there is none of it
	wordTied = "in-appliance-only" // a board that acts only inside the appliance that its pack came from
)

// DecodeNode reads `none`, `in-appliance-only` or the points at which the protection acts.
func (p *Protection) DecodeNode(n *notes.Node, d *notes.Decoder) {
	const want = "`none`, `in-appliance-only`, or the points at which it acts in { }: opens, current, charge-stops"
	switch n.Kind {
	case notes.Scalar:
		p.None, p.Tied = n.Text == wordNone, n.Text == wordTied
		if !p.None && !p.Tied {
			d.Report(notes.RuleUnknownWord, n.Span, "`protection`: unknown word `"+n.Text+"`", "write "+want+".")
			return
		}
	case notes.Mapping:
		d.Struct(n, &p.ProtectionPoints)
	default:
		d.WrongKind(n, want)
		return
	}
	p.Set, p.Span = true, n.Span
}

// DecodeNode reads the heads of the columns, by the word of their channel.
func (c *Columns) DecodeNode(n *notes.Node, d *notes.Decoder) {
	if n.Kind != notes.Mapping {
		d.WrongKind(n, "a group of keys, each a channel with the head of its column: {voltage: U_pack}")
		return
	}
	var known []string
	for _, channel := range runlog.Channels() {
		known = append(known, channel.String())
	}
	*c = Columns{}
	for _, k := range n.Keys {
		channel, ok := runlog.ParseChannel(k.Name)
		if !ok {
			d.UnknownKey(k, known)
			continue
		}
		var head notes.Word
		if d.Within(k, &head); head.Set {
			(*c)[channel] = head
		}
	}
}
