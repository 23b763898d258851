package notes

import "voltwright/internal/finding"

// NodeKind says what a Node is.
type NodeKind uint8

// The kinds of node. Null is a key with nothing after it, or `~`, or `null`.
const (
	Null NodeKind = iota
	Scalar
	Mapping
	Sequence
	Refused // written in a way that a note does not know, and reported
)

// String names the kind as a message to the maker does.
func (k NodeKind) String() string {
	switch k {
	case Scalar:
		return "a single value"
	case Mapping:
		return "a group of keys"
	case Sequence:
		return "a list"
	default:
		return "nothing"
	}
}

// Node is one piece of front matter, with the place where it was written.
type Node struct {
	Span   finding.Span
	Kind   NodeKind
	Text   string  // of a Scalar, with quotes and escapes resolved
	Quoted bool    // of a Scalar: it stood in quotes or in a block
	Keys   []Key   // of a Mapping, in the order written, each name once
	Items  []*Node // of a Sequence
}

// Key is one key of a Mapping.
type Key struct {
	Name  string
	Span  finding.Span
	Value *Node
}

// Lookup finds the value of a key. A nil node or one that is no mapping has none.
func (n *Node) Lookup(name string) (*Node, bool) {
	if n == nil {
		return nil, false
	}
	for _, k := range n.Keys {
		if k.Name == name {
			return k.Value, true
		}
	}
	return nil, false
}
