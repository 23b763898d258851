package safety

import (
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

// figureTopics are what a figure of a run is about. What is not here, such as a time or a charge, is about what the run was made for.
var figureTopics = map[string][]Topic{
	"running-time":   {Running, Cutting},
	"cutout-voltage": {Cutting}, "rebound-peak": {Cutting}, "reset-margin": {Cutting}, "lowest-voltage": {Cutting},
	"temperature-rise": {Running}, "charge-in": {Charging},
	"top-speed": {Driving}, "mean-speed": {Driving}, "distance": {Driving, Running}, "energy-per-distance": {Driving, Running},
}

// runTopics are what a type of run is made for.
var runTopics = map[journal.RunType][]Topic{
	journal.Field: {Running}, journal.Bench: {Running, Cutting}, journal.Charge: {Charging}, journal.Rest: {Standing},
}

// valueTopics are what a value of a spec or of what is computed is about, by the first word of its name.
var valueTopics = map[string][]Topic{
	"run-time": {Running, Cutting}, "charge-time": {Charging}, "charger": {Charging}, "packs": {Running, Charging},
	"cutout": {Cutting}, "drive": {Driving}, "motors": {Driving}, "controller": {Driving}, "masses": {Driving},
	"wiring": {Wired}, "use": {Riding},
}

// TopicsOf is what a question's answer is about, by the figures that it asks for, what is predicted for it, how it is to be
// measured and the values that its text states; nil where none of them says it.
func TopicsOf(n *journal.NotePage) []Topic {
	var out []Topic
	add := func(topics []Topic) {
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
		out = append(out, Method)
	}
	return out
}

func firstWord(name, end string) string {
	word, _, _ := strings.Cut(name, end)
	return word
}
