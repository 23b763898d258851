package site

import (
	"bytes"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"voltwright/internal/finding"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
	"voltwright/themes"
)

// over lays files over the embedded themes, as a journal's own themes folder does.
func over(t *testing.T, files map[string]string) fs.FS {
	t.Helper()
	all := fstest.MapFS{}
	err := fs.WalkDir(themes.FS, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(themes.FS, name)
		all[name] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range files {
		all[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return all
}

func smallJournal(t *testing.T) reading.Input {
	return input(t, written(t, map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\nWords.\n",
	}))
}

func TestJournalsOwnTemplates(t *testing.T) {
	for _, c := range []struct {
		name, file, text string
		line             int    // of the finding; 0: there is none
		says             string // in the finding
		page             string // on the version's page
	}{
		{"works", "version.html", "{{define \"page\"}}<h1>Mine: {{.Title}}</h1>{{end}}", 0, "", "<h1>Mine: First</h1>"},
		{"does not parse", "version.html", "{{define \"page\"}}\n{{if}}\n{{end}}{{end}}", 2, "missing value for if", "<h1>First</h1>"},
		{"does not run", "version.html", "{{define \"page\"}}\n\n{{.Nothing}}{{end}}", 3, "Nothing", "<h1>First</h1>"},
		{"is no safe HTML", "version.html", "{{define \"page\"}}\n<a href=\"{{if .Title}}x\"{{end}}>{{end}}", 2, "branches", "<h1>First</h1>"},
		{"defines no page", "version.html", "<h1>Mine</h1>", 1, "it defines no template \"page\"", "<h1>First</h1>"},
		{"a shared part does not run", "parts.html", "{{define \"gallery\"}}{{end}}{{define \"block\"}}{{.Nope}}{{end}}", 1, "Nope", "<h1>First</h1>"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := smallJournal(t)
			in.Themes = over(t, map[string]string{"workshop/" + c.file: c.text})
			p, found := build(t, in)
			page, err := p.Bytes("cart/1-first/index.html")
			if err != nil || !bytes.Contains(page, []byte(c.page)) {
				t.Errorf("the page does not say %q (%v)", c.page, err)
			}
			if c.line == 0 {
				if len(found) != 0 {
					t.Errorf("found %v", found)
				}
				return
			}
			if len(found) == 0 {
				t.Fatal("nothing was reported")
			}
			at := found[0].Span.Position()
			if at.File != "themes/workshop/"+c.file || at.Line != c.line || found[0].Rule != frame.RuleTemplate || found[0].Level != finding.Error {
				t.Errorf("%s:%d: %s [%s]", at.File, at.Line, found[0].Text, found[0].Rule)
			}
			if !strings.Contains(found[0].Text, c.says) {
				t.Errorf("says %q", found[0].Text)
			}
			for _, name := range p.Paths() {
				if page, err := p.Bytes(name); err != nil || bytes.Contains(page, []byte("<no value>")) {
					t.Errorf("%s: %v", name, err)
				}
			}
		})
	}
}

func TestJournalsOwnAssets(t *testing.T) {
	in := smallJournal(t)
	in.Themes = over(t, map[string]string{"workshop/sheet.css": "body { color: red }", "workshop/mine.svg": "<svg/>"})
	p, _ := build(t, in)
	if css, err := p.Bytes(frame.SheetStyle); err != nil || string(css) != "body { color: red }" {
		t.Errorf("the journal's style sheet was not taken: %v", err)
	}
	if !slices.Contains(p.Paths(), "assets/mine.svg") {
		t.Error("a file that the journal adds to the theme is not on the site")
	}
	for _, name := range p.Paths() {
		if strings.HasPrefix(name, "assets/") && (strings.HasSuffix(name, ".py") || strings.HasSuffix(name, ".md") || strings.HasSuffix(name, "/sheet.html")) {
			t.Errorf("%s is for making pages, not for reading them", name)
		}
	}
}
