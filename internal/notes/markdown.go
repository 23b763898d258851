package notes

import (
	"bytes"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"voltwright/internal/finding"
)

// Document is a note's body: CommonMark with tables, strike-through, task lists,
// bare addresses (GitHub Flavored Markdown) and footnotes.
type Document struct {
	Note     *Note
	Root     ast.Node          // segments in it are offsets into Source
	Source   []byte            // the body
	Embeds   []*Embed          // in the order written
	Links    []*Link           // to other places of the journal, in the order written
	Headings []Heading         // in the order written
	Findings []finding.Finding // of one rule no more than a finding.List keeps

	found finding.List
}

// Heading is a heading of the body; its ID is unique in the document and is
// also the `id` attribute of its node.
type Heading struct {
	Level int // 1 to 6
	ID    string
	Text  string
	Span  finding.Span
}

// Link is a link or a picture that names another file of the journal, or a
// heading of this note.
type Link struct {
	Written  string // the destination as written
	Path     string // inside the journal; "" for a heading of this note and where it leads outside
	Outside  bool   // it climbs out of the journal
	Fragment string // a heading's ID, "" if none
	Image    bool
	Words    string
	Span     finding.Span
	Node     ast.Node // *ast.Link or *ast.Image
}

// Extensions are the Markdown extensions that Parse reads with; whoever prints
// a Document needs their renderers.
func Extensions() []goldmark.Extender {
	return []goldmark.Extender{extension.GFM, extension.Footnote}
}

// reader is made once: making it takes as long as reading a page.
var reader = sync.OnceValue(func() parser.Parser {
	return goldmark.New(goldmark.WithExtensions(Extensions()...)).Parser()
})

// Parse reads a note's body. What is wrong with it is in the document's
// Findings; there is always a document.
func Parse(n *Note) *Document {
	d := &Document{Note: n, Source: n.body, Root: ast.NewDocument()}
	if n.Broken {
		return d
	}
	if at := tooManyBrackets(n.body); at >= 0 {
		d.report(RuleNesting, at, 1, fmt.Sprintf("more than %d square brackets stand in one paragraph, table or list", maxBrackets), "part it with an empty line.")
		return d
	}
	if at := tooDeepBody(n.body); at >= 0 {
		d.report(RuleNesting, at, 1, fmt.Sprintf("quotes or lists are nested more than %d levels deep here", maxDepth), "write it flatter.")
		return d
	}
	if Marks(n.body) > MaxMarks {
		d.report(RuleTooLarge, 0, 1, fmt.Sprintf("the text has more than %d lines and marks of Markdown", MaxMarks), "part it into several notes, and put tables of values into a log.")
		return d
	}
	d.Root = reader().Parse(text.NewReader(n.body))
	d.walk()
	return d
}

// Marks counts the lines of a body and the characters in it that may be marks of Markdown. What a document takes in memory
// goes by it: each may become a part of the tree, and at most three.
func Marks(body []byte) int {
	n := bytes.Count(body, []byte("\n"))
	for _, mark := range []byte("*_`~<![|\\&") {
		n += bytes.Count(body, []byte{mark})
	}
	return n + cells(body)
}

// cells counts the cells that tables may have: a row that is short is filled up to the columns of its head.
func cells(body []byte) int {
	n, rows, columns := 0, 0, 0
	for line := range bytes.Lines(body) {
		trimmed := bytes.TrimSpace(line)
		if len(trimmed) == 0 {
			n, rows, columns = n+rows*columns, 0, 0
			continue
		}
		rows++
		if bytes.Contains(trimmed, []byte("|")) && len(bytes.Trim(trimmed, "|:->+* \t")) == 0 {
			columns = max(columns, bytes.Count(trimmed, []byte("|")))
		}
	}
	return n + rows*columns
}

// LinkOf finds what is known of a link or picture node of the document.
func (d *Document) LinkOf(node ast.Node) (*Link, bool) {
	i := slices.IndexFunc(d.Links, func(l *Link) bool { return l.Node == node })
	if i < 0 {
		return nil, false
	}
	return d.Links[i], true
}

func (d *Document) report(rule string, at, size int, text, remedy string) {
	d.found.Add(finding.Finding{Rule: rule, Level: finding.Error, Span: d.span(at, size), Text: text, Remedy: remedy})
	d.Findings = d.found.All()
}

// span is a stretch of the body as a place in the note.
func (d *Document) span(at, size int) finding.Span {
	return d.Note.at(d.Note.BodyOffset+max(at, 0), size)
}

// walk collects what the document refers to, and only then replaces embeds by
// their own nodes, so that the walk does not meet what it has made.
func (d *Document) walk() {
	ids := map[string]int{}
	var replace []func()
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			d.heading(n, ids)
		case *ast.HTMLBlock:
			d.htmlBlock(n)
		case *ast.RawHTML:
			d.rawHTML(n)
		case *ast.AutoLink:
			d.autoLink(n)
		case *ast.Link:
			replace = append(replace, d.destination(n, string(n.Destination), false))
		case *ast.Image:
			replace = append(replace, d.destination(n, string(n.Destination), true))
		}
		return ast.WalkContinue, nil
	})
	for _, do := range replace {
		if do != nil {
			do()
		}
	}
	d.surround()
}

