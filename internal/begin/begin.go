// Package begin writes what a maker starts from: a small journal of its own, and in a journal that is there the next
// version of a vehicle or the next run of a version, carried over from the last one, another vehicle from a maker's short
// answers, a question, a correction or a note.
//
// The journal to start from is the folder starter of this package, embedded; its texts and its log are invented and say
// so. What is carried over is the text of the front matter as the maker wrote it, comments included. What was measured
// is left out, and where a value must be written the key stands there empty, so that inspection points at it.
package begin

import (
	"bytes"
	"embed"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"voltwright/internal/whole"
)

//go:embed starter
var starter embed.FS

// Starter is the journal to start from.
func Starter() fs.FS {
	sub, err := fs.Sub(starter, "starter")
	if err != nil { // the folder is embedded
		panic(err)
	}
	return sub
}

// Journal writes the journal to start from to the folder dir, which must be empty or not there, and gives the paths of
// its files. The error wraps whole.ErrTaken if dir holds anything.
func Journal(dir string) ([]string, error) {
	files := Starter()
	var paths []string
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			paths = append(paths, name)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return paths, whole.Folder(dir, paths, func(name string) (io.ReadCloser, error) { return files.Open(name) })
}

// JournalOf writes a journal that holds the draft and nothing invented to the folder dir, as [Journal] does.
func JournalOf(dir string, d *Draft) ([]string, error) {
	head, err := fs.ReadFile(Starter(), "journal.yaml")
	if err != nil {
		return nil, err
	}
	if at := bytes.Index(head, []byte("# The next line is printed")); at >= 0 {
		head = head[:at] // that the trolley is invented
	}
	texts := map[string][]byte{"journal.yaml": head}
	paths := []string{"journal.yaml"}
	for _, f := range d.Files {
		texts[f.Path] = f.Text
		paths = append(paths, f.Path)
	}
	return paths, whole.Folder(dir, paths, func(name string) (io.ReadCloser, error) {
		return io.NopCloser(bytes.NewReader(texts[name])), nil
	})
}

// Draft is what is to be added to a journal.
type Draft struct {
	Files []File
	Empty []string // what is left for the maker to fill in, in the words of a person
}

// File is one file of a Draft, its path inside the journal.
type File struct {
	Path string
	Text []byte
}

// Write adds the draft to the journal in dir. A new folder appears whole or not at all, and so does a new file. The error
// wraps whole.ErrTaken if there is one of that name.
func (d *Draft) Write(dir string) error {
	folder := path.Dir(d.Files[0].Path)
	into := filepath.Join(dir, filepath.FromSlash(folder))
	if info, err := os.Stat(into); err == nil && info.IsDir() {
		for _, f := range d.Files {
			if err := whole.File(filepath.Join(dir, filepath.FromSlash(f.Path)), f.Text); err != nil {
				return err
			}
		}
		return nil
	}
	var paths []string
	for _, f := range d.Files {
		paths = append(paths, strings.TrimPrefix(f.Path, folder+"/"))
	}
	return whole.Folder(into, paths, func(name string) (io.ReadCloser, error) {
		i := slices.Index(paths, name)
		return io.NopCloser(bytes.NewReader(d.Files[i].Text)), nil
	})
}
