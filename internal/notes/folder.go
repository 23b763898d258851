package notes

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"voltwright/internal/finding"
)

// JournalFile is the file that makes a folder a journal.
const JournalFile = "journal.yaml"

// Folder is a journal's folder. Everything is read through an [os.Root], so
// that neither `..` nor a symbolic link leads out of it.
type Folder struct {
	root  *os.Root
	files []File
	seen  map[string]fs.FileInfo // the files as Read saw them

	hearing  hearing
	withheld map[string]bool // files that are taken as not there

	state *state   // as State found it; nil: it was not asked
	sums  sync.Map // path → summed

	remembered Remembered // nil: nothing is

	mu      sync.Mutex
	changed string // the first file that was found to be another one than Read saw, or to change while it was read
	strayed bool   // something was looked for that State tells nothing of
}

// File is one file of the folder as the last Read saw it.
type File struct {
	Path string // slash-separated, inside the journal
	Size int64
}

// NoJournalError says that a folder is no journal and what to do about it.
type NoJournalError struct{ Dir string }

// Error names the folder and the way out.
func (e *NoJournalError) Error() string {
	return fmt.Sprintf("%s is no journal: it has no file %s. Go to the folder that has one, or name it: `voltwright inspect FOLDER`; to start a journal, write a %s with the lines `title: ...` and `maker: {name: ...}`.", e.Dir, JournalFile, JournalFile)
}

// Open opens a journal's folder. The error is a *[NoJournalError] if the folder
// has no journal.yaml, else what the system says of a folder it cannot open.
// Close it after use.
func Open(dir string) (*Folder, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	if _, err := root.Lstat(JournalFile); err != nil {
		root.Close()
		if errors.Is(err, fs.ErrNotExist) {
			return nil, &NoJournalError{Dir: filepath.ToSlash(dir)}
		}
		return nil, err
	}
	return &Folder{root: root}, nil
}

// Close lets the folder go. The error is the system's.
func (f *Folder) Close() error { return f.root.Close() }

// Files lists the files that Read saw, in the order of their paths. Those whose
// name or folder begins with a dot are not among them.
func (f *Folder) Files() []File {
	if len(f.withheld) == 0 {
		return f.files
	}
	return slices.DeleteFunc(slices.Clone(f.files), func(file File) bool { return f.withheld[file.Path] })
}

// Withhold has files be taken as not there, by their paths, from the next Read on; none: every file is there again.
func (f *Folder) Withhold(files []string) {
	f.withheld = map[string]bool{}
	for _, file := range files {
		f.withheld[file] = true
	}
}

// The reasons why a file of the folder cannot be used; test with errors.Is.
var (
	ErrOutside = errors.New("leads out of the journal folder")
	ErrTooBig  = errors.New("is too large")
	ErrNoFile  = errors.New("is no file")
	ErrChanged = errors.New("changed while it was read")

	errNotUTF8 = errors.New("its name is not UTF-8")
)

