// Package safety holds the rules that speak up when the numbers say that
// something can hurt someone or ruin a pack. Each rule is one file with its
// test: what it looks at, the signal word, the sentence with the numbers in
// it, the remedy and the source.
//
// A rule that lacks a value says that it cannot judge, and why; it never passes
// for want of a number. What no rule here can catch is a number that is wrong
// and plausible, and whatever the journal does not state at all.
package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/runlog"
	"voltwright/internal/study"
)

// A rule is one thing that can go wrong: what explains it, what it is asked of
// and how it judges. The table rules lists them all.
type rule struct {
	doc   finding.Doc
	each  scope
	judge func(*subject) []verdict
}

// scope is what a rule is asked of, one after the other.
type scope uint8

const (
	eachVersion scope = iota // the spec of a version, with its packs, wiring and drive
	eachPack                 // one pack of a version
	eachRun                  // one run of a version
	eachText                 // the text of a note, whatever its kind
)

// A subject is what a rule judges. A rule of a pack or a run has the version as
// well; a rule of a text has only the place.
type subject struct {
	journal *journal.Journal
	results *study.Results
	version *journal.Version
	pack    *journal.Pack
	run     *journal.Run
	place   journal.Place
}

// result is what computing gave for the run; nil where its evidence could not be read.
func (s *subject) result() *runlog.Result { return s.results.Run(s.run.ID()) }

// of is the result of another run of the version.
func (s *subject) of(r *journal.Run) *runlog.Result { return s.results.Run(r.ID()) }

// answers are what was predicted for the version; nil where nothing was.
func (s *subject) answers() *predict.Prediction {
	a := s.results.Prediction(s.version.Path())
	if a == nil || a.Err != "" {
		return nil
	}
	return a
}

// A verdict is what a rule has to say: a callout, or that it cannot judge.
type verdict struct {
	signal  finding.Signal // "": it cannot judge
	at      finding.Span
	text    string
	remedy  string
	gauge   *finding.Gauge
	numbers string // what the callout rests on, where the gauge does not say all of it; "" where it does, or rests on no number
	related []finding.Related

	question, because string // cannot judge QUESTION: BECAUSE
}

// said makes the one verdict of a rule that speaks.
func said(v verdict) []verdict { return []verdict{v} }

// cannot makes the verdict of a rule that lacks a value: "cannot judge QUESTION: BECAUSE".
func cannot(at finding.Span, question, because, remedy string) []verdict {
	return []verdict{{at: at, question: question, because: because, remedy: remedy}}
}

// levels says how much a callout matters to inspection: a DANGER stops a publish until it is answered.
var levels = map[finding.Signal]finding.Level{
	finding.Danger: finding.Error, finding.SignalWarning: finding.Warning, finding.Caution: finding.Warning, finding.PropertyNotice: finding.Note,
}

// Docs explains every rule of the package.
func Docs() []finding.Doc {
	docs := []finding.Doc{answerLapsed, answerToNothing, hazardDoc()}
	for _, r := range rules {
		d := r.doc
		d.Kind, d.Level = finding.RuleDoc, levels[d.Signal]
		docs = append(docs, d)
	}
	return docs
}

// Judge asks every rule, and puts the makers' answers beside what they answer.
// What cannot be judged is left for later where the findings hold errors
// already: a value that is wrong is mended before one that lacks is added.
func Judge(j *journal.Journal, results *study.Results, all *finding.List) {
	Add(all, finding.FindAll(Inquiries(j, results)))
}

// Inquiries are what there is to judge, whose findings Add takes in their order: the versions, which rest on no prose, and each text.
func Inquiries(j *journal.Journal, results *study.Results) []finding.Inquiry {
	all := []finding.Inquiry{{Name: "safety of versions", Find: func() (found []finding.Finding) {
		for _, vehicle := range j.Vehicles {
			for _, v := range vehicle.Versions {
				found = append(found, judgeVersion(subject{journal: j, results: results, version: v})...)
			}
		}
		return found
	}}}
	for _, place := range j.Places() {
		all = append(all, finding.Inquiry{Name: "safety of the text of " + place.Address(), Find: func() []finding.Finding {
			if place.Document() == nil {
				return nil
			}
			return ask(eachText, subject{journal: j, results: results, place: place})
		}})
	}
	return all
}

// Add adds what all inquiries found, in their order.
func Add(all *finding.List, found []finding.Finding) {
	var said finding.List
	said.Add(found...)
	wrong := all.Count(finding.Error) > 0
	for _, f := range said.Sorted() {
		if !wrong || !f.Unjudged {
			all.Add(f)
		}
	}
}

func judgeVersion(s subject) (said []finding.Finding) {
	v := s.version
	if v.Note.Broken {
		return nil
	}
	found := ask(eachVersion, s)
	for i := range v.Packs {
		s.pack = &v.Packs[i]
		found = append(found, ask(eachPack, s)...)
	}
	s.pack = nil
	said = answered(v.Answers, merged(found))
	for _, r := range v.Runs {
		s.run = r
		said = append(said, answered(r.Answers, merged(ask(eachRun, s)))...)
	}
	return said
}

// ask asks the rules of a scope.
func ask(each scope, s subject) []finding.Finding {
	var found []finding.Finding
	for _, r := range rules {
		if r.each != each {
			continue
		}
		for _, v := range r.judge(&s) {
			found = append(found, s.finding(r, v))
		}
	}
	return found
}

// finding makes a verdict a finding.
func (s *subject) finding(r *rule, v verdict) finding.Finding {
	at, from := v.at, []finding.Related(nil)
	if s.version != nil { // what a text says, and what two runs of unlike conditions say, is of none
		at, from = s.version.Here(v.at)
	}
	f := finding.Finding{Rule: r.doc.Name, Signal: v.signal, Span: at, Text: v.text, Remedy: v.remedy, Related: append(from, v.related...), Gauge: v.gauge, Numbers: v.numbers}
	if v.signal == "" {
		f.Level, f.Unjudged = finding.Note, true
		f.Text = lacking(v.question, v.because)
		return f
	}
	f.Level = levels[v.signal]
	if v.gauge != nil && v.numbers == "" {
		f.Numbers = v.gauge.String()
	}
	if s.pack != nil && len(s.version.Packs) > 1 && f.Numbers != "" {
		f.Numbers = s.packName() + ": " + f.Numbers
	}
	return f
}
