//go:build unix && !solaris && !aix

package whole

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// Lock waits until nothing else of this program writes in the folder. The system gives the lock back when the process ends, however it ends.
// The error is the system's.
func Lock(dir string) (unlock func() error, err error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	for {
		err = unix.Flock(int(f.Fd()), unix.LOCK_EX)
		if !errors.Is(err, unix.EINTR) {
			break
		}
	}
	if err != nil && !errors.Is(err, unix.ENOTSUP) && !errors.Is(err, unix.ENOSYS) {
		return nil, errors.Join(err, f.Close())
	}
	return f.Close, nil
}

// SyncFolder sees to it that the names in a folder have reached the disk. The error is the system's.
func SyncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	err = f.Sync()
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		err = nil // a file system that has no such thing
	}
	return errors.Join(err, f.Close())
}

// crossesFileSystem tells whether a link failed since its two ends lie on two file systems.
func crossesFileSystem(err error) bool { return errors.Is(err, unix.EXDEV) }
