//go:build !unix || solaris || aix

package site

// lock does nothing: a folder cannot be locked here.
func lock(dir string) (unlock func() error, err error) { return func() error { return nil }, nil }

// syncFolder does nothing: a folder cannot be opened to be synced here.
func syncFolder(dir string) error { return nil }
