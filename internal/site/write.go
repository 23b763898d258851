package site

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"voltwright/internal/whole"
)

// MarkerFile stands in every site that Write made; without it Write replaces nothing.
const MarkerFile = "voltwright-site.txt"

// markerLine is the first line of MarkerFile; the number is that of the layout of a site on disk.
const markerLine = "Voltwright site, format 1"

const markerText = markerLine + "\n\nThis folder was written by `voltwright publish`, which replaces it whole.\nChange the journal, not these files.\n"

// ErrNotOurs says that a folder is no site of ours and is not empty, so that it is not replaced.
var ErrNotOurs = errors.New("is not empty and holds no site that voltwright wrote")

// Write writes the site to the folder dir, whose parent must exist. It is first written whole to a folder beside dir,
// named after it, and then takes its place: on Linux by one exchange, elsewhere by two renames, of which a kill between
// them is mended by the next Write. What a killed Write left behind is cleared by the next. Writes to folders of one
// parent wait for each other where the system can lock a folder.
//
// The error wraps ErrNotOurs if dir holds something else than a site.
func Write(dir string, p *Pages) error { return write(dir, p, exchange) }

// write is Write with the exchange of two folders that the system has; false from it means that it has none.
func write(dir string, p *Pages, exchange func(a, b string) (bool, error)) (err error) {
	at, err := newStand(dir)
	if err != nil {
		return err
	}
	unlock, err := whole.Lock(at.parent)
	if err != nil {
		return fmt.Errorf("%s: %w", at.parent, err)
	}
	defer func() { err = errors.Join(err, unlock()) }()
	if err := at.recover(); err != nil {
		return err
	}
	if err := replaceable(at.dir); err != nil {
		return err
	}
	if err := fill(at.next, p); err != nil {
		return errors.Join(err, os.RemoveAll(at.next))
	}
	return at.swap(exchange)
}

// stand is where a site stands and the names beside it that Write uses.
type stand struct {
	parent, dir string
	next        string // the new site while it is written; after an exchange the old one
	last        string // the old site between two renames
}

func newStand(dir string) (stand, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return stand{}, err
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		abs = real
	} else if !errors.Is(err, fs.ErrNotExist) {
		return stand{}, err
	}
	parent, base := filepath.Split(abs)
	if base == "" {
		return stand{}, fmt.Errorf("%s cannot be a site: it has no folder above it", abs)
	}
	info, err := os.Stat(parent)
	if err != nil {
		return stand{}, fmt.Errorf("the folder above the site cannot be used: %w", err)
	}
	if !info.IsDir() {
		return stand{}, fmt.Errorf("%s is no folder", parent)
	}
	beside := filepath.Join(parent, "."+base+".voltwright")
	return stand{parent: filepath.Clean(parent), dir: abs, next: beside + "-next", last: beside + "-last"}, nil
}

// recover mends what a killed Write left: an old site that was moved away and not replaced, and a half new one.
func (p stand) recover() error {
	if _, err := os.Lstat(p.dir); errors.Is(err, fs.ErrNotExist) {
		if err := os.Rename(p.last, p.dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, rest := range []string{p.next, p.last} {
		// A kill while the marker itself was written leaves a beginning of it.
		begun, err := os.ReadFile(filepath.Join(rest, MarkerFile))
		if err != nil || !strings.HasPrefix(markerText, string(begun)) {
			if err := replaceable(rest); err != nil {
				return err
			}
		}
		if err := removeSite(rest); err != nil {
			return err
		}
	}
	return nil
}

// removeSite removes a site, its marker last, so that what a kill leaves of it is still known as ours.
func removeSite(dir string) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() == MarkerFile {
			continue
		}
		if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return os.RemoveAll(dir)
}

// replaceable tells whether a folder may be replaced: it is not there, is empty, or is a site of ours.
func replaceable(dir string) error {
	info, err := os.Lstat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return fmt.Errorf("%s is a file, not a folder", dir)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	if len(entries) == 0 {
		return nil
	}
	f, err := os.Open(filepath.Join(dir, MarkerFile))
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s %w; name another folder, or empty this one", dir, ErrNotOurs)
	}
	if err != nil {
		return err
	}
	defer f.Close()
	line, err := bufio.NewReader(io.LimitReader(f, 256)).ReadString('\n')
	if err != nil && err != io.EOF {
		return err
	}
	if line = strings.TrimSpace(line); line != markerLine {
		return fmt.Errorf("%s %w of this format: %s says %q", dir, ErrNotOurs, MarkerFile, line)
	}
	return nil
}

// fill writes all files to a new folder, the marker first.
func fill(dir string, p *Pages) error {
	return whole.Fill(dir, append([]string{MarkerFile}, p.Paths()...), func(name string) (io.ReadCloser, error) {
		if name == MarkerFile {
			return io.NopCloser(strings.NewReader(markerText)), nil
		}
		return p.Open(name)
	})
}

// swap puts the new site in the old one's place and clears the old one away.
func (p stand) swap(exchange func(a, b string) (bool, error)) error {
	_, err := os.Lstat(p.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.Rename(p.next, p.dir); err != nil {
			return err
		}
		return whole.SyncFolder(p.parent)
	case err != nil:
		return err
	}
	exchanged, err := exchange(p.next, p.dir)
	if err != nil {
		return fmt.Errorf("the new site could not take the place of the old one: %w", err)
	}
	if !exchanged {
		if err := os.Rename(p.dir, p.last); err != nil {
			return err
		}
		if err := os.Rename(p.next, p.dir); err != nil {
			return errors.Join(err, os.Rename(p.last, p.dir))
		}
	}
	if err := whole.SyncFolder(p.parent); err != nil {
		return err
	}
	if exchanged {
		return removeSite(p.next)
	}
	return removeSite(p.last)
}
