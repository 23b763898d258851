// Package progress is how long work says how far it is. Who hears it and what is shown of it is for the command to say: what
// computes knows of no terminal.
package progress

import (
	"io"
	"sync/atomic"
)

// Step is a part of the work that may take long.
type Step int

// The steps, in the order in which a command comes to them. Each says in what it is counted.
const (
	Reading   Step = iota // the notes of a journal: not counted, since nobody knows how many there are
	Measuring             // bytes of logs
	Answering             // versions whose run time is computed
	Trying                // choices of runs that teach
	Judging               // rules and sentences: not counted
	Cleaning              // logs made ready to be published
	LayingOut             // pages
	Writing               // files of a site or a bag
	Checking              // bytes of a bag
)

// Report hears how much of a step is done, and of how much: of 0 where nobody knows. It is called by several
// goroutines at once and returns at once. A nil Report hears nothing.
type Report func(step Step, done, total int64)

// Begin tells that a step begins, and gives what tells of each further part of it that is done.
func (r Report) Begin(step Step, total int64) (add func(n int64)) {
	if r == nil {
		return func(int64) {}
	}
	r(step, 0, total)
	var done atomic.Int64
	return func(n int64) {
		now := done.Add(n)
		if total > 0 { // what grows meanwhile is no more than all
			now = min(now, total)
		}
		r(step, now, total)
	}
}

// Read gives a reader of which add is told each time how many bytes were read. It is an io.Seeker where r is one.
func Read(r io.Reader, add func(n int64)) io.Reader {
	c := counted{r, add}
	if s, ok := r.(io.Seeker); ok {
		return struct {
			counted
			io.Seeker
		}{c, s}
	}
	return c
}

type counted struct {
	from io.Reader
	add  func(n int64)
}

func (c counted) Read(p []byte) (int, error) {
	n, err := c.from.Read(p)
	c.add(int64(n))
	return n, err
}
