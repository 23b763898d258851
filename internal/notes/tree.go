package notes

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"voltwright/internal/finding"
)

// front reads the YAML that stands at an offset of the note's text into n.Front.
func (n *Note) front(raw []byte, offset int, findings *finding.List) {
	t := &treeBuilder{note: n, offset: offset, findings: findings}
	if len(raw) > MaxFront { // the YAML reader's time grows with the square of the length
		n.Broken = true
		t.report(RuleTooLarge, n.at(offset, 1), fmt.Sprintf("the front matter is larger than %d KiB", MaxFront>>10), "put tables of values into a log, and text into the body.")
		return
	}
	t.plainLineEnds(raw)
	if at := tooDeep(t.raw); at >= 0 {
		n.Broken = true
		t.report(RuleNesting, t.place(at, at+1), fmt.Sprintf("the front matter is nested more than %d levels deep here", maxDepth), "close the brackets, or write the list out flat.")
		return
	}
	file, err := t.parse()
	if err != nil {
		n.Broken = true
		t.syntax(err)
		return
	}
	n.Front = t.document(file)
	if n.Front == nil {
		n.Broken = true
	}
}

type treeBuilder struct {
	note     *Note
	raw      []byte // with plain line ends
	offset   int    // of raw in the note's text
	lines    []int  // offset in raw of each line's start
	cut      []int  // offsets in raw before which a carriage return was taken out
	findings *finding.List
}

// plainLineEnds keeps the text with a line feed at the end of each line, and
// where that took something out: the YAML reader counts a carriage return after
// a comment as a line of its own.
func (t *treeBuilder) plainLineEnds(raw []byte) {
	t.raw = make([]byte, 0, len(raw))
	t.lines = append(t.lines, 0)
	for i, c := range raw {
		if c == '\r' {
			if i+1 < len(raw) && raw[i+1] == '\n' {
				t.cut = append(t.cut, len(t.raw))
				continue
			}
			c = '\n'
		}
		t.raw = append(t.raw, c)
		if c == '\n' {
			t.lines = append(t.lines, len(t.raw))
		}
	}
}

// place is a stretch of raw as a place in the note.
func (t *treeBuilder) place(start, end int) finding.Span {
	original := func(at int) int {
		before, _ := slices.BinarySearch(t.cut, at)
		return t.offset + at + before
	}
	return t.note.at(original(start), original(end)-original(start))
}

func (t *treeBuilder) report(rule string, at finding.Span, text, remedy string) {
	t.findings.Add(finding.Finding{Rule: rule, Level: finding.Error, Span: at, Text: text, Remedy: remedy})
}

// parse runs the YAML parser. A fault inside it is an error of the text as far
// as the maker is concerned: it could not be read.
func (t *treeBuilder) parse() (file *ast.File, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			file, err = nil, fmt.Errorf("the YAML reader cannot make sense of this text")
		}
	}()
	return parser.ParseBytes(t.raw, 0, parser.AllowDuplicateMapKey())
}

// plainer words for the YAML reader's messages: a part of the message, what to
// say, what to do.
var plainer = []struct{ part, text, remedy string }{
	{"mapping value is not allowed", "a colon makes a key where no key can stand", "see whether the line is indented too far, or put a text that holds a colon in quotes."},
	{"'\t' that cannot start any token", "a tab stands where only spaces may", "indent with spaces."},
	{"tab character", "a tab stands where only spaces may", "indent with spaces."},
	{"must be specified", "a bracket is not closed, or a comma is missing", "close [ with ] and { with }, with commas between the items."},
	{"could not find flow map content", "a { is not closed", "close it with }, with commas between the keys."},
	{"could not find end character", "a quote is not closed", "close it with the same quote."},
	{"is a reserved character", "a text may not begin with this character", "put the text in quotes."},
	{"block sequence entries are not allowed", "a list item stands where none can", "begin the list on the line after its key."},
	{"invalid key", "this cannot be a key", "write a word before the colon."},
	{"unexpected key name", "a line is neither a key nor a value", "write `key: value`, with a colon and a space."},
	{"non-map value is specified", "a line without a key stands among keys", "write `key: value`, with a colon and a space."},
	{"value is not allowed in this context", "a value stands where none can", "see whether this line or the one before it is indented too far, or the one before lacks its colon."},
}

