package notes

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// A file that is not what it was when the folder was read is not read as if it were.
func TestFilesThatChange(t *testing.T) {
	for _, c := range []struct {
		name   string
		before func(at string) error // the file is opened
		during func(at string) error // while it is read
		opens  error
	}{
		{"it stays", nil, nil, nil},
		{"it grew", func(at string) error { return os.WriteFile(at, []byte(strings.Repeat("1,2\n", 5000)), 0o644) }, nil, ErrChanged},
		{"another one", func(at string) error {
			return errors.Join(os.WriteFile(at+"-2", []byte(strings.Repeat("1,3\n", 4000)), 0o644), os.Rename(at+"-2", at))
		}, nil, ErrChanged},
		{"it is gone", os.Remove, nil, fs.ErrNotExist},
		{"a folder", func(at string) error { return errors.Join(os.Remove(at), os.Mkdir(at, 0o755)) }, nil, ErrNoFile},
		{"it grows", nil, func(at string) error {
			f, err := os.OpenFile(at, os.O_WRONLY|os.O_APPEND, 0)
			if err != nil {
				return err
			}
			_, err = f.WriteString("3,4\n")
			return errors.Join(err, f.Close())
		}, nil},
		{"it is cut short", nil, func(at string) error { return os.Truncate(at, 10) }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			at := filepath.Join(dir, "log.csv")
			err := errors.Join(os.WriteFile(filepath.Join(dir, JournalFile), []byte("title: x\n"), 0o644), os.WriteFile(at, []byte(strings.Repeat("1,2\n", 4000)), 0o644))
			if err != nil {
				t.Fatal(err)
			}
			f, err := Open(dir)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			f.Read(&finding.List{})
			if c.before != nil {
				if err := c.before(at); err != nil {
					t.Fatal(err)
				}
			}
			r, err := f.OpenFile("log.csv")
			if !errors.Is(err, c.opens) {
				t.Fatalf("opening gave %v, want %v", err, c.opens)
			}
			if err == nil {
				defer r.Close()
				_, err := io.ReadFull(r, make([]byte, 100))
				if err == nil && c.during != nil {
					err = c.during(at)
				}
				if err != nil {
					t.Fatal(err)
				}
				if _, err := io.ReadAll(r); errors.Is(err, ErrChanged) != (c.during != nil) {
					t.Errorf("reading on gave %v", err)
				}
			}
			if changed := c.before != nil || c.during != nil; (f.Changed() != nil) != changed || changed && !strings.Contains(f.Changed().Error(), "log.csv") {
				t.Errorf("the folder says %v", f.Changed())
			}
		})
	}
}