func (d *Document) heading(n *ast.Heading, ids map[string]int) {
	words := d.words(n)
	id := Slug(words)
	ids[id]++
	for ids[id] > 1 {
		next := fmt.Sprintf("%s-%d", id, ids[id])
		if ids[next] == 0 {
			id = next
			ids[id] = 1
			break
		}
		ids[id]++
	}
	n.SetAttributeString("id", []byte(id))
	at, size := n.Pos(), 1
	if n.Lines().Len() > 0 {
		size = n.Lines().At(n.Lines().Len()-1).Stop - at
	}
	d.Headings = append(d.Headings, Heading{Level: n.Level, ID: id, Text: words, Span: d.span(at, size)})
}

// Slug makes a heading's ID, or a file's name, from words: letters and digits
// in lower case with single hyphens between, "section" if there is none.
func Slug(words string) string {
	parts := strings.FieldsFunc(strings.ToLower(words), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if len(parts) == 0 {
		return "section"
	}
	return strings.Join(parts, "-")
}

const htmlRemedy = "write it in Markdown; where a < is meant, write `\\<`."

func (d *Document) htmlBlock(n *ast.HTMLBlock) {
	if n.HTMLBlockType == ast.HTMLBlockType2 || n.Lines().Len() == 0 { // a comment
		return
	}
	line := n.Lines().At(0)
	written := strings.TrimSpace(string(line.Value(d.Source)))
	at := line.Start + max(bytes.IndexByte(line.Value(d.Source), '<'), 0)
	d.report(RuleRawHTML, at, len(written), fmt.Sprintf("HTML (`%s`) is left out of the page", clip(written)), htmlRemedy)
}

func (d *Document) rawHTML(n *ast.RawHTML) {
	if n.Segments.Len() == 0 {
		return
	}
	first := n.Segments.At(0)
	written := string(first.Value(d.Source))
	if strings.HasPrefix(written, "<!--") {
		return
	}
	d.report(RuleRawHTML, first.Start, first.Len(), fmt.Sprintf("HTML (`%s`) is left out of the page", clip(written)), htmlRemedy)
}

func (d *Document) autoLink(n *ast.AutoLink) {
	if n.AutoLinkType == ast.AutoLinkEmail {
		return
	}
	address := string(n.URL(d.Source))
	scheme, known := schemeOf(address)
	if known && slices.Contains(webSchemes, strings.ToLower(scheme)) {
		return
	}
	d.badScheme(scheme, address, n.Pos(), len(address)+2, false)
}

// Words that may stand before the colon of a link.
var (
	webSchemes    = []string{"http", "https", "mailto"}
	unsafeSchemes = []string{"javascript", "vbscript", "data", "file", "blob"}
	schemePattern = regexp.MustCompile(`^([A-Za-z][A-Za-z0-9+.-]*):`)
)

func schemeOf(destination string) (string, bool) {
	m := schemePattern.FindStringSubmatch(destination)
	if m == nil {
		return "", false
	}
	return m[1], true
}

// destination sorts a link or picture by where it leads. For an embed it
// returns the replacement to be made.
func (d *Document) destination(n ast.Node, destination string, image bool) func() {
	at := n.Pos()
	if image && at > 0 && at < len(d.Source) && d.Source[at] == '[' && d.Source[at-1] == '!' {
		at--
	}
	size := extent(d.Source, at)
	destination = strings.ReplaceAll(destination, `\|`, "|") // as it stands in a table
	scheme, has := schemeOf(destination)
	switch {
	case has && slices.Contains(EmbedSchemes, Scheme(scheme)):
		e := &Embed{Scheme: Scheme(scheme), Target: unescape(destination[len(scheme)+1:]), Words: d.words(n), Image: image, Span: d.span(at, size)}
		d.Embeds = append(d.Embeds, e)
		return func() { replaceByEmbed(n, e) }
	case has && slices.Contains(webSchemes, strings.ToLower(scheme)):
		if image {
			d.report(RuleForeignImage, at, size, fmt.Sprintf("the picture `%s` lies on another host", clip(destination)), "put the picture's file beside the note, with its author and licence in the caption, and name that.")
		}
	case has:
		d.badScheme(scheme, destination, at, size, image)
	case destination == "":
		d.report(RuleEmptyLink, at, size, "the link leads nowhere", "write where it leads between the round brackets.")
	case strings.HasPrefix(destination, "/") || strings.HasPrefix(destination, `\`):
		d.report(RuleAbsoluteLink, at, size, fmt.Sprintf("the link `%s` begins at the root", clip(destination)), "name the file from this note's own folder, such as ../barrow/vehicle.md.")
	default:
		d.Links = append(d.Links, d.local(n, destination, image, at, size))
	}
	return nil
}

func (d *Document) local(n ast.Node, destination string, image bool, at, size int) *Link {
	l := &Link{Written: destination, Image: image, Words: d.words(n), Span: d.span(at, size), Node: n}
	file, fragment, _ := strings.Cut(destination, "#")
	file, _, _ = strings.Cut(file, "?")
	l.Fragment = unescape(fragment)
	if file == "" {
		return l
	}
	folder := "."
	if i := strings.LastIndexByte(d.Note.Path, '/'); i >= 0 {
		folder = d.Note.Path[:i]
	}
	p, err := Clean(folder, unescape(file))
	l.Path, l.Outside = p, err != nil
	return l
}

func unescape(s string) string {
	if plain, err := url.PathUnescape(s); err == nil {
		return plain
	}
	return s
}

func (d *Document) badScheme(scheme, destination string, at, size int, image bool) {
	if slices.Contains(unsafeSchemes, strings.ToLower(scheme)) {
		d.report(RuleUnsafeLink, at, size, fmt.Sprintf("the link `%s` is not safe to follow", clip(destination)), "link to a page with https, or to a file of the journal.")
		return
	}
	known := make([]string, 0, len(EmbedSchemes)+len(webSchemes))
	for _, s := range EmbedSchemes {
		known = append(known, string(s))
	}
	if slices.Contains(known, scheme) { // an autolink
		d.report(RuleUnknownScheme, at, size, fmt.Sprintf("`<%s>` has no words of its own", clip(destination)), fmt.Sprintf("write `[](%s)` for the value, or `[words](%s)`.", destination, destination))
		return
	}
	known = append(known, webSchemes...)
	what := "link"
	if image {
		what = "picture"
	}
	d.report(RuleUnknownScheme, at, size, fmt.Sprintf("a %s of the unknown scheme `%s:`%s", what, clip(scheme), DidYouMean(scheme, known)), "write one of "+strings.Join(known, ", ")+" before the colon, or ./ before a file name with a colon in it.")
}

// words is the plain text under a node.
func (d *Document) words(n ast.Node) string {
	var b strings.Builder
	_ = ast.Walk(n, func(c ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch c := c.(type) {
		case *ast.Text:
			b.Write(c.Value(d.Source))
			if c.SoftLineBreak() || c.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(c.Value)
		case *ast.AutoLink:
			b.Write(c.Label(d.Source))
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

// extent is the length of the link or picture that begins at an offset: to the
// bracket that closes its words, and the destination or label after it.
func extent(source []byte, at int) int {
	i := at
	if i < len(source) && source[i] == '!' {
		i++
	}
	i = closing(source, i, '[', ']')
	if i < len(source) {
		switch source[i] {
		case '(':
			i = closing(source, i, '(', ')')
		case '[':
			i = closing(source, i, '[', ']')
		}
	}
	return max(i-at, 1)
}

// closing finds the offset after the bracket that closes the one at i; where it
// is not closed before a blank line, the offset after the opening one.
func closing(source []byte, i int, open, shut byte) int {
	if i >= len(source) || source[i] != open {
		return i
	}
	depth := 0
	for j := i; j < len(source); j++ {
		switch c := source[j]; {
		case c == '\\':
			j++
		case c == '\n' && j+1 < len(source) && source[j+1] == '\n':
			return i + 1
		case c == open:
			depth++
		case c == shut:
			depth--
			if depth == 0 {
				return j + 1
			}
		}
	}
	return i + 1
}

// maxBrackets is how many opening square brackets may stand without an empty
// line between: the Markdown reader's time grows with the square of their number.
const maxBrackets = 2000

// tooManyBrackets finds the first bracket over the limit; -1 where there is none.
func tooManyBrackets(body []byte) int {
	count, empty := 0, true
	for i, c := range body {
		switch c {
		case '\n':
			if empty {
				count = 0
			}
			empty = true
		case ' ', '\t', '\r':
		case '[':
			count++
			if count > maxBrackets {
				return i
			}
			empty = false
		default:
			empty = false
		}
	}
	return -1
}

// tooDeepBody finds a line that opens more quotes and lists than a note may
// nest; -1 where there is none.
func tooDeepBody(body []byte) int {
	depth, start := 0, true
	for i, c := range body {
		switch {
		case c == '\n':
			depth, start = 0, true
		case !start || c == ' ' || c == '\t':
		case c == '>' || c == '-' || c == '+' || c == '*' || c == '.' || c == ')':
			next := byte('\n')
			if i+1 < len(body) {
				next = body[i+1]
			}
			if c == '>' || next == ' ' || next == '\t' {
				depth++
			}
			if depth > maxDepth {
				return i
			}
		case c < '0' || c > '9':
			start = false
		}
	}
	return -1
}