func (t *treeBuilder) syntax(err error) {
	at := t.note.at(t.offset, 1)
	text, remedy := err.Error(), "compare it with the example of `voltwright explain kind`."
	var ye yaml.Error
	if errors.As(err, &ye) {
		text = ye.GetMessage()
		if tok := ye.GetToken(); tok != nil {
			at = t.span(tok)
		}
	}
	text, _, _ = strings.Cut(text, "\n")
	if strings.Contains(text, "directive") {
		t.report(RuleYAMLFeature, at, "the front matter uses a directive (%), which a note does not know", "take the line out.")
		return
	}
	for _, p := range plainer {
		if strings.Contains(text, p.part) {
			text, remedy = p.text, p.remedy
			break
		}
	}
	if open, ok := findUnclosed(string(t.raw)); ok && t.place(open.at, open.at).Start <= at.Start {
		at, text, remedy = t.place(open.at, open.at+1), open.text, open.remedy
	} else if key, value, ok := t.keyed(at); ok {
		text = fmt.Sprintf("the text of `%s` has a colon, which makes a key where none can stand", key)
		if strings.IndexByte("\"'[{", value[0]) >= 0 {
			text = fmt.Sprintf("the text of `%s` goes on where the %c that it begins with has been closed", key, value[0])
		}
		remedy = fmt.Sprintf("put all of it in quotes: `%s: %s`.", key, inQuotes(value))
	}
	t.report(RuleYAMLSyntax, at, "the front matter is no YAML: "+text, remedy)
}

// keyLine is a line of a key and its value.
var keyLine = regexp.MustCompile(`^ *(?:- )?([A-Za-z-]+): +(.*[^ ]) *$`)

// keyed is the key and the text that stand on the line of a place, where the place is in the text and the text is one that
// should be in quotes: it holds a colon, or begins with a quote or a bracket that is closed before its end.
func (t *treeBuilder) keyed(at finding.Span) (key, value string, ok bool) {
	before, rest := string(t.note.text[:at.Start]), string(t.note.text[at.Start:])
	start := strings.LastIndexByte(before, '\n') + 1
	line, _, _ := strings.Cut(rest, "\n")
	line, _, _ = strings.Cut(strings.TrimRight(before[start:]+line, "\r"), " #")
	m := keyLine.FindStringSubmatchIndex(line)
	if m == nil || int(at.Start)-start < m[4] {
		return "", "", false
	}
	value = line[m[4]:m[5]]
	pair := map[byte]byte{'"': '"', '\'': '\'', '[': ']', '{': '}'}
	switch end, opens := pair[value[0]]; {
	case opens && value[len(value)-1] == end, !opens && !strings.Contains(value, ": "), value[0] == '|', value[0] == '>':
		return "", "", false
	}
	return line[m[2]:m[3]], value, true
}

