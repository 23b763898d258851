package site

import (
	"bytes"
	"io/fs"
	"path"
	"strings"
	"testing"

	"voltwright/internal/site/frame"
	"voltwright/themes"
)

// A journal's own templates are counted and held within bounds; what they make is not changed by it.
func TestBoundTemplatesMakeTheSamePages(t *testing.T) {
	in := input(t, demoJournal)
	plain, _ := build(t, in)
	again := map[string]string{}
	names, err := fs.Glob(themes.FS, path.Join("workshop", "*.html"))
	if err != nil || len(names) < 10 {
		t.Fatalf("%d templates: %v", len(names), err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(themes.FS, name)
		if err != nil {
			t.Fatal(err)
		}
		again[name] = string(text) + "\n" // the same, and yet the journal's own
	}
	in.Themes = over(t, again)
	own, found := build(t, in)
	if len(found) > 0 {
		t.Errorf("found %v", found[:min(3, len(found))])
	}
	most := 0
	for _, name := range plain.Paths() {
		a, errA := plain.Bytes(name)
		b, errB := own.Bytes(name)
		if errA != nil || errB != nil || !bytes.Equal(a, b) {
			t.Errorf("%s is another page", name)
		}
		if strings.HasSuffix(name, ".html") {
			most = max(most, len(a))
		}
	}
	if 10*most > frame.MaxPage {
		t.Errorf("the longest page has %d bytes, and a page may have %d", most, frame.MaxPage)
	}
}

// Each way to make a text of any length ends.
func TestTemplatesHaveBounds(t *testing.T) {
	double := strings.Repeat(`{{$x = print $x $x}}`, 40)
	for name, body := range map[string]string{
		"turns":                     `{{range 1000000000000}}{{end}}`,
		"turns within turns":        `{{range 100000}}{{range 100000}}{{end}}{{end}}`,
		"turns of what is not":      `{{range 0}}{{else}}{{range 1000000000000}}{{end}}{{end}}`,
		"turns in a branch":         `{{if true}}{{with 1}}{{range 1000000000000}}{{end}}{{end}}{{end}}`,
		"letters":                   `{{range 9000000}}aaaaaaaaaa{{end}}`,
		"itself":                    `{{template "page" .}}`,
		"itself twice":              `{{define "a"}}{{template "b" .}}{{template "b" .}}{{end}}{{define "b"}}{{if true}}{{template "a" .}}{{end}}{{end}}{{template "a" .}}`,
		"doubled by print":          `{{$x := "aaaaaaaa"}}` + double,
		"doubled by println":        `{{$x := "aaaaaaaa"}}` + strings.ReplaceAll(double, "print ", "println "),
		"doubled by printf":         `{{$x := "aaaaaaaa"}}` + strings.ReplaceAll(double, "print ", `printf "%s%s" `),
		"doubled by printf's index": `{{$x := "aaaaaaaa"}}` + strings.Repeat(`{{$x = printf "%[1]s%[1]s" $x}}`, 40),
		"doubled by js":             `{{$x := "\\"}}` + strings.Repeat(`{{$x = js $x}}`, 40),
		"a width":                   `{{printf "%1000000d" 1}}`,
		"a width beside it":         `{{printf "%*d" 1000000 1}}`,
		"a precision":               `{{printf "%.1000000f" 1.0}}`,
		"a width in brackets":       `{{printf "%[2]*[1]d" 1 1000000}}`,
		"many verbs":                `{{printf "` + strings.Repeat("%999d", 200) + `" 1}}`,
	} {
		t.Run(name, func(t *testing.T) {
			in := smallJournal(t)
			in.Themes = over(t, map[string]string{"workshop/version.html": `{{define "page"}}` + body + `{{end}}`})
			p, found := build(t, in)
			if len(found) != 1 || found[0].Rule != frame.RuleTemplate || found[0].Span.File() != "themes/workshop/version.html" || found[0].Remedy == "" {
				t.Errorf("found %v", found)
			}
			if page, err := p.Bytes("cart/1-first/index.html"); err != nil || !bytes.Contains(page, []byte("<h1>First</h1>")) {
				t.Errorf("the theme's own page is not there: %v", err)
			}
		})
	}
}
