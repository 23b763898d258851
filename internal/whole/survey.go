package whole

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// surveyed is what stands in a folder before it is replaced. Paths are separated by slashes and start at the folder.
type surveyed struct {
	dir            string
	lists          Owned
	known          bool                   // it was written before: there is a list
	list           string                 // what that list says
	own            map[string]ownFile     // files that this program wrote and nobody changed
	foreign        []string               // all other files, in order
	foreignFolders []string               // folders that hold something foreign, or nothing, in order
	folders        map[string]fs.FileInfo // all folders, with the surveyed one as "."
}

type ownFile struct {
	sum  string
	info fs.FileInfo
}

// survey tells what of a folder is this program's own. A file of its list whose bytes are others now is foreign: somebody
// changed it. Under a list of former times, which named nothing, a file that is to be written again is its own.
func survey(dir string, own Owned, paths []string, known Remembered) (*surveyed, error) {
	s := &surveyed{dir: dir, lists: own, own: map[string]ownFile{}, folders: map[string]fs.FileInfo{}}
	info, err := os.Lstat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s is a file, not a folder", dir)
	}
	l, err := own.read(dir)
	if err != nil {
		return nil, err
	}
	s.known, s.list = l.found, l.text
	mine := func(name string) (sum string, ok bool) { sum, ok = l.sums[name]; return sum, ok && l.whole }
	if l.listless {
		again := map[string]bool{}
		for _, name := range paths {
			again[name] = true
		}
		mine = func(name string) (string, bool) { return "", again[name] }
	}
	holds := map[string]bool{} // folders that hold a file of its own at any depth
	err = filepath.WalkDir(dir, func(at string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, at)
		if err != nil {
			return err
		}
		name := filepath.ToSlash(rel)
		info, err := d.Info()
		if err != nil {
			return err
		}
		if d.IsDir() {
			s.folders[name] = info
			return nil
		}
		if name == own.List && l.ours() {
			return nil
		}
		want, listed := mine(name)
		if listed && info.Mode().IsRegular() {
			sum, err := sumOfFile(at, name, info, known)
			if err != nil {
				return err
			}
			if want == "" || sum == want {
				s.own[name] = ownFile{sum, info}
				for f := path.Dir(name); f != "." && !holds[f]; f = path.Dir(f) {
					holds[f] = true
				}
				return nil
			}
		}
		s.foreign = append(s.foreign, name)
		return nil
	})
	if err != nil {
		return nil, err
	}
	needed := map[string]bool{}
	for _, name := range s.foreign {
		for f := path.Dir(name); f != "." && !needed[f]; f = path.Dir(f) {
			needed[f] = true
		}
	}
	for name := range s.folders {
		if name != "." && (needed[name] || !holds[name]) {
			s.foreignFolders = append(s.foreignFolders, name)
		}
	}
	slices.Sort(s.foreign)
	slices.Sort(s.foreignFolders)
	return s, nil
}

// free says whether the files can be written without a foreign one in the way. A folder that was never written to may hold
// hidden files alone, such as a history of versions: among somebody's papers a mistyped name would scatter ours.
func (s *surveyed) free(paths []string) error {
	if !s.known {
		var seen []string
		for _, name := range append(slices.Clone(s.foreignFolders), s.foreign...) {
			if top, _, _ := strings.Cut(name, "/"); !strings.HasPrefix(top, ".") && !slices.Contains(seen, top) {
				seen = append(seen, top)
			}
		}
		if len(seen) > 0 {
			return fmt.Errorf("%s is not empty and %w: %s; name another folder, or empty this one", s.dir, ErrForeign, some(seen))
		}
	}
	foreign := map[string]bool{}
	for _, name := range s.foreign {
		foreign[name] = true
	}
	folder := map[string]bool{}
	for _, name := range s.foreignFolders {
		folder[name] = true
	}
	var taken []string
	for _, name := range paths {
		switch {
		case foreign[name]:
			taken = append(taken, name)
		case folder[name]:
			taken = append(taken, name+"/")
		default:
			for f := path.Dir(name); f != "."; f = path.Dir(f) {
				if foreign[f] && !slices.Contains(taken, f) {
					taken = append(taken, f)
				}
			}
		}
	}
	if len(taken) == 0 {
		return nil
	}
	return fmt.Errorf("%s %w, or what was changed since, under names that it would write: %s; move them away, or name another folder", s.dir, ErrForeign, some(taken))
}

// compare holds the files that are to be written against those that stand there.
func (s *surveyed) compare(files Files) (Replaced, error) {
	done, next := Replaced{Foreign: s.foreign, same: map[string]string{}}, map[string]bool{}
	for _, name := range files.Paths {
		next[name] = true
		before, there := s.own[name]
		if !there {
			done.Added = append(done.Added, name)
			continue
		}
		sum, err := files.sum(name)
		if err != nil {
			return done, fmt.Errorf("%s: %w", name, err)
		}
		if sum != before.sum {
			done.Changed = append(done.Changed, name)
			continue
		}
		done.same[name] = sum
	}
	for name := range s.own {
		if !next[name] {
			done.Removed = append(done.Removed, name)
		}
	}
	done.Same = len(done.same)
	slices.Sort(done.Added)
	slices.Sort(done.Changed)
	slices.Sort(done.Removed)
	return done, nil
}

// some lists the first few names and says how many more there are.
func some(names []string) string {
	const shown = 5
	if len(names) <= shown {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:shown], ", "), len(names)-shown)
}

// link gives a file, or a symbolic link as such, a second name.
func link(from, to string) error {
	info, err := os.Lstat(from)
	if err != nil {
		return err
	}
	if info.Mode()&fs.ModeSymlink != 0 {
		if runtime.GOOS == "linux" && os.Link(from, to) == nil { // others give the file that it leads to another name
			return nil
		}
		target, err := os.Readlink(from)
		if err != nil {
			return err
		}
		return os.Symlink(target, to)
	}
	return os.Link(from, to)
}

// twins tells whether two names stand for the same file, or for symbolic links to the same place.
func twins(a, b string) bool {
	x, errA := os.Lstat(a)
	y, errB := os.Lstat(b)
	if errA != nil || errB != nil {
		return false
	}
	if x.Mode()&fs.ModeSymlink != 0 && y.Mode()&fs.ModeSymlink != 0 {
		to, errA := os.Readlink(a)
		as, errB := os.Readlink(b)
		return errA == nil && errB == nil && to == as
	}
	return os.SameFile(x, y)
}

// sumOfFile is the SHA-256, in hexadecimal digits, of the file that stands at a place, of which the system says this.
func sumOfFile(at, name string, info fs.FileInfo, known Remembered) (string, error) {
	if known != nil {
		if sum, ok := known.Sum(name, info); ok {
			return hex.EncodeToString(sum[:]), nil
		}
	}
	sum, err := sumOf(func(string) (io.ReadCloser, error) { return os.Open(at) }, name, io.Discard)
	if known != nil && err == nil {
		note(known, name, info, sum)
	}
	return sum, err
}

// sumOf copies a file and gives the SHA-256 of what was copied, in hexadecimal digits.
func sumOf(open func(string) (io.ReadCloser, error), name string, to io.Writer) (string, error) {
	r, err := open(name)
	if err != nil {
		return "", err
	}
	h := sha256.New()
	_, err = io.Copy(io.MultiWriter(to, h), r)
	return hex.EncodeToString(h.Sum(nil)), errors.Join(err, r.Close())
}