// Clean makes a path inside the journal from one that was written in a note:
// relative to the note's folder, with slashes. It fails with ErrOutside for an
// absolute path and for one that climbs out.
func Clean(noteFolder, written string) (string, error) {
	written = strings.ReplaceAll(written, `\`, "/")
	if path.IsAbs(written) || filepath.VolumeName(written) != "" || (len(written) > 1 && written[1] == ':') {
		return "", ErrOutside
	}
	p := path.Join(noteFolder, written)
	if !fs.ValidPath(p) {
		return "", ErrOutside
	}
	return p, nil
}

// OpenFile opens a regular file for reading. The error wraps ErrOutside,
// ErrTooBig, ErrNoFile or fs.ErrNotExist where that is the reason, and ErrChanged where the file is not
// as Read saw it; a file that changes while it is read fails with that at its end.
func (f *Folder) OpenFile(rel string) (fs.File, error) {
	if f.withheld[rel] {
		return nil, &fs.PathError{Op: "open", Path: rel, Err: fs.ErrNotExist}
	}
	if _, err := f.Stat(rel); err != nil {
		if _, was := f.seen[rel]; was { // it is gone, or no file now
			_ = f.change(rel)
		}
		return nil, err
	}
	file, err := f.root.OpenFile(filepath.FromSlash(rel), os.O_RDONLY|dontWait, 0)
	if err != nil {
		return nil, outside(err)
	}
	info, err := file.Stat() // it may be another one by now
	if err == nil && !info.Mode().IsRegular() {
		err = ErrNoFile
	}
	if was, ok := f.seen[rel]; err == nil && ok && !same(was, info) {
		err = f.change(rel)
	}
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return &steady{file: file, folder: f, rel: rel, was: info}, nil
}

// steady is a file that is looked at again at its end.
type steady struct {
	file   *os.File
	folder *Folder
	rel    string
	was    fs.FileInfo
}

func (s *steady) Close() error                                 { return s.file.Close() }
func (s *steady) Stat() (fs.FileInfo, error)                   { return s.file.Stat() }
func (s *steady) Seek(offset int64, whence int) (int64, error) { return s.file.Seek(offset, whence) }

func (s *steady) Read(p []byte) (int, error) {
	n, err := s.file.Read(p)
	if err == io.EOF {
		if now, statErr := s.file.Stat(); statErr != nil || !same(s.was, now) {
			err = errors.Join(s.folder.change(s.rel), statErr)
		}
	}
	return n, err
}

func same(a, b fs.FileInfo) bool {
	return os.SameFile(a, b) && a.Size() == b.Size() && a.ModTime().Equal(b.ModTime())
}

// change remembers that a file changed.
func (f *Folder) change(rel string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.changed == "" {
		f.changed = rel
	}
	return fmt.Errorf("%s %w", rel, ErrChanged)
}

// Changed says which file of the folder was found to be another one than Read saw, as an error; nil where none was. What was
// made of the folder is then of two states of it.
func (f *Folder) Changed() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.changed == "" {
		return nil
	}
	return fmt.Errorf("%s %w; run the command again when nothing writes to the journal", f.changed, ErrChanged)
}

// note is the text of a note, which may have grown since it was looked at.
func (f *Folder) note(rel string) ([]byte, error) {
	file, err := f.OpenFile(rel)
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(io.LimitReader(file, MaxNote+1))
	if err == nil && len(text) > MaxNote {
		err = ErrTooBig
	}
	return text, errors.Join(err, file.Close())
}

// Stat looks at a file without opening it; its errors are those of OpenFile.
func (f *Folder) Stat(rel string) (fs.FileInfo, error) {
	if f.withheld[rel] {
		return nil, &fs.PathError{Op: "stat", Path: rel, Err: fs.ErrNotExist}
	}
	info, err := f.stat(rel)
	f.asked(rel, err)
	return info, err
}

func (f *Folder) stat(rel string) (fs.FileInfo, error) {
	if !fs.ValidPath(rel) {
		return nil, ErrOutside
	}
	info, err := f.root.Stat(filepath.FromSlash(rel))
	switch {
	case err != nil:
		return nil, outside(err)
	case !info.Mode().IsRegular():
		return nil, ErrNoFile
	case info.Size() > Limit(rel):
		return nil, ErrTooBig
	}
	return info, nil
}

// outside tells the refusal of an os.Root apart from other errors; the standard
// library has no exported value for it.
func outside(err error) error {
	if strings.Contains(err.Error(), "escapes from parent") {
		return fmt.Errorf("%w: %w", ErrOutside, err)
	}
	return err
}

func isNote(rel string) bool { return path.Ext(rel) == ".md" || rel == JournalFile }

// IsPicture tells whether a file is a picture by the ending of its name.
func IsPicture(rel string) bool {
	switch strings.ToLower(path.Ext(rel)) {
	case ".jpg", ".jpeg", ".jpe", ".jfif", ".png", ".gif", ".webp", ".svg":
		return true
	}
	return false
}

// Trouble is the finding about a file that cannot be used, at the place that
// asks for it. It returns false for fs.ErrNotExist, of which only the caller
// knows what to say.
func Trouble(rel string, err error, at finding.Span) (finding.Finding, bool) {
	out := finding.Finding{Level: finding.Error, Span: at}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return out, false
	case errors.Is(err, ErrOutside):
		out.Rule, out.Text = RuleOutsideJournal, fmt.Sprintf("`%s` leads out of the journal folder", clip(rel))
		out.Remedy = "put the file itself, not a link to it, into the journal folder and name it from the note's own folder."
	case errors.Is(err, ErrTooBig):
		out.Rule, out.Text = RuleTooLarge, fmt.Sprintf("`%s` is larger than %d MiB", clip(rel), Limit(rel)>>20)
		out.Remedy = "split it, or make it smaller."
	case errors.Is(err, ErrChanged):
		out.Rule, out.Text = RuleUnreadable, fmt.Sprintf("`%s` changed while it was read", clip(rel))
		out.Remedy = "run the command again when nothing writes to the journal."
	case errors.Is(err, ErrNoFile):
		out.Rule, out.Text = RuleUnreadable, fmt.Sprintf("`%s` is no file", clip(rel))
		out.Text += ": it is a folder, a link to a folder, or a device"
		out.Remedy = "put the files themselves into the journal folder, and name one of them."
	default:
		out.Rule, out.Text = RuleUnreadable, fmt.Sprintf("`%s` cannot be read: %s", clip(rel), reason(err))
		out.Remedy = "see whether you may read the file, and whether the disk is sound."
	}
	return out, true
}

// reason is the system's word for an error without the path in it, which may
// be of this machine only.
func reason(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

// Read walks the folder and reads every Markdown note in it, and journal.yaml,
// in the order of their paths. What cannot be read is reported and, where it is
// a note, returned as Broken. Names that begin with a dot are left alone, and
// links to folders are not followed.
func (f *Folder) Read(findings *finding.List) []*Note {
	var out []*Note
	var room budget
	f.files, f.seen = nil, map[string]fs.FileInfo{}
	add := func(rel string, err error) {
		at := finding.Span{Source: finding.NewSource(rel, nil)}
		t, ok := Trouble(rel, err, at)
		if !ok {
			t.Rule, t.Text = RuleUnreadable, fmt.Sprintf("`%s` is a link that leads nowhere", rel)
			t.Remedy = "put the file itself there, or remove the link."
		}
		findings.Add(t)
		if isNote(rel) {
			out = append(out, &Note{Path: rel, Source: at.Source, Broken: true})
		}
	}
	err := f.walk(func(rel string, info fs.FileInfo, err error) {
		switch {
		case err != nil:
			add(strings.ToValidUTF8(rel, "?"), err)
			return
		case info.IsDir():
			return
		}
		f.files, f.seen[rel] = append(f.files, File{Path: rel, Size: info.Size()}), info
		if !isNote(rel) || f.withheld[rel] {
			return
		}
		if room.full != "" {
			room.left++
			return
		}
		text, err := f.note(rel)
		if err != nil {
			add(rel, err)
			return
		}
		n := ParseNote(rel, text, findings)
		n.hearing = &f.hearing
		if room.take(n); room.full != "" {
			room.at, room.left = finding.Span{Source: finding.NewSource(rel, nil)}, 1
			return
		}
		out = append(out, n)
	})
	if err != nil {
		add(".", err)
	}
	room.report(findings)
	return out
}
