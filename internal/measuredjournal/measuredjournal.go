// Package measuredjournal lays out the journal that is made of measured logs, for tests alone. Its notes stand in
// testdata/journal-measured; its logs stand once in the repository, with their sources and licences, and are put beside the
// notes when the journal is laid out.
package measuredjournal

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// testdata is the folder of files that tests share, as the tests of a package of internal see it.
const testdata = "../../testdata"

// Stated is the table of what the data sets state of their logs.
var Stated = filepath.Join(testdata, "journal-measured", "stated.csv")

// logs is the list of the logs, in the folder of the notes: path in the journal and path in testdata, with a tab between.
const logs = "logs.tsv"

// Journal lays the journal out in a folder that lasts as long as the test.
func Journal(t testing.TB) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "journal-measured")
	if err := LayOut(dir); err != nil {
		t.Fatal(err)
	}
	return dir
}

// LayOut lays the journal out in a folder, which is made. The error is of the first file that could not be read or written.
func LayOut(dir string) error {
	from := filepath.Join(testdata, "journal-measured")
	if err := os.CopyFS(dir, os.DirFS(from)); err != nil {
		return err
	}
	list, err := os.ReadFile(filepath.Join(from, logs))
	if err != nil {
		return err
	}
	for line := range strings.Lines(string(list)) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasPrefix(line, "#") {
			continue
		}
		in, source, found := strings.Cut(line, "\t")
		if !found {
			return fmt.Errorf("%s: %q is no pair of paths", logs, line)
		}
		text, err := os.ReadFile(filepath.Join(testdata, filepath.FromSlash(source)))
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(in)), text, 0o644); err != nil {
			return err
		}
	}
	return errors.Join(os.Remove(filepath.Join(dir, logs)), os.Remove(filepath.Join(dir, ".gitattributes")))
}
