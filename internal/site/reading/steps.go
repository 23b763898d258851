package reading

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"

	"voltwright/internal/runlog"
)

// Steps takes what a step of laying out came to from what is kept of earlier times.
type Steps interface {
	// Keep fills what out points to, by compute where nothing is kept of the step for all that it rests on, which of is. An error of
	// compute is handed on, and keeps nothing.
	Keep(step string, out any, compute func() error, of ...any) error
	// Rests is a fingerprint of all of the journal that is not prose, with the files that prose names; false: there is none.
	Rests() (sum [sha256.Size]byte, ok bool)
	// Sum is the SHA-256 of a file of the journal.
	Sum(path string) ([]byte, error)
	// Find fills what out points to with what Set kept of a step for the same of; false: nothing is kept.
	Find(step string, out any, of ...any) bool
	Set(step string, value any, of ...any)
	// Hold keeps a file by its SHA-256, Holds tells whether it is kept, and Held gives it; false: it is not kept, or damaged.
	Hold(sum [sha256.Size]byte, data []byte)
	Holds(sum [sha256.Size]byte) bool
	Held(sum [sha256.Size]byte) ([]byte, bool)
}

// Keep fills what out points to, by compute or from what is kept of the step for all that it rests on, which of is; see Steps.
func (rd *Reader) Keep(step string, out any, compute func() error, of ...any) error {
	if rd.Steps == nil {
		return compute()
	}
	return rd.Steps.Keep(step, out, compute, of...)
}

// errNotKept ends a step that is only asked for.
var errNotKept = errors.New("nothing is kept")

// writtenAnew is a log as it leaves the journal: how it is cleaned, and what is known of that from an earlier time.
type writtenAnew struct {
	steps   Steps // nil: nothing is kept
	from    string
	options runlog.Options
	places  runlog.PublishedPlaces
}

// keep keeps a step about the log with a certain content.
func (w writtenAnew) keep(step string, content []byte, out any, compute func() error) error {
	return w.steps.Keep(step, out, compute, content, w.options, w.places)
}

// whether says why the log cannot be published, "" where it can: by what was found of the same bytes before, or by asking.
func (w writtenAnew) whether(ask func() (why string, content []byte, err error)) (why string, err error) {
	if w.steps == nil {
		why, _, err = ask()
		return why, err
	}
	content, err := w.steps.Sum(w.from)
	if err != nil {
		return "", err
	}
	err = w.keep("published log", content, &why, func() error {
		said, seen, err := ask()
		if err == nil && string(seen) != string(content) {
			err = fmt.Errorf("%s changed while it was read", w.from)
		}
		why = said
		return err
	})
	return why, err
}

// sum is the checksum of the log as it is written, nil where it was never written from the bytes that it has now.
func (w writtenAnew) sum() (sum []byte) {
	if w.steps == nil {
		return nil
	}
	content, err := w.steps.Sum(w.from)
	if err != nil || w.keep("sum of a published log", content, &sum, func() error { return errNotKept }) != nil {
		return nil
	}
	return sum
}

// seen keeps the checksum of the log as it is written once it has been written to its end from bytes of which the sum is content.
func (w writtenAnew) seen(content, written []byte) {
	var sum []byte
	_ = w.keep("sum of a published log", content, &sum, func() error { sum = written; return nil }) // not to be kept is no fault
}

// summing hands on what is read and tells the sums of both sides at the end.
type summing struct {
	raw          io.Reader // seen by content as it is read
	clean        io.Reader
	content, out hash.Hash
	end          func(content, out []byte)
}

func (s *summing) Read(p []byte) (int, error) {
	n, err := s.clean.Read(p)
	s.out.Write(p[:n])
	if errors.Is(err, io.EOF) && s.end != nil {
		if _, rest := io.Copy(io.Discard, s.raw); rest == nil {
			s.end(s.content.Sum(nil), s.out.Sum(nil))
		}
		s.end = nil
	}
	return n, err
}

// clean cleans the log, and keeps what it comes to.
func (w writtenAnew) clean(r io.Reader) (io.Reader, func() []string, error) {
	if w.steps == nil {
		c, err := runlog.NewCleaned(r, w.options, w.places)
		if err != nil {
			return nil, nil, err
		}
		return c, func() []string { return c.Taken().Words() }, nil
	}
	s := &summing{content: sha256.New(), out: sha256.New(), end: w.seen}
	s.raw = io.TeeReader(r, s.content)
	c, err := runlog.NewCleaned(s.raw, w.options, w.places)
	if err != nil {
		return nil, nil, err
	}
	s.clean = c
	return s, func() []string { return c.Taken().Words() }, nil
}
