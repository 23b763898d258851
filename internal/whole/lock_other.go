//go:build !unix || solaris || aix

package whole

// Lock does nothing: a folder cannot be locked here.
func Lock(dir string) (unlock func() error, err error) { return func() error { return nil }, nil }

// SyncFolder does nothing: a folder cannot be opened to be synced here.
func SyncFolder(dir string) error { return nil }

// crossesFileSystem cannot be told here; such a file is moved, which fails and is said.
func crossesFileSystem(err error) bool { return false }
