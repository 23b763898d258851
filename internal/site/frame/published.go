package frame

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
)

// Gone lists the versions, by their paths, whose pages stand on the site in dir and would be gone once one of which has tells whether
// it has a file takes its place. A site that shares no vehicle with that is another journal's and loses none; so does a folder that is
// no site.
func Gone(dir string, has func(path string) bool) ([]string, error) {
	if marker, err := os.ReadFile(filepath.Join(dir, MarkerFile)); err != nil || !strings.HasPrefix(string(marker), markerHead) {
		return nil, nil // whether it can be written over is Write's to say
	}
	stand, err := fs.Glob(os.DirFS(dir), "*/*/"+path.Base(address.Front))
	if err != nil {
		return nil, err
	}
	var gone []string
	shared := false
	for _, page := range stand {
		at := path.Dir(page)
		if !journal.IsVersionPath(at) {
			continue
		}
		shared = shared || has(path.Dir(at)+"/"+path.Base(address.Front))
		if !has(at + "/" + path.Base(address.Front)) {
			gone = append(gone, at)
		}
	}
	if !shared {
		return nil, nil
	}
	slices.Sort(gone)
	return gone, nil
}
