package proof

import (
	"context"
	"time"
)

// rhythm is how long a journal has to be left alone before a print of it is set. An editor writes a file in several steps
// within some milliseconds; what is copied or logged into the journal goes on for longer.
type rhythm struct {
	stillness time.Duration // after a change that comes by itself
	breather  time.Duration // of the prints within this time
	hasty     int           // so many may follow so fast on each other; more wait as long as a look does
}

var usualRhythm = rhythm{stillness: 25 * time.Millisecond, breather: 2 * time.Second, hasty: 2}

// seldom is how many times as long it is from one look to the next while the system tells of changes: it cannot tell of all.
const seldom = 4

// watching is a server that waits for changes. Where the system tells of them a print is set when it has told of nothing more
// for a moment. It looks for itself as well, and then two looks one after the other have to find the same new state: a file
// that is being written changes between them. A change that was found by looking, and never told of, is one of those that the
// system does not see: from then on the journal is looked at as often as if nothing told.
type watching struct {
	*Server
	set   string // the state that was set
	last  string // the state that was seen last
	ear   Listener
	deaf  bool // what the system tells is not all
	hurry int  // prints within the last breather
}

// attend listens before it looks, so that no change falls between the two.
func (d *Server) attend() *watching {
	if d.rhythm == (rhythm{}) {
		d.rhythm = usualRhythm
	}
	w := &watching{Server: d}
	w.listen()
	w.set = d.Looks()
	w.last = w.set
	return w
}

// watch sets a print whenever the journal has changed, until the context ends.
func (w *watching) watch(ctx context.Context) {
	defer w.deafen()
	look, rest := time.NewTicker(w.pause()), time.NewTicker(w.rhythm.breather)
	defer look.Stop()
	defer rest.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-rest.C:
			w.hurry = 0
			continue
		case _, open := <-w.news():
			if w.told(ctx, open) {
				rest.Reset(w.rhythm.breather)
			}
		case <-look.C:
			select {
			case _, open := <-w.news(): // what came together with the look goes before it
				w.told(ctx, open)
			default:
				w.look()
			}
		}
		look.Reset(w.pause())
	}
}

// pause is how long it is to the next look.
func (w *watching) pause() time.Duration {
	if w.ear == nil {
		return w.Between
	}
	return seldom * w.Between
}

func (w *watching) listen() {
	if w.Listen == nil || w.deaf {
		return
	}
	if ear, err := w.Listen(); err == nil {
		w.ear = ear
	}
}

func (w *watching) deafen() {
	if w.ear != nil {
		_ = w.ear.Close() // nothing more is wanted of it
		w.ear = nil
	}
}

// news is nil, which never tells, where the system does not.
func (w *watching) news() <-chan struct{} {
	if w.ear == nil {
		return nil
	}
	return w.ear.News()
}

// told waits for the end of a change that was told of, and sets a print if it is one.
func (w *watching) told(ctx context.Context, open bool) (pulled bool) {
	for open {
		quiet := w.rhythm.stillness
		if w.hurry >= w.rhythm.hasty {
			quiet = w.Between
		}
		select {
		case <-ctx.Done():
			return false
		case _, open = <-w.news():
			continue
		case <-time.After(quiet):
		}
		now := w.Looks()
		w.last = now
		if now == w.set {
			return false
		}
		w.hurry++
		w.pull(now)
		return true
	}
	w.deafen() // the folder is another, or the system has given up: it is asked again when the next state is set
	return false
}

// look sets a print if two looks have found the same new state.
func (w *watching) look() {
	now := w.Looks()
	if now != w.set && now == w.last {
		if w.ear != nil {
			w.deaf = true
			w.deafen()
		} else {
			w.listen()
		}
		w.pull(now)
	}
	w.last = now
}

func (w *watching) pull(now string) {
	w.set = now
	w.Server.pull()
}
