package site

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/site/frame"
	"voltwright/internal/whole"
)

// numbered is a site of which every file says its number.
func numbered(n int) *frame.Pages {
	p := frame.NewPages(nil)
	for i := range 8 {
		if err := p.Put(fmt.Sprintf("%d/%d/page.html", i%4, i), fmt.Appendf(nil, "site %d, file %d\n", n, i)); err != nil {
			panic(err)
		}
	}
	return p
}

// How a folder is replaced is package whole's, and tested there; here it is that a site is replaced so.
func TestWriteReplacesItsOwnFilesOnly(t *testing.T) {
	for _, tt := range []struct {
		name  string
		files map[string]string
		want  error
	}{
		{"an empty folder", nil, nil},
		{"a site of former times", map[string]string{frame.MarkerFile: "Voltwright site, format 1\n", "0/0/page.html": "old"}, nil},
		{"a site of times to come", map[string]string{frame.MarkerFile: "Voltwright site, format 99\n", "0/0/page.html": "new"}, whole.ErrForeign},
		{"a page of somebody's", map[string]string{"0/0/page.html": "theirs"}, whole.ErrForeign},
		{"somebody's papers", map[string]string{"thesis.txt": "theirs"}, whole.ErrForeign},
		{"a history of versions", map[string]string{".versions/HEAD": "theirs"}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "site")
			if err := os.Mkdir(dir, 0o755); err != nil {
				t.Fatal(err)
			}
			for name, text := range tt.files {
				at := filepath.Join(dir, name)
				if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, []byte(text), 0o644)); err != nil {
					t.Fatal(err)
				}
			}
			kept, err := frame.Write(dir, numbered(1), nil, nil)
			if !errors.Is(err, tt.want) {
				t.Fatalf("error %v", err)
			}
			for name, text := range tt.files {
				now, err := os.ReadFile(filepath.Join(dir, name))
				foreign := slices.Contains(kept.Foreign, name)
				if (foreign || tt.want != nil) && (err != nil || string(now) != text) {
					t.Errorf("%s is %q now (%v)", name, now, err)
				}
			}
			if page, err := os.ReadFile(filepath.Join(dir, "0/0/page.html")); tt.want == nil && (err != nil || !strings.HasPrefix(string(page), "site 1")) {
				t.Errorf("the page says %q, %v", page, err)
			}
		})
	}
}

func TestWriteElsewhere(t *testing.T) {
	t.Run("a file", func(t *testing.T) {
		dir := filepath.Join(t.TempDir(), "site")
		if err := os.WriteFile(dir, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := frame.Write(dir, numbered(0), nil, nil); err == nil {
			t.Error("a file was replaced by a site")
		}
	})
	t.Run("no folder above", func(t *testing.T) {
		if _, err := frame.Write(filepath.Join(t.TempDir(), "not", "here"), numbered(0), nil, nil); err == nil {
			t.Error("a folder above the site was made")
		}
	})
	t.Run("one's own folder", func(t *testing.T) {
		home := t.TempDir()
		t.Setenv("HOME", home)
		t.Setenv("USERPROFILE", home)
		if _, err := frame.Write(home, numbered(0), nil, nil); err == nil {
			t.Error("a site was written among all that somebody has")
		}
	})
	t.Run("a link to a site", func(t *testing.T) {
		parent := t.TempDir()
		real, link := filepath.Join(parent, "real"), filepath.Join(parent, "link")
		if _, err := frame.Write(real, numbered(0), nil, nil); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(real, link); err != nil {
			t.Skip("no symbolic links here")
		}
		if _, err := frame.Write(link, numbered(1), nil, nil); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
			t.Error("the link was replaced by a folder")
		}
	})
}
