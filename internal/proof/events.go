package proof

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/fsnotify/fsnotify"
)

// Listener is told by the system that files may have changed.
type Listener interface {
	// News has a value when something may have changed since the last was taken, and at first. It is closed when nothing more
	// is told.
	News() <-chan struct{}
	Close() error
}

// Listen asks the system to tell of every change in a folder and the folders in it, those that are made later among them. As in
// Fingerprint, names that begin with a dot are left alone. The error says that the system does not tell, or not of so many
// folders. What it cannot tell of are files that others change on a shared disc, and what a link leads to elsewhere: whoever
// listens has to look as well, if more seldom.
func Listen(folder string) (Listener, error) {
	folder, err := filepath.EvalSymlinks(folder)
	if err != nil {
		return nil, err
	}
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, err
	}
	l := &listener{watcher: w, folder: folder, news: make(chan struct{}, 1)}
	if err := l.add(l.folder); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	l.tell()
	go l.run()
	return l, nil
}

type listener struct {
	watcher *fsnotify.Watcher
	folder  string
	news    chan struct{}
	once    sync.Once
	err     error
}

func (l *listener) News() <-chan struct{} { return l.news }

func (l *listener) Close() error {
	l.once.Do(func() { l.err = l.watcher.Close() })
	return l.err
}

// add asks for a folder and all in it. A folder is asked for before it is read, so that of what is put in it meanwhile one is
// read or the other told of; one that is gone again is none.
func (l *listener) add(folder string) error {
	return filepath.WalkDir(folder, func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil && errors.Is(err, fs.ErrNotExist) && name != l.folder:
			return nil
		case err != nil:
			return err
		case !entry.IsDir():
			return nil
		case hidden(name) && name != l.folder:
			return fs.SkipDir
		}
		if err := l.watcher.Add(name); err != nil && !(errors.Is(err, fs.ErrNotExist) && name != l.folder) {
			return err
		}
		return nil
	})
}

func hidden(name string) bool { return strings.HasPrefix(filepath.Base(name), ".") }

// run hands on what the system tells, until it tells no more or the folder itself is another.
func (l *listener) run() {
	defer close(l.news)
	defer l.Close()
	for {
		select {
		case e, open := <-l.watcher.Events:
			if !open {
				return
			}
			if e.Name == l.folder && e.Has(fsnotify.Remove|fsnotify.Rename) {
				return
			}
			if hidden(e.Name) && e.Name != l.folder {
				continue
			}
			if e.Has(fsnotify.Create) {
				if info, err := os.Lstat(e.Name); err == nil && info.IsDir() && l.add(e.Name) != nil {
					return
				}
			}
		case err, open := <-l.watcher.Errors:
			if !open || !errors.Is(err, fsnotify.ErrEventOverflow) || l.add(l.folder) != nil { // folders may be among what was lost
				return
			}
		}
		l.tell()
	}
}

func (l *listener) tell() {
	select {
	case l.news <- struct{}{}:
	default: // it is known already
	}
}
