package frame

import (
	"fmt"
	"os"

	"voltwright/internal/progress"
	"voltwright/internal/whole"
)

// MarkerFile stands in every site that Write made and lists its files.
const MarkerFile = "voltwright-site.txt"

// markerHead begins the first line of MarkerFile; the number behind it is that of the layout of a site on disk.
const markerHead = "Voltwright site, format "

// owned says what of a folder is the site's own. Sites of format 1 had no list.
var owned = whole.Owned{
	List:     MarkerFile,
	Head:     markerHead + "2",
	Listless: markerHead + "1",
	Text: "The files listed here were written by `voltwright publish`, which replaces or removes them and no others.\n" +
		"Change the journal, not these files: one that was changed is taken for yours, and stops the next publish.",
}

// Write writes the site to the folder dir, whose parent must exist, in place of the site that stands there. It may remove
// what it wrote itself, known from its list, and nothing else; see whole.Replace. known remembers checksums of what stands there, nil none; told hears how many of the files are in their
// places.
//
// The error wraps whole.ErrForeign if dir holds a file of the site's names that Write did not write.
func Write(dir string, p *Pages, known whole.Remembered, told progress.Report) (whole.Replaced, error) {
	if isHome(dir) {
		return whole.Replaced{}, fmt.Errorf("%s is your own folder, and no place for a site; name a folder in it", dir)
	}
	paths := p.Paths()
	return whole.Replace(dir, owned, whole.Files{Paths: paths, Open: p.Open, Sum: p.Sum, Remembered: known, Done: told.Begin(progress.Writing, int64(len(paths)))})
}

// Stands tells whether Write would leave the folder dir as it is, since the site of which the files have these sums stands there with all
// its addresses, and if so what Write would return; known is that of Write.
func Stands(dir string, sums map[string]string, known whole.Remembered) (whole.Replaced, bool) {
	gone, err := Gone(dir, func(path string) bool { return sums[path] != "" })
	if err != nil || len(gone) > 0 || isHome(dir) {
		return whole.Replaced{}, false
	}
	return whole.Stands(dir, owned, sums, known)
}

// isHome tells whether a folder is the user's own.
func isHome(dir string) bool {
	home, err := os.UserHomeDir()
	return err == nil && sameFolder(dir, home)
}

func sameFolder(a, b string) bool {
	x, errA := os.Stat(a)
	y, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(x, y)
}
