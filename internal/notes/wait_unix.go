//go:build unix

package notes

import "syscall"

// dontWait opens a pipe without waiting for whoever writes to it.
const dontWait = syscall.O_NONBLOCK
