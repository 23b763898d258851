//go:build unix && !linux

package app

// maxrssUnit is in what the system counts the memory of a process (getrusage(2)).
const maxrssUnit = 1
