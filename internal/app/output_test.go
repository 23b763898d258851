package app

import (
	"errors"
	"io"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"voltwright/internal/begin"
)

// fullDisk is a place to print to that has no room, as a file on a full disc.
type fullDisk struct{ err error }

func (f fullDisk) Write([]byte) (int, error) { return 0, f.err }

// A result that could not be printed is no success, whichever command made it. A reader that went away is no failure.
func TestWhatCannotBePrinted(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "journal")
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"--help"}, {"--version"}, {"begin", filepath.Join(parent, "another")},
		{"inspect", dir}, {"inspect", "--format", "json", dir}, {"inspect", "--format", "sarif", dir},
		{"publish", dir, "--to", filepath.Join(parent, "site")},
		{"archive", "--journal", dir, "trolley/1-first-pack", "--to", filepath.Join(parent, "bag")},
		{"archive", "--verify", filepath.Join(parent, "bag")},
		{"measure", filepath.Join(dir, "trolley/1-first-pack/bench-2026-01-17.csv")},
		{"predict", "--journal", dir, "trolley/1-first-pack"},
		{"values", "--journal", dir}, {"explain"}, {"explain", "fuse-small"}, {"schema"}, {"completion", "bash"},
	} {
		t.Run(strings.Join(args[:min(2, len(args))], " "), func(t *testing.T) {
			full := fullDisk{syscall.ENOSPC}
			var said strings.Builder
			if got := Main(args, strings.NewReader(""), full, &said); Status(got) != Unreached || !strings.Contains(said.String(), "could not be printed") {
				t.Errorf("status %d, saying %q", got, said.String())
			}
			if args[0] == "begin" || args[0] == "archive" { // they write once
				return
			}
			if got := Main(args, strings.NewReader(""), fullDisk{errors.Join(io.ErrClosedPipe, syscall.EPIPE)}, io.Discard); Status(got) == Unreached {
				t.Errorf("status %d where the reader went away", got)
			}
		})
	}
}
