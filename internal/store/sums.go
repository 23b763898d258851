package store

import (
	"crypto/sha256"
	"io/fs"
	"maps"
	"sync"
)

// Sums remembers the checksums of the files of a folder by what the system says of each: its device and number, its size and the times at
// which its bytes, and what is said of it, changed last. The last of these nobody can set; so a file of which all are as they were holds the
// same bytes, as long as it had not changed in the very tick of the system's clock in which it was looked at, nor later. Where the system
// does not say so much, or the folder may lie on another machine with a clock of its own, nothing is remembered.
//
// It may be used by several goroutines.
type Sums struct {
	store *Store
	key   Key

	mu     sync.Mutex
	device uint64 // of the folder
	moment int64  // what changed before it, by the system's clock, has not changed since it was looked at
	was    map[string]remembered
	is     map[string]remembered
	anew   bool
}

// remembered is a file as it was, with its SHA-256.
type remembered struct {
	Said stated
	Sum  string
}

// stated is what the system says of a file; times in nanoseconds.
type stated struct {
	Device, Number    uint64
	Size              int64
	Changed, Restated int64 // its bytes; what is said of it
}

// SumsOf are the checksums of the folder at a path, which is the same whoever asks. Nil where nothing can be remembered; a nil *Sums knows none.
func (s *Store) SumsOf(dir string) *Sums {
	if s == nil {
		return nil
	}
	device, local := ownDevice(dir)
	now, ok := tick()
	if !local || !ok {
		return nil
	}
	m := &Sums{store: s, key: KeyOf("sums of files", dir), device: device, moment: now, is: map[string]remembered{}}
	if !s.Get(m.key, &m.was) {
		m.was = nil
	}
	return m
}

// Sum is the SHA-256 of a file of which the system says this now; false: it is not known.
func (m *Sums) Sum(name string, info fs.FileInfo) (sum [sha256.Size]byte, ok bool) {
	if m == nil {
		return sum, false
	}
	said, ok := statedOf(info)
	if !ok || said.Device != m.device {
		return sum, false
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	known, ok := m.was[name]
	if !ok || known.Said != said || len(known.Sum) != len(sum) {
		return sum, false
	}
	m.is[name] = known
	return [sha256.Size]byte([]byte(known.Sum)), true
}

// Note remembers the SHA-256 of the bytes that a file held after the system said this of it.
func (m *Sums) Note(name string, info fs.FileInfo, sum [sha256.Size]byte) {
	if m == nil {
		return
	}
	said, ok := statedOf(info)
	m.mu.Lock()
	defer m.mu.Unlock()
	if !ok || said.Device != m.device || !before(said.Restated, m.moment) {
		return
	}
	m.is[name] = remembered{said, string(sum[:])}
	m.anew = true
}

// before tells whether a time at which a file changed lies before a moment. A file system that counts in whole seconds, or in two, cuts off.
func before(changed, moment int64) bool {
	const second = 1_000_000_000
	if changed%second == 0 {
		changed += 2 * second
	}
	return changed < moment
}

// Again waits until the system's clock has gone on, some milliseconds: files that have changed until now can be noted then.
func (m *Sums) Again() {
	if m == nil {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if now, ok := nextTick(); ok {
		m.moment = now
	}
}

// Keep keeps what was noted, with what was known. Files that are there no more are forgotten when they are many.
func (m *Sums) Keep() {
	if m == nil {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if !m.anew {
		return
	}
	all := m.is
	if len(m.was) < 2*len(m.is)+1000 {
		all = maps.Clone(m.was)
		if all == nil {
			all = map[string]remembered{}
		}
		maps.Copy(all, m.is)
	}
	m.store.Put(m.key, all)
	m.was, m.anew = all, false
}
