package whole

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// ErrForeign says that files that this program did not write stand where its own were to go.
var ErrForeign = errors.New("holds what was not written by this program")

// Owned names the files of a folder that Replace writes again and again. What else stands there is foreign and stays.
type Owned struct {
	List string // name of the file, at the head of the folder, that lists what was written, with a sum of each
	Head string // the first line of that file
	Text string // what it says to whoever opens it

	// Listless is the first line of a list of former times, which named no file: there whatever bears a name that is
	// written again was written by this program, and the rest stays. "" where there never was one.
	Listless string
}

// Replaced is what became of the files of a folder. Paths are in order.
type Replaced struct {
	Foreign []string // files that are not its own and stayed as they were
	Same    int      // own files whose bytes did not change, nor their times

	// Own files, the list among them, that were not there before, whose bytes became others, or that are there no more: what
	// brings a copy of the old folder to the new state.
	Added, Changed, Removed []string

	Sums map[string]string // of the files as they stand there now, but for the list: SHA-256 in hexadecimal digits

	same map[string]string // sums of the files that did not change
}

// Remembered knows checksums of the files of a folder by what the system says of them now.
type Remembered interface {
	// Sum is the SHA-256 of the bytes of a file of which the system says this; false: it is not known.
	Sum(name string, info fs.FileInfo) (sum [sha256.Size]byte, ok bool)
	// Note hears the SHA-256 of the bytes that a file held after the system said this of it.
	Note(name string, info fs.FileInfo, sum [sha256.Size]byte)
	// Again says that files which have changed until now can be noted.
	Again()
}

// note notes a checksum in hexadecimal digits.
func note(known Remembered, name string, info fs.FileInfo, sum string) {
	if data, err := hex.DecodeString(sum); err == nil && len(data) == sha256.Size {
		known.Note(name, info, [sha256.Size]byte(data))
	}
}

// Files are files that are to be written, by their slash-separated paths.
type Files struct {
	Paths      []string // in order
	Open       func(path string) (io.ReadCloser, error)
	Sum        func(path string) (sum []byte, known bool) // the SHA-256 of a file that need not be read to know it; nil knows none
	Remembered Remembered                                 // checksums of what stands in the folder; nil: none are
	Done       func(n int64)                              // is told of each file that is in the new folder; nil: nobody
}

// sum is the SHA-256 of a file in hexadecimal digits.
func (f Files) sum(name string) (string, error) {
	if f.Sum != nil {
		if sum, known := f.Sum(name); known {
			return hex.EncodeToString(sum), nil
		}
	}
	return sumOf(f.Open, name, io.Discard)
}

// Replace writes the files to the folder dir, whose parent must exist, and takes away those that it wrote before and that
// are none of them now. A foreign file stays, whatever happens: the same file under the same name. So does one of its own
// whose bytes did not change, and where none did the folder is left alone. Else a new folder is first made whole beside dir,
// with all files that stay linked into it, and then takes its place: on Linux by one exchange, elsewhere by two renames, of
// which a kill between them is mended by the next Replace. What a killed Replace left behind is cleared by the next. Replaces
// in one parent wait for each other where the system can lock a folder.
//
// The error wraps ErrForeign if a foreign file has the name of one that was to be written, or if dir was never written to
// and holds more than hidden files; then nothing is changed.
func Replace(dir string, own Owned, files Files) (Replaced, error) {
	return replace(dir, own, files, system{exchange: exchange, link: link})
}

// system is what Replace asks of the system it runs on; not every one can do it.
type system struct {
	exchange func(a, b string) (bool, error) // of two folders, in one step; false: it cannot
	link     func(from, to string) error
}

func replace(dir string, own Owned, files Files, sys system) (done Replaced, err error) {
	for _, name := range files.Paths {
		if !fs.ValidPath(name) || name == "." || name == own.List {
			return done, fmt.Errorf("%q is no path inside a folder", name)
		}
	}
	at, err := newStand(dir, own, sys)
	if err != nil {
		return done, err
	}
	unlock, err := Lock(at.parent)
	if err != nil {
		return done, fmt.Errorf("%s: %w", at.parent, err)
	}
	defer func() { err = errors.Join(err, unlock()) }()
	if err := at.recover(); err != nil {
		return done, err
	}
	old, err := survey(at.dir, own, files.Paths, files.Remembered)
	if err != nil {
		return done, err
	}
	if err := old.free(files.Paths); err != nil {
		return done, err
	}
	if done, err = old.compare(files); err != nil {
		return done, err
	}
	if old.unchanged(done) {
		done.Sums = done.same
		return done, nil
	}
	if old.known {
		done.Changed = inOrder(done.Changed, own.List)
	} else {
		done.Added = inOrder(done.Added, own.List)
	}
	written := map[string]fs.FileInfo{}
	if done.Sums, err = at.fill(old, done.same, files, written); err != nil {
		return done, errors.Join(err, at.retire(at.next, nil))
	}
	if err := at.swap(old); err != nil {
		return done, err
	}
	at.remember(written, done.Sums, files.Remembered)
	return done, nil
}

