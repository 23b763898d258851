package question

import (
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/safety"
	"voltwright/internal/site/frame"
)

// figureTopics are what a figure of a run is about. What is not here, such as a time or a charge, is about what the run was made for.
var figureTopics = map[string][]safety.Topic{
	"running-time":   {safety.Running, safety.Cutting},
	"cutout-voltage": {safety.Cutting}, "rebound-peak": {safety.Cutting}, "reset-margin": {safety.Cutting}, "lowest-voltage": {safety.Cutting},
	"temperature-rise": {safety.Running}, "charge-in": {safety.Charging},
	"top-speed": {safety.Driving}, "mean-speed": {safety.Driving}, "distance": {safety.Driving, safety.Running}, "energy-per-distance": {safety.Driving, safety.Running},
}

// runTopics are what a type of run is made for.
var runTopics = map[journal.RunType][]safety.Topic{
	journal.Field: {safety.Running}, journal.Bench: {safety.Running, safety.Cutting}, journal.Charge: {safety.Charging}, journal.Rest: {safety.Standing},
}

// valueTopics are what a value of a spec or of what is computed is about, by the first word of its name.
var valueTopics = map[string][]safety.Topic{
	"run-time": {safety.Running, safety.Cutting}, "charge-time": {safety.Charging}, "charger": {safety.Charging}, "packs": {safety.Running, safety.Charging},
	"cutout": {safety.Cutting}, "drive": {safety.Driving}, "motors": {safety.Driving}, "controller": {safety.Driving}, "masses": {safety.Driving},
	"wiring": {safety.Wired}, "use": {safety.Riding},
}

// topicsOf is what a question's answer is about, by the figures that it asks for, what is predicted for it, how it is to be
// measured and the values that its text states; nil where none of them says it.
func topicsOf(n *journal.NotePage) []safety.Topic {
	var out []safety.Topic
	add := func(topics []safety.Topic) {
		for _, t := range topics {
			if !slices.Contains(out, t) {
				out = append(out, t)
			}
		}
	}
	figure := func(name string, runs ...*journal.Run) {
		if topics, ok := figureTopics[name]; ok {
			add(topics)
			return
		}
		for _, r := range runs {
			add(runTopics[r.Type.Value])
		}
	}
	q := n.Question
	for _, w := range q.Figures {
		figure(w.Text, q.Runs...)
	}
	if q.Predicted.Version != nil {
		add(valueTopics[firstWord(q.Predicted.Name, "/")])
	}
	if q.Trial != nil && len(q.Figures) == 0 {
		add(runTopics[q.Trial.Type.Value])
	}
	if d := n.Document(); d != nil {
		for _, e := range d.Embeds {
			if e.Scheme != notes.ValueScheme || e.TakenBack {
				continue
			}
			for name := range strings.SplitSeq(e.Target, "/") {
				if slices.Contains(runlog.FigureNames(), name) {
					if len(q.Figures) == 0 {
						figure(name, q.Runs...)
					}
					continue
				}
				add(valueTopics[firstWord(name, ".")])
			}
		}
	}
	if len(out) > 0 {
		out = append(out, safety.Method)
	}
	return out
}

func firstWord(name, end string) string {
	word, _, _ := strings.Cut(name, end)
	return word
}

// bearing parts a question's callouts: those of versions that others follow come last on the page; of the others that are not
// grave and stand on another page, those that bear on the answer have a line of their own.
func bearing(n *journal.NotePage, all frame.Callouts) (here, past frame.Callouts) {
	topics := topicsOf(n)
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
