package frame

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"text/template/parse"

	"voltwright/internal/finding"
	"voltwright/internal/outgoing"
	"voltwright/internal/site/words"
	"voltwright/themes"
)

// usualTheme is the theme that pages are made with where a journal names none: a folder of the file system of themes. It also has the words
// of the trade and what the search takes for each other, which are of no theme.
const usualTheme = "workshop"

// AssetFolder is where the theme's style sheets, scripts and lettering stand on the site.
const AssetFolder = "assets"

// frameTemplates are the templates that every page shares, as far as a theme has them.
var frameTemplates = []string{"sheet.html", "parts.html", "wiring.html", "driving.html"}

// templatesOf are the templates of a page kind.
func (t *Theme) templatesOf(kind string) []string {
	var out []string
	for _, name := range frameTemplates {
		if _, err := fs.Stat(themes.FS, path.Join(t.name, name)); err == nil {
			out = append(out, name)
		}
	}
	return append(out, kind+".html")
}

// RuleTemplate is the rule of findings about a journal's own templates.
const RuleTemplate = "theme-template"

// Theme makes pages from views. A template of the journal's that fails is reported once, and the embedded one is used.
type Theme struct {
	name     string
	layered  fs.FS
	own      map[string]*template.Template // from layered, by page kind
	embedded map[string]*template.Template
	findings *finding.List
	reported map[string]bool
	bounds   bounds           // of the journal's own templates
	Words    *words.Catalogue // of the journal's language; nil: English
}

// NewTheme makes pages by the templates of the theme of that name in layered, "" for the usual one and nil for the built-in ones; what does not
// work of the journal's own is added to findings.
func NewTheme(name string, layered fs.FS, findings *finding.List) *Theme {
	if layered == nil {
		layered = themes.FS
	}
	return &Theme{name: cmp.Or(name, usualTheme), layered: layered, own: map[string]*template.Template{}, embedded: map[string]*template.Template{},
		findings: findings, reported: map[string]bool{}}
}

// parsed gives the templates of a page kind: the journal's own where it has one, within their bounds.
func (t *Theme) parsed(kind string) (*template.Template, error) {
	t.bounds.steps = 0
	if set, ok := t.own[kind]; ok || !t.overridden(kind) {
		if ok {
			return set, nil
		}
		return t.parse(t.layered, t.own, kind, nil)
	}
	return t.parse(t.layered, t.own, kind, &t.bounds)
}

// Render makes the page of a kind ("run") from its view. A template that fails on the view is an error.
func (t *Theme) Render(kind string, view *Sheet) ([]byte, error) {
	own, err := t.parsed(kind)
	if err == nil {
		var out []byte
		if out, err = execute(own, view); err == nil {
			return out, nil
		}
	}
	if !t.overridden(kind) {
		return nil, fmt.Errorf("theme: %w", err)
	}
	t.report(kind, err)
	base, err := t.parse(themes.FS, t.embedded, kind, nil)
	if err != nil {
		return nil, fmt.Errorf("theme: %w", err)
	}
	out, err := execute(base, view)
	if err != nil {
		return nil, fmt.Errorf("theme: %w", err)
	}
	return out, nil
}

// parse gives the templates of a page kind from a theme, their fixed words in the journal's language; bound is nil for one that is
// known.
func (th *Theme) parse(from fs.FS, cache map[string]*template.Template, kind string, bound *bounds) (*template.Template, error) {
	if t, ok := cache[kind]; ok {
		return t, nil
	}
	t := template.New("sheet.html")
	if bound != nil {
		t.Funcs(bound.funcs())
	}
	for _, name := range th.templatesOf(kind) {
		text, err := fs.ReadFile(from, path.Join(th.name, name))
		if err != nil {
			return nil, err
		}
		tt := t
		if name != t.Name() {
			tt = t.New(name)
		}
		if _, err := tt.Parse(string(text)); err != nil {
			return nil, err
		}
	}
	if t.Lookup("page") == nil {
		return nil, fmt.Errorf("template: %s.html:1:1: it defines no template \"page\", which is what stands on the sheet", kind)
	}
	if th.Words != nil {
		for _, one := range t.Templates() {
			if one.Tree != nil && one.Tree.Root != nil {
				spoken(th.Words, one.Tree.Root)
			}
		}
	}
	if bound != nil {
		counted(t)
	}
	cache[kind] = t
	return t, nil
}

