package archive

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/whole"
)

// packed is a small bag on disk.
func packed(t *testing.T) string {
	t.Helper()
	b := &Bag{Info: []Field{{"Source-Organization", "The shed\ncrew"}, {"Notice", "Invented."}, {"Empty", ""}}}
	for name, text := range map[string]string{"a.txt": "alpha\n", "logs/b.csv": "t,u\n0,1\n", "empty.txt": "", "100% ø.txt": "x"} {
		if err := b.putBytes(name, []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	dir := filepath.Join(t.TempDir(), "bag")
	if err := b.Write(dir, nil); err != nil {
		t.Fatal(err)
	}
	return dir
}

func verify(t *testing.T, dir string) []finding.Finding {
	t.Helper()
	_, found, err := Verify(dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func filesOf(t *testing.T, dir string) []string {
	t.Helper()
	var all []string
	err := filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			rel, _ := filepath.Rel(dir, p)
			all = append(all, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func change(t *testing.T, dir, name, text string) {
	t.Helper()
	target := filepath.Join(dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(target, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func text(t *testing.T, dir, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestWrittenBagIsSound(t *testing.T) {
	dir := packed(t)
	report, found, err := Verify(dir, nil)
	if err != nil || len(found) > 0 {
		t.Fatalf("%v, %v", found, err)
	}
	if report.Files != 4 || report.Bytes != 6+8+0+1 || strings.Join(report.Algorithms, " ") != "sha256 sha512" {
		t.Errorf("%+v", report)
	}
	if got, want := text(t, dir, "bag-info.txt"), "Source-Organization: The shed crew\nNotice: Invented.\nPayload-Oxum: 15.4\n"; got != want {
		t.Errorf("bag-info.txt says %q, want %q", got, want)
	}
	if got, want := text(t, dir, "bagit.txt"), "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"; got != want {
		t.Errorf("bagit.txt says %q, want %q", got, want)
	}
	if !strings.Contains(text(t, dir, "manifest-sha256.txt"), "  data/100%25 ø.txt\n") {
		t.Error("the percent sign is not encoded")
	}
	if err := (&Bag{}).Write(dir, nil); !errors.Is(err, whole.ErrTaken) {
		t.Errorf("a bag was written over another: %v", err)
	}
}

// Each byte of each file of a bag, changed by one bit: nothing passes, and the file is named. In a tag manifest a changed
// path is a missing file, and the finding names that.
func TestEveryChangedByteIsFound(t *testing.T) {
	dir := packed(t)
	changed := 0
	for _, name := range filesOf(t, dir) {
		whole := text(t, dir, name)
		for i := range len(whole) {
			b := []byte(whole)
			b[i] ^= 1
			change(t, dir, name, string(b))
			changed++
			found := verify(t, dir)
			named := slices.ContainsFunc(found, func(f finding.Finding) bool {
				return f.Level == finding.Error && (f.Span.File() == name || f.Span.File() == "" && name == declarationFile ||
					slices.ContainsFunc(f.Related, func(r finding.Related) bool { return r.Span.File() == name }))
			})
			if !named {
				t.Errorf("%s: byte %d changed from %q to %q, and the findings were %v", name, i, whole[i], b[i], found)
			}
		}
		change(t, dir, name, whole+"\n")
		if found := verify(t, dir); len(found) == 0 && !strings.HasPrefix(name, "tagmanifest-") {
			t.Errorf("%s: a line more was not found", name)
		}
		change(t, dir, name, whole)
	}
	if found := verify(t, dir); len(found) > 0 {
		t.Errorf("the bag as it was: %v", found)
	}
	t.Logf("%d changes of one bit, all found", changed)
}

// Faults of a bag, among them those of the conformance suite that goes with the RFC (bagit-with-invalid-whitespace,
// out-of-scope-file-paths-using-dot-notation, and the like, under the names that it gives them).
func TestUnsoundBags(t *testing.T) {
	for _, tt := range []struct {
		name string
		do   func(t *testing.T, dir string)
		want []string // rule and file of each error
	}{
		{"missing-bagit.txt", func(t *testing.T, dir string) { remove(t, dir, "bagit.txt") }, []string{"bag-declaration "}},
		{"bagit-with-invalid-whitespace", func(t *testing.T, dir string) {
			change(t, dir, "bagit.txt", "BagIt-Version : 1.0\nTag-File-Character-Encoding: UTF-8\n")
		}, []string{"bag-declaration bagit.txt"}},
		{"bagit-with-extra-lines", func(t *testing.T, dir string) {
			change(t, dir, "bagit.txt", declarationText+"More: of it\n")
		}, []string{"bag-declaration bagit.txt"}},
		{"bom-in-bagit.txt", func(t *testing.T, dir string) { change(t, dir, "bagit.txt", "\ufeff"+declarationText) }, []string{"bag-declaration bagit.txt"}},
		{"unsupported-version", func(t *testing.T, dir string) {
			change(t, dir, "bagit.txt", "BagIt-Version: 2.0\nTag-File-Character-Encoding: UTF-8\n")
		}, []string{"bag-declaration bagit.txt"}},
		{"missing-data-folder", func(t *testing.T, dir string) { remove(t, dir, "data") }, []string{"bag-declaration "}},
		{"missing-baginfo", func(t *testing.T, dir string) { remove(t, dir, "bag-info.txt") }, []string{"bag-missing bag-info.txt"}},
		{"no-manifest", func(t *testing.T, dir string) {
			for _, name := range filesOf(t, dir) {
				if strings.Contains(name, "manifest-") {
					remove(t, dir, name)
				}
			}
		}, []string{"bag-declaration "}},
		{"missing-payload-file", func(t *testing.T, dir string) { remove(t, dir, "data/a.txt") }, []string{"bag-info bag-info.txt", "bag-missing data/a.txt"}},
		{"unlisted-payload-file", func(t *testing.T, dir string) { change(t, dir, "data/more.txt", "more") }, []string{"bag-info bag-info.txt", "bag-unlisted data/more.txt"}},
		{"same-size-change", func(t *testing.T, dir string) { change(t, dir, "data/a.txt", "alphb\n") }, []string{"bag-altered data/a.txt"}},
		{"out-of-scope-file-paths-using-dot-notation", func(t *testing.T, dir string) {
			change(t, dir, "../secret.txt", "not in the bag")
			change(t, dir, "manifest-sha256.txt", text(t, dir, "manifest-sha256.txt")+zeros+"  data/../../secret.txt\n")
		}, []string{"bag-altered manifest-sha256.txt", "bag-manifest manifest-sha256.txt"}},
		{"out-of-scope-file-paths-using-a-link", func(t *testing.T, dir string) {
			change(t, dir, "../secret.txt", "alpha\n")
			remove(t, dir, "data/a.txt")
			if err := os.Symlink("../../secret.txt", filepath.Join(dir, "data", "a.txt")); err != nil {
				t.Skip("this file system has no links")
			}
		}, []string{"bag-info bag-info.txt", "bag-manifest data/a.txt"}},
		{"out-of-scope-file-paths-using-a-linked-folder", func(t *testing.T, dir string) {
			change(t, dir, "../outside/b.csv", "t,u\n0,1\n")
			remove(t, dir, "data/logs")
			if err := os.Symlink("../../outside", filepath.Join(dir, "data", "logs")); err != nil {
				t.Skip("this file system has no links")
			}
		}, []string{"bag-info bag-info.txt", "bag-manifest data/logs", "bag-missing data/logs/b.csv"}},
		{"manifests-list-different-files", func(t *testing.T, dir string) {
			kept := slices.DeleteFunc(strings.SplitAfter(text(t, dir, "manifest-sha512.txt"), "\n"), func(l string) bool { return strings.Contains(l, "data/a.txt") })
			change(t, dir, "manifest-sha512.txt", strings.Join(kept, ""))
		}, []string{"bag-altered manifest-sha512.txt", "bag-unlisted data/a.txt"}},
		{"payload-oxum-that-is-not-so", func(t *testing.T, dir string) {
			change(t, dir, "bag-info.txt", strings.Replace(text(t, dir, "bag-info.txt"), "15.4", "15.5", 1))
		}, []string{"bag-altered bag-info.txt", "bag-info bag-info.txt"}},
		{"bag-info-without-a-colon", func(t *testing.T, dir string) { change(t, dir, "bag-info.txt", "no label\n") }, []string{"bag-altered bag-info.txt", "bag-info bag-info.txt"}},
		{"fetch-out-of-scope", func(t *testing.T, dir string) {
			change(t, dir, "fetch.txt", "https://example.org/x 10 data/../../x\n")
		}, []string{"bag-manifest fetch.txt"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := packed(t)
			tt.do(t, dir)
			var got []string
			for _, f := range verify(t, dir) {
				if f.Level == finding.Error {
					got = append(got, f.Rule+" "+f.Span.File())
				}
			}
			slices.Sort(got)
			if got = slices.Compact(got); !slices.Equal(got, tt.want) {
				t.Errorf("errors %q, want %q", got, tt.want)
			}
		})
	}
}

// A bag of others: MD5, no tag manifest, a tag file of its own, a continued line, CR LF. It is sound.
func TestBagsOfOthers(t *testing.T) {
	dir := t.TempDir()
	change(t, dir, "bagit.txt", "BagIt-Version: 1.0\r\nTag-File-Character-Encoding: UTF-8\r\n")
	change(t, dir, "data/a.txt", "alpha\n")
	change(t, dir, "manifest-md5.txt", "9f9f90dbe3e5ee1218c86b8839db1995 *data/a.txt\r\n") // md5sum of GNU coreutils
	change(t, dir, "bag-info.txt", "Contact-Name: one\r\n  and two\r\nPayload-Oxum: 6.1\r\n")
	change(t, dir, "notes/more.txt", "anything")
	if found := verify(t, dir); len(found) > 0 {
		t.Errorf("%v", found)
	}
}

func remove(t *testing.T, dir, name string) {
	t.Helper()
	if err := os.RemoveAll(filepath.Join(dir, filepath.FromSlash(name))); err != nil {
		t.Fatal(err)
	}
}

// The manifests are checked from outside by GNU coreutils, which read them as lists of checksums.
func TestChecksumToolsAgree(t *testing.T) {
	dir := packed(t)
	remove(t, dir, "data/100% ø.txt") // a name that the tools do not decode
	for _, a := range written {
		tool, err := exec.LookPath(a + "sum")
		if err != nil {
			t.Skip("needs " + a + "sum of GNU coreutils")
		}
		for _, kind := range []string{"manifest-", "tagmanifest-"} {
			c := exec.Command(tool, "--check", "--strict", "--ignore-missing", kind+a+".txt")
			c.Dir = dir
			if out, err := c.CombinedOutput(); err != nil {
				t.Errorf("%s: %v\n%s", kind+a, err, out)
			}
		}
	}
}

func TestFilesThatCannotBeReadStopABag(t *testing.T) {
	b, parent := &Bag{}, t.TempDir()
	if err := b.put("a.txt", func() (io.ReadCloser, error) { return nil, fmt.Errorf("gone") }); err != nil {
		t.Fatal(err)
	}
	if err := b.Write(filepath.Join(parent, "bag"), nil); err == nil {
		t.Error("a bag was written without its file")
	}
	if left := filesOf(t, parent); len(left) > 0 {
		t.Errorf("left %v", left)
	}
}
