package app

import (
	"errors"
	"fmt"
	"io"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// printWrittenOut prints the front matter of one version in full. What is wrong in the journal holds it up only where the version cannot be read.
func printWrittenOut(stdout io.Writer, folder *notes.Folder, place string) error {
	j := journal.Load(folder, &finding.List{})
	if err := folder.Changed(); err != nil {
		return unreached(err)
	}
	var paths []string
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if v.Path() != place {
				paths = append(paths, v.Path())
				continue
			}
			text := v.WrittenOut()
			if text == "" {
				return unreached(errors.New("the front matter of " + v.Note.Path + " cannot be read; `voltwright inspect` says why"))
			}
			_, err := fmt.Fprintf(stdout, "---\n%s---\n", text)
			return unreachedIf(err)
		}
	}
	if len(paths) == 0 {
		return usage("the journal has no version yet")
	}
	return usage("the journal has no version `%s`%s; it has %s", place, didYouMean(place, paths), list(paths, "and"))
}
