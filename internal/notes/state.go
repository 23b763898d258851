package notes

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"
)

// state is a folder as it stood at one moment: what each name stood for.
type state struct {
	names map[string]bool        // of files, folders and what can be neither, by their paths
	odd   map[string]bool        // of those, what could not be used
	infos map[string]fs.FileInfo // of the files
}

// summed is the checksum of a file that was seen so.
type summed struct {
	info fs.FileInfo
	sum  [sha256.Size]byte
}

// Remembered knows checksums of the folder's files by what the system says of them now.
type Remembered interface {
	// Sum is the SHA-256 of the bytes of a file of which the system says this; false: it is not known.
	Sum(rel string, info fs.FileInfo) (sum [sha256.Size]byte, ok bool)
	// Note hears the SHA-256 of the bytes that a file held after the system said this of it.
	Note(rel string, info fs.FileInfo, sum [sha256.Size]byte)
}

// Remember has checksums be taken from what is remembered, before anything is asked for.
func (f *Folder) Remember(r Remembered) { f.remembered = r }

// State is a fingerprint of all that Read can see of the folder: of the name of everything in it that does not begin with a dot and
// of the bytes of every file. False: there is something in it that cannot be read.
func (f *Folder) State() (sum [sha256.Size]byte, ok bool) {
	s := &state{names: map[string]bool{}, odd: map[string]bool{}, infos: map[string]fs.FileInfo{}}
	var names []string
	troubles := map[string]error{}
	err := f.walk(func(rel string, info fs.FileInfo, err error) {
		s.names[rel] = true
		names = append(names, rel)
		switch {
		case err != nil:
			s.odd[rel], troubles[rel] = true, err
		case !info.IsDir():
			s.infos[rel] = info
		}
	})
	if err != nil {
		return sum, false
	}
	h := sha256.New()
	for _, rel := range names {
		said := "folder"
		if err := troubles[rel]; err != nil {
			said = err.Error()
		} else if s.infos[rel] != nil {
			of, err := f.Sum(rel)
			if err != nil {
				return sum, false
			}
			said = hex.EncodeToString(of)
		}
		fmt.Fprintf(h, "%q %q\n", rel, said)
	}
	f.state = s
	return [sha256.Size]byte(h.Sum(nil)), true
}

// walk tells of everything in the folder whose name does not begin with a dot, in the order of the paths: of a file, or of what its
// link leads to, of a folder, or of why it is neither. The error says that the folder itself could not be walked.
func (f *Folder) walk(each func(rel string, info fs.FileInfo, err error)) error {
	return fs.WalkDir(f.root.FS(), ".", func(rel string, entry fs.DirEntry, err error) error {
		if strings.HasPrefix(path.Base(rel), ".") && rel != "." {
			if entry != nil && entry.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		var info fs.FileInfo
		switch {
		case err != nil:
		case entry.IsDir():
			if info, err = entry.Info(); err != nil {
				return nil // gone meanwhile
			}
		case !utf8.ValidString(rel):
			err = errNotUTF8
		default:
			info, err = f.stat(rel)
		}
		each(rel, info, err)
		return nil
	})
}

// Sum is the SHA-256 of a file of the folder, as Read saw it. Its errors are those of OpenFile.
func (f *Folder) Sum(rel string) ([]byte, error) {
	if known, ok := f.sums.Load(rel); ok {
		known := known.(summed)
		if now, seen := f.seen[rel]; !seen || same(known.info, now) {
			return known.sum[:], nil
		}
	}
	sum, err := f.sumNow(rel)
	if err != nil {
		return nil, err
	}
	f.sums.Store(rel, sum)
	return sum.sum[:], nil
}

// sumNow is the checksum of a file as it is.
func (f *Folder) sumNow(rel string) (out summed, err error) {
	if f.remembered != nil {
		if info, err := f.Stat(rel); err == nil {
			if was, seen := f.seen[rel]; !seen || same(was, info) {
				if sum, known := f.remembered.Sum(rel, info); known {
					return summed{info, sum}, nil
				}
			}
		}
	}
	file, err := f.OpenFile(rel)
	if err != nil {
		return out, err
	}
	info, err := file.Stat()
	h := sha256.New()
	if err == nil {
		_, err = io.Copy(h, file)
	}
	if err = errors.Join(err, file.Close()); err != nil {
		return out, err
	}
	out = summed{info, [sha256.Size]byte(h.Sum(nil))}
	if f.remembered != nil {
		f.remembered.Note(rel, info, out.sum)
	}
	return out, nil
}

// asked notes that somebody looked for a file that Read did not see, and what came of it.
func (f *Folder) asked(rel string, err error) {
	s := f.state
	if s == nil {
		return
	}
	if _, listed := f.seen[rel]; listed || f.seen == nil {
		return
	}
	covered := s.names[rel] || errors.Is(err, fs.ErrNotExist) // what is there, or is missing, is told by the names
	for at := rel; covered && at != "."; at = path.Dir(at) {
		covered = !strings.HasPrefix(path.Base(at), ".") && !s.odd[at]
	}
	if !covered {
		f.mu.Lock()
		f.strayed = true
		f.mu.Unlock()
	}
}

// StateHeld tells whether State still says what was read since: every file that Read saw is the one of which the bytes were taken,
// none has changed, and nothing was looked for where State does not look, such as behind a link to a folder.
func (f *Folder) StateHeld() bool {
	if f.state == nil || f.Changed() != nil || len(f.seen) != len(f.state.infos) {
		return false
	}
	for rel, was := range f.state.infos {
		if now, there := f.seen[rel]; !there || !same(was, now) {
			return false
		}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return !f.strayed
}
