package app

import (
	"cmp"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/themes"
)

// themesFolder is where a journal keeps its own files of a theme.
const themesFolder = "themes"

// layeredThemes lays a journal's own themes folder over the built-in one, file
// by file: what the journal has takes the place of the file of the same path.
type layeredThemes struct{ folder *notes.Folder }

// Open opens the journal's file, or else the built-in one.
func (l layeredThemes) Open(name string) (fs.File, error) {
	if fs.ValidPath(name) && name != "." {
		if file, err := l.folder.OpenFile(path.Join(themesFolder, name)); err == nil {
			return file, nil
		}
	}
	return themes.FS.Open(name)
}

const ruleThemeFile = "theme-file-unused"

var themeFileDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: ruleThemeFile, Level: finding.Warning,
	Title:   "A theme file that takes the place of none",
	What:    "Files under the journal's own themes folder, but for Markdown: each must have the path of a built-in file, which it then replaces. What a trial print adds to a page cannot be replaced.",
	Why:     "A file with a mistyped name changes nothing and is not published, and the page looks as it did before.",
	Example: "  themes/workshop/run.html",
}

const ruleThemeScript = "theme-file-active"

var themeScriptDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: ruleThemeScript, Level: finding.Warning,
	Title:   "A theme file of the journal's own that brings a script",
	What:    "Files under the journal's own themes folder that take the place of a script, or of a template or a drawing and hold what a browser runs: a script, a frame, an event's handler, an address of a script.",
	Why:     "It runs in every reader's browser. A journal may come from somebody else, and what is one's own should be known to be there. The policy that each page carries lets only scripts of the site itself run, and none in the line.",
	Example: "  themes/workshop/search.js",
}

// runs finds in a template or a drawing what a browser would run, each with its whole tag.
var runs = regexp.MustCompile(`(?i)<\s*(?:script|iframe|object|embed|foreignObject|base)\b[^>]*>|<[^>]*\son[a-z]+\s*=[^>]*>|(?:java|vb)script:[^"'\s>]*|<\s*meta\b[^>]*http-equiv[^>]*>`)

// activeThemeFile reports a file of the journal's own that readers' browsers would run.
func activeThemeFile(folder *notes.Folder, file string, findings *finding.List) {
	source, at := finding.NewSource(file, nil), finding.Span{}
	what := "is a script"
	if ext := path.Ext(file); ext != ".js" {
		if ext != ".html" && ext != ".svg" {
			return
		}
		text, err := fs.ReadFile(layeredThemes{folder}, strings.TrimPrefix(file, themesFolder+"/"))
		if err != nil {
			return // that it cannot be read is said where it is used
		}
		ours, _ := fs.ReadFile(themes.FS, strings.TrimPrefix(file, themesFolder+"/"))
		known := map[string]bool{}
		for _, m := range runs.FindAll(ours, -1) {
			known[string(m)] = true
		}
		source = finding.NewSource(file, text)
		for _, m := range runs.FindAllIndex(text, -1) {
			if found := string(text[m[0]:m[1]]); !known[found] {
				at, what = source.At(int64(m[0]), m[1]-m[0]), fmt.Sprintf("holds `%s`", clipped(found))
				break
			}
		}
		if at.Source == nil {
			return
		}
	}
	if at.Source == nil {
		at = finding.Span{Source: source}
	}
	findings.Add(finding.Finding{Rule: ruleThemeScript, Level: finding.Warning, Span: at,
		Text:   "this file of the journal's own theme " + what + ", which every reader's browser runs",
		Remedy: "read it before you publish, above all if the journal came from somebody else; or take it out, and the built-in file is used."})
}

// unusedThemeFiles reports the files under a journal's themes folder that replace nothing of the theme that it is laid out with, and those
// that bring a script.
func unusedThemeFiles(folder *notes.Folder, theme journal.Theme, findings *finding.List) {
	used := cmp.Or(string(theme), string(journal.ThemeWorkshop))
	var others, known []string
	for _, o := range theme.Options() {
		if o.Name != used {
			others = append(others, o.Name)
		}
	}
	_ = fs.WalkDir(themes.FS, ".", func(name string, d fs.DirEntry, err error) error { // what is embedded can be walked
		switch {
		case err == nil && (name == themes.Trial || slices.Contains(others, name)):
			return fs.SkipDir
		case err == nil && !d.IsDir():
			known = append(known, name)
		}
		return err
	})
	for _, file := range folder.Files() {
		name, own := strings.CutPrefix(file.Path, themesFolder+"/")
		if !own || path.Ext(name) == ".md" {
			continue
		}
		if slices.Contains(known, name) {
			activeThemeFile(folder, file.Path, findings)
			continue
		}
		near, remedy := "", "give it the path of the file that it is to replace, such as "+themesFolder+"/"+used+"/sheet.css, or take it out."
		if like, ok := nearestFile(name, known); ok {
			near = fmt.Sprintf("; did you mean `%s/%s`?", themesFolder, like)
		}
		findings.Add(finding.Finding{Rule: ruleThemeFile, Level: finding.Warning, Span: finding.Span{Source: finding.NewSource(file.Path, nil)},
			Text: "this file takes the place of no file of the theme, and nothing uses it" + near, Remedy: remedy})
	}
}

// clipped is the beginning of a tag, on one line.
func clipped(tag string) string {
	const most = 60
	words := []rune(strings.Join(strings.Fields(tag), " "))
	if len(words) > most {
		return string(words[:most]) + "…"
	}
	return string(words)
}

// nearestFile is the built-in file that a path most likely means: the nearest path, or a file of that name in another folder.
func nearestFile(name string, known []string) (string, bool) {
	for _, k := range known {
		if path.Base(k) == path.Base(name) {
			return k, true
		}
	}
	return finding.Nearest(name, known)
}
