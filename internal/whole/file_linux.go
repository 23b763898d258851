package whole

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"golang.org/x/sys/unix"
)

// fileAtOnce writes a new file that has no name until it is whole (open(2), O_TMPFILE), so that a kill leaves nothing. False: this
// file system cannot.
func fileAtOnce(name string, text []byte) (done bool, err error) {
	fd, err := unix.Open(filepath.Dir(name), unix.O_TMPFILE|unix.O_WRONLY|unix.O_CLOEXEC, 0o644)
	if err != nil {
		return false, nil
	}
	f := os.NewFile(uintptr(fd), name)
	_, err = f.Write(text)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync()); err == nil {
		err = unix.Linkat(unix.AT_FDCWD, fmt.Sprintf("/proc/self/fd/%d", fd), unix.AT_FDCWD, name, unix.AT_SYMLINK_FOLLOW)
		if errors.Is(err, unix.ENOENT) { // without /proc
			return false, f.Close()
		}
	}
	return true, errors.Join(err, f.Close())
}