// spoken puts the fixed words of a template into a language.
func spoken(c *words.Catalogue, list *parse.ListNode) {
	if list == nil {
		return
	}
	for _, n := range list.Nodes {
		switch n := n.(type) {
		case *parse.TextNode:
			n.Text = []byte(c.Template(string(n.Text)))
		case *parse.RangeNode:
			spoken(c, n.List)
			spoken(c, n.ElseList)
		case *parse.IfNode:
			spoken(c, n.List)
			spoken(c, n.ElseList)
		case *parse.WithNode:
			spoken(c, n.List)
			spoken(c, n.ElseList)
		}
	}
}

// Part renders a template of parts.html on its own, for what stands in the middle of prose.
// A template that fails on the view is an error.
func (t *Theme) Part(name string, view any) (template.HTML, error) {
	set, err := t.parsed("note")
	if err == nil {
		var out []byte
		if out, err = executePart(set, name, view); err == nil {
			return template.HTML(out), nil
		}
	}
	if !t.overridden("note") {
		return "", fmt.Errorf("theme: %w", err)
	}
	t.report("note", err)
	if set, err = t.parse(themes.FS, t.embedded, "note", nil); err != nil {
		return "", fmt.Errorf("theme: %w", err)
	}
	out, err := executePart(set, name, view)
	return template.HTML(out), err
}

func execute(t *template.Template, view *Sheet) ([]byte, error) {
	return executePart(t, "sheet.html", view)
}

func executePart(t *template.Template, name string, view any) ([]byte, error) {
	var out limited
	if err := t.ExecuteTemplate(&out, name, view); err != nil {
		return nil, err
	}
	return tidy(out.b.Bytes()), nil
}

// tidy takes out the lines that template actions leave empty. Preformatted text has none of its own left to lose: its
// empty lines are written as character references by the templates and by the prose renderer.
func tidy(page []byte) []byte {
	return blankLines.ReplaceAll(page, []byte("\n"))
}

var blankLines = regexp.MustCompile(`\n(?:[ \t]*\n)+`)

// overridden tells whether the journal replaces one of the templates of a page kind.
func (t *Theme) overridden(kind string) bool {
	for _, name := range t.templatesOf(kind) {
		if t.replaced(path.Join(t.name, name)) {
			return true
		}
	}
	return false
}

func (t *Theme) replaced(name string) bool {
	mine, err := fs.ReadFile(t.layered, name)
	if err != nil {
		return false
	}
	ours, err := fs.ReadFile(themes.FS, name)
	return err != nil || !bytes.Equal(mine, ours)
}

// templateError takes the file, the line and what is wrong from the text of an error of html/template.
var templateError = regexp.MustCompile(`^(?:html/template|template): ?([^:\s]+\.html):(\d+)(?::(\d+))?: (?s:(.*))$`)

func (t *Theme) report(kind string, err error) {
	f := finding.Finding{
		Rule: RuleTemplate, Level: finding.Error, Text: "a template of the journal's own does not work: " + err.Error(),
		Remedy: "mend the template, or take it away: the theme's own is used then.",
	}
	var inner *template.Error
	text := err.Error()
	if errors.As(err, &inner) && inner.Name != "" && inner.Line > 0 {
		f.Span, f.Text = t.at(inner.Name, inner.Line), "the template does not work: "+inner.Description
	} else if m := templateError.FindStringSubmatch(text); m != nil {
		line, _ := strconv.Atoi(m[2])
		f.Span, f.Text = t.at(m[1], line), "the template does not work: "+m[4]
	}
	if f.Span.Source == nil { // the page as a whole is at fault
		for _, name := range t.templatesOf(kind) {
			if t.replaced(path.Join(t.name, name)) {
				f.Span = t.at(name, 1)
				break
			}
		}
	}
	key := f.Span.File() + "\x00" + f.Text
	if !t.reported[key] {
		t.reported[key] = true
		t.findings.Add(f)
	}
}

