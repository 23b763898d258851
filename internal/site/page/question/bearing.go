package question

import (
	"voltwright/internal/journal"
	"voltwright/internal/safety"
	"voltwright/internal/site/frame"
)

// bearing parts a question's callouts: those of versions that others follow come last on the page; of the others that are not
// grave and stand on another page, those that bear on the answer have a line of their own.
func bearing(n *journal.NotePage, all frame.Callouts) (here, past frame.Callouts) {
	topics := safety.TopicsOf(n)
	for _, c := range all {
		if c.Past {
			past = append(past, c)
			continue
		}
		if safety.BearsOn(c.Rule, topics) {
			c.Bearing = frame.Bears
		} else {
			c.Bearing = frame.Aside
		}
		here = append(here, c)
	}
	return here, past
}
