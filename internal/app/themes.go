package app

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"voltwright/internal/finding"
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

// unusedThemeFiles reports the files under a journal's themes folder that replace nothing.
func unusedThemeFiles(folder *notes.Folder, findings *finding.List) {
	var known []string
	_ = fs.WalkDir(themes.FS, ".", func(name string, d fs.DirEntry, err error) error { // what is embedded can be walked
		switch {
		case err == nil && name == themes.Trial:
			return fs.SkipDir
		case err == nil && !d.IsDir():
			known = append(known, name)
		}
		return err
	})
	for _, file := range folder.Files() {
		name, own := strings.CutPrefix(file.Path, themesFolder+"/")
		if !own || path.Ext(name) == ".md" || slices.Contains(known, name) {
			continue
		}
		near, remedy := "", "give it the path of the file that it is to replace, such as themes/workshop/sheet.css, or take it out."
		if like, ok := nearestFile(name, known); ok {
			near = fmt.Sprintf("; did you mean `%s/%s`?", themesFolder, like)
		}
		findings.Add(finding.Finding{Rule: ruleThemeFile, Level: finding.Warning, Span: finding.Span{Source: finding.NewSource(file.Path, nil)},
			Text: "this file takes the place of no file of the theme, and nothing uses it" + near, Remedy: remedy})
	}
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
