package frame

import (
	"bytes"
	"fmt"
	"html/template"
	"regexp"
	"strings"
	"text/template/parse"
)

// What a template of the journal's own may take: it may come from a stranger, and one that goes on without end, or doubles a text
// forty times, would take the machine with it. A test holds that the longest page of the demo takes a tenth at most.
const (
	MaxPage  = 16 << 20  // bytes of a page
	maxText  = 1 << 20   // bytes of a text that a template makes by itself
	maxSteps = 2_000_000 // turns of loops and calls of templates for a page
)

// bounds counts what a template takes while it makes one page.
type bounds struct{ steps int }

// step is called at each turn of a loop and each call of a template.
const stepName = "voltwrightStep"

func (b *bounds) step() (bool, error) {
	b.steps++
	if b.steps > maxSteps {
		return false, fmt.Errorf("it takes more than %d turns of loops and calls of templates for one page", maxSteps)
	}
	return false, nil
}

// funcs are the functions by which a template could make a text of any length, held to maxText.
func (b *bounds) funcs() template.FuncMap {
	within := func(parts ...any) error {
		size := 0
		for _, p := range parts {
			if s, ok := p.(string); ok {
				size += len(s)
			}
		}
		if size > maxText {
			return fmt.Errorf("it makes a text of more than %d bytes", maxText)
		}
		return nil
	}
	bounded := func(make func(...any) string) func(...any) (string, error) {
		return func(parts ...any) (string, error) {
			if err := within(parts...); err != nil {
				return "", err
			}
			text := make(parts...)
			return text, within(text)
		}
	}
	return template.FuncMap{
		stepName:  b.step,
		"print":   bounded(fmt.Sprint),
		"println": bounded(fmt.Sprintln),
		"js":      bounded(template.JSEscaper),
		"printf": func(form string, parts ...any) (string, error) {
			if wideVerb.MatchString(form) || strings.Count(form, "%") > maxVerbs {
				return "", fmt.Errorf("it prints by a form of more than %d verbs, or by one that is wider than 999 letters", maxVerbs)
			}
			if err := within(append(parts, form)...); err != nil {
				return "", err
			}
			text := fmt.Sprintf(form, parts...)
			return text, within(text)
		},
	}
}

// maxVerbs is how many verbs a form may have, of which each may take a text once more.
const maxVerbs = 100

// wideVerb is a verb of a form that is filled up to a thousand letters or more, or to a width that is given beside it.
var wideVerb = regexp.MustCompile(`%[^a-zA-Z%]*(?:[0-9]{4}|\*)`)

// counted puts a step at the beginning of each template of the set and of what its loops repeat.
func counted(set *template.Template) {
	for _, t := range set.Templates() {
		if t.Tree != nil && t.Tree.Root != nil {
			countIn(t.Tree.Root)
			begin(t.Tree.Root)
		}
	}
}

// begin puts `{{if voltwrightStep}}{{end}}` before what stands in a list.
func begin(list *parse.ListNode) {
	at := list.Position()
	call := &parse.CommandNode{NodeType: parse.NodeCommand, Pos: at, Args: []parse.Node{parse.NewIdentifier(stepName).SetPos(at)}}
	pipe := &parse.PipeNode{NodeType: parse.NodePipe, Pos: at, Cmds: []*parse.CommandNode{call}}
	step := &parse.IfNode{BranchNode: parse.BranchNode{NodeType: parse.NodeIf, Pos: at, Pipe: pipe, List: &parse.ListNode{NodeType: parse.NodeList, Pos: at}}}
	list.Nodes = append([]parse.Node{step}, list.Nodes...)
}

func countIn(list *parse.ListNode) {
	if list == nil {
		return
	}
	for _, n := range list.Nodes {
		switch n := n.(type) {
		case *parse.RangeNode:
			countIn(n.List)
			countIn(n.ElseList)
			begin(n.List)
		case *parse.IfNode:
			countIn(n.List)
			countIn(n.ElseList)
		case *parse.WithNode:
			countIn(n.List)
			countIn(n.ElseList)
		}
	}
}

// limited takes no more than a page has.
type limited struct{ b bytes.Buffer }

func (l *limited) Write(p []byte) (int, error) {
	if l.b.Len()+len(p) > MaxPage {
		return 0, fmt.Errorf("the page would have more than %d MiB", MaxPage>>20)
	}
	return l.b.Write(p)
}