// inQuotes writes a text in quotes of the kind that it does not hold.
func inQuotes(text string) string {
	if strings.ContainsAny(text, `"\`) {
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	}
	return `"` + text + `"`
}

func (t *treeBuilder) document(file *ast.File) *Node {
	var body ast.Node
	for i, doc := range file.Docs {
		if d, ok := doc.Body.(*ast.DirectiveNode); ok {
			t.refuse(d, "a directive (%)")
			return nil
		}
		if i > 0 {
			at := t.note.at(t.offset, 1)
			if doc.Start != nil {
				at = t.span(doc.Start)
			} else if doc.Body != nil {
				at = t.nodeSpan(doc.Body)
			}
			t.report(RuleYAMLFeature, at, "a second document begins here", "keep all keys in one block.")
			return nil
		}
		body = doc.Body
	}
	if body == nil {
		return &Node{Kind: Mapping, Span: t.note.at(t.offset, 0)}
	}
	if _, ok := body.(*ast.CommentGroupNode); ok {
		return &Node{Kind: Mapping, Span: t.note.at(t.offset, 0)}
	}
	root := t.node(body)
	if root == nil {
		return nil
	}
	if root.Kind != Mapping {
		t.report(RuleWrongKind, root.Span, "the front matter is "+root.Kind.String()+" where a group of keys belongs", "write `key: value` lines.")
		return nil
	}
	return root
}

func (t *treeBuilder) refuse(n ast.Node, what string) {
	t.report(RuleYAMLFeature, t.nodeSpan(n), "the front matter uses "+what+", which a note does not know", "write the value itself where it belongs.")
}

// node turns a YAML node into a Node; nil where it had to be refused.
func (t *treeBuilder) node(n ast.Node) *Node {
	switch n := n.(type) {
	case nil:
		return &Node{Kind: Null, Span: t.note.at(t.offset, 0)}
	case *ast.NullNode:
		return &Node{Kind: Null, Span: t.nodeSpan(n)}
	case *ast.MappingNode:
		out := &Node{Kind: Mapping}
		for _, v := range n.Values {
			t.key(out, v)
		}
		out.Span = t.nodeSpan(n)
		if !n.IsFlowStyle || len(out.Keys) == 0 {
			out.Span = t.around(out, out.Span)
		}
		if n.IsFlowStyle {
			t.decimalCommas(out)
		}
		if n.IsFlowStyle && n.End != nil {
			out.Span.End = max(out.Span.End, t.span(n.End).End)
		}
		return out
	case *ast.MappingValueNode:
		out := &Node{Kind: Mapping}
		t.key(out, n)
		out.Span = t.around(out, t.nodeSpan(n))
		return out
	case *ast.SequenceNode:
		out := &Node{Kind: Sequence, Span: t.nodeSpan(n)}
		for _, v := range n.Values {
			item := t.unparted(v)
			if item == nil {
				item = t.node(v)
			}
			if item != nil {
				out.Items = append(out.Items, item)
				out.Span.End = max(out.Span.End, item.Span.End)
			}
		}
		if n.IsFlowStyle && n.End != nil {
			out.Span.End = max(out.Span.End, t.span(n.End).End)
		}
		return out
	case *ast.LiteralNode:
		at := t.nodeSpan(n)
		text := ""
		if n.Value != nil {
			text = n.Value.Value
		}
		return &Node{Kind: Scalar, Text: text, Quoted: true, Span: at}
	case *ast.StringNode:
		quoted := n.Token != nil && (n.Token.Type == token.SingleQuoteType || n.Token.Type == token.DoubleQuoteType)
		return &Node{Kind: Scalar, Text: n.Value, Quoted: quoted, Span: t.nodeSpan(n)}
	case *ast.AnchorNode:
		t.refuse(n, "an anchor (&)")
	case *ast.AliasNode:
		t.refuse(n, "an alias (*)")
	case *ast.TagNode:
		t.refuse(n, "a tag (!)")
	case *ast.MergeKeyNode:
		t.refuse(n, "a merge key (<<)")
	case *ast.DirectiveNode:
		t.refuse(n, "a directive (%)")
	case ast.ScalarNode:
		if tok := n.GetToken(); tok != nil {
			return &Node{Kind: Scalar, Text: tok.Value, Span: t.nodeSpan(n)}
		}
	default:
		t.report(RuleYAMLSyntax, t.nodeSpan(n), "this cannot be read", "write `key: value`.")
	}
	return nil
}

// unparted gives an item such as 3:04.2 back its colon: within braces the YAML
// reader makes a key of what stands before any colon, though a key it is only
// with a space behind (YAML 1.2.2, 7.3.3). It is nil for every other item.
func (t *treeBuilder) unparted(n ast.Node) *Node {
	m, ok := n.(*ast.MappingNode)
	if !ok || m.IsFlowStyle || len(m.Values) != 1 {
		return nil
	}
	pair := m.Values[0]
	if _, scalar := pair.Value.(ast.ScalarNode); !scalar {
		return nil
	}
	at, value, text := t.nodeSpan(pair.Key), t.nodeSpan(pair.Value), t.note.text
	if value.Start != at.End+1 || text[at.End] != ':' || text[at.Start] == '"' || text[at.Start] == '\'' {
		return nil
	}
	at.End = value.End
	return &Node{Kind: Scalar, Text: string(text[at.Start:at.End]), Span: at}
}

// decimalCommas reports numbers with a decimal comma within braces, where `opens: 11,8 V` is a key of the value 11 and a
// second key `8 V` without one.
func (t *treeBuilder) decimalCommas(n *Node) {
	digit := func(c byte) bool { return '0' <= c && c <= '9' }
	for i := len(n.Keys) - 1; i > 0; i-- {
		k, before := n.Keys[i], n.Keys[i-1].Value
		if k.Value != nil && k.Value.Kind != Null || before == nil || before.Kind != Scalar || before.Quoted || k.Span.Start != before.Span.End+1 {
			continue
		}
		whole, part := before.Text, k.Name
		if whole == "" || part == "" || !digit(whole[len(whole)-1]) || !digit(part[0]) {
			continue
		}
		at := before.Span
		at.End = k.Span.End
		t.report(RuleNotAQuantity, at, fmt.Sprintf("`%s`: %s,%s has a decimal comma, and a comma begins a new key here", n.Keys[i-1].Name, clip(whole), clip(part)), fmt.Sprintf("write a decimal point: %s.%s.", clip(whole), clip(part)))
		n.Keys[i-1].Value = &Node{Kind: Refused, Span: at}
		n.Keys = slices.Delete(n.Keys, i, i+1)
	}
}

// key adds one key to a mapping, and reports a name that is there already.
func (t *treeBuilder) key(out *Node, v *ast.MappingValueNode) {
	switch k := v.Key.(type) {
	case *ast.MergeKeyNode:
		t.refuse(k, "a merge key (<<)")
		return
	case *ast.MappingKeyNode:
		t.refuse(k, "a question mark key (?)")
		return
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode:
		t.node(k)
		return
	}
	name := v.Key.GetToken().Value
	at := t.nodeSpan(v.Key)
	value := t.node(v.Value)
	if value == nil {
		value = &Node{Kind: Refused, Span: at}
	}
	if value.Kind == Null {
		written := t.note.text[value.Span.Start:value.Span.End]
		if string(written) != "~" && !strings.EqualFold(string(written), "null") {
			value.Span = at // nothing was written: the key is the place
		}
	}
	for _, k := range out.Keys {
		if k.Name == name {
			t.findings.Add(finding.Finding{Rule: RuleDuplicateKey, Level: finding.Error, Span: at,
				Text: fmt.Sprintf("the key `%s` is written twice", clip(name)), Remedy: "keep the one that is meant and take the other out.",
				Related: []finding.Related{{Span: k.Span, Text: "the first one is here"}}})
			return
		}
	}
	out.Keys = append(out.Keys, Key{Name: name, Span: at, Value: value})
}

// around is the span from a mapping's first key to the end of its last value.
func (t *treeBuilder) around(n *Node, fallback finding.Span) finding.Span {
	if len(n.Keys) == 0 {
		return fallback
	}
	out := n.Keys[0].Span
	for _, k := range n.Keys {
		out.End = max(out.End, k.Span.End, k.Value.Span.End)
	}
	return out
}

func (t *treeBuilder) nodeSpan(n ast.Node) finding.Span {
	if m, ok := n.(*ast.MappingNode); ok && m.Start != nil {
		return t.span(m.Start)
	}
	tok := n.GetToken()
	if tok == nil {
		return t.note.at(t.offset, 0)
	}
	return t.span(tok)
}

// span is the place of a token in the note. The parser counts lines and
// characters; its byte offsets are not used, because they count neither bytes
// nor characters alike for both line ends.
func (t *treeBuilder) span(tok *token.Token) finding.Span {
	line := min(max(tok.Position.Line-1, 0), len(t.lines)-1)
	start := t.lines[line]
	end := len(t.raw)
	if line+1 < len(t.lines) {
		end = t.lines[line+1]
	}
	at := start
	for range tok.Position.Column - 1 {
		if at >= end {
			break
		}
		_, size := utf8.DecodeRune(t.raw[at:])
		at += size
	}
	at = min(at, len(bytes.TrimRight(t.raw[start:end], "\n"))+start)
	written := strings.TrimSpace(tok.Origin)
	size := len(written)
	if !bytes.HasPrefix(t.raw[at:], []byte(written)) {
		first, _, _ := strings.Cut(written, "\n")
		first = strings.TrimRight(first, " ")
		size = len(first)
		if !bytes.HasPrefix(t.raw[at:], []byte(first)) {
			size = min(1, end-at)
		}
	}
	return t.place(at, at+size)
}

// tooDeep finds the place where brackets, or list dashes on one line, nest
// deeper than a note may; -1 where they do not. It counts brackets inside quotes
// too: no text of a note holds a hundred open ones.
func tooDeep(raw []byte) int {
	depth, dashes, bare := 0, 0, true
	for i, c := range raw {
		switch c {
		case '[', '{':
			depth++
		case ']', '}':
			depth = max(depth-1, 0)
		case '\n':
			dashes, bare = 0, true
			continue
		case '-', '?', '!', '&', '*':
			if bare {
				dashes++
			}
			if depth+dashes > maxDepth && bytes.ContainsAny(raw[i+1:min(i+2, len(raw))], " \t\r\n[{!&*?") {
				return i
			}
			continue
		case ' ', '\t', '\r':
			continue
		default:
			bare = false
		}
		if depth > maxDepth {
			return i
		}
	}
	return -1
}