// Stands tells whether Replace would leave the folder dir alone, since the files of these sums, in hexadecimal digits, and no other
// of its own stand there, and if so what it would return. known may be nil. Like Replace it mends what a killed one left.
func Stands(dir string, own Owned, sums map[string]string, known Remembered) (done Replaced, stands bool) {
	at, err := newStand(dir, own, system{exchange: exchange, link: link})
	if err != nil {
		return done, false
	}
	unlock, err := Lock(at.parent)
	if err != nil {
		return done, false
	}
	defer func() { stands = unlock() == nil && stands }()
	if at.recover() != nil {
		return done, false
	}
	paths := slices.Sorted(maps.Keys(sums))
	old, err := survey(at.dir, own, paths, known)
	if err != nil || old.free(paths) != nil {
		return done, false
	}
	files := Files{Paths: paths, Sum: func(name string) ([]byte, bool) {
		sum, err := hex.DecodeString(sums[name])
		return sum, err == nil
	}, Open: func(name string) (io.ReadCloser, error) { return nil, fs.ErrNotExist }}
	done, err = old.compare(files)
	done.Sums = done.same
	return done, err == nil && old.unchanged(done)
}

// unchanged tells whether nothing became of the folder, by what was compared.
func (s *surveyed) unchanged(done Replaced) bool {
	return len(done.Added)+len(done.Changed)+len(done.Removed) == 0 && s.list == s.lists.sums(done.same)
}

// inOrder puts a path in its place among others.
func inOrder(paths []string, name string) []string {
	i, _ := slices.BinarySearch(paths, name)
	return slices.Insert(paths, i, name)
}

// stand is where a folder stands and the names beside it that Replace uses.
type stand struct {
	own         Owned
	sys         system
	parent, dir string
	next        string // the new folder while it is written; after an exchange the old one
	last        string // the old folder between two renames
}

func newStand(dir string, own Owned, sys system) (stand, error) {
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
		return stand{}, fmt.Errorf("%s has no folder above it", abs)
	}
	info, err := os.Stat(parent)
	if err != nil {
		return stand{}, fmt.Errorf("the folder above cannot be used: %w", err)
	}
	if !info.IsDir() {
		return stand{}, fmt.Errorf("%s is no folder", parent)
	}
	beside := filepath.Join(parent, "."+base+".voltwright")
	return stand{own: own, sys: sys, parent: filepath.Clean(parent), dir: abs, next: beside + "-next", last: beside + "-last"}, nil
}

