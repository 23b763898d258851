package reading

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/progress"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
)

// PublishLogs puts the log of every run on the site as it may be published.
func (rd *Reader) PublishLogs() {
	zones := rd.zones()
	done := rd.Told.Begin(progress.Cleaning, int64(len(rd.Logs)))
	for _, r := range rd.Logs {
		done(1)
		from := r.Log.Path
		if _, done := rd.LogOf[from]; done {
			continue
		}
		target := path.Dir(address.Run(r)) + "/" + logName(path.Base(from))
		places := runlog.PublishedPlaces{Asked: rd.PlacesAsked(from), Zones: zones}
		why := rd.publishLog(target, writtenAnew{steps: rd.Steps, from: from, options: r.Options(), places: places})
		if why != "" {
			target = ""
			rd.stays(from, finding.Finding{Rule: RuleSealedFile, Level: finding.Warning, Span: r.EvidenceSpan(),
				Text:   fmt.Sprintf("%s stays in the journal: %s", path.Base(from), why),
				Remedy: "state its columns by their heads (`columns: {voltage: ..., current: ...}`), or keep a copy that holds the measured columns alone."})
		}
		rd.LogOf[from] = target
	}
}

// publishLog puts a log on the site, or says why it cannot be published.
func (rd *Reader) publishLog(target string, log writtenAnew) (why string) {
	why, err := log.whether(func() (string, []byte, error) { return rd.readsAlike(log) })
	if err == nil && why == "" {
		err = rd.Pages.CleanFrom(target, log.from, log.clean, log.sum())
	}
	if err != nil {
		return err.Error()
	}
	return why
}

// readsAlike says why a log cannot be published, "" where it will be read as it was, and the checksum of what was read to tell.
func (rd *Reader) readsAlike(log writtenAnew) (why string, content []byte, err error) {
	raw, err := rd.Open(log.from)
	if err != nil {
		return "", nil, err
	}
	defer func() { err = errors.Join(err, raw.Close()) }()
	again, err := rd.Open(log.from)
	if err != nil {
		return "", nil, err
	}
	defer func() { err = errors.Join(err, again.Close()) }()
	h := sha256.New()
	all := io.TeeReader(raw, h)
	clean, err := runlog.NewCleaned(again, log.options, log.places)
	same := true
	if err == nil {
		same, err = runlog.ReadsAlike(all, clean, log.options)
	}
	switch {
	case errors.Is(err, runlog.ErrNotCleaned):
		why = err.Error()
	case err != nil:
		return "", nil, err
	case !same:
		why = "without what nobody reads of it, it would be read in another way"
	}
	_, err = io.Copy(io.Discard, all)
	return why, h.Sum(nil), err
}

func (rd *Reader) isLog(file string) bool {
	return slices.ContainsFunc(rd.Logs, func(r *journal.Run) bool { return r.Log.Path == file })
}

// PlacesAsked says whether the maker publishes the positions of a log: every run that rests on it says so.
func (rd *Reader) PlacesAsked(log string) bool {
	return !slices.ContainsFunc(rd.Logs, func(r *journal.Run) bool { return r.Log.Path == log && !r.PublishPosition.Value })
}

// zones are the places near which no run's positions are published: where a run that publishes them began, ended or stood.
// The oldest log at a place settles where its zone lies, by bytes of which the telling ones are never published.
func (rd *Reader) zones() []runlog.Zone {
	runs := slices.Clone(rd.Logs)
	slices.SortStableFunc(runs, func(x, y *journal.Run) int {
		return strings.Compare(x.Date.String()+" "+string(x.ID()), y.Date.String()+" "+string(y.ID()))
	})
	var visits []runlog.Visit
	seen := map[string]bool{}
	for _, r := range runs {
		if seen[r.Log.Path] || !r.PublishPosition.Value {
			continue
		}
		seen[r.Log.Path] = true
		if v, err := rd.visit(r); err == nil { // one that cannot be read is not published
			visits = append(visits, v)
		}
	}
	return runlog.Zones(visits)
}

// visit finds the places of a log.
func (rd *Reader) visit(r *journal.Run) (v runlog.Visit, err error) {
	raw, err := rd.Open(r.Log.Path)
	if err != nil {
		return v, err
	}
	defer func() { err = errors.Join(err, raw.Close()) }()
	sum := sha256.New()
	text := io.TeeReader(raw, sum)
	v.Points, err = runlog.Stays(text, r.Options())
	if err != nil {
		return v, err
	}
	if _, err = io.Copy(io.Discard, text); err != nil {
		return v, err
	}
	v.Seed = [32]byte(sum.Sum(nil))
	return v, nil
}

// inQuotes is what a finding quotes of a log.
var inQuotes = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)

// publicQuotes leaves of what a finding quotes of a log the words that the reader knows: a cell or a head may hold a name, a
// number of somebody's or a position.
func publicQuotes(text string) string {
	return inQuotes.ReplaceAllStringFunc(text, func(q string) string { return `"` + runlog.PublicHead(strings.Trim(q, `"`)) + `"` })
}

// stays adds a finding about a file of the journal that does not go online.
func (rd *Reader) stays(from string, f finding.Finding) {
	rd.Pages.StaysIn(from, f.Text, f.Rule)
	rd.Raised.Add(f)
}
