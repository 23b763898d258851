// Package store keeps the results of steps of computing between runs of the program, in the user's cache folder.
//
// What is kept stands under the [Key] of everything that it was made from: the input of the step and the program itself, so
// that it is never stale. The folder may be deleted at any moment. An entry that is damaged, and a folder that cannot be
// read or written, cost time and nothing else. Entries that were not used for some days are removed.
//
// The folder is that of github.com/rogpeppe/go-internal/cache: entries are found by a checksum, written in their place with the
// last byte last, and held against length and checksum when they are read: one of which the writing was cut off is not found.
package store

import (
	"bytes"
	"encoding/gob"
	"os"
	"path/filepath"
	"reflect"

	"github.com/rogpeppe/go-internal/cache"
)

// Store is an open store. A nil *Store keeps nothing. It may be used by several goroutines and programs at once.
type Store struct {
	cache *cache.Cache
}

// Open opens the store in a folder, which is made where it is missing, and removes what has not been used there for some days. An
// error says that nothing can be kept there.
func Open(dir string) (*Store, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	c, err := cache.Open(dir)
	if err != nil {
		return nil, err
	}
	_ = c.Trim() // it looks once a day; what could not be removed is removed another time
	return &Store{cache: c}, nil
}

// Default is the store in the user's cache folder; nil where there is none, which is no fault.
func Default() *Store {
	dir, err := os.UserCacheDir()
	if err != nil {
		return nil
	}
	s, err := Open(filepath.Join(dir, "voltwright"))
	if err != nil {
		return nil
	}
	return s
}

// Get fills the value that into points to with what was kept under the key. False: nothing was, or it is damaged; what into
// points to may have changed then.
func (s *Store) Get(k Key, into any) bool {
	if s == nil || !k.sure {
		return false
	}
	data, _, err := s.cache.GetBytes(cache.ActionID(k.sum))
	return err == nil && gob.NewDecoder(bytes.NewReader(data)).Decode(into) == nil
}

// Put keeps a value, or what it points to, under the key; nothing where that is nil, for which the form has no word. That it could
// not be kept is no fault.
func (s *Store) Put(k Key, value any) {
	if s == nil || !k.sure {
		return
	}
	for v := reflect.ValueOf(value); v.Kind() == reflect.Pointer; v = v.Elem() {
		if v.IsNil() {
			return
		}
	}
	var b bytes.Buffer
	if gob.NewEncoder(&b).Encode(value) == nil {
		_ = s.cache.PutBytes(cache.ActionID(k.sum), b.Bytes())
	}
}

// PutBytes keeps bytes under the key.
func (s *Store) PutBytes(k Key, data []byte) {
	if s != nil && k.sure {
		_ = s.cache.PutBytes(cache.ActionID(k.sum), data)
	}
}

// Has tells whether bytes were kept under the key. Whether they are sound is known when they are asked for.
func (s *Store) Has(k Key) bool {
	if s == nil || !k.sure {
		return false
	}
	_, _, err := s.cache.GetFile(cache.ActionID(k.sum))
	return err == nil
}

// Bytes are those that were kept under the key; false: none were, or they are damaged.
func (s *Store) Bytes(k Key) ([]byte, bool) {
	if s == nil || !k.sure {
		return nil, false
	}
	data, _, err := s.cache.GetBytes(cache.ActionID(k.sum))
	return data, err == nil
}
