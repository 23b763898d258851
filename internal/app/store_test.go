package app

import (
	"os"
	"testing"
)

// asChild makes this process the command, where a test ran its own binary for that.
var asChild = func() {}

// TestMain keeps what commands keep in a folder of this run.
func TestMain(m *testing.M) {
	asChild()
	dir, err := os.MkdirTemp("", "voltwright-store-")
	if err != nil {
		panic(err)
	}
	os.Setenv("XDG_CACHE_HOME", dir)
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// read is a journal with everything computed anew.
func read(dir string) (*inspected, error) { return readJournal(dir, means{}) }
