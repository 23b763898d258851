package app

import (
	"io/fs"
	"path"

	"voltwright/internal/notes"
	"voltwright/themes"
)

// layeredThemes lays a journal's own themes folder over the built-in one, file
// by file: what the journal has takes the place of the file of the same path.
type layeredThemes struct{ folder *notes.Folder }

// Open opens the journal's file, or else the built-in one.
func (l layeredThemes) Open(name string) (fs.File, error) {
	if fs.ValidPath(name) && name != "." {
		if file, err := l.folder.OpenFile(path.Join("themes", name)); err == nil {
			return file, nil
		}
	}
	return themes.FS.Open(name)
}