// recover mends what a killed Replace left: an old folder that was moved away and not replaced, and a half new one.
func (p stand) recover() error {
	if _, err := os.Lstat(p.dir); errors.Is(err, fs.ErrNotExist) {
		if err := os.Rename(p.last, p.dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return errors.Join(p.retire(p.next, nil), p.retire(p.last, nil))
}

// fill makes the new folder: a list of names first, so that a kill leaves nothing that is not known; then the files, of
// which those that did not change are the old ones; then what is foreign; then the list with sums.
func (p stand) fill(old *surveyed, same map[string]string, files Files, written map[string]fs.FileInfo) (sums map[string]string, err error) {
	if err := os.Mkdir(p.next, 0o755); err != nil {
		return nil, err
	}
	listName := filepath.Join(p.next, p.own.List)
	if err := WriteFile(listName, strings.NewReader(p.own.names(files.Paths))); err != nil {
		return nil, err
	}
	if err := SyncFolder(p.next); err != nil {
		return nil, err
	}
	made, sums := folders{root: p.next, from: old, has: map[string]bool{}}, map[string]string{}
	for _, name := range files.Paths {
		if err := made.make(path.Dir(name)); err != nil {
			return nil, err
		}
		if sums[name], err = p.put(old, same[name], name, files.Open, written); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if files.Done != nil {
			files.Done(1)
		}
	}
	if err := p.carry(old, &made); err != nil {
		return nil, err
	}
	full := filepath.Join(p.next, p.own.List+".whole")
	if err := WriteFile(full, strings.NewReader(p.own.sums(sums))); err != nil {
		return nil, err
	}
	if err := os.Rename(full, listName); err != nil {
		return nil, err
	}
	return sums, made.finish()
}

// put writes one file to the new folder and gives its sum. One that is the same as the old one, which same is the sum of
// then, is the old one, or where it cannot be linked a copy that bears its time.
func (p stand) put(old *surveyed, same, name string, open func(string) (io.ReadCloser, error), written map[string]fs.FileInfo) (sum string, err error) {
	target := filepath.Join(p.next, filepath.FromSlash(name))
	if same != "" && p.sys.link(filepath.Join(p.dir, filepath.FromSlash(name)), target) == nil {
		written[name] = old.own[name].info
		return same, nil
	}
	f, err := os.OpenFile(target, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return "", err
	}
	sum, err = sumOf(open, name, f)
	if info, err := f.Stat(); err == nil {
		written[name] = info
	}
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil || sum != same {
		return sum, err
	}
	delete(written, name)
	was := old.own[name].info.ModTime()
	return sum, os.Chtimes(target, was, was)
}

// remember has the checksums of files remembered that are as they were written, now that they stand in their place.
func (p stand) remember(written map[string]fs.FileInfo, sums map[string]string, known Remembered) {
	if known == nil {
		return
	}
	known.Again()
	for name, was := range written {
		now, err := os.Lstat(filepath.Join(p.dir, filepath.FromSlash(name)))
		if err == nil && os.SameFile(was, now) && was.Size() == now.Size() && was.ModTime().Equal(now.ModTime()) {
			note(known, name, now, sums[name])
		}
	}
}

// carry links what is foreign into the new folder. Where a file system has no links, or does not let this user make one,
// the file is moved when the new folder has taken the old one's place.
func (p stand) carry(old *surveyed, made *folders) error {
	for _, name := range old.foreignFolders {
		if err := made.make(name); err != nil {
			return err
		}
	}
	for _, name := range old.foreign {
		err := p.sys.link(filepath.Join(p.dir, filepath.FromSlash(name)), filepath.Join(p.next, filepath.FromSlash(name)))
		switch {
		case errors.Is(err, fs.ErrExist): // names that this file system takes for one
			return fmt.Errorf("%s %w: %s; move it away, or name another folder", p.dir, ErrForeign, name)
		case crossesFileSystem(err):
			return fmt.Errorf("%s lies on another file system than the rest of %s, which so cannot be replaced: %w", name, p.dir, err)
		}
	}
	return nil
}

// swap puts the new folder in the old one's place and clears the old one away.
func (p stand) swap(old *surveyed) error {
	_, err := os.Lstat(p.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.Rename(p.next, p.dir); err != nil {
			return err
		}
		return SyncFolder(p.parent)
	case err != nil:
		return err
	}
	exchanged, err := p.sys.exchange(p.next, p.dir)
	if err != nil {
		return errors.Join(fmt.Errorf("the new folder could not take the place of the old one: %w", err), p.retire(p.next, nil))
	}
	if !exchanged {
		if err := os.Rename(p.dir, p.last); err != nil {
			return errors.Join(err, p.retire(p.next, nil))
		}
		if err := os.Rename(p.next, p.dir); err != nil {
			return errors.Join(err, os.Rename(p.last, p.dir))
		}
	}
	if err := SyncFolder(p.parent); err != nil {
		return err
	}
	if exchanged {
		return p.retire(p.next, old)
	}
	return p.retire(p.last, old)
}

// folders makes the folders of a new tree, each with the rights of the old one, and syncs them at the end.
type folders struct {
	root string
	from *surveyed
	made []string
	has  map[string]bool
}

func (f *folders) make(name string) error {
	if name == "." || f.has[name] {
		return nil
	}
	if err := f.make(path.Dir(name)); err != nil {
		return err
	}
	if err := os.Mkdir(filepath.Join(f.root, filepath.FromSlash(name)), 0o755); err != nil {
		return err
	}
	f.made = append(f.made, name)
	f.has[name] = true
	return nil
}

// finish gives every folder the rights and, where nothing of ours is in it, the time of the old one; the innermost first.
func (f *folders) finish() error {
	foreign := map[string]bool{}
	for _, name := range f.from.foreignFolders {
		foreign[name] = true
	}
	for _, name := range slices.Backward(append([]string{"."}, f.made...)) {
		target := filepath.Join(f.root, filepath.FromSlash(name))
		if err := SyncFolder(target); err != nil {
			return err
		}
		info, ok := f.from.folders[name]
		if !ok {
			continue
		}
		if err := os.Chmod(target, info.Mode().Perm()); err != nil {
			return err
		}
		if foreign[name] {
			if err := os.Chtimes(target, info.ModTime(), info.ModTime()); err != nil {
				return err
			}
		}
	}
	return nil
}
