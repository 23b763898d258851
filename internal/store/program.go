package store

import (
	"crypto/sha256"
	"debug/elf"
	"os"
	"regexp"
	"sync"
)

// program is a fingerprint of the running program: under `go run` a version does not change when a formula does.
var program = sync.OnceValues(func() (sum [32]byte, err error) {
	name, err := os.Executable()
	if err != nil {
		return sum, err
	}
	if id := buildID(name); id != "" {
		return sha256.Sum256([]byte(id)), nil
	}
	return sumOf(name)
})

// buildID is what the linker wrote into an executable of Linux or a BSD to tell it from all others: a checksum of all that went into it and
// one of what came of that. "" where it has none, or another form.
func buildID(name string) string {
	const section, head, owner = ".note.go.buildid", 12, "Go\x00\x00" // a note: three lengths of four bytes, its owner, its text
	f, err := elf.Open(name)
	if err != nil {
		return ""
	}
	defer f.Close() // it was only read
	s := f.Section(section)
	if s == nil || s.Size > 4096 {
		return ""
	}
	note, err := s.Data()
	if err != nil || len(note) < head+len(owner) || string(note[head:head+len(owner)]) != owner {
		return ""
	}
	size := int(f.ByteOrder.Uint32(note[4:]))
	text := note[head+len(owner):]
	if size < 0 || size > len(text) || !linkers.Match(text[:size]) {
		return "" // somebody had another one written, which may be the same for two programs
	}
	return string(text[:size])
}

// linkers is how the linker of Go spells it: what went into the program and into its main package, what came of these.
var linkers = regexp.MustCompile(`^[\w-]{20}(/[\w-]{20}){3}$`)