// words reports a table of words of the journal's own that cannot be read.
func (t *Theme) words(text []byte, err error) {
	source, at := finding.NewSource(path.Join("themes", glossaryFile), text), int64(0)
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		at = syntax.Offset
	case errors.As(err, &kind):
		at = kind.Offset
	}
	if t.reported[glossaryFile] {
		return
	}
	t.reported[glossaryFile] = true
	t.findings.Add(finding.Finding{Rule: RuleTemplate, Level: finding.Error, Span: source.At(max(at-1, 0), 1),
		Text: "the journal's own words of the trade cannot be read: " + err.Error(), Remedy: "mend the file, or take it away: the theme's own is used then."})
}

// at is the start of a line of a template as the journal has it.
func (t *Theme) at(name string, line int) finding.Span {
	text, err := fs.ReadFile(t.layered, path.Join(t.name, name))
	source := finding.NewSource(path.Join("themes", t.name, name), text)
	if err != nil {
		return finding.Span{Source: source}
	}
	offset := 0
	for i := 1; i < line; i++ {
		n := bytes.IndexByte(text[offset:], '\n')
		if n < 0 {
			break
		}
		offset += n + 1
	}
	return source.At(int64(offset), max(1, len(strings.TrimRight(firstLine(text[offset:]), "\r"))))
}

func firstLine(text []byte) string {
	line, _, _ := bytes.Cut(text, []byte("\n"))
	return string(line)
}

// notServed are the endings of theme files that are for making pages, not for reading them.
var notServed = []string{".html", ".json", ".md", ".py", ".go"}

// Assets adds the theme's files and the chart engine's to the site. A file of the theme that cannot be read is an error.
func (t *Theme) Assets(p *Pages) error {
	for _, from := range []struct{ folder, to string }{{t.name, AssetFolder}, {"engine", AssetFolder + "/engine"}} {
		err := fs.WalkDir(t.layered, from.folder, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || slices.Contains(notServed, path.Ext(name)) {
				return err
			}
			data, err := fs.ReadFile(t.layered, name)
			if err != nil {
				return err
			}
			to := from.to + strings.TrimPrefix(name, from.folder)
			return p.Put(to, t.checked(p, name, to, data))
		})
		if err != nil {
			return fmt.Errorf("theme: %w", err)
		}
	}
	return nil
}

// checked is a file of the theme as it goes online: the journal's own, or the built-in one where the journal's looks as if it told of
// its maker, as drawing programs put the place of a file on a machine into it.
func (t *Theme) checked(p *Pages, name, to string, data []byte) []byte {
	ours, err := fs.ReadFile(themes.FS, name)
	if err == nil && bytes.Equal(ours, data) {
		if path.Ext(name) == ".css" {
			return bare(data)
		}
		return data
	}
	if err != nil {
		return data
	}
	from := path.Join(themesFolder, name)
	line, what := 0, ""
	if path.Ext(name) == ".svg" { // a style or a script is written by hand
		line, what = outgoing.Betrays(data)
	}
	if line == 0 {
		p.GoesOut(from, to, nil)
		return data
	}
	f := finding.Finding{Rule: RuleTellingFile, Level: finding.Warning, Span: finding.Span{Source: finding.NewSource(from, data)},
		Text:   fmt.Sprintf("%s stays in the journal, and the built-in file is used: line %d looks to hold %s", path.Base(name), line, what),
		Remedy: "take that out: a drawing is best saved as plain SVG."}
	p.StaysIn(from, f.Text, f.Rule)
	t.findings.Add(f)
	return ours
}

// bare is a style sheet without its comments, which are for who changes it, and without what sets its lines in. What stands in quotes stays.
func bare(css []byte) []byte {
	return styleNotes.ReplaceAllFunc(css, func(found []byte) []byte {
		switch found[0] {
		case '"':
			return found
		case '\n':
			return []byte("\n")
		}
		return nil
	})
}

var styleNotes = regexp.MustCompile(`"(?:[^"\\\n]|\\.)*"|/\*(?s:.*?)\*/|\n\s+`)

// themesFolder is where a journal's own theme files lie.
const themesFolder = "themes"

// The theme's files that pages ask for.
const (
	SheetStyle  = AssetFolder + "/sheet.css"
	ChartEngine = AssetFolder + "/engine/charts-engine.js"
)

// SharedFolder is the folder of the files that all pages share.
const SharedFolder = AssetFolder
