// Package chosen says, within a test binary that holds changed code, which change is switched on. Only code that package
// mutants has changed imports it, and that code is never kept.
package chosen

import (
	"bytes"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"sync"
)

// The variables of the environment that a test binary is asked by.
const (
	NumberVariable = "VOLTWRIGHT_MUTANT"       // the number of the change that is switched on; none: the code as it is
	DataVariable   = "VOLTWRIGHT_MUTANT_DATA"  // NAME=FILE: what is read instead of an embedded file
	ReachVariable  = "VOLTWRIGHT_MUTANT_REACH" // the file that takes down what was come by
)

// Number is the change that is switched on; 0: none.
var Number, _ = strconv.Atoi(os.Getenv(NumberVariable))

var (
	file      = os.Getenv(ReachVariable)
	recording = file != ""
	mu        sync.Mutex
	seen      = map[string]bool{}
)

// On says whether a change is switched on, where the change would be.
func On(k int) bool {
	if recording {
		note(strconv.Itoa(k))
	}
	return Number == k
}

func note(what string) {
	mu.Lock()
	defer mu.Unlock()
	if seen[what] {
		return
	}
	seen[what] = true
	if file == "" {
		return
	}
	f, err := os.OpenFile(file, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		panic(err) // a record with holes would call a mutant unreached
	}
	defer f.Close()
	if _, err := f.WriteString(what + "\n"); err != nil {
		panic(err)
	}
}

// Record begins to take down which changes are come by.
func Record() { recording, seen = true, map[string]bool{} }

// Recorded ends it and gives them.
func Recorded() map[int]bool {
	recording = false
	out := map[int]bool{}
	for what := range seen {
		if k, err := strconv.Atoi(what); err == nil {
			out[k] = true
		}
	}
	return out
}

// Files are the embedded files of a package, with the changed one in place where that is switched on.
func Files(under string, files fs.FS) fs.FS { return changed{files, under} }

type changed struct {
	fs.FS
	under string
}

func (c changed) Open(name string) (fs.File, error) {
	if recording {
		note(c.under + name)
	}
	f, err := c.FS.Open(name)
	if instead, ok := strings.CutPrefix(os.Getenv(DataVariable), c.under+name+"="); ok && err == nil {
		text, err := os.ReadFile(instead)
		return &open{f, bytes.NewReader(text)}, err
	}
	return f, err
}

type open struct {
	fs.File
	text *bytes.Reader
}

func (o *open) Read(p []byte) (int, error) { return o.text.Read(p) }
