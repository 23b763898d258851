package proof

import (
	"fmt"
	"io/fs"
	"path"
	"strings"
)

// Fingerprint tells two states of a folder's files apart by their names, sizes and times, and who may read them. Names that begin with a dot are
// left alone, as everywhere in a journal. A folder that cannot be read has a fingerprint, too: the reason.
//
// The system can tell of changes, but of none to folders on another machine, and each system otherwise; a look at a few hundred
// files costs a millisecond.
func Fingerprint(folder fs.FS) string {
	var b strings.Builder
	err := fs.WalkDir(folder, ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case strings.HasPrefix(path.Base(name), ".") && name != ".":
			if entry != nil && entry.IsDir() {
				return fs.SkipDir
			}
			return nil
		case err != nil:
			fmt.Fprintf(&b, "%q: %v\n", name, err)
			return nil
		case entry.IsDir():
			fmt.Fprintf(&b, "%q\n", name)
			return nil
		}
		info, err := fs.Stat(folder, name) // what a link leads to
		if err != nil {
			fmt.Fprintf(&b, "%q: %v\n", name, err)
			return nil
		}
		fmt.Fprintf(&b, "%q %v %d %d\n", name, info.Mode(), info.Size(), info.ModTime().UnixNano())
		return nil
	})
	if err != nil {
		fmt.Fprintf(&b, "%v\n", err)
	}
	return b.String()
}
