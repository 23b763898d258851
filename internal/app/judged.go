package app

import (
	"crypto/sha256"
	"maps"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// judging asks inquiries, and takes what they found from what is kept of earlier times. All that is not prose is one fingerprint under which
// all of it stands; which prose an inquiry read is kept with what it found.
type judging struct {
	in      *inspected
	rests   []byte // nil: nothing is kept
	texts   map[string]*notes.Note
	sums    map[string][sha256.Size]byte // of the texts that were asked for
	was     map[string]judged
	is      map[string]judged
	anew    bool // something was asked anew
	skipped bool // something that was asked cannot be kept
}

// judged is what an inquiry found.
type judged struct {
	Reads []readText
	Found []keptFinding
}

// readText is a text that was read, as it was.
type readText struct {
	Path string
	Sum  [sha256.Size]byte
}

// newJudging begins to judge. Where the notes have errors nothing is kept: what follows from an error is not said.
func newJudging(in *inspected) *judging {
	j := &judging{in: in, texts: map[string]*notes.Note{}, sums: map[string][sha256.Size]byte{}, is: map[string]judged{}}
	if !in.study.Keeps() || in.findings.Count(finding.Error) > 0 {
		return j
	}
	rests, ok := in.study.Rests()
	if !ok {
		return j
	}
	j.rests = rests[:]
	for _, n := range in.journal.AllNotes() {
		j.texts[n.Path] = n
	}
	if !in.study.Find("judged", &j.was, j.rests) {
		j.was = nil
	}
	return j
}

// before tells whether most was judged before, so that little will be asked.
func (j *judging) before() bool { return j.was != nil }

// ask asks inquiries, one after the other.
func (j *judging) ask(all []finding.Inquiry) (found []finding.Finding) {
	for _, i := range all {
		found = append(found, j.one(i)...)
	}
	return found
}

func (j *judging) one(i finding.Inquiry) []finding.Finding {
	if j.rests == nil {
		return i.Find()
	}
	if was, ok := j.was[i.Name]; ok && !slices.ContainsFunc(was.Reads, func(r readText) bool { return j.sum(r.Path) != r.Sum }) {
		if found, ok := j.recall(was.Found); ok {
			j.is[i.Name] = was
			return found
		}
	}
	reads := map[string]bool{}
	j.in.folder.Hear(func(path string) { reads[path] = true })
	found := i.Find()
	j.in.folder.Hear(nil)
	j.anew = true
	is := judged{}
	for _, path := range slices.Sorted(maps.Keys(reads)) {
		is.Reads = append(is.Reads, readText{path, j.sum(path)})
	}
	var ok bool
	if is.Found, ok = keepFindings(found, j.texts); !ok {
		j.skipped = true
	}
	if _, twice := j.is[i.Name]; twice {
		j.skipped = true // one of two would be taken for the other
	}
	j.is[i.Name] = is
	return found
}

// sum is the SHA-256 of a note's text.
func (j *judging) sum(path string) [sha256.Size]byte {
	if sum, known := j.sums[path]; known {
		return sum
	}
	var sum [sha256.Size]byte
	if n := j.texts[path]; n != nil {
		sum = sha256.Sum256(n.Text())
	}
	j.sums[path] = sum
	return sum
}

// keep keeps what was found for another time.
func (j *judging) keep() {
	if j.rests != nil && !j.skipped && (j.anew || len(j.is) != len(j.was)) {
		j.in.study.Set("judged", j.is, j.rests)
	}
}

// keptFinding is a finding as it is kept.
type keptFinding struct {
	Rule, Text, Remedy, Numbers string
	Level                       finding.Level
	Signal                      finding.Signal
	Unjudged                    bool
	Span                        keptSpan
	Related                     []keptRelated
	Gauge                       *finding.Gauge
	Answer                      *keptRelated
}

// keptRelated is a text with its place.
type keptRelated struct {
	Text string
	Span keptSpan
}

// keptSpan is a place: in a note, or in a file that is read once, of which the lines and columns are kept.
type keptSpan struct {
	File       string
	Start, End int64
	Marks      []keptMark
}

type keptMark struct {
	Offset       int64
	Line, Column int
}

// keepFindings is false where a place stands in a text that is no note's.
func keepFindings(found []finding.Finding, texts map[string]*notes.Note) (out []keptFinding, ok bool) {
	ok = true
	span := func(s finding.Span) keptSpan {
		if s.Source == nil {
			return keptSpan{}
		}
		k := keptSpan{File: s.Source.Name, Start: s.Start, End: s.End}
		if n := texts[k.File]; n != nil && n.Source == s.Source {
			return k
		}
		if _, held := s.Source.Line(1); held || texts[k.File] != nil {
			ok = false
		}
		for _, at := range []int64{s.Start, s.End} {
			line, column := s.Source.Locate(at)
			k.Marks = append(k.Marks, keptMark{at, line, column})
		}
		return k
	}
	for _, f := range found {
		k := keptFinding{Rule: f.Rule, Text: f.Text, Remedy: f.Remedy, Numbers: f.Numbers, Level: f.Level, Signal: f.Signal, Unjudged: f.Unjudged, Span: span(f.Span), Gauge: f.Gauge}
		for _, r := range f.Related {
			k.Related = append(k.Related, keptRelated{r.Text, span(r.Span)})
		}
		if f.Answer != nil {
			k.Answer = &keptRelated{f.Answer.Reason, span(f.Answer.Span)}
		}
		out = append(out, k)
	}
	return out, ok
}

// recall gives what was found. False: a note that it stands in is not there.
func (j *judging) recall(kept []keptFinding) (out []finding.Finding, ok bool) {
	ok = true
	span := func(k keptSpan) finding.Span {
		if k.File == "" {
			return finding.Span{}
		}
		if k.Marks == nil {
			n := j.texts[k.File]
			if n == nil {
				ok = false
				return finding.Span{}
			}
			return finding.Span{Source: n.Source, Start: k.Start, End: k.End}
		}
		s := finding.NewStream(k.File)
		for _, m := range k.Marks {
			s.Mark(m.Offset, m.Line, m.Column)
		}
		return finding.Span{Source: s, Start: k.Start, End: k.End}
	}
	for _, k := range kept {
		f := finding.Finding{Rule: k.Rule, Text: k.Text, Remedy: k.Remedy, Numbers: k.Numbers, Level: k.Level, Signal: k.Signal, Unjudged: k.Unjudged, Span: span(k.Span), Gauge: k.Gauge}
		for _, r := range k.Related {
			f.Related = append(f.Related, finding.Related{Span: span(r.Span), Text: r.Text})
		}
		if k.Answer != nil {
			f.Answer = &finding.Answer{Reason: k.Answer.Text, Span: span(k.Answer.Span)}
		}
		out = append(out, f)
	}
	return out, ok
}
