package whole

import (
	"errors"

	"golang.org/x/sys/unix"
)

// exchange swaps two folders in one step (renameat2 with RENAME_EXCHANGE). False: this file system cannot.
func exchange(a, b string) (bool, error) {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	if errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		return false, nil
	}
	return err == nil, err
}
