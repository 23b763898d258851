package whole

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
)

// retire takes away a tree beside the folder: a half new one, or the old one after the exchange. Of its files go those that
// this program wrote and those that stand in the folder too, being links to the same; whatever else is there, since it came
// between the survey and the exchange or could not be linked, is moved into the folder. old is what was surveyed before the exchange, nil
// where a killed Replace left the tree.
func (p stand) retire(tree string, old *surveyed) error {
	if _, err := os.Lstat(tree); errors.Is(err, fs.ErrNotExist) {
		return nil
	} else if err != nil {
		return err
	}
	l, err := p.own.read(tree)
	if err != nil {
		return err
	}
	var files, dirs []string
	err = filepath.WalkDir(tree, func(at string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(tree, at)
		switch name := filepath.ToSlash(rel); {
		case err != nil:
			return err
		case d.IsDir():
			dirs = append(dirs, name)
		case name == p.own.List, name == p.own.List+".whole":
		default:
			files = append(files, name)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if !l.ours() && old == nil && len(files)+len(dirs) > 1 {
		return fmt.Errorf("%s %w: nothing there says that it can be deleted; move it away", tree, ErrForeign)
	}
	for _, name := range files {
		if err := p.release(tree, name, l, old); err != nil {
			return err
		}
	}
	for _, name := range slices.Backward(dirs[1:]) {
		if err := os.Remove(filepath.Join(tree, filepath.FromSlash(name))); err != nil {
			return err
		}
	}
	// The list goes last, so that a kill meanwhile leaves it.
	for _, name := range []string{p.own.List + ".whole", p.own.List} {
		if err := os.Remove(filepath.Join(tree, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return os.Remove(tree)
}

// release takes one file out of a tree that goes.
func (p stand) release(tree, name string, l *list, old *surveyed) error {
	here, there := filepath.Join(tree, filepath.FromSlash(name)), filepath.Join(p.dir, filepath.FromSlash(name))
	ours, err := p.ours(here, name, l, old)
	if err != nil {
		return err
	}
	if ours || twins(here, there) {
		return os.Remove(here)
	}
	if _, err := os.Lstat(there); !errors.Is(err, fs.ErrNotExist) {
		return errors.Join(fmt.Errorf("%s was not written by this program, and there is another %s; it stands there until it is moved away", here, there), err)
	}
	if err := os.MkdirAll(filepath.Join(p.dir, filepath.FromSlash(path.Dir(name))), 0o755); err != nil {
		return err
	}
	return os.Rename(here, there)
}

// ours tells whether a file of a tree that goes was written by this program and is as it wrote it.
func (p stand) ours(here, name string, l *list, old *surveyed) (bool, error) {
	if old != nil {
		was, ok := old.own[name]
		if !ok {
			return false, nil
		}
		info, err := os.Lstat(here)
		return err == nil && os.SameFile(info, was.info) && info.Size() == was.info.Size() && info.ModTime().Equal(was.info.ModTime()), err
	}
	sum, listed := l.sums[name]
	if l.listless { // whatever was written again in its place
		_, err := os.Lstat(filepath.Join(p.dir, filepath.FromSlash(name)))
		return err == nil, nil
	}
	if !listed {
		return false, nil
	}
	if info, err := os.Lstat(here); err != nil || !info.Mode().IsRegular() {
		return false, err
	}
	if sum == "" { // it was being written
		return true, nil
	}
	now, err := sumOfFile(here, name, nil, nil)
	return now == sum, err
}
