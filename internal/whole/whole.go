// Package whole puts folders where they belong: written whole beside their place first, and only then in it, so that a
// process that is killed leaves either nothing or all of it. Folder and File never replace what stands there; Replace
// replaces what it wrote before, and nothing else.
package whole

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// ErrTaken says that something stands where a new folder or file was to go.
var ErrTaken = errors.New("is there already, and nothing is written over")

// unfinishedFile is the first file of the folder in which a new one is written; only a folder that has it is cleared away.
const unfinishedFile = "voltwright-unfinished.txt"

const unfinishedText = "Voltwright was stopped while it wrote what lies beside this file. It can be deleted.\n"

// wholeFolder is the new folder inside the one with unfinishedFile.
const wholeFolder = "whole"

// Folder writes the files of a new folder dir, whose parent must exist, in the order of paths. The folder appears whole or
// not at all; what a killed Folder left behind is cleared away by the next for the same folder.
//
// The error wraps ErrTaken if dir is a file, a link or a folder that is not empty.
func Folder(dir string, paths []string, open func(path string) (io.ReadCloser, error)) (err error) {
	dir, err = filepath.Abs(dir)
	if err != nil {
		return err
	}
	parent, base := filepath.Split(dir)
	if base == "" {
		return fmt.Errorf("%s has no folder above it", dir)
	}
	if info, err := os.Stat(parent); err != nil {
		return fmt.Errorf("the folder above cannot be used: %w", err)
	} else if !info.IsDir() {
		return fmt.Errorf("%s is no folder", parent)
	}
	unlock, err := Lock(filepath.Clean(parent))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, unlock()) }()
	if err := Free(dir); err != nil {
		return err
	}
	next := filepath.Join(parent, "."+base+".voltwright-new")
	if err := clear(next); err != nil {
		return err
	}
	if err := os.Mkdir(next, 0o755); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, clear(next)) }()
	if err := WriteFile(filepath.Join(next, unfinishedFile), strings.NewReader(unfinishedText)); err != nil {
		return err
	}
	made := filepath.Join(next, wholeFolder)
	if err := Fill(made, paths, open); err != nil {
		return err
	}
	if err := os.Remove(dir); err != nil && !errors.Is(err, fs.ErrNotExist) { // an empty folder, or else this fails
		return err
	}
	if err := os.Rename(made, dir); err != nil {
		return err
	}
	return SyncFolder(filepath.Clean(parent))
}

// Free tells whether a new folder can be put at dir: nothing is there, or an empty folder. The error wraps ErrTaken.
func Free(dir string) error {
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !info.IsDir():
		return fmt.Errorf("%s %w", dir, ErrTaken)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s %w", dir, ErrTaken)
	}
	return nil
}

// clear takes away what a stopped Folder left, and nothing else.
func clear(next string) error {
	entries, err := os.ReadDir(next)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() != unfinishedFile && e.Name() != wholeFolder {
			return fmt.Errorf("%s %w: it holds %s, which this program did not write; move it away", next, ErrTaken, e.Name())
		}
	}
	if len(entries) > 0 { // a kill while it was written leaves a beginning of it
		begun, err := os.ReadFile(filepath.Join(next, unfinishedFile))
		if err != nil || !strings.HasPrefix(unfinishedText, string(begun)) {
			return fmt.Errorf("%s %w: it does not say that it can be deleted; move it away", next, ErrTaken)
		}
	}
	// The file that says so goes last, so that a kill meanwhile leaves it.
	return errors.Join(os.RemoveAll(filepath.Join(next, wholeFolder)), os.RemoveAll(next))
}

// File writes a new file, whole or not at all. The error wraps ErrTaken if there is one of that name.
func File(name string, text []byte) (err error) {
	dir := filepath.Dir(name)
	if done, err := fileAtOnce(name, text); done {
		if errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s %w", name, ErrTaken)
		}
		return errors.Join(err, SyncFolder(dir))
	}
	f, err := os.CreateTemp(dir, "."+filepath.Base(name)+".voltwright-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.Remove(f.Name())) }()
	_, err = f.Write(text)
	if err := errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Link(f.Name(), name); err != nil { // unlike a rename, it fails where there is a file
		if errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s %w", name, ErrTaken)
		}
		return err
	}
	return SyncFolder(dir)
}

// Fill makes the folder dir, which must not be there, writes the files to it in the order of paths, which are separated
// by slashes, and sees to it that all have reached the disk.
func Fill(dir string, paths []string, open func(path string) (io.ReadCloser, error)) error {
	if err := os.Mkdir(dir, 0o755); err != nil {
		return err
	}
	folders := map[string]bool{".": true}
	for _, name := range paths {
		if !fs.ValidPath(name) {
			return fmt.Errorf("%q is no path inside a folder", name)
		}
		for f := path.Dir(name); !folders[f]; f = path.Dir(f) {
			folders[f] = true
		}
		target := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			return err
		}
		r, err := open(name)
		if err != nil {
			return err
		}
		if err := errors.Join(WriteFile(target, r), r.Close()); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	for f := range folders {
		if err := SyncFolder(filepath.Join(dir, filepath.FromSlash(f))); err != nil {
			return err
		}
	}
	return nil
}

// WriteFile writes a file that must not be there and sees to it that it has reached the disk.
func WriteFile(name string, r io.Reader) (err error) {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if _, err := io.Copy(f, r); err != nil {
		return err
	}
	return f.Sync()
}
