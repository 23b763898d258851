package words

import (
	"bytes"
	"html"
	"regexp"
	"slices"
	"strings"

	xhtml "golang.org/x/net/html"
)

// spoken are the attributes that are read aloud or shown.
var spoken = []string{"aria-label", "title", "placeholder", "data-is", "alt", "data-of"}

// own are the classes of what the maker wrote, and of names and addresses: its words are not looked up.
var own = []string{"story", "mono", "lead", "reply", "quotable"}

var (
	tag      = regexp.MustCompile(`<[^>]*(?:>|$)|^[^<>]*>`)
	speaking = regexp.MustCompile(`((?:aria-label|title|placeholder|data-is)=")([^"<>]*)`)
	edges    = regexp.MustCompile(`^(\s*)(.*?)(\s*)$`)
)

// Pieces are the fixed sayings of a piece of a template between its actions: texts, and attributes that are read aloud. put, where
// it is not nil, gives what stands for each.
func Pieces(markup string, put func(string) string) (sayings []string, out string) {
	say := func(text string) string {
		m := edges.FindStringSubmatch(strings.ReplaceAll(text, "\n", " "))
		saying := html.UnescapeString(m[2])
		if len(numbers.ReplaceAllString(saying, "")) < 2 || !regexp.MustCompile(`\pL{2}`).MatchString(saying) || strings.Contains(saying, `="`) {
			return text
		}
		sayings = append(sayings, saying)
		if put == nil {
			return text
		}
		says := put(saying)
		if says == saying {
			return text
		}
		return m[1] + xhtml.EscapeString(says) + m[3]
	}
	var b strings.Builder
	at := 0
	for _, m := range tag.FindAllStringIndex(markup, -1) {
		b.WriteString(say(markup[at:m[0]]))
		b.WriteString(speaking.ReplaceAllStringFunc(markup[m[0]:m[1]], func(a string) string {
			s := speaking.FindStringSubmatch(a)
			return s[1] + say(s[2])
		}))
		at = m[1]
	}
	b.WriteString(say(markup[at:]))
	return sayings, b.String()
}

// Template puts a piece of a template into the language.
func (c *Catalogue) Template(markup string) string {
	if c == nil {
		return markup
	}
	_, out := Pieces(markup, func(s string) string {
		if says, ok := c.Say(s); ok {
			return says
		}
		return s
	})
	return out
}

// Page puts what a finished page composes into the language: sayings that the table has, dates, and the decimal signs of numbers.
// What the maker wrote stays, but for the numbers in it that the program printed.
func (c *Catalogue) Page(page []byte) []byte {
	if c == nil {
		return page
	}
	p := pager{c: c}
	z := xhtml.NewTokenizer(bytes.NewReader(page))
	for {
		kind := z.Next()
		raw := slices.Clone(z.Raw())
		switch kind {
		case xhtml.ErrorToken:
			return p.out.Bytes()
		case xhtml.StartTagToken, xhtml.SelfClosingTagToken:
			p.begin(raw, z.Token(), kind == xhtml.SelfClosingTagToken)
		case xhtml.EndTagToken:
			p.end(z.Token().Data)
			p.out.Write(raw)
		case xhtml.TextToken:
			p.out.WriteString(p.text(string(raw)))
		default:
			p.out.Write(raw)
		}
	}
}

// pager goes through a page.
type pager struct {
	c    *Catalogue
	out  bytes.Buffer
	open []opened
}

// opened is an element that is not closed yet.
type opened struct {
	name   string
	closed bool // nothing in it is text of the page
	own    bool // the maker's words
	number bool // a number that the program printed
	before bool // what stands before a large number
}

// void are the elements that have no end.
var void = []string{"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}

func (p *pager) top() opened {
	if len(p.open) == 0 {
		return opened{}
	}
	return p.open[len(p.open)-1]
}

func (p *pager) begin(raw []byte, t xhtml.Token, alone bool) {
	e := p.top()
	e.name = t.Data
	e.closed = e.closed || slices.Contains([]string{"script", "style", "code", "pre", "textarea"}, t.Data)
	changed := false
	for i, a := range t.Attr {
		switch {
		case a.Key == "class":
			classes := strings.Fields(a.Val)
			e.own = e.own || slices.ContainsFunc(classes, func(c string) bool { return slices.Contains(own, c) })
			e.number = e.number || slices.Contains(classes, "num")
			e.before = slices.Contains(classes, "word")
		case slices.Contains(spoken, a.Key) && !e.own:
			if says, ok := p.c.Say(a.Val); ok && says != a.Val {
				t.Attr[i].Val, changed = says, true
			}
		}
	}
	if changed {
		p.out.WriteString(t.String())
	} else {
		p.out.Write(raw)
	}
	if !alone && !slices.Contains(void, t.Data) {
		p.open = append(p.open, e)
	}
}

func (p *pager) end(name string) {
	for i, e := range slices.Backward(p.open) {
		if e.name == name {
			p.open = p.open[:i]
			return
		}
	}
}

// text puts a text of the page into the language, its spaces kept at both ends.
func (p *pager) text(raw string) string {
	e, whole := p.top(), html.UnescapeString(raw)
	saying := strings.TrimSpace(whole)
	switch {
	case saying == "" || e.closed || e.own && !e.number:
		return raw
	case e.own:
		return p.c.Number(raw)
	}
	say := p.c.Say
	if e.before {
		say = p.c.Before
	}
	says, ok := say(saying)
	if !ok {
		says = p.c.Number(p.c.dates(saying))
	}
	if says == saying {
		return raw
	}
	return xhtml.EscapeString(strings.Replace(whole, saying, says, 1))
}
