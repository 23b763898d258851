package value

import (
	"sync"

	"voltwright/internal/journal"
)

// mostPlaces is of how many places an index remembers the values. Sentences are read place by place and name mostly what is near;
// a place of a large journal that was let go is put together again when it is named.
const mostPlaces = 512

// kept are the places whose values were asked for last. Its zero holds none.
type kept struct {
	lock    sync.Mutex
	entries map[journal.Place]*entry
	order   []journal.Place // the oldest first
}

// entry is that of a place, which is new where it was not asked for or let go.
func (k *kept) entry(p journal.Place) *entry {
	k.lock.Lock()
	defer k.lock.Unlock()
	if e := k.entries[p]; e != nil {
		return e
	}
	if k.entries == nil {
		k.entries = map[journal.Place]*entry{}
	}
	if len(k.order) == mostPlaces {
		delete(k.entries, k.order[0])
		k.order = append(k.order[:0], k.order[1:]...)
	}
	e := &entry{}
	k.entries[p] = e
	k.order = append(k.order, p)
	return e
}
