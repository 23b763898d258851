package standing

import (
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/study"
	"voltwright/internal/value"
	"voltwright/internal/wiring"
)

// asker is what the answers about one version are made from.
type asker struct {
	index   *value.Index
	journal *journal.Journal
	version *journal.Version
	results *study.Results
}

func (a *asker) predicted() *predict.Prediction { return a.results.Prediction(a.version.Path()) }
func (a *asker) wired() *wiring.Analysis        { return a.results.Circuit(a.version.Path()) }

// question is one of the questions that every version answers.
type question struct {
	name, asks string
	answers    func(t *teller)
	written    []string // what of the version a written question answers when it stands in for this one: the beginning of a prediction or a figure
}

// questions are in the order in which readers ask them.
var questions = []question{
	{"run-time", "How long does it run on one charge?", runTime, []string{"run-time"}},
	{"other-sizes", "How long would it run on one pack, or on bigger ones?", otherSizes, nil},
	{"charging", "How long does it charge, and how long to 80 %?", charging, []string{"charge-time"}},
	{"cutout", "At what voltage does it cut out, and why there?", cutout, []string{"cutout-voltage"}},
	{"reset", "Does it switch itself back on after it cut out?", reset, []string{"reset-margin"}},
	{"fuses", "Which fuse is where, and why?", fuses, nil},
	{"wire", "Which wire, and how thick is it?", wire, nil},
	{"ends", "What goes on each end of the leads?", ends, nil},
	{"cost", "What did it cost, what did the change cost, and where was it bought?", cost, nil},
	{"speed", "How fast does it go, and who rides?", speed, []string{"top-speed"}},
	{"stopping", "How does it stop, and in what distance?", stopping, nil},
	{"weight", "What may it weigh, what does it pull, and up which hill?", weight, nil},
	{"temperature", "What do cold and heat do to it?", temperature, nil},
	{"storing", "How is it stored over the winter?", storing, nil},
	{"age", "How old are the packs, and how many years will they last?", age, nil},
	{"changed", "What changed since the version before, and is it better?", changed, nil},
	{"taken-back", "What was said of it and taken back?", takenBack, nil},
}

// Of are the answers of a version to what readers always ask. Those that it need not give are not left out: they say what is
// missing. results may be of a journal whose versions were not answered for.
func Of(index *value.Index, results *study.Results, v *journal.Version) []Answer {
	a := &asker{index: index, journal: index.Journal(), version: v, results: results}
	out := make([]Answer, 0, len(questions))
	for _, q := range questions {
		t := &teller{asker: a, Answer: Answer{Name: q.name, Question: q.asks, State: Answered}}
		q.answers(t)
		t.Written = a.written(q)
		out = append(out, t.Answer)
	}
	return out
}

// written is the journal's own question that answers this one for the version: it is about a prediction of the version, or
// bears on the version or a run of it with the figure.
func (a *asker) written(q question) *journal.NotePage {
	for _, n := range a.journal.Questions {
		w := n.Question
		if w == nil {
			continue
		}
		if p := w.Predicted; p.Version == a.version && len(q.written) > 0 && strings.HasPrefix(p.Name, q.written[0]+"/") {
			return n
		}
		bears := slices.ContainsFunc(w.Runs, func(r *journal.Run) bool { return r.Version == a.version })
		for _, f := range w.Figures {
			if bears && slices.Contains(q.written, f.Text) {
				return n
			}
		}
	}
	return nil
}
