package study

import (
	"crypto/sha256"
	"errors"
	"hash"
	"io"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/progress"
	"voltwright/internal/runlog"
	"voltwright/internal/store"
)

// run is what one run came to.
type run struct {
	result *runlog.Result
	found  []finding.Finding
}

// one measures a run by its log, its readings or its stopwatch. No result and no error: it has none that can be used, which is
// a finding of the journal already. The error says that its log could not be read. read is told of the bytes of logs that are done.
func (s *Study) one(r *journal.Run, read func(n int64)) (*runlog.Result, []finding.Finding, error) {
	options := r.Options()
	switch {
	case r.Log != nil && r.Log.Path == "":
		return nil, nil, nil
	case r.Log != nil:
		return s.log(r.Log.Path, options, read)
	case len(r.Readings) > 0:
		result, found := runlog.FromReadings(r.Noted(), options)
		return result, placed(found, r.EvidenceSpan()), nil
	case r.Stopwatch != nil:
		result, found := runlog.FromStopwatch(r.Timed(), options)
		return result, placed(found, r.EvidenceSpan()), nil
	}
	return nil, nil, nil
}

// log measures a log, or takes what it came to from the store. What is kept is kept for the bytes that were measured, even if
// the file has changed since they were looked for.
func (s *Study) log(name string, o runlog.Options, read func(n int64)) (*runlog.Result, []finding.Finding, error) {
	if s.store == nil {
		return s.measure(name, o, nil, read)
	}
	sum, err := s.Sum(name)
	if err != nil {
		return nil, nil, err
	}
	method := store.KeyOf("measure", name, o)
	var kept keptRun
	if s.store.Get(method.With(sum), &kept) {
		read(s.size(name))
		return kept.Result, kept.findings(name), nil
	}
	h := sha256.New()
	result, found, err := s.measure(name, o, h, read)
	if kept, ok := keepRun(result, found); err == nil && ok {
		s.store.Put(method.With(h.Sum(nil)), kept)
	}
	return result, found, err
}

// Sum is the checksum of a file of the journal, as it was when it was first asked for.
func (s *Study) Sum(name string) ([]byte, error) { return s.folder.Sum(name) }

// measure measures a log, and has a checksum see all of its bytes.
func (s *Study) measure(name string, o runlog.Options, h hash.Hash, read func(n int64)) (*runlog.Result, []finding.Finding, error) {
	file, err := s.folder.OpenFile(name)
	if err != nil {
		return nil, nil, err
	}
	from := progress.Read(file, read)
	if h != nil {
		from = io.TeeReader(from, h)
	}
	result, found, err := runlog.Measure(finding.NewStream(name), from, o)
	if h != nil && err == nil { // a log that is given up is not read to its end
		_, err = io.Copy(io.Discard, from)
	}
	return result, found, errors.Join(err, file.Close())
}

// bytesOf is how long the logs of runs are together. One that several rest on is measured for each.
func (s *Study) bytesOf(runs []*journal.Run) (n int64) {
	for _, r := range runs {
		if r.Log != nil {
			n += s.size(r.Log.Path)
		}
	}
	return n
}

// size is how long a file of the journal is; 0 where there is none.
func (s *Study) size(name string) int64 {
	info, err := s.folder.Stat(name)
	if err != nil {
		return 0
	}
	return info.Size()
}

// placed gives findings without one the place of the evidence.
func placed(found []finding.Finding, at finding.Span) []finding.Finding {
	for i := range found {
		if found[i].Span.Source == nil {
			found[i].Span = at
		}
	}
	return found
}

// keptRun is a run as it is kept.
type keptRun struct {
	Result *runlog.Result
	Found  []keptFinding
}

// keptFinding is a finding about a log: what it says, and where.
type keptFinding struct {
	Rule, Text, Remedy string
	Level              finding.Level
	Anywhere           bool // it has no place
	Start, End         keptMark
}

// keptMark is a place in a log.
type keptMark struct {
	Offset       int64
	Line, Column int
}

// keepRun is false where a finding holds more than is kept of one.
func keepRun(result *runlog.Result, found []finding.Finding) (keptRun, bool) {
	k := keptRun{Result: result}
	for _, f := range found {
		if f.Related != nil || f.Gauge != nil || f.Answer != nil || f.Signal != "" || f.Numbers != "" || f.Unjudged {
			return k, false
		}
		one := keptFinding{Rule: f.Rule, Text: f.Text, Remedy: f.Remedy, Level: f.Level, Anywhere: f.Span.Source == nil}
		if !one.Anywhere {
			one.Start, one.End = mark(f.Span.Source, f.Span.Start), mark(f.Span.Source, f.Span.End)
		}
		k.Found = append(k.Found, one)
	}
	return k, result != nil
}

func mark(source *finding.Source, offset int64) keptMark {
	line, column := source.Locate(offset)
	return keptMark{offset, line, column}
}

func (k keptRun) findings(name string) []finding.Finding {
	source := finding.NewStream(name)
	var out []finding.Finding
	for _, f := range k.Found {
		one := finding.Finding{Rule: f.Rule, Level: f.Level, Text: f.Text, Remedy: f.Remedy}
		if !f.Anywhere {
			source.Mark(f.Start.Offset, f.Start.Line, f.Start.Column)
			source.Mark(f.End.Offset, f.End.Line, f.End.Column)
			one.Span = finding.Span{Source: source, Start: f.Start.Offset, End: f.End.Offset}
		}
		out = append(out, one)
	}
	return out
}
