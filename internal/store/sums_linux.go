package store

import (
	"io/fs"
	"slices"
	"syscall"
	"time"

	"golang.org/x/sys/unix"
)

// localKinds are file systems of which the times come from this machine's clock (statfs(2)). Those of a network, and those that a program
// gives, are not among them.
var localKinds = []int64{unix.EXT4_SUPER_MAGIC, unix.XFS_SUPER_MAGIC, unix.BTRFS_SUPER_MAGIC, unix.TMPFS_MAGIC, unix.F2FS_SUPER_MAGIC, unix.OVERLAYFS_SUPER_MAGIC}

// ownDevice is the device of a folder; false where it may lie on another machine.
func ownDevice(dir string) (device uint64, local bool) {
	var kind unix.Statfs_t
	var is unix.Stat_t
	if unix.Statfs(dir, &kind) != nil || unix.Stat(dir, &is) != nil {
		return 0, false
	}
	return uint64(is.Dev), slices.Contains(localKinds, int64(kind.Type))
}

func statedOf(info fs.FileInfo) (stated, bool) {
	is, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return stated{}, false
	}
	return stated{Device: uint64(is.Dev), Number: is.Ino, Size: is.Size, Changed: is.Mtim.Nano(), Restated: is.Ctim.Nano()}, true
}

// tick is the clock by which the system says when files change: no file that changes from now on gets a time before it. Nothing that the
// program makes holds it.
func tick() (nanoseconds int64, ok bool) {
	var now unix.Timespec
	err := unix.ClockGettime(unix.CLOCK_REALTIME_COARSE, &now)
	return now.Nano(), err == nil
}

// nextTick waits for the next.
func nextTick() (nanoseconds int64, ok bool) {
	begun, ok := tick()
	for range 100 {
		now, still := tick()
		if !ok || !still || now > begun {
			return now, ok && still
		}
		time.Sleep(time.Millisecond)
	}
	return 0, false
}
