package study

import (
	"crypto/sha256"
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/progress"
	"voltwright/internal/runlog"
	"voltwright/internal/store"
)

// Rests is a fingerprint of all of a journal that is not prose: of the front matter of every note and the bytes of every other file, by
// which all results and all names of values are settled, of which files the prose names and of which versions it has compute more. False:
// something could not be read when it was first asked for.
func (s *Study) Rests() (sum [sha256.Size]byte, ok bool) { return s.rests() }

func (s *Study) restsOf() (sum [sha256.Size]byte, ok bool) {
	h := sha256.New()
	texts := map[string]*notes.Note{}
	for _, n := range s.Journal.AllNotes() {
		texts[n.Path] = n
	}
	for _, file := range s.Journal.Folder.Files() {
		var of []byte
		if n := texts[file.Path]; n != nil && n.Front != nil && file.Path != notes.JournalFile {
			one := sha256.Sum256(n.Text()[:n.BodyOffset])
			of = one[:]
		} else {
			var err error
			if of, err = s.Sum(file.Path); err != nil {
				return sum, false
			}
		}
		fmt.Fprintf(h, "%q %x\n", file.Path, of)
	}
	for _, a := range s.Journal.Used {
		fmt.Fprintf(h, "%q %q\n", a.Path, a.Kind)
	}
	for _, v := range s.versions() {
		fmt.Fprintf(h, "%v ", s.Journal.AsksRunTime(v))
	}
	return [sha256.Size]byte(h.Sum(nil)), true
}

// keptRuns is what is said of the runs of a journal that have logs, by their order, and which of them came to something: what that is may
// be asked for later.
type keptRuns struct{ Runs []keptLog }

type keptLog struct {
	There bool
	Found []keptFinding
}

// measuredBefore tells of the runs what was found when they were measured before, and puts what they came to off until it is asked for.
// False: they have to be measured.
func (s *Study) measuredBefore(key store.Key, runs []*journal.Run, findings *finding.List) bool {
	var kept keptRuns
	if !s.store.Get(key, &kept) || len(kept.Runs) != len(runs) {
		return false
	}
	s.Told.Begin(progress.Measuring, 0)
	for i, r := range runs {
		if r.Log == nil || r.Log.Path == "" { // it takes no time
			s.note(r, measuredRun{run: s.known(r)}, findings)
			continue
		}
		findings.Add(keptRun{Found: kept.Runs[i].Found}.findings(r.Log.Path)...)
		if kept.Runs[i].There {
			later(&s.Results.runs, r.ID(), func() *runlog.Result { return s.known(r).result })
		}
	}
	return true
}

// known is a run that was measured before from the same bytes without an error.
func (s *Study) known(r *journal.Run) run {
	var of run
	of.result, of.found, _ = s.one(r, func(int64) {}) // who reads the folder hears of a log that has changed
	return of
}

// keepRuns keeps what measuredBefore tells, where every log could be read.
func (s *Study) keepRuns(key store.Key, runs []*journal.Run, all []measuredRun) {
	var kept keptRuns
	for i, r := range runs {
		of := keptRun{}
		if r.Log != nil && r.Log.Path != "" {
			var ok bool
			if of, ok = keepRun(all[i].result, all[i].found); all[i].err != nil || !ok {
				return
			}
		}
		_, there := s.Results.Runs[r.ID()]
		kept.Runs = append(kept.Runs, keptLog{there, of.Found})
	}
	s.store.Put(key, kept)
}
