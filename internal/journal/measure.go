package journal

import (
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

// Measure is what an instrument measures: the word of a log's channel.
type Measure string

// Options lists the words.
func (Measure) Options() []notes.Option {
	channels := runlog.Measurable()
	out := make([]notes.Option, len(channels))
	for i, c := range channels {
		out[i] = notes.Option{Name: c.String(), Meaning: c.Label()}
	}
	return out
}
